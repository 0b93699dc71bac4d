// Where an extra comes to lie when it is pushed by half a unit or to the next ring.

import type { Extra } from "../../wire/types";
import type { Model } from "../model/model";
import { atOf, turnOf } from "../model/seats";

/** The place half a unit to the side (dx −1, 1) or a ring higher or lower (dy 1, −1); it stays on the figure. */
export function nudged(m: Model, x: Extra, dx: number, dy: number): { ring: number; at: number } {
  const r = m.ringIndex(x.ring);
  const ring = m.rings[r];
  if (!ring) return { ring: x.ring, at: x.at };
  if (dy) {
    const to = m.rings[r + dy];
    return to ? { ring: to.id, at: atOf(to, turnOf(ring, x.at)) } : { ring: x.ring, at: x.at };
  }
  const at = x.at + dx / 2;
  return { ring: x.ring, at: at < 0 ? at + ring.n : at >= ring.n ? at - ring.n : at };
}
