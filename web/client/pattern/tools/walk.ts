// Walking over the grid by keys: from unit to unit, upright or leaning, painting along the way where that is wanted.
import type { Stage } from "../grid/stage";
import { step } from "../model/lattice";
import { type Place, placeOf, ringOf, unitOf } from "../model/model";
import type { Editor } from "./editor";

export class Walk {
  /** Walking paints while this is on. */
  trail = false;
  /** The turn that an upright walk keeps to. */
  private aim = 0;
  private upright = false;

  constructor(
    private readonly e: Editor,
    private readonly stage: Stage,
  ) {
    e.on("focus", () => {
      if (!this.upright) this.aim = this.middle;
    });
  }

  setTrail(on: boolean): void {
    this.trail = on;
    this.e.tell("trail");
  }

  /** One unit along the ring, or one ring up or down, upright. */
  step(dx: number, dy: number, paints = false): void {
    this.go(step(this.e.m, this.e.focus, dx, dy, this.aim), paints, dy !== 0);
  }

  /** Up to the right, or down to the left. */
  lean(dy: number, paints = false): void {
    const { e } = this;
    this.aim = this.middle + (dy * e.m.rings[ringOf(e.focus)].width(unitOf(e.focus))) / 2;
    this.go(step(e.m, e.focus, 0, dy, this.aim), paints);
  }

  toEnd(end: "first" | "last", paints = false): void {
    const r = ringOf(this.e.focus);
    this.go(placeOf(r, end === "first" ? 0 : this.e.m.rings[r].n - 1), paints);
  }

  /** So many rings up, down where negative, as far as there are. */
  rings(by: number, paints = false): void {
    const { m, focus } = this.e;
    const r = Math.max(0, Math.min(m.rings.length - 1, ringOf(focus) + by));
    this.go(placeOf(r, m.rings[r].nearest(this.aim + 1e-6)), paints, true);
  }

  toRing(end: "top" | "bottom", paints = false): void {
    const { rings } = this.e.m;
    const r = end === "top" ? rings.length - 1 : 0;
    this.go(placeOf(r, rings[r].nearest(this.middle)), paints);
  }

  private get middle(): number {
    const ring = this.e.m.rings[ringOf(this.e.focus)];
    return ring ? ring.middle(unitOf(this.e.focus)) : 0;
  }

  private go(to: Place, paints: boolean, upright = false): void {
    const { e, stage } = this;
    this.upright = upright;
    e.walk(to, this.trail || (paints && e.anchor < 0 && e.tool !== "select"));
    this.upright = false;
    if (!upright) this.aim = this.middle;
    stage.view.reveal({ turn: this.middle, high: ringOf(to) + 1 });
    stage.cells.update(true);
    e.tell("look");
  }
}
