// What is held over the grid and the rest of the page: it is shown, carried by the pointer, put down before the page goes.
import type { Notes } from "../../base/notes";
import { type Plain, say } from "../../base/words";
import type { Stage } from "../grid/stage";
import type { Editor } from "./editor";
import type { Placing } from "./placing";

/** So long a link waits for what was just put down to reach the server. */
const LEAVE_MS = 2000;

export class Held {
  constructor(
    private readonly e: Editor,
    private readonly stage: Stage,
    private readonly placing: Placing,
    private readonly notes: Notes,
  ) {
    placing.changed.add(() => this.show());
    stage.intercepts.add((kind, s, touch) => {
      if (!placing.held) return false;
      placing.carry(s, touch);
      if (kind === "up" && !touch) placing.put();
      return true;
    });
    e.on("paper", () => placing.show());
    e.on("tool", () => placing.finish());
    e.on("ahead", () => this.drop("block.let_go.ahead"));
    e.letGo.add(() => {
      const { pending } = placing;
      if (pending) placing.stop();
      return pending;
    });
    addEventListener("pagehide", () => placing.finish());
    document.addEventListener("click", (ev) => this.leave(ev), true);
  }

  private show(): void {
    const { placing } = this;
    this.stage.overlay.showHeld({
      covers: new Set(placing.places()),
      ghost: placing.ghost(),
      extras: placing.extras(),
      lifts: placing.held?.kind === "move",
    });
    this.stage.wanted();
  }

  /** Lets go of what is held and says why: rings came, went or moved, so that it would fall elsewhere, if nothing else is said. */
  drop(why: Plain = "block.let_go"): void {
    if (this.placing.held) this.notes.show(say(why));
    this.placing.stop();
  }

  /** A link that leaves the page first puts down what is held, so that the next page shows it. */
  private leave(ev: MouseEvent): void {
    const link = ev.target instanceof Element ? ev.target.closest<HTMLAnchorElement>("a[href]") : null;
    if (!this.placing.held || !link || ev.button) return;
    const here = location.href.split("#")[0];
    if (link.target || link.download || ev.ctrlKey || ev.metaKey || ev.shiftKey || ev.altKey || link.href.split("#")[0] === here) return;
    ev.preventDefault();
    this.placing.finish();
    void this.e.sync.sent(LEAVE_MS).then(() => location.assign(link.href));
  }
}
