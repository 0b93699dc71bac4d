// Paints the unrolled grid: every unit once, ring 1 at the bottom. A stroke repaints only the units
// it touched and their nearest neighbours; a scroll moves what is there and paints the rest.
import { channels, mix } from "../../base/ink";
import { Listeners } from "../../base/listeners";
import type { Marks } from "../../base/marks";
import { type Model, type Place, ringOf, unitOf } from "../model/model";
import { COLOUR, half, type Ring } from "../model/ring";
import { Sheet } from "./tile";
import type { View } from "./view";

/** Below this width in device pixels units are painted as plain bricks, straight into the picture. */
const BRICK_BELOW = 6;
/** More tiles in sight than this cannot be painted anew within a frame. */
const QUICK_TILES = 3500;
/** More dirty units than this and everything in sight is painted anew. */
const MANY = 1500;

interface Box {
  x0: number;
  y0: number;
  x1: number;
  y1: number;
}

export class Grid {
  readonly canvas: HTMLCanvasElement;
  private readonly c: CanvasRenderingContext2D;
  private sheets = new Map<string, Sheet>();
  private sheetKey = "";
  private rough = false;
  private refining = false;
  private look = { unit: 0, centre: 0, floor: 0, w: 0, h: 0 };
  private shades = new Uint32Array(0);
  private depths: string[] = [];

  constructor(
    canvas: HTMLCanvasElement,
    private readonly m: Model,
    private readonly v: View,
    private readonly ground: string,
    private readonly marks: Marks,
  ) {
    this.canvas = canvas;
    this.c = canvas.getContext("2d", { alpha: false })!;
  }

  /** Fits the picture to the stage. */
  resize(): void {
    const w = Math.max(1, Math.round(this.v.width * this.v.dpr));
    const h = Math.max(1, Math.round(this.v.height * this.v.dpr));
    if (this.canvas.width !== w || this.canvas.height !== h) {
      this.canvas.width = w;
      this.canvas.height = h;
      this.look.w = 0;
    }
  }

  /** Colours or signs changed: tiles are drawn anew. */
  refreshTiles(): void {
    this.sheets.clear();
    this.sheetKey = "";
    this.look.w = 0;
  }

  /** Brings the picture up to date with as little painting as it takes. */
  paint(): void {
    this.prepareTiles();
    const dirty = this.m.dirty;
    if (this.refining) {
      this.refining = this.rough = false;
      this.paintAll();
    } else if (this.m.dirtyAll || !this.sameLook()) {
      if (this.m.dirtyAll || !this.scrolled()) this.paintAnew();
      else if (dirty.length) this.paintPlaces(dirty);
    } else if (dirty.length) {
      this.paintPlaces(dirty);
    }
    this.remember();
  }

  /** Everything in sight; very many tiles as bricks while it moves, as tiles once it rests. */
  private paintAnew(): void {
    const moved = this.look.w > 0 && !this.m.dirtyAll;
    this.rough = moved && this.tilesInSight > QUICK_TILES;
    this.paintAll();
    if (this.rough) this.wentRough.tell();
  }

  private get tilesInSight(): number {
    const { v, m } = this;
    return Math.min(m.widest, v.width / v.unit) * Math.min(m.rings.length, v.height / v.ringPx);
  }

  /** The picture is rough because it moves. */
  readonly wentRough = new Listeners();

  /** Lets the next painting put a rough picture right. */
  refine(): void {
    if (this.rough) this.refining = true;
  }

  private remember(): void {
    const { unit, centre, floor } = this.v;
    this.look = { unit, centre, floor, w: this.canvas.width, h: this.canvas.height };
  }

  private sameLook(): boolean {
    const l = this.look;
    const v = this.v;
    return l.unit === v.unit && l.centre === v.centre && l.floor === v.floor && l.w === this.canvas.width && l.h === this.canvas.height;
  }

