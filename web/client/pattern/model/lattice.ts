// Where the hand is on the unrolled grid, and the shapes it can draw there. A spot is a place in the
// plane of the grid: turns around the figure, and ring heights (ring r's unit is widest at r + 1).
import { type Model, type Place, placeOf, ringOf, unitOf } from "./model";
import { COLOUR, half } from "./ring";

export interface Spot {
  turn: number;
  high: number;
}

/** Middle of a unit as a spot. */
export function spotOf(m: Model, p: Place): Spot {
  return { turn: m.rings[ringOf(p)].middle(unitOf(p)), high: ringOf(p) + 1 };
}

/**
 * The unit under a spot, −1 where there is none. Units are leaning squares that interlock, so the
 * nearest in the sum of both distances, each in half tiles, is the one that covers the spot.
 */
export function unitUnder(m: Model, s: Spot, reach = 1.3): Place {
  const low = Math.floor(s.high) - 1;
  let best = -1;
  let least = reach;
  for (let r = low; r <= low + 1; r++) {
    const ring = m.rings[r];
    if (!ring) continue;
    const u = ring.nearest(s.turn);
    const across = Math.abs(half(s.turn - ring.middle(u))) / (ring.width(u) / 2);
    const d = across + Math.abs(s.high - (r + 1));
    if (d < least) {
      least = d;
      best = placeOf(r, u);
    }
  }
  return best;
}

/** Whether two units are the same or true neighbours. */
export function linked(m: Model, a: Place, b: Place): boolean {
  return a === b || m.neighbours(a).includes(b);
}

/** Straight run along the ring of a, the way the hand went: turns travelled, signed. */
export function run(m: Model, a: Place, travelled: number): Place[] {
  const r = ringOf(a);
  const ring = m.rings[r];
  const steps = Math.min(ring.n - 1, Math.round(Math.abs(travelled) * ring.around));
  const way = travelled < 0 ? -1 : 1;
  const out: Place[] = [a];
  let u = unitOf(a);
  for (let i = 0; i < steps; i++) {
    if (ring.open && (u + way < 0 || u + way >= ring.n)) break;
    u = (u + way + ring.n) % ring.n;
    out.push(placeOf(r, u));
  }
  return out;
}

/**
 * A column from a to the ring of the hand: leaning right, leaning left or upright, whichever comes
 * nearest to the turns the hand travelled. An upright column goes right and left by turns.
 */
export function lean(m: Model, a: Place, toRing: number, travelled: number): Place[] {
  const rings = Math.abs(toRing - ringOf(a));
  const halves = travelled * 2 * m.rings[ringOf(a)].around;
  const way = Math.abs(halves) < rings / 2 ? 0 : halves < 0 ? -1 : 1;
  return column(m, a, toRing, way);
}

/** A column that leans one way (−1 left, 1 right) or stays upright (0) from ring to ring. */
export function column(m: Model, a: Place, toRing: number, way: number): Place[] {
  const end = Math.max(0, Math.min(m.rings.length - 1, toRing));
  const up = end >= ringOf(a) ? 1 : -1;
  const upright = m.rings[ringOf(a)].middle(unitOf(a));
  const out: Place[] = [a];
  let p = a;
  while (ringOf(p) !== end) {
    const r = up > 0 ? m.upon(ringOf(p)) : m.footing(ringOf(p)).ring;
    const from = m.rings[ringOf(p)];
    const aim = way === 0 ? upright + 1e-6 : from.middle(unitOf(p)) + (way * from.width(unitOf(p))) / 2;
    p = placeOf(r, m.rings[r].nearest(aim));
    out.push(p);
  }
  return out;
}

/**
 * The area between two units, the way the hand went. On each ring it holds the units whose middle
 * lies between the two ends, so that a block is k wide on one ring and k − 1 on the next; a block
 * one wide is an upright column.
 */
export function patch(m: Model, a: Place, b: Place, travelled: number): Place[] {
  const out: Place[] = [];
  eachSpan(m, a, b, travelled, (r, units) => {
    for (const u of units) out.push(placeOf(r, u));
  });
  return out;
}

