// The papers of the figure with how many units of each: to choose from where painting is allowed, else those
// that are used, to read.

import { el } from "../base/dom";
import { inkOn } from "../base/ink";
import { say } from "../base/words";
import type { Model } from "../pattern/model/model";
import type { Colour } from "../wire/types";
import type { Brush } from "./mount";

/** More colours than these stand in rows that scroll down; one row would be very long. */
const MANY = 12;

export class Papers {
  readonly root: HTMLElement;
  private key = "";

  constructor(
    private readonly model: Model,
    private readonly brush: Brush | null,
  ) {
    this.root = el("div", { class: "stand-papers", role: brush ? "radiogroup" : "list", "aria-label": say("stand.papers") });
  }

  /** Shows the papers as they are now; costs nothing when they are as before. */
  show(): void {
    const { colours, extras } = this.model;
    const counts = colours.map((_, i) => this.model.unitsOf(i));
    const key =
      colours.map((c, i) => `${c.id} ${c.name} ${c.hex} ${c.sign} ${counts[i]}`).join() +
      (this.brush?.paper ?? extras.map((x) => x.colour).join());
    if (key === this.key) return;
    this.key = key;
    const refocus = this.root.contains(document.activeElement);
    const shown = colours.filter((c, i) => this.brush || counts[i] > 0 || extras.some((x) => x.colour === c.id));
    this.root.classList.toggle("many", shown.length > MANY);
    this.root.replaceChildren(...shown.map((c) => this.paper(c, counts[this.model.indexOfColour(c.id)])));
    if (refocus) this.root.querySelector<HTMLElement>('[aria-checked="true"]')?.focus();
  }

  private paper(c: Colour, count: number): HTMLElement {
    const chip = el("span", { class: "stand-chip", "aria-hidden": "true" }, c.sign);
    chip.style.background = c.hex;
    chip.style.color = inkOn(c.hex);
    const words = el("span", {}, c.name, " ", el("span", { class: "stand-count" }, String(count)));
    if (!this.brush) return el("span", { class: "stand-paper", role: "listitem" }, chip, words);
    const inHand = c.id === this.brush.paper;
    const label = say("stand.paper", { Name: c.name, Count: count });
    const b = el(
      "button",
      {
        type: "button",
        class: "stand-paper",
        role: "radio",
        "aria-checked": String(inHand),
        "aria-label": label,
        tabindex: inHand ? "0" : "-1",
      },
      chip,
      words,
    );
    b.addEventListener("click", () => this.choose(c.id));
    b.addEventListener("keydown", (e) => this.arrows(e, c.id));
    return b;
  }

  private choose(id: string): void {
    this.brush?.choose(id);
    this.show();
  }

  private arrows(e: KeyboardEvent, id: string): void {
    const by = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[e.key];
    if (!by) return;
    e.preventDefault();
    const list = this.model.colours;
    const i = list.findIndex((c) => c.id === id);
    this.choose(list[(i + by + list.length) % list.length].id);
  }
}