  private prepareTiles(): void {
    const key = `${this.v.unit}|${this.v.dpr}|${this.signs}|${this.m.colours.map((c) => c.hex + c.sign).join()}`;
    if (key === this.sheetKey) return;
    this.sheetKey = key;
    this.sheets.clear();
    this.shades = new Uint32Array(64 * 3);
    this.depths = this.m.colours.map((c) => mix(c.hex, "#1c1a22", 0.45));
    this.m.colours.forEach((c, i) => {
      const [r, g, b] = channels(c.hex);
      this.shades[i * 3] = rgba(lighten(r), lighten(g), lighten(b));
      this.shades[i * 3 + 1] = rgba(r * 0.87, g * 0.87, b * 0.87);
      this.shades[i * 3 + 2] = rgba(r * 0.68, g * 0.68, b * 0.68);
    });
  }

  private get signs(): boolean {
    return this.marks.shows("signs");
  }

  private get bricks(): boolean {
    return this.rough || this.v.unit * this.v.dpr < BRICK_BELOW;
  }

  // ---------- all, some, scrolled ----------

  private paintAll(): void {
    this.paintBox({ x0: 0, y0: 0, x1: this.canvas.width, y1: this.canvas.height });
  }

  private paintPlaces(places: readonly Place[]): void {
    if (places.length > MANY) {
      this.paintAll();
      return;
    }
    for (const box of this.boxes(places)) this.paintBox(box);
  }

  /** Boxes around units that stand together, in device pixels. */
  private boxes(places: readonly Place[]): Box[] {
    const sorted = Int32Array.from(places).sort();
    const out: Box[] = [];
    let last = -2;
    let box: Box | null = null;
    for (const p of sorted) {
      if (p === last) continue;
      const b = this.boxOf(p);
      if (box && p === last + 1 && b.x0 <= box.x1 + 1 && b.x0 >= box.x0) box.x1 = Math.max(box.x1, b.x1);
      else {
        box = b.x1 > 0 && b.x0 < this.canvas.width && b.y1 > 0 && b.y0 < this.canvas.height ? b : null;
        if (box) out.push(box);
      }
      last = p;
    }
    return out;
  }

  private boxOf(p: Place): Box {
    const { v } = this;
    const ring = this.m.rings[ringOf(p)];
    const u = unitOf(p);
    const x = v.x(ring.middle(u)) * v.dpr;
    const wide = (ring.width(u) * v.turnPx * v.dpr) / 2 + 2;
    const y = v.y(ringOf(p)) * v.dpr;
    return { x0: Math.floor(x - wide), x1: Math.ceil(x + wide), y0: Math.floor(y - v.ringPx * 2 * v.dpr - 2), y1: Math.ceil(y + 2) };
  }

  /** After a scroll by whole pixels: moves the picture and paints the strips that came in. */
  private scrolled(): boolean {
    const l = this.look;
    const v = this.v;
    if (l.unit !== v.unit || l.w !== this.canvas.width || l.h !== this.canvas.height) return false;
    const w = this.canvas.width;
    const h = this.canvas.height;
    // The figure's own edges are in sight: what leaves on one side comes in on the other.
    if (v.turnPx * v.dpr < w) {
      if (l.centre !== v.centre) return false;
    }
    const dx = -half(v.centre - l.centre) * v.turnPx * v.dpr;
    const dy = (v.floor - l.floor) * v.ringPx * v.dpr;
    const ix = Math.round(dx);
    const iy = Math.round(dy);
    if (Math.abs(dx - ix) > 0.02 || Math.abs(dy - iy) > 0.02 || Math.abs(ix) > w / 2 || Math.abs(iy) > h / 2) return false;
    this.c.globalCompositeOperation = "copy";
    this.c.drawImage(this.canvas, ix, iy);
    this.c.globalCompositeOperation = "source-over";
    if (ix > 0) this.paintBox({ x0: 0, y0: 0, x1: ix, y1: h });
    if (ix < 0) this.paintBox({ x0: w + ix, y0: 0, x1: w, y1: h });
    if (iy > 0) this.paintBox({ x0: 0, y0: 0, x1: w, y1: iy });
    if (iy < 0) this.paintBox({ x0: 0, y0: h + iy, x1: w, y1: h });
    return true;
  }

