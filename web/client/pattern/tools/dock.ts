// The dock at the lower edge, within reach of a thumb: tools above, papers below.

import { el, offWhen, onPress, set } from "../../base/dom";
import { type IconName, icon } from "../../base/icons";
import { inkOn } from "../../base/ink";
import { say } from "../../base/words";
import { type Action, type Actions, keyText } from "../actions/action";
import type { Papers } from "../panels/papers";
import { besideButton } from "./buttons";
import { type Editor, TOOLS, type Tool } from "./editor";

export class Dock {
  readonly root: HTMLElement;
  /** The row of the papers; on wide windows the rail has its places at both ends. */
  readonly paperRow: HTMLElement;
  readonly papers = el("div", { class: "papers", role: "radiogroup", "aria-label": say("papers") });
  /** The row of the tools, which make room for the bar of what is selected or held. */
  readonly toolRow = el("div", { class: "tool-row" });
  private readonly tools = el("div", { class: "tools", role: "radiogroup", "aria-label": say("tools") });
  private readonly symmetryButton: HTMLButtonElement;
  private readonly sideButton: HTMLButtonElement;
  private readonly add: HTMLButtonElement;
  private readonly edit: HTMLButtonElement;
  private key = "";

  private actions: Actions | null = null;

  constructor(
    private readonly e: Editor,
    private readonly papersPart: Papers,
  ) {
    this.symmetryButton = this.menuButton("mirror", "symmetry.menu");
    this.sideButton = this.menuButton("side", "side.menu");
    this.add = el("button", { type: "button", class: "paper add", "aria-label": say("paper.add") }, icon("plus"));
    this.add.addEventListener("click", () => this.run("paper.add", this.add));
    this.edit = el("button", { type: "button", class: "paper edit" }, icon("pencil"));
    onPress(this.edit, () => this.run("paper.edit", this.edit));
    const ways = el("div", { class: "ways" }, this.symmetryButton, this.sideButton);
    this.root = el("div", { class: "dock" });
    if (e.canPaint) {
      this.toolRow.append(this.tools, ways);
      this.root.append(this.toolRow);
    }
    this.paperRow = el("div", { class: "paper-row" }, this.papers, e.canPaint && this.add, e.canPaint && this.edit);
    this.root.append(this.paperRow);
    for (const group of [this.tools, this.papers]) group.addEventListener("keydown", (ev) => roving(ev, group));
    e.on("tool", () => this.showTool());
    e.on("symmetry", () => this.showSymmetry());
    e.on("paper", () => this.showPaper());
    this.showTool();
    this.showSymmetry();
  }

  /** Takes the table of what can be done: every tool of it gets a button. */
  offer(actions: Actions): void {
    this.actions = actions;
    this.tools.replaceChildren(...TOOLS.map((tool) => this.toolButton(tool, actions.get(`tool.${tool}`))));
    this.showTool();
  }

  private menuButton(name: IconName, action: string): HTMLButtonElement {
    const b = el("button", { type: "button", class: "tool", "aria-haspopup": "true" }, icon(name), el("span", { class: "tool-name" }));
    b.addEventListener("click", () => this.run(action, b));
    return b;
  }

  /** Does what a button stands for, over the button. */
  private run(action: string, b: HTMLElement): void {
    this.actions?.run(action, { place: this.e.focus, rings: [], ...besideButton(b, "top") });
  }

  // ---------- tools ----------

  private toolButton(tool: Tool, action: Action): HTMLElement {
    const name = say(`tool.${tool}`);
    const does = say(`tool.${tool}.does`);
    const title = say("tool.title", { Name: name, Does: does, Key: keyText(action.key ?? "") });
    const b = el(
      "button",
      { type: "button", class: "tool", role: "radio", "data-tool": tool, title, "aria-description": does },
      icon(tool),
      el("span", { class: "tool-name" }, name),
    );
    onPress(b, () => {
      if (tool === "flood" && this.e.tool === "flood") this.run("flood.menu", b);
      this.run(action.name, b);
    });
    return b;
  }

  /** Shows or hides the bar beside the tools. They keep their widths, so that the dock is as high as before, and scroll. */
  makeRoom(bar: HTMLElement, on: boolean): void {
    const tools = [...this.tools.querySelectorAll<HTMLElement>(".tool")];
    bar.hidden = true;
    for (const b of tools) b.style.width = "";
    if (!on) return;
    const widths = tools.map((b) => b.getBoundingClientRect().width);
    for (const [i, b] of tools.entries()) b.style.width = `${widths[i]}px`;
    bar.hidden = false;
    this.showTool();
  }

  /** Shows which tool is taken, and brings it into sight. */
  private showTool(): void {
    for (const b of this.tools.querySelectorAll<HTMLElement>("[data-tool]")) {
      const on = b.dataset.tool === this.e.tool;
      b.setAttribute("aria-checked", String(on));
      b.tabIndex = on ? 0 : -1;
      if (on) scrollTo(this.tools, b);
    }
  }

