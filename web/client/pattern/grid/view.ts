// Where the unrolled grid stands on the screen: scale, what is in the middle, and how spots and
// pixels turn into each other. All lengths are CSS pixels.

import { RISE_PER_PITCH } from "../../wire/types";
import type { Spot } from "../model/lattice";
import { flatCorners } from "../model/looks";
import type { Model } from "../model/model";
import { half } from "../model/ring";
import { turnOf } from "../model/seats";

/** Height of a ring in widths of a plain unit; only a proportion of the drawing hangs on it. */
export const RISE = RISE_PER_PITCH;

/** Width of the ruler at the left edge, px. */
export const RULER = 44;

/** Height of a ring at which a finger hits one unit and not its neighbour: the least target of WCAG 2.2,
 * success criterion 2.5.8, in CSS pixels. A unit is wider than its ring is high, so it is reached across too. */
const TOUCHABLE = 24;
/** Width of a unit that a mouse hits. */
const POINTABLE = 13;
const SMALLEST = 1.2;
const LARGEST = 110;

export interface Edges {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

export class View {
  /** Size of the stage. */
  width = 300;
  height = 300;
  /** Device pixels per CSS pixel. */
  dpr = 1;
  /** Room kept free along the edges when fitting: for ruler and compass, and for the names of parts over and under the rings. */
  get edges(): Readonly<Edges> {
    const { m } = this;
    const top = m.rings.length - 1;
    const over = top >= 0 && m.parts.length && (m.growing(top).length || m.setOn(top).length) ? 24 : 0;
    const under = m.part && m.part !== m.parts[0] ? 24 : 0;
    return { left: RULER + 4, right: 12, top: 12 + over, bottom: 26 + under };
  }
  /** Width of a unit of the widest ring. */
  unit = 24;
  /** The turn in the middle of the stage. */
  centre = 0;
  /** Ring heights at the bottom edge of the free room. */
  floor = 0;

  /** Whether the whole figure is shown, as large as it can be: it stays so when the stage or the rings change. */
  fitted = false;

  constructor(private readonly m: Model) {}

  /** The stage has a size, in CSS pixels, of so many device pixels each. */
  setStage(width: number, height: number, dpr: number): void {
    this.width = width;
    this.height = height;
    this.dpr = dpr;
  }

  /** Brings a turn into the middle. */
  turnTo(turn: number): void {
    this.centre = turn;
  }

  /** Pixels of one whole turn. */
  get turnPx(): number {
    return this.unit * this.m.widest;
  }

  /** Pixels of one ring height. */
  get ringPx(): number {
    return this.unit * RISE;
  }

  get midX(): number {
    return (this.edges.left + this.width - this.edges.right) / 2;
  }

  get floorY(): number {
    return this.height - this.edges.bottom;
  }

  /** x of a turn, on the copy of the figure whose back is at the edges. */
  x(turn: number): number {
    return this.midX + half(turn - this.centre) * this.turnPx;
  }

  y(high: number): number {
    return this.floorY - (high - this.floor) * this.ringPx;
  }

  spot(x: number, y: number): Spot {
    return { turn: this.centre + (x - this.midX) / this.turnPx, high: this.floor + (this.floorY - y) / this.ringPx };
  }

  /** Whether an x lies on the one turn that is shown. */
  onFigure(x: number): boolean {
    return Math.abs(x - this.midX) <= this.turnPx / 2 + this.unit / 2;
  }

  /** Width of a unit at which the whole figure can be seen. */
  get fitUnit(): number {
    const wide = this.wideUnit;
    const high =
      (this.height - this.edges.top - this.edges.bottom) / ((this.m.rings.length + 1.2 + this.beyond.over + this.beyond.under) * RISE);
    return clamp(Math.min(wide, high), SMALLEST, 64);
  }

  /** Width of a unit at which all rings can be seen from end to end. */
  private get wideUnit(): number {
    return (this.width - this.edges.left - this.edges.right) / (this.m.widest * 2 * this.reach + 0.1);
  }

  /** How far units reach to either side of the front, in turns: half a turn and what stands out beyond the
   * back. Units of a small ring are drawn wide, so they stand out further. */
  private get reach(): number {
    const { m } = this;
    const of = `${m.shape} ${m.frontTurn}`;
    if (this.reachOf !== of) {
      this.reachOf = of;
      this.reached = this.ringsReach();
    }
    return Math.max(this.reached, this.beyond.aside);
  }

  private ringsReach(): number {
    const { m } = this;
    let out = m.rings[0]?.open ? 0 : 0.5;
    for (const ring of m.rings) {
      for (let u = 0; u < ring.n; u++) out = Math.max(out, Math.abs(half(ring.middle(u) - m.frontTurn)) + ring.width(u) / 2);
    }
    return out;
  }