  private paintBox(b: Box): void {
    const box = {
      x0: Math.max(0, b.x0),
      y0: Math.max(0, b.y0),
      x1: Math.min(this.canvas.width, b.x1),
      y1: Math.min(this.canvas.height, b.y1),
    };
    if (box.x1 <= box.x0 || box.y1 <= box.y0) return;
    if (this.bricks) this.paintBricks(box);
    else this.paintTiles(box);
  }

  // ---------- tiles ----------

  private paintTiles(b: Box): void {
    const { c, v, m } = this;
    c.save();
    c.beginPath();
    c.rect(b.x0, b.y0, b.x1 - b.x0, b.y1 - b.y0);
    c.clip();
    c.fillStyle = this.ground;
    c.fillRect(b.x0, b.y0, b.x1 - b.x0, b.y1 - b.y0);
    const high = (y: number) => v.floor + (v.floorY - y / v.dpr) / v.ringPx;
    const low = Math.max(0, Math.floor(high(b.y1)) - 2);
    const top = Math.min(m.rings.length - 1, Math.ceil(high(b.y0)));
    for (let r = low; r <= top; r++) this.paintRing(r, b.x0, b.x1);
    c.restore();
  }

  private paintRing(r: number, x0: number, x1: number): void {
    const { v, m, c } = this;
    const ring = m.rings[r];
    const y = v.y(r) * v.dpr;
    const turn = v.turnPx * v.dpr;
    const mid = v.midX * v.dpr;
    const halfWide = turn / 2;
    const from = Math.max(x0, mid - halfWide - turn / ring.around);
    const to = Math.min(x1, mid + halfWide + turn / ring.around);
    if (to < from) return;
    const first = ring.nearest(v.centre + (from - mid) / turn);
    const count = Math.min(ring.n, Math.ceil(((to - from) / turn) * ring.around * (ring.even ? 1 : 4)) + 3);
    let u = (first + ring.n - 1) % ring.n;
    const sheet = ring.even ? this.sheet(turn / ring.n) : null;
    const upon = m.upon(r);
    const above = upon < 0 ? null : m.rings[upon];
    const behind = above && this.reachOf(above, turn, mid);
    for (let i = 0; i < count; i++) {
      const w = ring.width(u) * turn;
      const x = mid + half(ring.middle(u) - v.centre) * turn;
      if (x + w / 2 + 1 >= x0 && x - w / 2 - 1 <= x1) {
        if (behind) this.paintBehind(ring.shown[u], x, y, w, above, behind);
        (sheet ?? this.sheet(Math.ceil(w))).stamp(c, ring.shown[u], x, y);
      }
      u = u + 1 < ring.n ? u + 1 : 0;
    }
  }

  /** From where to where a ring's faces reach in the picture: at the figure's own edges they end with whole units. */
  private reachOf(ring: Ring, turn: number, mid: number): [left: number, right: number] {
    const { v } = this;
    const at = (u: number) => half(ring.middle(u) - v.centre);
    if (ring.open) return [mid + (at(0) - ring.width(0) / 2) * turn, mid + (at(ring.n - 1) + ring.width(ring.n - 1) / 2) * turn];
    let first = ring.nearest(v.centre - 0.5);
    if (at(first) > 0) first = (first + 1) % ring.n;
    const last = (first + ring.n - 1) % ring.n;
    return [mid + (at(first) - ring.width(first) / 2) * turn, mid + (at(last) + ring.width(last) / 2) * turn];
  }