  private showSymmetry(): void {
    const s = this.e.symmetry;
    const on = s.mirror || s.back || s.repeat > 1;
    const parts = [
      s.mirror ? say("symmetry.mirror.short") : "",
      s.back ? say("symmetry.back.short") : "",
      s.repeat > 1 ? `${s.repeat}×` : "",
    ].filter(Boolean);
    this.name(this.symmetryButton, on ? parts.join(" ") : say("symmetry"), on);
    this.symmetryButton.setAttribute("aria-label", `${say("symmetry")}: ${on ? parts.join(", ") : say("off")}`);
    this.name(this.sideButton, this.e.side === "as_is" ? say("side.button") : say(`side.${this.e.side}.short`), this.e.side !== "as_is");
    this.sideButton.setAttribute("aria-label", `${say("side")}: ${say(`side.${this.e.side}`)}`);
  }

  private name(b: HTMLElement, text: string, on: boolean): void {
    b.querySelector(".tool-name")!.textContent = text;
    b.classList.toggle("on", on);
  }

  // ---------- papers ----------

  /** Brings the colours and their counts up to date. */
  update(): void {
    const { m } = this.e;
    const key = m.colours.map((c) => c.id + c.hex + c.name + c.sign).join("|");
    if (key !== this.key) {
      this.key = key;
      this.papers.replaceChildren(...m.colours.map((_, i) => this.paperButton(i)));
      set(this.add, { title: say("paper.add"), ...offWhen(this.e.noMoreColours) });
      this.showPaper();
    }
    this.papers.querySelectorAll<HTMLElement>("[data-paper]").forEach((b, i) => {
      const text = String(m.unitsOf(i));
      const count = b.querySelector(".paper-count")!;
      if (count.textContent === text) return;
      count.textContent = text;
      b.setAttribute("aria-label", say("paper.label", { Name: m.colours[i].name, Count: m.unitsOf(i) }));
    });
  }

  private paperButton(i: number): HTMLElement {
    const c = this.e.m.colours[i];
    const face = el("span", { class: "paper-face", "aria-hidden": "true" }, c.sign);
    face.style.backgroundColor = c.hex;
    face.style.color = inkOn(c.hex);
    const b = el(
      "button",
      { type: "button", class: "paper", role: "radio", "data-paper": c.id, title: c.name, "aria-label": c.name },
      face,
      el("span", { class: "paper-count", "aria-hidden": "true" }),
    );
    let held = 0;
    let opened = false; // by holding: lifting the finger chooses nothing then
    const more = () => {
      const { x, y } = besideButton(b, "top");
      this.papersPart.card(c.id, x, y);
    };
    onPress(b, () => {
      if (!opened) this.e.choosePaper(c.id);
      opened = false;
    });
    b.addEventListener("contextmenu", (ev) => {
      ev.preventDefault();
      more();
    });
    b.addEventListener("pointerdown", () => {
      opened = false;
      held = window.setTimeout(() => {
        opened = true;
        more();
      }, 600);
    });
    for (const t of ["pointerup", "pointerleave", "pointercancel"]) b.addEventListener(t, () => clearTimeout(held));
    return b;
  }

  /** Gives the keyboard to the paper in hand. */
  focusPaper(): void {
    this.papers.querySelector<HTMLElement>("[aria-checked=true]")?.focus();
  }

  private showPaper(): void {
    const name = this.e.m.colours[this.e.m.indexOfColour(this.e.paper)]?.name ?? "";
    set(this.edit, { "aria-label": say("paper.change", { Name: name }), title: say("paper.change", { Name: name }) });
    for (const b of this.papers.querySelectorAll<HTMLElement>("[data-paper]")) {
      const on = b.dataset.paper === this.e.paper;
      b.setAttribute("aria-checked", String(on));
      b.tabIndex = on ? 0 : -1;
      if (on) scrollTo(this.papers, b);
    }
  }
}

/** Scrolls a row sideways until one of its buttons is in sight, and never the page. */
function scrollTo(row: HTMLElement, b: HTMLElement): void {
  const [at, room] = [b.getBoundingClientRect(), row.getBoundingClientRect()];
  if (at.left < room.left) row.scrollLeft -= room.left - at.left;
  else if (at.right > room.right) row.scrollLeft += at.right - room.right;
}

/** Arrow keys inside a group of choices. */
function roving(ev: KeyboardEvent, group: HTMLElement): void {
  const by = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[ev.key];
  if (!by) return;
  ev.preventDefault();
  ev.stopPropagation();
  const items = [...group.querySelectorAll<HTMLElement>("button")];
  const at = items.indexOf(document.activeElement as HTMLElement);
  const next = items[(at + by + items.length) % items.length];
  next.focus();
  if (next.getAttribute("role") === "radio") next.click();
}