/** The outline of the same area. */
export function frame(m: Model, a: Place, b: Place, travelled: number): Place[] {
  const low = Math.min(ringOf(a), ringOf(b));
  const high = Math.max(ringOf(a), ringOf(b));
  const out: Place[] = [];
  eachSpan(m, a, b, travelled, (r, units) => {
    const ends = r === low || r === high ? units : [units[0], units[units.length - 1]];
    for (const u of new Set(ends)) out.push(placeOf(r, u));
  });
  return out;
}

function eachSpan(m: Model, a: Place, b: Place, travelled: number, visit: (ring: number, units: number[]) => void): void {
  const ta = m.rings[ringOf(a)].middle(unitOf(a));
  const tb = m.rings[ringOf(b)].middle(unitOf(b));
  const span = spanOf(half(tb - ta), travelled);
  const left = span < 0 ? ta + span : ta;
  const low = Math.min(ringOf(a), ringOf(b));
  const high = Math.max(ringOf(a), ringOf(b));
  for (let r = low; r <= high; r++) visit(r, unitsBetween(m, r, left, left + Math.abs(span)));
}

/** Signed turns between two units: the short way, or the long way round when the hand went there. */
function spanOf(short: number, travelled: number): number {
  const way = Math.sign(travelled);
  if (Math.abs(travelled) >= 1) return way;
  if (Math.abs(travelled) <= 0.5 || Math.sign(short) === way) return short;
  return short + way;
}

/** Units of a ring whose middle lies between two turns, a quarter of a unit more on each side. */
export function unitsBetween(m: Model, r: number, left: number, right: number): number[] {
  const ring = m.rings[r];
  if (right - left >= 1) return Array.from({ length: ring.n }, (_, u) => u);
  const out: number[] = [];
  let u = ring.nearest(left - 0.25 / ring.around);
  for (let i = 0; i < ring.n; i++, u = u + 1 < ring.n ? u + 1 : 0) {
    const slack = ring.width(u) / 4;
    const from = left + half(ring.middle(u) - left);
    const inside = (t: number) => t >= left - slack && t <= right + slack;
    if (inside(from) || inside(from + 1)) out.push(u);
    else if (out.length || i > 1) break;
  }
  return out.length ? out : [ring.nearest((left + right) / 2 + 1e-6)];
}

/** All units of a ring. */
export function wholeRing(m: Model, r: number): Place[] {
  return Array.from({ length: m.rings[r].n }, (_, u) => placeOf(r, u));
}

/** Units of one colour that hang together with the given one, in its ring only or through points. */
export function flood(m: Model, from: Place, within: "ring" | "touching"): Place[] {
  const colour = m.cell(from) & COLOUR;
  const seen = new Set<Place>([from]);
  const todo = [from];
  while (todo.length) {
    const p = todo.pop()!;
    for (const n of m.neighbours(p)) {
      if (seen.has(n) || (m.cell(n) & COLOUR) !== colour) continue;
      if (within === "ring" && ringOf(n) !== ringOf(from)) continue;
      seen.add(n);
      todo.push(n);
    }
  }
  return [...seen];
}

/** Every unit of the colour, of the whole figure or of the given places. */
export function ofColour(m: Model, colour: number, among?: Iterable<Place>): Place[] {
  const out: Place[] = [];
  if (among) {
    for (const p of among) if ((m.cell(p) & COLOUR) === colour) out.push(p);
    return out;
  }
  m.rings.forEach((ring, r) => {
    for (let u = 0; u < ring.n; u++) if ((ring.shown[u] & COLOUR) === colour) out.push(placeOf(r, u));
  });
  return out;
}

/** The unit one step of the lattice away: −1/1 along the ring, up or down near the given turn. */
export function step(m: Model, p: Place, dx: number, dy: number, aim: number): Place {
  const r = ringOf(p);
  const ring = m.rings[r];
  if (dy === 0) {
    const u = unitOf(p) + dx;
    return placeOf(r, ring.open ? Math.max(0, Math.min(ring.n - 1, u)) : (u + ring.n) % ring.n);
  }
  const to = dy > 0 ? m.upon(r) : m.footing(r).ring;
  if (to < 0) return p;
  const choices = dy > 0 ? m.above(r, unitOf(p)) : m.below(r, unitOf(p));
  const next = m.rings[to];
  if (!choices.length) return placeOf(to, next.nearest(aim));
  const off = (u: number) => Math.abs(half(next.middle(u) - aim - 1e-6));
  return placeOf(
    to,
    choices.reduce((best, u) => (off(u) < off(best) ? u : best)),
  );
}
