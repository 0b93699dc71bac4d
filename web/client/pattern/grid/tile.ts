// The face of a unit on the grid: two leaves with a ridge between them, pointed at the bottom, two
// tips at the top that go into the pockets of the ring above. A unit with its short side out shows
// one flat face with a fold. Tiles are drawn once per colour and size and then stamped.
import { inkOn, luminance, mix } from "../../base/ink";
import { trace } from "../../base/trace";
import type { Colour } from "../../wire/types";
import { COLOUR, SHORT } from "../model/ring";

type Point = [x: number, y: number];

/** Corners of a tile; x in tile widths from its middle, y in ring heights from its lowest point. */
const LOW: Point = [0, 0.04];
const SIDE: Point = [0.485, 1];
const TIP: Point = [0.19, 1.66];
const NOTCH: Point = [0, 1.4];
const TOP: Point = [0, 1.96];

const mirrored = ([x, y]: Point): Point => [-x, y];

const INK = "#1c1a22";

/** How strongly folds are shaded: pale papers need it stronger, dark ones lighter edges. */
function shades(hex: string) {
  const light = luminance(hex);
  return {
    left: light < 0.08 ? mix(hex, "#ffffff", 0.17) : mix(hex, "#ffffff", 0.13),
    right: mix(hex, INK, light > 0.75 ? 0.15 : 0.16),
    tipLeft: mix(hex, "#ffffff", light < 0.08 ? 0.28 : 0.3),
    tipRight: mix(hex, INK, 0.04),
    hollow: mix(hex, INK, light > 0.6 ? 0.31 : 0.48),
    ridge: mix(hex, "#ffffff", light < 0.08 ? 0.35 : 0.45),
    flat: mix(hex, INK, 0.05),
    flatTop: mix(hex, "#ffffff", 0.14),
    fold: mix(hex, INK, 0.38),
    edge: mix(hex, INK, light > 0.6 ? 0.36 : 0.42),
  };
}

/** Draws one tile; x is its middle, y its lowest point, w its width, ring a ring's height. */
export function drawTile(
  c: CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D,
  hex: string,
  short: boolean,
  x: number,
  y: number,
  w: number,
  ring: number,
): void {
  const at = ([px, py]: Point): Point => [x + px * w, y - py * ring];
  const fill = (points: Point[], style: string) => {
    c.beginPath();
    points.forEach((p, i) => {
      const [px, py] = at(p);
      if (i) c.lineTo(px, py);
      else c.moveTo(px, py);
    });
    c.closePath();
    c.fillStyle = style;
    c.fill();
  };
  const s = shades(hex);
  if (short) {
    fill([LOW, SIDE, TOP, mirrored(SIDE)], s.hollow);
    fill(
      [
        [0, 0.1],
        [0.4, 0.82],
        [0.4, 1.24],
        [0, 1.72],
        [-0.4, 1.24],
        [-0.4, 0.82],
      ],
      s.flat,
    );
    fill(
      [
        [-0.4, 1.02],
        [0.4, 1.02],
        [0.4, 1.24],
        [0, 1.72],
        [-0.4, 1.24],
      ],
      s.flatTop,
    );
    stroke(c, [at([-0.4, 1.02]), at([0.4, 1.02])], s.fold, Math.max(0.7, w * 0.03));
    return;
  }
  fill([LOW, SIDE, TOP, mirrored(SIDE)], s.hollow);
  fill([LOW, mirrored(SIDE), mirrored(TIP), NOTCH], s.left);
  fill([LOW, SIDE, TIP, NOTCH], s.right);
  if (w >= 9) {
    fill([mirrored(SIDE), mirrored(TIP), [-0.05, 1.43], [-0.2, 1.12]], s.tipLeft);
    fill([SIDE, TIP, [0.05, 1.43], [0.2, 1.12]], s.tipRight);
  }
  if (w >= 14) stroke(c, [at(LOW), at(NOTCH)], s.ridge, Math.max(0.6, w * 0.016));
  if (w >= 6) stroke(c, [at(mirrored(SIDE)), at(LOW), at(SIDE)], s.edge, Math.max(0.5, Math.min(1.4, w * 0.018)));
}

function stroke(c: CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D, points: Point[], style: string, width: number): void {
  c.beginPath();
  trace(c, points);
  c.strokeStyle = style;
  c.lineWidth = width;
  c.stroke();
}

/** Writes a sign on a tile. */
export function drawSign(
  c: CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D,
  colour: Colour,
  x: number,
  y: number,
  w: number,
  ring: number,
): void {
  c.font = `700 ${Math.round(Math.min(w * 0.5, ring * 0.85))}px "Atkinson Hyperlegible", system-ui, sans-serif`;
  c.textAlign = "center";
  c.textBaseline = "middle";
  c.fillStyle = inkOn(colour.hex);
  c.fillText(colour.sign, x, y - ring * 0.97);
}

/** Tiles of one width, all colours and both sides, drawn when first needed. Device pixels. */
export class Sheet {
  readonly w: number;
  readonly h: number;
  private readonly columns: number;
  private readonly canvas: HTMLCanvasElement | OffscreenCanvas;
  private readonly c: CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D;
  private readonly drawn = new Uint8Array(128);

  constructor(
    private readonly tileW: number,
    private readonly ringH: number,
    private readonly colours: readonly Colour[],
    private readonly signs: boolean,
  ) {
    this.w = Math.ceil(tileW) + 2;
    this.h = Math.ceil(ringH * 2) + 2;
    this.columns = Math.max(1, Math.min(colours.length * 2, Math.floor(4096 / this.w)));
    const rows = Math.ceil((colours.length * 2) / this.columns);
    this.canvas = makeCanvas(this.columns * this.w, rows * this.h);
    this.c = this.canvas.getContext("2d") as CanvasRenderingContext2D;
  }

  /** Stamps a cell's tile with its middle at x and its lowest point at y. */
  stamp(to: CanvasRenderingContext2D, cell: number, x: number, y: number): void {
    const colour = cell & COLOUR;
    if (colour >= this.colours.length) return;
    const i = colour * 2 + (cell & SHORT ? 1 : 0);
    const sx = (i % this.columns) * this.w;
    const sy = Math.floor(i / this.columns) * this.h;
    if (!this.drawn[i]) this.draw(i, sx, sy);
    to.drawImage(this.canvas, sx, sy, this.w, this.h, Math.round(x - this.w / 2), Math.round(y - this.h + 1), this.w, this.h);
  }

  private draw(i: number, sx: number, sy: number): void {
    this.drawn[i] = 1;
    const colour = this.colours[i >> 1];
    const x = sx + this.w / 2;
    const y = sy + this.h - 1;
    drawTile(this.c, colour.hex, (i & 1) === 1, x, y, this.tileW, this.ringH);
    if (this.signs && this.tileW >= 12) drawSign(this.c, colour, x, y, this.tileW, this.ringH);
  }
}

export function makeCanvas(w: number, h: number): HTMLCanvasElement | OffscreenCanvas {
  if (typeof OffscreenCanvas !== "undefined") return new OffscreenCanvas(Math.max(1, w), Math.max(1, h));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, w);
  canvas.height = Math.max(1, h);
  return canvas;
}
