// The figure as it is seen from one side: rings as wide as their counts make them, units foreshortened
// towards the edges. Small and quick, so that it can follow every stroke.

import { channels, edgeOn, inkOn } from "../../base/ink";
import { trace } from "../../base/trace";
import type { Extra } from "../../wire/types";
import { RISE } from "../grid/view";
import { bandOf, CARD, corners, type Facet, isPiece, leafFill } from "../model/looks";
import type { Model } from "../model/model";
import { COLOUR, half, type Ring } from "../model/ring";
import { turnOf } from "../model/seats";

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

/** How far the figure reaches, its extras with it, in ring heights: to a side from its axis, below and above. */
interface Reach {
  side: number;
  low: number;
  high: number;
}

function reach(m: Model): Reach {
  const out = { side: m.widest / (RISE * 2 * Math.PI), low: 0, high: m.rings.length + 1 };
  const extras = new Map(m.extras.map((x) => [x.key, x]));
  for (const look of m.looks) {
    const r = m.ringIndex(extras.get(look.key)?.ring ?? -1);
    if (r < 0) continue;
    for (const facet of look.solid) {
      for (const [, up, off] of corners(facet, 3)) {
        out.side = Math.max(out.side, (m.rings[r].n / (2 * Math.PI) + off) / RISE);
        out.low = Math.min(out.low, r + 1 + up / RISE);
        out.high = Math.max(out.high, r + 1 + up / RISE);
      }
    }
  }
  return out;
}

function frame(m: Model, w: number, h: number): Frame {
  const { side, low, high } = reach(m);
  const ringPx = Math.min((h - 4) / (high - low), (w - 4) / Math.max(2 * side, 0.01));
  return { ringPx, floor: h / 2 + (ringPx * (high + low)) / 2, mid: w / 2, perUnit: ringPx / (RISE * 2 * Math.PI) };
}

/**
 * Paints one side into a canvas of the given size in device pixels; turn is the one that faces us. Signs are written
 * on the units that are large enough.
 */
export function paintSide(canvas: HTMLCanvasElement, m: Model, turn: number, w: number, h: number, signs = false): void {
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
  if (signs) paintSigns(c, m, turn, f);
  paintExtras(c, m, turn, f);
}

/** A sign lower than this, device pixels, cannot be read. */
const READABLE = 8;

/** Signs in the middle of the units' faces, as narrow as the units look from here. */
function paintSigns(c: CanvasRenderingContext2D, m: Model, turn: number, f: Frame): void {
  const size = Math.min(0.5 / RISE, 0.85) * f.ringPx;
  if (size < READABLE) return;
  c.font = `700 ${size.toFixed(1)}px "Atkinson Hyperlegible", system-ui, sans-serif`;
  c.textAlign = "center";
  c.textBaseline = "middle";
  const inks = m.colours.map((colour) => inkOn(colour.hex));
  m.rings.forEach((ring, r) => {
    for (let u = 0; u < ring.n; u++) {
      const angle = half(ring.middle(u) - turn) * 2 * Math.PI;
      const facing = Math.cos(angle);
      if (facing * size < READABLE / 2) continue;
      const colour = ring.shown[u] & COLOUR;
      c.setTransform(facing, 0, 0, 1, f.mid + Math.sin(angle) * ring.n * f.perUnit, f.floor - (r + 0.97) * f.ringPx);
      c.fillStyle = inks[colour];
      c.fillText(m.colours[colour]?.sign ?? "", 0, 0);
    }
  });
  c.resetTransform();
}

/** A facet of an extra as it is seen from a side. */
interface Seen {
  points: [x: number, y: number][];
  /** Its middle's distance towards us from the figure's axis, pixels. */
  near: number;
  fill: string;
  line: string;
  /** Opacity of the line: in a small picture lines would hide the papers. */
  thin: number;
  /** Width of the band of its own paper around a tucked unit, which is but a line where it is seen edge-on; 0: none. */
  band: number;
}

/** Extras as they stand off the wall: before it, or where their side is turned away, behind it. */
function paintExtras(c: CanvasRenderingContext2D, m: Model, turn: number, f: Frame): void {
  const pieces: Seen[] = [];
  const tucked: Seen[] = [];
  const extras = new Map(m.extras.map((x) => [x.key, x]));
  for (const look of m.looks) {
    const x = extras.get(look.key);
    if (!x || m.ringIndex(x.ring) < 0) continue;
    const hex = m.colours[m.indexOfColour(x.colour ?? "")]?.hex ?? CARD;
    for (const facet of look.solid) (isPiece(look) ? pieces : tucked).push(seen(m, x, facet, hex, turn, f));
  }
  tucked.sort((a, b) => a.near - b.near);
  const behind = tucked.filter((s) => s.near < 0).reverse();
  c.lineJoin = "round";
  const line = Math.max(0.5, f.ringPx * 0.05);
  c.globalCompositeOperation = "destination-over"; // the nearest of them first
  for (const s of behind) paintFacet(c, s, line, true);
  c.globalCompositeOperation = "source-over";
  for (const s of pieces) if (s.near > 0) paintFacet(c, s, line);
  for (const s of tucked) if (s.near >= 0) paintFacet(c, s, line);
}

/** Bends a facet around the figure and looks at it from the side that faces us. */
function seen(m: Model, x: Extra, facet: Facet, hex: string, turn: number, f: Frame): Seen {
  const r = m.ringIndex(x.ring);
  const ring = m.rings[r];
  const unitPx = f.ringPx / RISE;
  const angle = half(turnOf(ring, x.at) - turn) * 2 * Math.PI;
  let near = 0;
  const all = corners(facet, 3);
  const points = all.map(([along, up, off]): [number, number] => {
    const a = angle + (along * 2 * Math.PI) / ring.n;
    const away = ring.n * f.perUnit + off * unitPx;
    near += (Math.cos(a) * away) / all.length;
    return [f.mid + Math.sin(a) * away, f.floor - (r + 1) * f.ringPx - up * unitPx];
  });
  return {
    points,
    near,
    fill: leafFill(hex, facet[0]),
    line: edgeOn(hex),
    thin: Math.min(1, f.ringPx / 16),
    band: facet[0] ? bandOf(f.ringPx) : 0,
  };
}

/** behind: what is painted comes under what is there, so the line goes first. */
function paintFacet(c: CanvasRenderingContext2D, s: Seen, line: number, behind = false): void {
  c.beginPath();
  trace(c, s.points);
  c.closePath();
  c.fillStyle = s.fill;
  const own = () => {
    c.fill();
    if (!s.band) return;
    c.strokeStyle = s.fill;
    c.lineWidth = s.band;
    c.stroke();
  };
  const rim = () => {
    c.strokeStyle = s.line;
    c.lineWidth = line + s.band;
    c.globalAlpha = s.thin;
    c.stroke();
    c.globalAlpha = 1;
  };
  const over = [own, rim]; // a piece's rim lies on it, a tucked unit's around it
  if (s.band !== 0) over.reverse();
  if (behind) over.reverse();
  for (const paint of over) paint();
}

function paintRow(
  px: Uint32Array,
  at: number,
  w: number,
  m: Model,
  high: number,
  turn: number,
  f: Frame,
  papers: number[][],
  angles: Map<number, Float64Array>,
): void {
  const body = Math.max(0, Math.min(m.rings.length - 1, Math.floor(high - 0.5)));
  const radius = Math.max(2, Math.round(m.rings[body].n * f.perUnit));
  const turns = angles.get(radius) ?? edgeTurns(radius);
  angles.set(radius, turns);
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
  const { side, low, high } = reach(m);
  return (2 * side) / (high - low);
}
