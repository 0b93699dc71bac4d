// The sheet of a unit while it is folded: where every piece of it lies at any moment between two steps, and how that is seen.
// Lengths are mm; x runs to the right, y up along the table, z up from it.
import type { Folding, FoldingFacet } from "../wire/types";

/** A piece of paper as it is seen: its corners on the screen, y up, and which side shows. */
export interface Seen {
  points: [number, number][];
  plain: boolean;
  /** Of each side, from its corner to the next: it is an edge of the paper as it lies, not a fold that is still to come. */
  edges: boolean[];
}

/** How far the reader looks down from upright, in radians. */
const TILT = 0.5;

/** How much what is lifted is seen from the side. */
const ASIDE = 0.12;

/** Two corners nearer than this are one, mm. */
const NEAR = 1e-3;

type Place = [number, number, number];

/** The pieces as they are seen when so many steps are folded, the lowest first; 2.5 is half way through the third step. */
export function seen(folding: Folding, steps: number): Seen[] {
  const all = folding.steps.length;
  const t = Math.max(0, Math.min(all, steps));
  const k = Math.min(Math.floor(t), all - 1);
  const s = t - k;
  const turnedBefore = k > 0 && !!folding.steps[k - 1].turned;
  const turnedAfter = !!folding.steps[k].turned;
  const turn = Math.PI * ((turnedBefore ? 1 - s : 0) + (turnedAfter ? s : 0));
  const below = Math.cos(turn) < 0;
  const resting: { layer: number; piece: Seen }[] = [];
  const moving: { layer: number; piece: Seen }[] = [];
  for (const facet of folding.facets) {
    const { at, moves } = lifted(facet, k, s, turnedBefore ? -1 : 1);
    const points = at.map((p) => onScreen(p, turn));
    const piece = { points, plain: area(points) > 0, edges: facet.edges.map((step) => step <= k || (step === k + 1 && s > 0)) };
    const plainBefore = facet.plain[k] !== turnedBefore;
    const layer = moves && piece.plain !== plainBefore ? facet.layers[k + 1] : facet.layers[k];
    (moves ? moving : resting).push({ layer: below ? -layer : layer, piece });
  }
  const order = (a: { layer: number }, b: { layer: number }) => a.layer - b.layer;
  return [...resting.sort(order), ...moving.sort(order)].map(({ piece }) => piece);
}

/** Where a facet's corners are in the middle of a step: it turns about the fold, to the reader's side. */
function lifted(facet: FoldingFacet, k: number, s: number, side: number): { at: Place[]; moves: boolean } {
  const from = pairs(facet.at[k]);
  const to = pairs(facet.at[k + 1]);
  let far = 0;
  from.forEach((p, i) => {
    if (distance(p, to[i]) > distance(from[far], to[far])) far = i;
  });
  const way = distance(from[far], to[far]);
  if (way < NEAR) return { at: from.map(([x, y]) => [x, y, 0]), moves: false };
  const mx = (from[far][0] + to[far][0]) / 2;
  const my = (from[far][1] + to[far][1]) / 2;
  const dx = (to[far][0] - from[far][0]) / way;
  const dy = (to[far][1] - from[far][1]) / way;
  const turn = Math.PI * s;
  const at = from.map(([x, y]): Place => {
    const off = (x - mx) * dx + (y - my) * dy; // from the fold, along the way
    const along = off * Math.cos(turn) - off;
    return [x + along * dx, y + along * dy, side * Math.abs(off) * Math.sin(turn)];
  });
  return { at, moves: true };
}

function onScreen([x, y, z]: Place, turn: number): [number, number] {
  const across = x * Math.cos(turn) + z * Math.sin(turn);
  const near = z * Math.cos(turn) - x * Math.sin(turn);
  return [across + ASIDE * near, y * Math.cos(TILT) + near * Math.sin(TILT)];
}

/** The box that holds the paper in all its places. */
export function room(folding: Folding): { left: number; right: number; low: number; high: number } {
  const box = { left: 0, right: 0, low: 0, high: 0 };
  for (let t = 0; t <= folding.steps.length; t += 0.25)
    for (const { points } of seen(folding, t))
      for (const [x, y] of points) {
        box.left = Math.min(box.left, x);
        box.right = Math.max(box.right, x);
        box.low = Math.min(box.low, y);
        box.high = Math.max(box.high, y);
      }
  return box;
}

function pairs(list: readonly number[]): [number, number][] {
  const out: [number, number][] = [];
  for (let i = 0; i + 1 < list.length; i += 2) out.push([list[i], list[i + 1]]);
  return out;
}

const distance = (a: [number, number], b: [number, number]) => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** Area of a polygon, positive when its corners run counterclockwise. */
export function area(points: [number, number][]): number {
  let sum = 0;
  points.forEach(([x, y], i) => {
    const [nx, ny] = points[(i + 1) % points.length];
    sum += x * ny - y * nx;
  });
  return sum / 2;
}
