// How a picture lies over the grid: places of the unrolled wall in widths of a unit, the picture's own places, and the
// hand that moves, sizes and turns it. Nothing here knows the page.
import type { Lay } from "../../wire/types";

/** A place: to the right and up on the wall; to the right and down in the picture and on the screen. */
export interface At {
  x: number;
  y: number;
}

/** The wall that a picture lies on, in widths of a unit. */
export interface Wall {
  /** A whole turn; pictures that are repeated stand evenly along it. */
  around: number;
  /** How much is added by a row. */
  rise: number;
  open: boolean;
}

/** Keeps x, y ↦ a x + c y + e, b x + d y + f, as a canvas takes it. */
export type Affine = readonly [a: number, b: number, c: number, d: number, e: number, f: number];

/** From the picture's own places, 0 … 1 from its upper left corner, to the wall. */
export function toWall(l: Lay): Affine {
  const turn = ((l.turn ?? 0) * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const across = l.mirror ? -l.width : l.width;
  // Its right is (cos, −sin) of the wall and its down (−sin, −cos).
  const [a, b, c, d] = [across * cos, -across * sin, -l.height * sin, -l.height * cos];
  return [a, b, c, d, l.x - (a + c) / 2, l.y - (b + d) / 2];
}

export function apply([a, b, c, d, e, f]: Affine, { x, y }: At): At {
  return { x: a * x + c * y + e, y: b * x + d * y + f };
}

/** First m, then n. */
export function then(m: Affine, n: Affine): Affine {
  const [a, b, c, d, e, f] = m;
  const [A, B, C, D, E, F] = n;
  return [A * a + C * b, B * a + D * b, A * c + C * d, B * c + D * d, A * e + C * f + E, B * e + D * f + F];
}

/** Places where the picture is repeated, as far as they are from the first, from left to right; they reach from −half to half around. */
export function copies(l: Lay, wall: Wall): number[] {
  const times = Math.max(1, l.times ?? 1);
  if (wall.open && times === 1) return [0];
  const apart = wall.around / times;
  const out: number[] = [];
  const reach = wall.around / 2 + Math.hypot(l.width, l.height) / 2;
  for (let k = Math.ceil((-reach - l.x) / apart); k <= Math.floor((reach - l.x) / apart); k++) out.push(k * apart);
  return out;
}

/** What of the picture the hand holds. */
export type Grip = "move" | "size" | "turn";

/** How the picture lies when the hand that went down at one place of the wall has come to another. */
export function dragged(l: Lay, grip: Grip, from: At, to: At, widthIsGiven: boolean): Lay {
  if (grip === "move") return { ...l, x: l.x + to.x - from.x, y: l.y + to.y - from.y };
  const [was, is] = [from, to].map((p) => ({ x: p.x - l.x, y: p.y - l.y }));
  if (grip === "turn") {
    const by = ((Math.atan2(is.x, is.y) - Math.atan2(was.x, was.y)) * 180) / Math.PI;
    const turn = (l.turn ?? 0) + by;
    return { ...l, turn: tidy(turn - 360 * Math.round(turn / 360)) };
  }
  const by = Math.max(0.02, Math.hypot(is.x, is.y) / Math.max(1e-6, Math.hypot(was.x, was.y)));
  return { ...l, width: widthIsGiven ? l.width : l.width * by, height: l.height * by };
}

/** An angle that is nearly upright is upright. */
const NEARLY = 2;
const tidy = (turn: number) => (Math.abs(turn - 90 * Math.round(turn / 90)) < NEARLY ? 90 * Math.round(turn / 90) : turn);
