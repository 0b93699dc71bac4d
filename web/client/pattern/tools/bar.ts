// The bar of what can be done with the selection, or with what is held. It stands in the dock, where it covers no
// unit; the tools make room for it there.
import { el, onPress } from "../../base/dom";
import { icon } from "../../base/icons";
import { say } from "../../base/words";
import type { Editor } from "./editor";
import type { Placing } from "./placing";

export interface BarAction {
  icon: string;
  label: string;
  main?: boolean;
  do: () => void;
}

export class Bar {
  readonly root = el("div", { class: "bar", role: "toolbar", "aria-label": say("bar"), hidden: true });
  private key = "";

  /** turned shows or hides the bar; left is called when what had the keyboard in it is gone. */
  constructor(
    private readonly e: Editor,
    private readonly placing: Placing,
    private readonly actions: { selection: () => BarAction[]; placing: () => BarAction[] },
    private readonly turned: (on: boolean) => void,
    private readonly left: () => void,
  ) {}

  /** Brings the bar to what it belongs to; while a hand draws it stays as it is, so that nothing moves meanwhile. */
  update(): void {
    const { e, placing } = this;
    if (e.drawing) return;
    const wanted = !e.canPaint ? "" : placing.held ? `held ${placing.stamped} ${placing.other >= 0}` : e.selection.size ? "selection" : "";
    if (wanted === this.key) return;
    const had = this.root.contains(document.activeElement);
    const cameOrWent = !wanted !== !this.key;
    this.key = wanted;
    this.root.replaceChildren(...(!wanted ? [] : placing.held ? this.actions.placing() : this.actions.selection()).map(button));
    if (cameOrWent) this.turned(!!wanted);
    if (had) this.left();
  }
}

function button(d: BarAction): HTMLElement {
  const b = el(
    "button",
    { type: "button", class: d.main ? "bar-action main" : "bar-action", title: d.label },
    icon(d.icon),
    el("span", {}, d.label),
  );
  onPress(b, d.do);
  return b;
}
