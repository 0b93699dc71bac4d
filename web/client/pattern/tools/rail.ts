// The rail: undo and redo, more, zoom, and on small windows the way to the panel. It stands above the stage
// on small windows and beside the colours on wide ones, never over the grid.
import { el } from "../../base/dom";
import { icon } from "../../base/icons";
import { say } from "../../base/words";

/** From this width on the panel stands beside the grid, as in pattern.css. */
const WIDE = "(min-width: 60.01rem)";

export class Rail {
  readonly root = el("div", { class: "rail" });
  /** Shows the panel on small windows; what it holds is said by name, the figure's front is only a picture. */
  readonly panelButton: HTMLButtonElement;
  private readonly wide = matchMedia(WIDE);

  constructor(
    private readonly steps: HTMLElement,
    private readonly sight: HTMLElement,
    private readonly beside: HTMLElement,
    thumb: HTMLElement,
    badge: HTMLElement,
    openPanel: () => void,
  ) {
    this.panelButton = el(
      "button",
      { type: "button", class: "panel-button", title: say("panel.open"), "aria-description": say("panel.open"), onclick: openPanel },
      el("span", { class: "thumb-place" }, thumb, badge),
      el("span", { class: "panel-button-name" }, say("panel.button")),
      icon("panel"),
    );
    this.wide.addEventListener("change", () => this.settle());
    this.settle();
  }

  /** Puts the buttons where the window has room for them, in the order in which they are seen. */
  private settle(): void {
    if (this.wide.matches) {
      this.root.replaceChildren();
      this.beside.prepend(this.steps);
      this.beside.append(this.sight);
    } else this.root.replaceChildren(this.steps, this.sight, this.panelButton);
  }
}
