// The 3D view as a part of the panel beside the grid. It is loaded when it is first opened, and draws in
// the same frame as the grid.
import { el } from "../base/dom";
import type { Marks } from "../base/marks";
import { type Plain, say } from "../base/words";
import type { UnitAt } from "../pattern/model/model";
import type { Part } from "../pattern/panels/panel";
import type { Editor } from "../pattern/tools/editor";
import type { Stand } from "./mount";
import { brushOf, showStill } from "./tie";

export class StandPart implements Part {
  readonly name = "stand" as const;
  readonly root = el("div", { class: "stand beside" });
  private view: Stand | null = null;
  private opened = false;

  /** find shows a unit that was touched in 3D on the grid. */
  constructor(
    private readonly e: Editor,
    private readonly base: string,
    private readonly marks: Marks,
    private readonly find: (at: UnitAt) => void,
  ) {
    marks.changed.add((mark) => mark === "signs" && this.view?.signs(marks.shows("signs")));
  }

  update(): void {
    if (!this.opened) void this.open();
    this.view?.changed();
  }

  private async open(): Promise<void> {
    this.opened = true;
    const { e, base, find } = this;
    const instead = (why: Plain) => showStill(this.root, `${base}/figure.svg`, say("stand.canvas", { Title: e.m.title }), why);
    const loaded = await import("./mount").catch(() => null);
    if (!loaded) {
      instead("stand.failed");
      this.opened = false; // with a connection it may come the next time
      return;
    }
    this.root.classList.remove("flat");
    try {
      this.view = loaded.mountStand(this.root, e.m, {
        base,
        file: `${base}/figure.glb`,
        brush: e.canPaint ? brushOf(e) : null,
        bare: true,
        find,
      });
      this.view.signs(this.marks.shows("signs"));
    } catch (why) {
      instead(why instanceof loaded.NoDepth ? "stand.no_3d" : "stand.failed");
    }
  }

  /** The grid was just painted with something new: so is the figure, if it is in sight. */
  follow(): void {
    if (this.root.offsetParent) this.view?.follow();
  }
}
