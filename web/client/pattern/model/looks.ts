// How extras look, as the server gives it (shape.Looks): glued pieces in their true size and outline, one on the
// other, tucked units standing off the wall. The grid draws them flat, the sides bend them around the figure.
import { mix } from "../../base/ink";
import { FLAT_NUMBERS, FLAT_PIECE, LEFT_LEAF, type Look, RIGHT_LEAF, SOLID_NUMBERS } from "../../wire/types";

/** Card of a glued piece that has none of the figure's papers, as in the server's drawings. */
export const CARD = "#f3e3a1";

/** A flat piece of paper: its leaf (−1 left, 1 right, 0 a glued piece), then its corners in pitches. */
export type Facet = readonly number[];

/** Corners of a facet on the grid, in pitches to the right and up from the middle of its unit's face. */
export function flatCorners(look: Look): { leaf: number; at: [x: number, y: number][] }[] {
  const step = look.flat ? FLAT_NUMBERS : SOLID_NUMBERS;
  return (look.flat ?? look.solid).map((facet) => ({ leaf: facet[0], at: corners(facet, step).map(([x, y]) => [x, y]) }));
}

export function corners(facet: Facet, step: number): number[][] {
  return Array.from({ length: (facet.length - 1) / step }, (_, i) => facet.slice(1 + i * step, 1 + (i + 1) * step));
}

/** Whether an extra is glued on: a piece is one facet, a tucked unit two. */
export function isPiece(look: Look): boolean {
  return look.solid[0]?.[0] === FLAT_PIECE;
}

/** Light falls from the upper left: the left leaf is lighter than the paper, the right one darker. */
export function leafFill(hex: string, leaf: number): string {
  return leaf === LEFT_LEAF ? mix(hex, "#ffffff", 0.17) : leaf === RIGHT_LEAF ? mix(hex, "#1d1830", 0.15) : hex;
}

/** Width of the band of its own paper that lines a tucked unit, in pixels, by the width of a unit or of a ring. */
export function bandOf(size: number): number {
  return Math.max(1, Math.min(4, size * 0.12));
}

/** Whether a place lies inside a polygon: a ray to the right crosses its edge an odd number of times. */
export function within(polygon: readonly (readonly number[])[], x: number, y: number): boolean {
  let odd = false;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const [xi, yi] = polygon[i];
    const [xj, yj] = polygon[j];
    if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) odd = !odd;
  }
  return odd;
}
