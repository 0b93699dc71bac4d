// The picture as it lies over the grid, half seen through, with what the hand takes it by. It is drawn on a canvas of its
// own over the stage's.
import { el } from "../../base/dom";
import { trace } from "../../base/trace";
import type { Lay } from "../../wire/types";
import { RULER, type View } from "../grid/view";
import type { Model } from "../model/model";
import { type Affine, type At, apply, copies, type Grip, then, toWall, type Wall } from "./plane";

/** How strongly the picture is seen while the hand moves it, and while it rests. */
const MOVED = 0.7;
const RESTS = 0.22;
/** How near a hand has to come to a grip, CSS pixels. */
const NEAR = 24;
/** How far over the picture the grip stands that turns it, CSS pixels. */
const STALK = 30;
/** Into how many strips a picture is cut that is bent over the body. */
const STRIPS = 48;

export class Ghost {
  readonly canvas = el("canvas", { class: "picture-layer", "aria-hidden": "true" });
  private readonly c = this.canvas.getContext("2d")!;

  constructor(
    private readonly m: Model,
    private readonly v: View,
    private readonly accent: string,
  ) {}

  /** From the wall to the screen. */
  screen(wall: Wall): Affine {
    const { m, v } = this;
    const across = v.turnPx / wall.around;
    const up = v.ringPx / wall.rise;
    return [across, 0, 0, -up, v.x(m.frontTurn), v.y(0)];
  }

  /** The place of the wall under a pixel of the stage. */
  wallAt(wall: Wall, x: number, y: number): At {
    const [a, , , d, e, f] = this.screen(wall);
    return { x: (x - e) / a, y: (y - f) / d };
  }

  /** What of the picture is under a pixel of the stage; null beside it. */
  gripAt(l: Lay, wall: Wall, x: number, y: number): Grip | null {
    const g = this.grips(l, wall);
    const near = (p: At) => Math.hypot(p.x - x, p.y - y) <= NEAR;
    if (near(g.knob)) return "turn";
    if (g.corners.some(near)) return "size";
    return this.within(l, wall, x, y) ? "move" : null;
  }

  private within(l: Lay, wall: Wall, x: number, y: number): boolean {
    const p = this.wallAt(wall, x, y);
    const [a, b, c, d, e, f] = toWall(l);
    const det = a * d - b * c;
    return copies(l, wall).some((by) => {
      const [px, py] = [p.x - by - e, p.y - f];
      const [u, v] = [(d * px - c * py) / det, (a * py - b * px) / det];
      return u >= 0 && u <= 1 && v >= 0 && v <= 1;
    });
  }

  private grips(l: Lay, wall: Wall): { corners: At[]; foot: At; knob: At } {
    const on = then(toWall(l), this.screen(wall));
    const corners = [
      { x: 0, y: 0 },
      { x: 1, y: 0 },
      { x: 1, y: 1 },
      { x: 0, y: 1 },
    ].map((p) => apply(on, p));
    const middle = apply(on, { x: 0.5, y: 0.5 });
    const foot = apply(on, { x: 0.5, y: 0 });
    const far = Math.max(1, Math.hypot(foot.x - middle.x, foot.y - middle.y));
    const knob = { x: foot.x + ((foot.x - middle.x) / far) * STALK, y: foot.y + ((foot.y - middle.y) / far) * STALK };
    // A picture as high as the stage is turned by a grip within it.
    if (knob.y < 12 || knob.x < RULER || knob.x > this.v.width - 12)
      Object.assign(knob, { x: middle.x + ((foot.x - middle.x) * 2) / 3, y: middle.y + ((foot.y - middle.y) * 2) / 3 });
    return { corners, foot, knob };
  }

  /** Draws the picture, or nothing where there is none; held says that the hand has it. */
  paint(image: ImageBitmap | null, l: Lay | null, wall: Wall, held: boolean): void {
    const { canvas, c, v } = this;
    const [w, h] = [Math.round(v.width * v.dpr), Math.round(v.height * v.dpr)];
    if (canvas.width !== w || canvas.height !== h) Object.assign(canvas, { width: w, height: h });
    c.setTransform(1, 0, 0, 1, 0, 0);
    c.clearRect(0, 0, w, h);
    if (!image || !l) return;
    c.setTransform(v.dpr, 0, 0, v.dpr, 0, 0);
    c.save();
    c.beginPath();
    c.rect(RULER, 0, v.width - RULER, v.height - 19);
    c.clip();
    c.globalAlpha = held ? MOVED : RESTS;
    if (l.way === "straight" && !wall.open) this.bent(image, l, wall);
    else for (const by of copies(l, wall)) this.flat(image, then(toWall({ ...l, x: l.x + by }), this.screen(wall)));
    c.globalAlpha = 1;
    this.frame(l, wall);
    c.restore();
  }

  private flat(image: ImageBitmap, on: Affine): void {
    const { c } = this;
    c.save();
    c.transform(...on);
    c.drawImage(image, 0, 0, 1, 1);
    c.restore();
  }

  /** A picture that is seen straight on, strip by strip as the body turns away. */
  private bent(image: ImageBitmap, l: Lay, wall: Wall): void {
    const { c, v } = this;
    const times = Math.max(1, l.times ?? 1);
    const half = Math.min(0.25, 0.5 / times);
    const [across, , , up, left, foot] = this.screen(wall);
    const radius = wall.around / (2 * Math.PI);
    for (let k = 0; k < times; k++) {
      const front = k / times;
      for (let s = 0; s < STRIPS; s++) {
        const [from, to] = [s, s + 1].map((i) => front - half + (2 * half * i) / STRIPS);
        const [seenFrom, seenTo] = [from, to].map((t) => radius * Math.sin(2 * Math.PI * (t - front)));
        // The strip of what is seen is as wide on the wall as the wall is there.
        const stretch = ((to - from) * wall.around) / (seenTo - seenFrom || 1e-9);
        const x = ((from + 0.5) % 1) - 0.5 < 0 && k ? from - 1 : from;
        const bend: Affine = [stretch, 0, 0, 1, (x > 0.5 ? x - 1 : x) * wall.around - seenFrom * stretch, 0];
        c.save();
        c.beginPath();
        c.rect(left + bend[4] * across + seenFrom * stretch * across - 0.3, 0, (to - from) * wall.around * across + 0.6, v.height);
        c.clip();
        this.flat(image, then(then(toWall(l), bend), [across, 0, 0, up, left, foot]));
        c.restore();
      }
    }
  }

  private frame(l: Lay, wall: Wall): void {
    const { c } = this;
    const { corners, foot, knob } = this.grips(l, wall);
    const line = (width: number, colour: string) => {
      c.strokeStyle = colour;
      c.lineWidth = width;
      c.beginPath();
      trace(
        c,
        corners.map((p) => [p.x, p.y] as const),
      );
      c.closePath();
      c.moveTo(foot.x, foot.y);
      c.lineTo(knob.x, knob.y);
      c.stroke();
    };
    line(4, "rgb(255 253 248 / 85%)");
    line(1.75, this.accent);
    for (const p of [...corners, knob]) {
      c.beginPath();
      if (p === knob) c.arc(p.x, p.y, 8, 0, 7);
      else c.rect(p.x - 7, p.y - 7, 14, 14);
      c.fillStyle = "#fffdf8";
      c.fill();
      c.strokeStyle = this.accent;
      c.lineWidth = 2;
      c.stroke();
    }
  }
}
