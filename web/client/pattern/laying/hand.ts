// The hand on a picture that is being laid: over the picture it moves, sizes or turns it, beside it it moves the grid.

import type { Lay } from "../../wire/types";
import type { Stage } from "../grid/stage";
import type { Spot } from "../model/lattice";
import { half } from "../model/ring";
import type { Editor } from "../tools/editor";
import { Ghost } from "./ghost";
import type { Laying } from "./laying";
import { type At, dragged, type Grip } from "./plane";

/** What the pointer says over each grip. */
const CURSORS = { move: "move", size: "nwse-resize", turn: "grab" } as const;

export class PictureHand {
  private readonly ghost: Ghost;
  private held: { grip: Grip | null; from: At; lay: Lay; px: At } | null = null;

  constructor(
    private readonly e: Editor,
    private readonly stage: Stage,
    private readonly laying: Laying,
    accent: string,
  ) {
    this.ghost = new Ghost(e.m, stage.view, accent);
    stage.cells.root.before(this.ghost.canvas);
    stage.intercepts.add((kind, s) => this.takes(kind, s));
    stage.painted.add(() => this.paint());
    // With a second finger the first moves the grid, and has moved no picture.
    stage.root.addEventListener("pointerdown", (ev) => !ev.isPrimary && this.letGo(true), true);
    stage.root.addEventListener("pointercancel", () => this.letGo(true), true);
    let seen: ImageBitmap | null = null;
    laying.changed.add(() => {
      if (laying.image && laying.image !== seen) stage.fit();
      seen = laying.image;
      stage.wanted();
    });
  }

  /** Lets go of the picture, where it is or where it was taken. */
  private letGo(back: boolean): void {
    const { held } = this;
    this.held = null;
    if (held?.grip && back) this.laying.put(held.lay);
    this.stage.wanted();
  }

  private paint(): void {
    const { laying } = this;
    this.ghost.paint(laying.shown ? laying.image : null, laying.lay, laying.wall, !!this.held?.grip);
    if (!laying.shown) this.stage.root.style.cursor = "";
  }

  /** Where a spot of the stage lies on the wall and on the screen. */
  private at(s: Spot): { wall: At; px: At } {
    const { view } = this.stage;
    const { around, rise } = this.laying.wall;
    const turn = half(view.centre - this.e.m.frontTurn) + s.turn - view.centre;
    return {
      wall: { x: turn * around, y: s.high * rise },
      px: { x: view.midX + (s.turn - view.centre) * view.turnPx, y: view.y(s.high) },
    };
  }

  private takes(kind: "hover" | "down" | "up", s: Spot): boolean {
    const { laying, stage } = this;
    if (!laying.shown || !laying.lay) {
      this.held = null;
      return false;
    }
    const { wall, px } = this.at(s);
    if (kind === "down") {
      this.held = { grip: this.ghost.gripAt(laying.lay, laying.wall, px.x, px.y), from: wall, lay: laying.lay, px };
      stage.wanted();
    } else if (kind === "up") this.letGo(false);
    else if (this.held?.grip) laying.put(dragged(this.held.lay, this.held.grip, this.held.from, wall, laying.widthIsGiven));
    else if (this.held) {
      stage.pan(px.x - this.held.px.x, px.y - this.held.px.y);
      this.held.px = px;
    } else {
      const grip = this.ghost.gripAt(laying.lay, laying.wall, px.x, px.y);
      stage.root.style.cursor = grip ? CURSORS[grip] : "";
    }
    return true;
  }
}
