// Which units a free stroke means. Each spot of the hand's way lies in the cell of one unit, the one whose middle
// is nearest; only units whose cells the hand was in are painted. A hand shakes, though, and by a border it is in
// both cells by turns: so a unit goes on being meant while the hand is beyond its border by no more than a hand
// shakes, and is meant as much before the hand comes in. Of all ways from unit to neighbouring unit that keep to
// this, the stroke takes the one of fewest units, least beyond their borders, and that turns least from the lines
// of the lattice: along a ring, leaning right or left, or upright, right and left by turns. That way is found as the
// cheapest one through a trellis (Viterbi, IEEE Trans. Inf. Theory 13, 1967); the last units can still change while
// the hand goes on.

import { RISE } from "../grid/view";
import { type Spot, unitUnder } from "./lattice";
import { type Model, type Place, placeOf, ringOf, unitOf } from "./model";
import { half, type Ring, wrap } from "./ring";

/** The lines of the lattice through a unit; on an upright one it stands to the left or to the right. */
const RING = 0;
const RISING = 1;
const FALLING = 2;
const LEFT = 3;
const RIGHT = 4;
const LINES = [RING, RISING, FALLING, LEFT, RIGHT];

// All lengths here are in widths of a unit of the widest ring, unless they are said to be in pixels.

/** How far beyond a unit's border the hand may be and still mean it; in pixels, and at most in units. */
const SHAKE_PX = 6;
const SHAKE_MOST = 0.21;
/**
 * Where units are so small (below 28 pixels) that a hand shakes by more than that, a quick one may miss a unit it
 * means: then the rest, up to this, counts as being in it, and the lines of the lattice say which is meant.
 */
const LOOSE_MOST = 0.1;
/** Prices of one more unit and of another line, as pixels of way so far beyond a border. */
const UNIT_PRICE = 20;
const LINE_PRICE = 10;
/** How far a spot may lie from all squares, in half units: at the figure's edges, and in the holes between unlike rings. */
const EDGE_REACH = 1.3;
const HOLE_REACH = 1.51;
/** The hand's way is looked at in steps no longer than these: in pixels, and in units. */
const STEP_PX = 3;
const STEP_MOST = 0.1;

/** Edges of units that touch may be apart by so many turns, as they travel rounded. */
const ROUNDED = 1e-4;

/** One unit on one line, and the cheapest way there. */
interface Way {
  readonly place: Place;
  readonly line: number;
  /** Whether the hand has been in its cell since the way came to it; before that no way leads on. */
  seen: boolean;
  cost: number;
  from: Way | null;
  /** Whether it belongs to the way that is shown. */
  shown: boolean;
}

/** A unit that a spot may mean: 0 beyond its border where the spot is in its cell. */
interface Near {
  readonly place: Place;
  readonly beyond: number;
}

export class Freehand {
  private ways: Way[] = [];
  private shown: Way | null = null;
  private last: Spot;
  /** Where the hand went down, until it leaves the place: a touch may tremble. */
  private pressed: Spot | null;
  private readonly times = new Map<Place, number>();
  private readonly shake: number;
  /** How far beyond its border a unit counts as one that the hand was in: 0 unless units are small. */
  private readonly loose: number;
  private readonly linePrice: number;
  private readonly stepMost: number;

  /**
   * A stroke that begins at a spot, with units so many pixels wide. It calls change for each unit that comes
   * to it, and for each that leaves it again because the hand went another way.
   */
  constructor(
    private readonly m: Model,
    start: Spot,
    private readonly unitPx: number,
    private readonly change: (p: Place, on: boolean) => void,
  ) {
    this.shake = Math.min(SHAKE_MOST, SHAKE_PX / unitPx);
    this.loose = Math.min(LOOSE_MOST, Math.max(0, SHAKE_PX / unitPx - SHAKE_MOST));
    this.linePrice = (LINE_PRICE * this.loose) / LOOSE_MOST;
    this.stepMost = Math.min(STEP_MOST, STEP_PX / unitPx);
    this.last = start;
    this.pressed = start;
    this.begin(start);
  }

  /** The hand has moved straight to a spot. */
  to(s: Spot): void {
    const { last } = this;
    const far = this.between(last, s);
    const steps = Math.ceil(far / this.stepMost);
    for (let i = 1; i <= steps; i++) {
      const k = i / steps;
      this.step({ turn: last.turn + (s.turn - last.turn) * k, high: last.high + (s.high - last.high) * k }, far / steps);
    }
    this.last = s;
    if (this.pressed && this.between(this.pressed, s) > this.shake) this.pressed = null;
    if (!this.pressed) this.show(cheapestSeen(this.ways));
  }

