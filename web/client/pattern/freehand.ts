// Which units a free stroke means. A hand shakes, and between two units of a ring the tips of the rings above
// and below reach to the ring's middle: what lies under one spot says little. So a stroke is read as lines of
// the lattice, along a ring, leaning right or left, or upright, right and left by turns. Of all ways from unit
// to neighbouring unit it takes the one whose lines pass nearest to where the hand was, and going over to
// another line has a price: a stroke stays on its line while the hand shakes, and leaves it when the hand does.
// That way is found as the cheapest one through a trellis (Viterbi, IEEE Trans. Inf. Theory 13, 1967); the last
// few units can still change while the hand goes on.
import { type Spot, unitUnder } from "./lattice";
import { type Model, type Place, placeOf, ringOf, unitOf } from "./model";
import { half } from "./ring";
import { RISE } from "./view";

/** The lines of the lattice through a unit; on an upright one it stands to the left or to the right. */
const RING = 0;
const RISING = 1;
const FALLING = 2;
const LEFT = 3;
const RIGHT = 4;
const LINES = [RING, RISING, FALLING, LEFT, RIGHT];

// All lengths here are in widths of a unit of the widest ring. The figures were found by strokes with noise
// (test/freehand.test.ts): quieter ones let a hand that shakes by 4 px leave its ring, louder ones flatten circles.

/** How far a hand strays from the line it means, in pixels, and its bounds in units. */
const STRAY_PX = 4.2;
const STRAY_LEAST = 0.15;
const STRAY_MOST = 0.21;
/** Price of another line, in squared strays halved; what costs so much more than the cheapest is given up. */
const PRICE = 8;
const HOPELESS = 1.5 * PRICE;
/** The hand's way is looked at in steps of this length; those of one straight piece count for so many, or a share. */
const STEP = 0.25;
const PIECE = 3;
const PIECE_SHARE = 0.4;

/** One unit on one line, and the cheapest way there. */
interface Way {
  readonly place: Place;
  readonly line: number;
  cost: number;
  from: Way | null;
  /** Whether it belongs to the way that is shown. */
  shown: boolean;
}

export class Freehand {
  private ways: Way[] = [];
  private shown: Way | null = null;
  private last: Spot;
  private readonly times = new Map<Place, number>();
  private readonly blur: number;

  /**
   * A stroke that begins at a spot, with units so many pixels wide. It calls change for each unit that comes
   * to it, and for each that leaves it again because the hand went another way.
   */
  constructor(
    private readonly m: Model,
    start: Spot,
    unitPx: number,
    private readonly change: (p: Place, on: boolean) => void,
  ) {
    const stray = Math.min(STRAY_MOST, Math.max(STRAY_LEAST, STRAY_PX / unitPx));
    this.blur = 2 * stray * stray;
    this.last = start;
    this.begin(start);
  }

  /** The hand has moved straight to a spot. */
  to(s: Spot): void {
    const { m, last } = this;
    const turns = s.turn - last.turn;
    const rings = s.high - last.high;
    const far = Math.hypot(turns * m.widest, rings * RISE) / STEP;
    const steps = Math.floor(far);
    const weight = Math.min(1, Math.max(PIECE_SHARE, PIECE / steps));
    for (let i = 1; i <= steps; i++) {
      this.last = { turn: last.turn + (turns * i) / far, high: last.high + (rings * i) / far };
      this.step(this.last, weight);
    }
    // The rest of the way is shown, and forgotten when the hand goes on: so small trembling comes to nothing.
    if (this.ways.length && (steps || this.shown?.from) && unitUnder(m, s) >= 0) this.show(cheapestOf(this.reached(s, 1)));
  }

  /** What is pressed is painted; once the hand goes on, the stroke may prove to have begun beside it. */
  private begin(s: Spot): void {
    const { m } = this;
    const at = unitUnder(m, s);
    if (at < 0) return;
    this.ways = [];
    for (const place of [at, ...m.neighbours(at)]) {
      const beside = place === at ? 0 : 0.5 + (4 * this.outside(place, s) ** 2) / this.blur;
      for (const line of LINES) this.ways.push({ place, line, cost: beside + this.strays(place, line, s), from: null, shown: false });
    }
    this.show(this.ways[0]);
  }