  /**
   * Where rings do not interlock, since their counts differ or they stand askew, one looks between their units into the lower
   * ring: a closed wall has no holes. Each half of a unit's room is closed so where a unit stands above it.
   */
  private paintBehind(cell: number, x: number, y: number, w: number, above: Ring, [left, right]: [number, number]): void {
    const { c, v } = this;
    const high = v.ringPx * v.dpr;
    const turn = v.turnPx * v.dpr;
    c.fillStyle = this.depths[cell & COLOUR] ?? this.ground;
    const parts = above.free ? 2 : 1;
    for (let k = 0; k < parts; k++) {
      const from = Math.max(left, x - w / 2 + (k * w) / parts);
      const to = Math.min(right, x - w / 2 + ((k + 1) * w) / parts);
      if (to <= from || (above.free && above.at(v.centre + ((from + to) / 2 - v.midX * v.dpr) / turn) < 0)) continue;
      c.fillRect(Math.floor(from), Math.floor(y - 2 * high), Math.ceil(to) - Math.floor(from), Math.ceil(high) + 1);
    }
  }

  private sheet(w: number): Sheet {
    const key = w.toFixed(1);
    let s = this.sheets.get(key);
    if (!s) {
      if (this.sheets.size > 96) this.sheets.clear();
      s = new Sheet(w, this.v.ringPx * this.v.dpr, this.m.colours, this.signs);
      this.sheets.set(key, s);
    }
    return s;
  }

  // ---------- bricks: far away, a unit is a few pixels ----------

  private paintBricks(b: Box): void {
    const w = b.x1 - b.x0;
    const h = b.y1 - b.y0;
    const picture = this.c.createImageData(w, h);
    const px = new Uint32Array(picture.data.buffer);
    const [gr, gg, gb] = channels(this.ground);
    px.fill(rgba(gr, gg, gb));
    const { v, m } = this;
    const ringPx = v.ringPx * v.dpr;
    for (let y = 0; y < h; ) {
      const high = v.floor + (v.floorY - (b.y0 + y + 0.5) / v.dpr) / v.ringPx - 0.5;
      const r = Math.floor(high);
      // Rows of this ring in the box, counted down the picture.
      const rows = Math.min(h - y, Math.max(1, Math.ceil((high - r) * ringPx)));
      if (r >= 0 && r < m.rings.length) {
        this.brickRow(px, y * w, w, b.x0, r, false);
        const dark = rows > 2 ? 1 : 0;
        for (let k = 1; k < rows - dark; k++) px.copyWithin((y + k) * w, y * w, (y + 1) * w);
        if (dark) this.brickRow(px, (y + rows - 1) * w, w, b.x0, r, true);
      }
      y += rows;
    }
    this.c.putImageData(picture, b.x0, b.y0);
  }

  private brickRow(px: Uint32Array, at: number, w: number, x0: number, r: number, dark: boolean): void {
    const { v, m } = this;
    const ring = m.rings[r];
    const turn = v.turnPx * v.dpr;
    const mid = v.midX * v.dpr;
    const from = Math.max(0, Math.ceil(mid - turn / 2 - x0));
    const to = Math.min(w, Math.floor(mid + turn / 2 - x0));
    const wide = turn / ring.around >= 3;
    for (let x = from; x < to; ) {
      const t = v.centre + (x0 + x + 0.5 - mid) / turn;
      const u = ring.nearest(t);
      const into = half(t - ring.middle(u)) * turn;
      const halfW = (ring.width(u) * turn) / 2;
      const end = Math.min(to, x + Math.max(1, Math.ceil(halfW - into)));
      if (Math.abs(into) <= halfW + 1) {
        const shade = (ring.shown[u] & COLOUR) * 3;
        if (dark) px.fill(this.shades[shade + 2], at + x, at + end);
        else {
          const ridge = wide ? Math.min(end, Math.max(x, x + Math.round(-into))) : end;
          px.fill(this.shades[shade], at + x, at + ridge);
          px.fill(this.shades[shade + 1], at + ridge, at + end);
        }
        x = end;
      } else x++;
    }
  }
}

function lighten(v: number): number {
  return v + (255 - v) * 0.1;
}

function rgba(r: number, g: number, b: number): number {
  return (255 << 24) | (Math.round(b) << 16) | (Math.round(g) << 8) | Math.round(r);
}
