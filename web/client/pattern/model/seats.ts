// Places of extras: a ring and a unit of it, or the gap after a unit.
import { half, type Ring } from "./ring";

/** Turn of a place in a ring: 0 is the middle of unit 0, a half is the gap after it. */
export function turnOf(ring: Ring, at: number): number {
  const u = Math.floor(at) % ring.n;
  return at - Math.floor(at) ? ring.left(u) + ring.width(u) : ring.middle(u);
}

/** Place in a ring nearest to a turn, in half units. */
export function atOf(ring: Ring, turn: number): number {
  const u = ring.nearest(turn);
  const off = half(turn - ring.middle(u)) / ring.width(u);
  const at = off > 0.25 ? u + 0.5 : off < -0.25 ? u - 0.5 : u;
  return at < 0 ? at + ring.n : at;
}
