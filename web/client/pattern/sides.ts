// The figure as it is seen from one side: rings as wide as their counts make them, units foreshortened
// towards the edges. Small and quick, so that it can follow every stroke.
import { turnOf } from "./extras";
import type { Model } from "./model";
import { COLOUR, half, type Ring } from "./ring";
import { channels } from "./tile";
import { RISE } from "./view";
import type { Extra } from "./wire";

/** The four sides, in turns from the front line to the right. */
export const SIDES = { front: 0, right: 0.25, back: 0.5, left: 0.75 } as const;
export type SideName = keyof typeof SIDES;

interface Frame {
  ringPx: number;
  /** y of ring 1's lowest point. */
  floor: number;
  mid: number;
  /** Pixels of radius per unit of a ring. */
  perUnit: number;
}

function frame(m: Model, w: number, h: number): Frame {
  const rings = m.rings.length + 1;
  const perRing = m.widest / (RISE * Math.PI);
  const ringPx = Math.min((h - 4) / rings, (w - 4) / Math.max(perRing, 0.01));
  return { ringPx, floor: (h + ringPx * rings) / 2, mid: w / 2, perUnit: ringPx / (RISE * 2 * Math.PI) };
}

/** Paints one side into a canvas of the given size in device pixels; turn is the one that faces us. */
export function paintSide(canvas: HTMLCanvasElement, m: Model, turn: number, w: number, h: number): void {
  if (canvas.width !== w || canvas.height !== h) {
    canvas.width = w;
    canvas.height = h;
  }
  const c = canvas.getContext("2d")!;
  const picture = c.createImageData(w, h);
  const px = new Uint32Array(picture.data.buffer);
  const f = frame(m, w, h);
  const papers = m.colours.map((colour) => channels(colour.hex));
  const angles = new Map<number, Float64Array>();
  for (let y = 0; y < h; y++) {
    const high = (f.floor - y - 0.5) / f.ringPx;
    if (high < 0 || high > m.rings.length + 1) continue;
    paintRow(px, y * w, w, m, high, turn, f, papers, angles);
  }
  c.putImageData(picture, 0, 0);
  for (const x of m.extras) paintExtra(c, m, x, turn, f);
}

/** An extra as a small mark where it sits, when that side is turned to us. */
function paintExtra(c: CanvasRenderingContext2D, m: Model, x: Extra, turn: number, f: Frame): void {
  const r = m.ringIndex(x.ring);
  const ring = m.rings[r];
  if (!ring) return;
  const angle = half(turnOf(ring, x.at) - turn) * 2 * Math.PI;
  if (Math.cos(angle) < 0.05) return;
  const px = f.mid + Math.sin(angle) * ring.n * f.perUnit;
  const py = f.floor - (r + 1) * f.ringPx;
  const size = Math.max(1.5, f.ringPx * 0.75);
  c.beginPath();
  if (x.kind === "glued") c.ellipse(px, py, size * Math.cos(angle), size, 0, 0, 7);
  else {
    c.moveTo(px - size * Math.cos(angle), py + size * 0.6);
    c.lineTo(px + size * Math.cos(angle), py + size * 0.6);
    c.lineTo(px, py - size);
    c.closePath();
  }
  c.fillStyle = m.colours[m.indexOfColour(x.colour ?? "")]?.hex ?? "#ffffff";
  c.fill();
  c.strokeStyle = "rgba(43,42,51,.7)";
  c.lineWidth = Math.max(0.75, size * 0.14);
  c.stroke();
}

function paintRow(px: Uint32Array, at: number, w: number, m: Model, high: number, turn: number, f: Frame, papers: number[][], angles: Map<number, Float64Array>): void {
  const body = Math.max(0, Math.min(m.rings.length - 1, Math.floor(high - 0.5)));
  const radius = Math.max(2, Math.round(m.rings[body].n * f.perUnit));
  let turns = angles.get(radius);
  if (!turns) angles.set(radius, (turns = edgeTurns(radius)));
  const left = Math.round(f.mid - radius);
  const fine = f.ringPx >= 2.5;
  const lower = m.rings[Math.floor(high) - 1];
  const upper = m.rings[Math.floor(high)];
  const into = high - Math.floor(high);
  for (let i = 0; i < turns.length; i++) {
    const x = left + i;
    if (x < 0 || x >= w) continue;
    const t = turn + turns[i];
    const ring = fine ? covering(lower, upper, into, t) : m.rings[body];
    if (!ring) continue;
    const u = ring.nearest(t);
    const off = half(t - ring.middle(u)) / ring.width(u);
    const round = Math.cos(turns[i] * 2 * Math.PI);
    const leaf = fine && off > 0 ? 0.88 : 1;
    px[at + x] = shade(papers[ring.shown[u] & COLOUR], (0.5 + 0.54 * round) * leaf);
  }
}

/** Turn, from the one that faces us, of every pixel across a ring. */
function edgeTurns(radius: number): Float64Array {
  const out = new Float64Array(radius * 2);
  for (let i = 0; i < out.length; i++) out[i] = Math.asin((i + 0.5 - radius) / radius) / (2 * Math.PI);
  return out;
}

/** Which of two rings that interlock covers a turn at a height between their middles. */
function covering(lower: Ring | undefined, upper: Ring | undefined, into: number, t: number): Ring | undefined {
  const dl = lower ? across(lower, t) + into : Infinity;
  const du = upper ? across(upper, t) + 1 - into : Infinity;
  if (Math.min(dl, du) > 1.02) return lower && upper ? (dl < du ? lower : upper) : undefined;
  return dl < du ? lower : upper;
}

function across(ring: Ring, t: number): number {
  const u = ring.nearest(t);
  return Math.abs(half(t - ring.middle(u))) / (ring.width(u) / 2);
}

function shade(paper: number[] | undefined, light: number): number {
  const [r, g, b] = paper ?? [128, 128, 128];
  const k = Math.min(1.04, light);
  return (255 << 24) | (Math.min(255, b * k) << 16) | (Math.min(255, g * k) << 8) | Math.min(255, r * k);
}

/** Width over height of a side's picture. */
export function proportion(m: Model): number {
  return m.widest / (RISE * Math.PI) / (m.rings.length + 1);
}