  private between(a: Spot, b: Spot): number {
    return Math.hypot((b.turn - a.turn) * this.m.widest, (b.high - a.high) * RISE);
  }

  /** The unit under a spot, −1 beyond the figure and in openings. */
  private under(s: Spot): Place {
    const inside = s.high >= 1 && s.high <= this.m.rings.length;
    return unitUnder(this.m, s, inside ? HOLE_REACH : EDGE_REACH);
  }

  /** What is pressed is painted; once the hand goes on, the stroke may prove to have begun beside it. */
  private begin(s: Spot): void {
    const at = this.under(s);
    if (at < 0) return;
    this.ways = this.near(s).flatMap(({ place, beyond }) => onEachLine(place, beyond === 0, 0, null));
    this.show({ place: at, line: RING, seen: true, cost: 0, from: null, shown: false });
  }

  private step(s: Spot, long: number): void {
    if (this.under(s) < 0) this.leave();
    else if (this.ways.length) this.ways = this.reached(s, long);
    else this.begin(s);
  }

  /** Beyond the figure a stroke ends; where the hand comes back another one begins. */
  private leave(): void {
    this.pressed = null;
    this.show(cheapestSeen(this.ways));
    this.ways = [];
    this.shown = null;
  }

  /** The ways one step on, which is so long: staying, going over to another line, or on along it to a unit beside. */
  private reached(s: Spot, long: number): Way[] {
    const near = this.near(s);
    const beyond = new Map(near.map((c) => [c.place, c.beyond]));
    const here = near.find((c) => c.beyond === 0)!.place;
    const next = new Map<number, Way>();
    const reach = (place: Place, line: number, before: boolean, cost: number, from: Way) => {
      const off = beyond.get(place);
      if (off === undefined) return;
      const more = long * this.unitPx * (off / this.shake) ** 2;
      const seen = before || place === here || off < this.loose;
      const key = 2 * (place * LINES.length + line) + Number(seen);
      const known = next.get(key);
      if (!known) next.set(key, { place, line, seen, cost: cost + more, from, shown: false });
      else if (cost + more < known.cost) Object.assign(known, { cost: cost + more, from });
    };
    for (const [place, ways] of byPlace(this.ways)) {
      const beside = this.beside(place);
      for (const w of ways) {
        for (const line of LINES) reach(place, line, w.seen, w.cost + (line === w.line ? 0 : this.linePrice), w);
        if (!w.seen) continue;
        for (const q of beside) {
          const line = this.goesOn(place, w.line, q);
          if (line >= 0) reach(q, line, false, w.cost + UNIT_PRICE, w);
        }
      }
    }
    const ways = [...next.values()];
    if (!ways.some((w) => w.seen && w.place === here)) ways.push(...this.bridge(here, s));
    return ways;
  }

  /** Ways to the unit of the hand where none leads there from neighbour to neighbour: by the nearest one between. */
  private bridge(here: Place, s: Spot): Way[] {
    const from = cheapestSeen(this.ways)!;
    let between: Place | null = null;
    let least = Infinity;
    for (const q of this.beside(from.place)) {
      const { squared } = this.offset(q, s);
      if (squared >= least || !this.beside(q).includes(here)) continue;
      least = squared;
      between = q;
    }
    const by = between === null ? from : { ...from, place: between, cost: from.cost + UNIT_PRICE, from, shown: false };
    return onEachLine(here, true, by.cost + UNIT_PRICE, by);
  }

  /** Neighbours of a unit; along the ring an opening is no wall to the hand. */
  private beside(p: Place): Place[] {
    const r = ringOf(p);
    const { n } = this.m.rings[r];
    const out = this.m.neighbours(p);
    for (const by of [1, n - 1]) {
      const q = placeOf(r, (unitOf(p) + by) % n);
      if (!out.includes(q)) out.push(q);
    }
    return out;
  }

