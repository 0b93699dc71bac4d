// The bar of what can be done with the selection, or with what is held. It stands in the dock, where it covers no
// unit; the tools make room for it there.
import { el } from "../../base/dom";
import { say } from "../../base/words";
import type { Actions, Where } from "../actions/action";
import { barButton } from "./buttons";
import type { Editor } from "./editor";
import type { Placing } from "./placing";

const SELECTED = ["block.fill", "block.move", "block.copy", "cut", "block.flip", "part.grow", "select.none"];
const HELD = ["place.put", "place.flip", "place.other", "place.finish", "place.cancel"];

export class Bar {
  readonly root = el("div", { class: "bar", role: "toolbar", "aria-label": say("bar"), hidden: true });
  private shown = "";

  /** turned shows or hides the bar; left is called when what had the keyboard in it is gone. */
  constructor(
    private readonly e: Editor,
    private readonly placing: Placing,
    private readonly actions: Actions,
    private readonly at: () => Where,
    private readonly turned: (on: boolean) => void,
    private readonly left: () => void,
  ) {}

  /** Brings the bar to what it belongs to; while a stroke is drawn it stays as it is, so that nothing moves meanwhile. */
  update(): void {
    const { e, placing, actions } = this;
    if (e.drawing) return;
    const names = !e.canPaint ? [] : placing.held ? HELD.filter((n) => actions.possible(n)) : e.selection.size ? SELECTED : [];
    const wanted = names.join(" ");
    if (wanted === this.shown) return;
    const had = this.root.contains(document.activeElement);
    const cameOrWent = !wanted !== !this.shown;
    this.shown = wanted;
    this.root.replaceChildren(...names.map((n) => barButton(actions, actions.get(n), this.at)));
    if (cameOrWent) this.turned(!!wanted);
    if (had) this.left();
  }
}
