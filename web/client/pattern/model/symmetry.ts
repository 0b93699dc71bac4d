// Mirror and repeat, on rings that are staggered by half a unit: one ring has a unit on the front
// line, the next a gap, so that mirrored motifs are odd and even units wide by turns.
import { type Model, type Place, placeOf, ringOf, unitOf } from "./model";
import { half, type Ring } from "./ring";

export interface Symmetry {
  /** Mirrored left to right about the front line. */
  mirror: boolean;
  /** Mirrored from the front to the back as well. */
  back: boolean;
  /** Repeated so many times around, 1 for once. */
  repeat: number;
}

export const PLAIN: Symmetry = { mirror: false, back: false, repeat: 1 };

/** One of the moves of a symmetry: turn t goes to sign × (t − front) + front + by. */
interface Move {
  sign: 1 | -1;
  by: number;
}

/** All moves of the symmetry, staying put first: mirror, back and repeat combine freely. */
export function moves(s: Symmetry): Move[] {
  let out: Move[] = [{ sign: 1, by: 0 }];
  if (s.mirror) out = out.concat(out.map((m) => ({ sign: -m.sign as 1 | -1, by: m.by })));
  // Front to back is a mirror about the line of the sides: t − front goes to ½ − (t − front).
  if (s.back) out = out.concat(out.map((m) => ({ sign: -m.sign as 1 | -1, by: 0.5 - m.by })));
  const around: Move[] = [];
  for (let k = 0; k < s.repeat; k++) for (const m of out) around.push({ sign: m.sign, by: m.by + k / s.repeat });
  return around;
}

/** The unit of a ring where a move brings unit u: the one nearest to the moved middle. */
function moved(ring: Ring, u: number, m: Move, front: number): number {
  // A hair to one side decides ties the same way for every unit, so that steps stay even.
  return ring.nearest(m.sign * (ring.middle(u) - front) + front + m.by + 1e-7);
}

/** Where the symmetry puts a unit: itself first, then its images, each once. */
export function images(m: Model, p: Place, s: Symmetry, list = moves(s)): Place[] {
  const r = ringOf(p);
  if (m.rings[r].open && (s.back || s.repeat > 1)) list = moves({ ...s, back: false, repeat: 1 }); // a line has no back
  if (list.length === 1) return [p];
  const u = unitOf(p);
  const out: Place[] = [p];
  for (let i = 1; i < list.length; i++) {
    const q = placeOf(r, moved(m.rings[r], u, list[i], m.frontTurn));
    if (!out.includes(q)) out.push(q);
  }
  return out;
}

/** Every place with its images, each once. */
export function imagesOf(m: Model, places: Iterable<Place>, s: Symmetry): Place[] {
  const list = moves(s);
  if (list.length === 1) return [...places];
  const out = new Set<Place>();
  for (const p of places) for (const q of images(m, p, s, list)) out.add(q);
  return [...out];
}

/**
 * Whether the symmetry fits a ring: every move brings each unit onto a unit, not between two. A
 * repeat does not fit where k does not divide the ring's count.
 */
export function fits(ring: Ring, s: Symmetry, front: number): boolean {
  const list = moves(s);
  const units = ring.even ? 1 : ring.n;
  for (const move of list) {
    for (let u = 0; u < units; u++) {
      const to = move.sign * (ring.middle(u) - front) + front + move.by;
      const v = ring.nearest(to + 1e-7);
      if (Math.abs(half(to - ring.middle(v))) > 0.2 * ring.width(v)) return false;
    }
  }
  return true;
}

/** Rings that the symmetry does not fit, by index from the bottom. */
export function misfits(m: Model, s: Symmetry): number[] {
  if (!s.mirror && !s.back && s.repeat < 2) return [];
  const out: number[] = [];
  m.rings.forEach((ring, r) => {
    if (!fits(ring, s, m.frontTurn)) out.push(r);
  });
  return out;
}

/** Where the repeats of a figure meet, in turns: the middle between two neighbouring motifs. */
export function seams(s: Symmetry, front: number): number[] {
  if (s.repeat < 2) return [];
  return Array.from({ length: s.repeat }, (_, k) => front + (k + 0.5) / s.repeat);
}
