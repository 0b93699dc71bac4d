// Edits that shape a ring by hand, for a unit and its images under the symmetry that is on. The server
// completes each of them, so that every point is taken or left free, or refuses it with the reason.

import type { Edit } from "../../wire/types";
import { type Model, type Place, ringOf, unitOf } from "../model/model";
import { images, moves, type Symmetry } from "../model/symmetry";

/** One edit of several; one alone goes as it is. */
export function together(edits: Edit[]): Edit {
  return edits.length === 1 ? edits[0] : { do: "batch", edits };
}

/** A unit and its images on rings that take points. */
function imagesOf(m: Model, p: Place, s: Symmetry): Place[] {
  const all = images(m, p, s, moves(s));
  return [p, ...all.filter((q) => q !== p)].filter((q) => !m.footing(ringOf(q)).onTable);
}

/** Lets a unit take another number of points. */
export function takeEdit(m: Model, p: Place, takes: number, s: Symmetry): Edit {
  return together(imagesOf(m, p, s).map((q) => ({ do: "take", ring: m.rings[ringOf(q)].id, unit: unitOf(q), takes })));
}

/** Points left free on one side of a unit; those at the seam lie partly after the last unit. */
export function freeBeside(m: Model, p: Place, side: "left" | "right"): number {
  const ring = m.rings[ringOf(p)];
  const u = gapOf(p, side);
  return u === 0 || u === ring.n ? ring.freeBefore(0) + ring.freeBefore(ring.n) : ring.freeBefore(u);
}

/** The opening on one side of a unit: the unit it lies before. */
function gapOf(p: Place, side: "left" | "right"): number {
  return unitOf(p) + (side === "left" ? 0 : 1);
}

/** Leaves a number of points free on one side of a unit. */
export function freeEdit(m: Model, p: Place, side: "left" | "right", points: number): Edit {
  const ring = m.rings[ringOf(p)];
  const u = gapOf(p, side);
  const at = (unit: number, n: number): Edit => ({ do: "leave_free", ring: ring.id, unit, points: n });
  if (u !== 0 && u !== ring.n) return at(u, points);
  const other = ring.freeBefore(u === 0 ? ring.n : 0);
  if (points >= other) return at(u, points - other);
  return together([at(u, 0), at(u === 0 ? ring.n : 0, points)]);
}

/** Fills the opening on one side of a unit with units. */
export function fillEdit(m: Model, p: Place, side: "left" | "right"): Edit {
  const ring = m.rings[ringOf(p)];
  const u = gapOf(p, side);
  const there = (u === 0 || u === ring.n ? [0, ring.n] : [u]).filter((unit) => ring.freeBefore(unit) > 0);
  // From the highest on, since filling moves the numbers of the units behind it.
  return together(there.sort((a, b) => b - a).map((unit) => ({ do: "fill_in", ring: ring.id, unit })));
}

/** Takes units out of their rings; what they stood on stays free. */
export function leaveOutEdit(m: Model, p: Place, s: Symmetry): Edit {
  const byRing = new Map<number, number[]>();
  for (const q of imagesOf(m, p, s)) byRing.set(ringOf(q), [...(byRing.get(ringOf(q)) ?? []), unitOf(q)]);
  const edits: Edit[] = [];
  for (const [r, units] of byRing) {
    for (const at of [...new Set(units)].sort((a, b) => b - a)) edits.push({ do: "leave_out", ring: m.rings[r].id, at, n: 1 });
  }
  return together(edits);
}

/** Turns the side of a unit and its images, or of its whole ring, outwards. */
export function sideEdit(m: Model, places: Place[], side: "long" | "short"): Edit {
  return { do: "paint", runs: m.runsOf([...places], () => 255 | ((side === "short" ? 1 : 0) << 8)) };
}
