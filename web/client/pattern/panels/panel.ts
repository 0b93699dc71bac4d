// The side panel: views, rings, papers, what was found, and the history, one at a time. Beside the grid on wide windows, a
// sheet over it on small ones.
import { el, onPress } from "../../base/dom";
import { icon } from "../../base/icons";
import { say } from "../../base/words";

export interface Part {
  name: "views" | "stand" | "parts" | "rings" | "units" | "extras" | "papers" | "picture" | "check" | "history";
  root: HTMLElement;
  /** Called when the part comes into sight, and when the figure changed while it is. */
  update(): void;
}

/** Parts that are used together with the grid: on small windows they leave it in sight. */
const LOW = new Set<Part["name"]>(["units", "extras", "picture", "check"]);

export class Panel {
  readonly root: HTMLElement;
  private readonly body = el("div", { class: "panel-body", role: "tabpanel", tabindex: 0, id: "panel-body" });
  private readonly tabs = el("div", { class: "tabs", role: "tablist", "aria-label": say("panel") });
  private readonly unseen = el("p", { class: "panel-unseen", hidden: true });
  private parts: Part[] = [];
  private now: Part | null = null;
  private back: HTMLElement | null = null;

  constructor() {
    const shut = el("button", { type: "button", class: "quiet round panel-close", "aria-label": say("panel.close") }, icon("close"));
    onPress(shut, () => this.close());
    this.root = el(
      "aside",
      { class: "panel", "aria-label": say("panel") },
      el("div", { class: "panel-head" }, this.tabs, shut),
      this.unseen,
      this.body,
    );
    this.tabs.addEventListener("keydown", (ev) => this.arrows(ev));
    this.root.addEventListener("keydown", (ev) => {
      if (ev.key === "Escape" && this.isSheet) this.close();
    });
  }

  add(part: Part): void {
    this.parts.push(part);
    const tab = el(
      "button",
      { type: "button", role: "tab", id: `tab-${part.name}`, "aria-controls": "panel-body", "aria-selected": "false", tabindex: -1 },
      say(`panel.${part.name}`),
    );
    tab.addEventListener("click", () => this.show(part.name));
    this.tabs.append(tab);
    if (!this.now) this.show(part.name);
  }

  show(name: Part["name"]): void {
    const part = this.parts.find((p) => p.name === name);
    if (!part) return;
    this.now = part;
    this.root.classList.toggle("low", LOW.has(name));
    this.body.replaceChildren(part.root);
    this.body.setAttribute("aria-labelledby", `tab-${name}`);
    for (const tab of this.tabs.children) {
      const on = tab.id === `tab-${name}`;
      tab.setAttribute("aria-selected", String(on));
      (tab as HTMLElement).tabIndex = on ? 0 : -1;
    }
    part.update();
  }

  /** Shows a number at a part's tab, none for 0; label is what a screen reader says for it. */
  badge(name: Part["name"], count: number, label: string): void {
    const tab = this.tabs.querySelector(`#tab-${name}`);
    tab?.querySelector(".badge")?.remove();
    if (count) tab?.append(el("span", { class: "badge", "data-count": count }, el("span", { class: "seen-by-readers" }, label)));
  }

  /** Says, above the part, what cannot be shown yet; "" says nothing. The banner tells screen readers. */
  sayUnseen(text: string): void {
    this.unseen.textContent = text;
    this.unseen.hidden = !text;
  }

  /** Brings the part in sight up to date. */
  update(): void {
    if (this.visible) this.now?.update();
  }

  get visible(): boolean {
    return this.root.offsetParent !== null;
  }

  /** Gives the keyboard to the part in sight. */
  focus(): void {
    this.body.focus({ preventScroll: true });
  }

  /** Whether the panel covers the lower half of a small window, in place of the tools and papers. */
  get isLow(): boolean {
    return this.isSheet && this.root.classList.contains("low");
  }

  private get isSheet(): boolean {
    return this.root.classList.contains("open");
  }

  /** Opens the panel as a sheet on small windows. */
  open(name?: Part["name"]): void {
    this.back = document.activeElement as HTMLElement;
    this.root.classList.add("open");
    if (name) this.show(name);
    this.now?.update();
    this.tabs.querySelector<HTMLElement>("[aria-selected=true]")?.focus({ preventScroll: true });
  }

  /** Shows a part where it is seen: beside the grid, or over it as a sheet. */
  reach(name: Part["name"]): void {
    if (!this.visible) {
      this.open(name);
      return;
    }
    this.show(name);
    this.focus();
  }

  close(): void {
    this.root.classList.remove("open");
    this.back?.focus({ preventScroll: true });
  }

  private arrows(ev: KeyboardEvent): void {
    const by = { ArrowRight: 1, ArrowLeft: -1 }[ev.key];
    if (!by || !this.now) return;
    ev.preventDefault();
    const at = this.parts.indexOf(this.now);
    const next = this.parts[(at + by + this.parts.length) % this.parts.length];
    this.show(next.name);
    document.getElementById(`tab-${next.name}`)?.focus();
  }
}