  /** How far extras stand out beyond the rings: over the top ring and under the lowest in ring heights, aside in turns
   * from the front. */
  private get beyond(): { over: number; under: number; aside: number } {
    const { m } = this;
    if (this.beyondOf[0] === m.looks && this.beyondOf[1] === m.extras && this.beyondOf[2] === m.shape) return this.stands;
    this.beyondOf = [m.looks, m.extras, m.shape];
    this.stands = { over: 0, under: 0, aside: 0 };
    const extras = new Map(m.extras.map((x) => [x.key, x]));
    for (const look of m.looks) {
      const x = extras.get(look.key);
      const r = m.ringIndex(x?.ring ?? -1);
      if (!x || r < 0) continue;
      const turn = half(turnOf(m.rings[r], x.at) - m.frontTurn);
      for (const { at } of flatCorners(look)) {
        for (const [along, up] of at) {
          const high = r + 1 + up / RISE;
          this.stands.over = Math.max(this.stands.over, high - m.rings.length - 1);
          this.stands.under = Math.max(this.stands.under, -high);
          this.stands.aside = Math.max(this.stands.aside, Math.abs(turn + along / m.widest));
        }
      }
    }
    return this.stands;
  }
  private beyondOf: unknown[] = [];
  private stands = { over: 0, under: 0, aside: 0 };
  private reachOf = "";
  private reached = 0.5;

  /** Shows the whole figure, its front in the middle. */
  fit(): void {
    this.centre = this.m.frontTurn;
    this.refit();
  }

  /** Shows the whole figure, turned as it is. */
  private refit(): void {
    this.unit = this.fitUnit;
    this.stand(0);
    this.fitted = true;
  }

  /** After the stage or the rings changed: still fitted when it was, else still in sight. */
  settle(): void {
    if (this.fitted) this.refit();
    else this.limit();
  }

  /** Stands the figure in the middle of the free height; one that is higher, with so many rings below its foot. */
  private stand(below: number): void {
    const free = (this.height - this.edges.top - this.edges.bottom) / this.ringPx;
    const { over, under } = this.beyond;
    const spare = free - (this.m.rings.length + 1 + over + under);
    this.floor = spare > 0 ? -spare / 2 - under : -below;
  }

  /** First look: the whole figure, or its front from the bottom at a size that a finger or a mouse can hit. */
  open(touch = false): void {
    this.fit();
    const wide = this.wideUnit;
    const least = touch ? TOUCHABLE / RISE : Math.min(POINTABLE, Math.max(this.unit, wide));
    if (this.unit >= least) return;
    this.fitted = false;
    this.unit = least;
    this.stand(0.4);
  }

  /** Zooms by a factor, keeping the spot under x, y where it is. */
  zoom(factor: number, x: number, y: number): void {
    const s = this.spot(x, y);
    this.fitted = false;
    this.unit = clamp(this.unit * factor, Math.min(SMALLEST, this.fitUnit), LARGEST);
    this.centre = s.turn - (x - this.midX) / this.turnPx;
    this.floor = s.high - (this.floorY - y) / this.ringPx;
    this.limit();
  }

  pan(dx: number, dy: number): void {
    this.centre -= dx / this.turnPx;
    this.floor += dy / this.ringPx;
    if (dy) this.fitted = false;
    this.limit();
  }

  /** Keeps the figure in sight: at least a third of the stage stays on it. */
  private limit(): void {
    this.centre -= Math.floor(this.centre);
    const free = (this.height - this.edges.top - this.edges.bottom) / this.ringPx;
    const top = this.m.rings.length + 1 + this.beyond.over;
    const low = Math.min(-free / 3, top / 2 - free);
    const high = Math.max(top - free * 0.66, -free / 3 + 1);
    this.floor = clamp(this.floor, low, high);
  }

  /** Moves as little as needed so that a spot is well inside the stage, and not where all is in sight. */
  reveal(s: Spot): void {
    const left = this.edges.left;
    const right = this.width - this.edges.right;
    if (this.turnPx + this.unit > right - left) {
      const margin = Math.min(this.unit * 2, this.width / 4);
      const x = this.x(s.turn);
      if (x > right - margin) this.centre += (x - right + margin) / this.turnPx;
      else if (x < left + margin) this.centre -= (left + margin - x) / this.turnPx;
    }
    const margin = Math.min(this.ringPx * 2, this.height / 4);
    const y = this.y(s.high);
    const top = this.edges.top + margin;
    const allBelow = this.y(0) <= this.floorY + 1;
    const allAbove = this.y(this.m.rings.length + 1) >= this.edges.top - 1;
    if (y > this.floorY - margin && !allBelow) this.floor -= (y - this.floorY + margin) / this.ringPx;
    else if (y < top && !allAbove) this.floor += (top - y) / this.ringPx;
    this.limit();
  }
}

export function clamp(v: number, low: number, high: number): number {
  return v < low ? low : Math.min(v, high);
}