  private step(s: Spot, weight: number): void {
    if (unitUnder(this.m, s) < 0) return this.leave();
    if (!this.ways.length) return this.begin(s);
    const next = this.reached(s, weight);
    const most = cheapestOf(next)!.cost + HOPELESS;
    this.ways = next.filter((w) => w.cost <= most);
  }

  /** Beyond the figure a stroke ends; where the hand comes back another one begins. */
  private leave(): void {
    this.show(cheapestOf(this.ways));
    this.ways = [];
    this.shown = null;
  }

  /** The ways one step on: staying, going on along the line, or over to any line of the unit or one beside it. */
  private reached(s: Spot, weight: number): Way[] {
    const next = new Map<number, Way>();
    const most = cheapestOf(this.ways)!.cost + HOPELESS;
    const reach = (place: Place, line: number, cost: number, from: Way) => {
      if (cost > most) return;
      const key = place * LINES.length + line;
      const known = next.get(key);
      if (!known) next.set(key, { place, line, cost, from, shown: false });
      else if (cost < known.cost) Object.assign(known, { cost, from });
    };
    for (const [place, ways] of byPlace(this.ways)) {
      const best = cheapestOf(ways)!;
      const beside = this.beside(place);
      for (const w of ways) {
        reach(place, w.line, w.cost, w);
        for (const q of beside) {
          const line = this.goesOn(place, w.line, q);
          if (line >= 0) reach(q, line, w.cost, w);
        }
      }
      if (best.cost + PRICE > most) continue;
      for (const q of [place, ...beside]) for (const line of LINES) reach(q, line, best.cost + PRICE, best);
    }
    for (const w of next.values()) w.cost += weight * this.strays(w.place, w.line, s);
    return [...next.values()];
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
    const right = this.across(q, this.m.rings[ringOf(p)].middle(unitOf(p))) * -1;
    const above = Math.abs(right) < 0.05;
    if (line === RISING) return above || right * up > 0 ? RISING : -1;
    if (line === FALLING) return above || right * up < 0 ? FALLING : -1;
    if (above) return line;
    return right > 0 === (line === LEFT) ? LEFT + RIGHT - line : -1;
  }

  /** How far to the right of a unit's middle a turn lies. */
  private across(p: Place, turn: number): number {
    return half(turn - this.m.rings[ringOf(p)].middle(unitOf(p))) * this.m.widest;
  }

  private halfWidth(p: Place): number {
    return (this.m.rings[ringOf(p)].width(unitOf(p)) * this.m.widest) / 2;
  }

  /** How far a spot lies outside a unit's leaning square. */
  private outside(p: Place, s: Spot): number {
    const wide = this.halfWidth(p);
    const share = Math.abs(this.across(p, s.turn)) / wide + Math.abs(s.high - ringOf(p) - 1) - 1;
    return Math.max(0, share) * ((wide * RISE) / Math.hypot(wide, RISE));
  }

  /** What it costs that the hand was at a spot while a line at a unit was meant: distance squared, in strays. */
  private strays(p: Place, line: number, s: Spot): number {
    const wide = this.halfWidth(p);
    const x = this.across(p, s.turn);
    const y = (s.high - ringOf(p) - 1) * RISE;
    if (line === RING) return this.price(y, Math.abs(x) - wide);
    // An upright line is as wide as it goes to and fro.
    if (line === LEFT) return this.price(Math.max(-x, x - wide, 0), Math.abs(y) - RISE / 2);
    if (line === RIGHT) return this.price(Math.max(x, -x - wide, 0), Math.abs(y) - RISE / 2);
    const long = Math.hypot(wide, RISE);
    const lean = line === RISING ? wide : -wide;
    return this.price((x * RISE - y * lean) / long, Math.abs(x * lean + y * RISE) / long - long / 2);
  }

  private price(off: number, beyond: number): number {
    return (off * off + Math.max(0, beyond) ** 2) / this.blur;
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

function cheapestOf(ways: Way[]): Way | null {
  let best: Way | null = null;
  for (const w of ways) if (!best || w.cost < best.cost) best = w;
  return best;
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