  /** The line as it passes through the neighbour q, −1 when it does not. Straight above is on every line but the ring. */
  private goesOn(p: Place, line: number, q: Place): number {
    const up = ringOf(q) - ringOf(p);
    if (up === 0 || line === RING) return up === 0 && line === RING ? RING : -1;
    const [a, b] = [this.m.rings[ringOf(p)].middle(unitOf(p)), this.m.rings[ringOf(q)].middle(unitOf(q))];
    const right = half(b - a) * this.m.widest;
    const above = Math.abs(right) < 0.05;
    if (line === RISING) return above || right * up > 0 ? RISING : -1;
    if (line === FALLING) return above || right * up < 0 ? FALLING : -1;
    if (above) return line;
    return right > 0 === (line === LEFT) ? LEFT + RIGHT - line : -1;
  }

  /** The unit in whose cell a spot lies, and those beyond whose borders it lies by no more than a hand shakes. */
  private near(s: Spot): Near[] {
    const around = this.around(s).map((place) => ({ place, ...this.offset(place, s) }));
    const here = around.reduce((a, b) => (b.squared < a.squared ? b : a));
    return around.flatMap((c) => {
      if (c === here) return [{ place: c.place, beyond: 0 }];
      // How far the spot lies beyond the line midway between both.
      const beyond = (c.squared - here.squared) / (2 * Math.hypot(c.x - here.x, c.y - here.y));
      return beyond <= this.shake ? [{ place: c.place, beyond: Math.max(beyond, Number.EPSILON) }] : [];
    });
  }

  private around(s: Spot): Place[] {
    const { rings } = this.m;
    const out = new Set<Place>();
    const middle = Math.round(s.high) - 1;
    for (let r = Math.max(0, middle - 1); r <= Math.min(rings.length - 1, middle + 1); r++) {
      const { n } = rings[r];
      const u = rings[r].nearest(s.turn);
      for (const by of [0, 1, n - 1]) out.add(placeOf(r, (u + by) % n));
    }
    return [...out];
  }

  /**
   * From a unit's middle to a spot. Where a unit is wider than those of the widest ring, or stands at an opening,
   * its middle is drawn out to a level line, so that its cell goes as far along the ring as it reaches.
   */
  private offset(p: Place, s: Spot): { x: number; y: number; squared: number } {
    const ring = this.m.rings[ringOf(p)];
    const u = unitOf(p);
    const across = half(s.turn - ring.middle(u)) * this.m.widest;
    const out = Math.max(0, reachOf(ring, u, across > 0) * this.m.widest - 0.5);
    const x = Math.sign(across) * Math.max(0, Math.abs(across) - out);
    const y = (s.high - ringOf(p) - 1) * RISE;
    return { x, y, squared: x * x + y * y };
  }

  /** Shows the units of a way; what it shares with the one shown before stays as it is. */
  private show(way: Way | null): void {
    if (!way) return;
    const fresh: Place[] = [];
    let meet: Way | null = way;
    for (; meet && !meet.shown; meet = meet.from) {
      meet.shown = true;
      fresh.push(meet.place);
    }
    for (const p of fresh) this.count(p, 1);
    for (let old = this.shown; old && old !== meet; old = old.from) {
      old.shown = false;
      this.count(old.place, -1);
    }
    this.shown = way;
  }

  private count(p: Place, by: number): void {
    const now = (this.times.get(p) ?? 0) + by;
    this.times.set(p, now);
    if (now === 0) this.change(p, false);
    else if (now === by) this.change(p, true);
  }
}

function onEachLine(place: Place, seen: boolean, cost: number, from: Way | null): Way[] {
  return LINES.map((line) => ({ place, line, seen, cost, from, shown: false }));
}

function byPlace(ways: Way[]): Map<Place, Way[]> {
  const out = new Map<Place, Way[]>();
  for (const w of ways) {
    const there = out.get(w.place);
    if (there) there.push(w);
    else out.set(w.place, [w]);
  }
  return out;
}

function cheapestSeen(ways: Way[]): Way | null {
  let best: Way | null = null;
  for (const w of ways) if (w.seen && (!best || w.cost < best.cost)) best = w;
  return best;
}

/** How far a unit reaches from its middle along the ring, half an opening beside it included; in turns. */
function reachOf(ring: Ring, u: number, right: boolean): number {
  const { n } = ring;
  const [a, b] = right ? [u, (u + 1) % n] : [(u + n - 1) % n, u];
  // Edges travel rounded: the least overlap must not be taken for an opening all around.
  const opening = Math.max(0, wrap(ring.left(b) - ring.left(a) - ring.width(a) + ROUNDED) - ROUNDED);
  return (ring.width(u) + opening) / 2;
}
