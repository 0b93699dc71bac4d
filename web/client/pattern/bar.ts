// The bar that appears by the hand: what can be done with the selection, or with what is held.
import { el, onPress } from "./dom";
import type { Editor } from "./editor";
import { icon } from "./icons";
import { type Place, ringOf, unitOf } from "./model";
import type { Placing } from "./placing";
import type { View } from "./view";
import { say } from "./words";

export interface BarDeed {
  icon: string;
  label: string;
  main?: boolean;
  do: () => void;
}

export class Bar {
  readonly root = el("div", { class: "bar", role: "toolbar", "aria-label": say("bar"), hidden: true });
  private key = "";

  constructor(
    private readonly e: Editor,
    private readonly stage: HTMLElement,
    private readonly view: View,
    private readonly placing: Placing,
    private readonly deeds: { selection: () => BarDeed[]; placing: () => BarDeed[] },
  ) {
    this.root.addEventListener("pointerdown", (ev) => ev.stopPropagation());
  }

  /** Brings the bar to what it belongs to; while a hand draws it keeps out of the way. */
  update(): void {
    const { e, placing } = this;
    const wanted = !e.canPaint || e.drawing ? "" : placing.held ? `held ${placing.stamped} ${placing.other >= 0}` : e.selection.size ? "selection" : "";
    this.root.hidden = !wanted;
    if (!wanted) return;
    if (wanted !== this.key || !this.root.childElementCount) {
      this.key = wanted;
      this.root.replaceChildren(...(placing.held ? this.deeds.placing() : this.deeds.selection()).map(button));
    }
    if (placing.held && placing.hovers) this.standStill();
    else this.position(placing.held ? [placing.place] : [...e.selection]);
  }

  /** What hovers under a mouse would drive its bar along before it: there it stands above the figure, or over the
   * page's head where the figure fills the stage. */
  private standStill(): void {
    const { offsetWidth, offsetHeight } = this.root;
    const overHead = Math.max(2 - this.stage.getBoundingClientRect().top, 2 - offsetHeight);
    this.moveTo((this.view.width - offsetWidth) / 2, this.clear(offsetHeight)[0] ?? overHead);
  }

  /** Places above and below the figure at which the bar hides no unit; none where the figure fills the stage. */
  private clear(height: number): number[] {
    const { view, e } = this;
    return [view.y(e.m.rings.length + 1) - height - 6, view.y(0) + 6].filter((y) => y >= 4 && y <= view.height - height - 24);
  }

  /** Puts it above or below the figure where there is room for it, so that it hides no unit, else beside places. */
  private position(places: Place[]): void {
    const { view, e } = this;
    let left = Infinity;
    let right = -Infinity;
    let top = 0;
    let low = Infinity;
    for (const p of places) {
      const ring = e.m.rings[ringOf(p)];
      if (!ring) continue;
      const x = view.x(ring.middle(unitOf(p)));
      left = Math.min(left, x);
      right = Math.max(right, x);
      top = Math.max(top, ringOf(p));
      low = Math.min(low, ringOf(p));
    }
    const box = this.root.getBoundingClientRect();
    const room = this.placing.held ? 5 : 2.4;
    const foot = view.height - box.height - 24;
    const above = view.y(top + room) - box.height - 6;
    const beside = above > 4 ? above : Math.min(foot, view.y(low - (this.placing.held ? 3 : 0.3)) + 8);
    const y = this.clear(box.height).sort((a, b) => Math.abs(a - beside) - Math.abs(b - beside))[0] ?? beside;
    const x = Math.max(Math.min(46, view.width - box.width - 6), Math.min((left + right) / 2 - box.width / 2, view.width - box.width - 6));
    this.moveTo(x, Math.max(4, y));
  }

  private moveTo(x: number, y: number): void {
    const { offsetLeft, offsetTop } = this.stage;
    this.root.style.transform = `translate(${Math.round(offsetLeft + x)}px, ${Math.round(offsetTop + y)}px)`;
  }
}

function button(d: BarDeed): HTMLElement {
  const b = el("button", { type: "button", class: d.main ? "bar-deed main" : "bar-deed", title: d.label }, icon(d.icon), el("span", {}, d.label));
  onPress(b, d.do);
  return b;
}
