// The rings of the figure as a list, top ring first as it stands, each with its units as a strip.
// Chosen rings can be doubled, moved, turned, given another count or taken out.

import { byFinger, el } from "../../base/dom";
import { channels } from "../../base/ink";
import { showDialog } from "../../base/popover";
import { say } from "../../base/words";
import { MAX_NOTE } from "../../wire/types";
import type { Actions, Where } from "../actions/action";
import { countDialog } from "../dialogs/count-dialog";
import type { Stage } from "../grid/stage";
import { COLOUR, type Ring } from "../model/ring";
import { barButton, showOff } from "../tools/buttons";
import type { Editor } from "../tools/editor";
import type { Part } from "./panel";

/** What can be done with the chosen rings. */
const CHOSEN = [
  "ring.insert",
  "ring.duplicate",
  "ring.up",
  "ring.down",
  "ring.count",
  "ring.turn_left",
  "ring.turn_right",
  "ring.note",
  "ring.remove",
];

export class Rings implements Part {
  readonly name = "rings" as const;
  readonly root = el("div", { class: "ring-part" });
  private actions: Actions | null = null;
  private readonly bar = el("div", { class: "ring-actions", role: "toolbar", "aria-label": say("rings.actions") });
  private readonly list = el("ul", {
    class: "ring-list",
    role: "listbox",
    "aria-multiselectable": "true",
    "aria-label": say("rings.list"),
    tabindex: 0,
  });
  private chosen = new Set<number>();
  private active = 0;
  private shape = -1;
  private rows: HTMLElement[] = [];
  private strips: HTMLCanvasElement[] = [];
  private drawn: string[] = [];

  constructor(
    private readonly e: Editor,
    private readonly stage: Stage,
    private readonly base: string,
  ) {
    this.root.append(el("p", { class: "hint" }, say(byFinger() ? "rings.how.touch" : "rings.how")), this.list);
    if (e.canPaint) this.root.prepend(this.bar);
    this.list.addEventListener("click", (ev) => this.clicked(ev));
    this.list.addEventListener("keydown", (ev) => this.keyed(ev));
  }

  // ---------- the list ----------

  update(): void {
    const { m } = this.e;
    if (this.shape !== m.shape) {
      this.shape = m.shape;
      const ids = new Set(m.rings.map((r) => r.id));
      for (const id of this.chosen) if (!ids.has(id)) this.chosen.delete(id);
      this.active = Math.min(this.active, m.rings.length - 1);
      this.build();
    }
    this.drawStrips();
    this.mark();
  }

  private build(): void {
    const { m } = this.e;
    this.rows = [];
    this.strips = [];
    this.drawn = [];
    const items: HTMLElement[] = [];
    for (let r = m.rings.length - 1; r >= 0; r--) {
      const ring = m.rings[r];
      const strip = el("canvas", { class: "strip", "aria-hidden": "true" });
      const notes = [ring.after, ring.note].filter(Boolean).join(" · ");
      const row = el(
        "li",
        { role: "option", id: `ring-row-${r}`, "data-ring": r, "aria-selected": "false" },
        el("span", { class: "ring-tick", "aria-hidden": "true" }),
        el("span", { class: "seen-by-readers" }, say("rings.row", { Ring: r + 1, Count: ring.n })),
        el("span", { class: "ring-number", "aria-hidden": "true" }, String(r + 1)),
        el("span", { class: "ring-face" }, strip, notes ? el("span", { class: "ring-note" }, notes) : null),
        el("span", { class: "ring-count", "aria-hidden": "true" }, `×${ring.n}`),
      );
      this.rows[r] = row;
      this.strips[r] = strip;
      items.push(row);
    }
    this.list.replaceChildren(...items);
  }

  /** Draws the strips whose units changed: one pixel a unit, stretched by the style sheet. */
  private drawStrips(): void {
    const { m } = this.e;
    const papers = m.colours.map((c) => channels(c.hex));
    m.rings.forEach((ring, r) => {
      const key = String.fromCharCode(...ring.shown.slice(0, 1000)) + m.colours.map((c) => c.hex).join("");
      if (this.drawn[r] === key) return;
      this.drawn[r] = key;
      drawStrip(this.strips[r], ring, papers, m.frontTurn);
    });
  }

  private mark(): void {
    const { m } = this.e;
    this.rows.forEach((row, r) => {
      row.setAttribute("aria-selected", String(this.chosen.has(m.rings[r]?.id)));
      row.classList.toggle("active", r === this.active);
    });
    this.list.setAttribute("aria-activedescendant", `ring-row-${this.active}`);
    for (const b of this.bar.querySelectorAll("button")) if (this.actions) showOff(b, this.actions, b.dataset.name ?? "", this.at());
  }

  private clicked(ev: MouseEvent): void {
    const row = (ev.target as Element).closest<HTMLElement>("[data-ring]");
    if (!row) return;
    const r = Number(row.dataset.ring);
    const tick = !!(ev.target as Element).closest(".ring-tick");
    this.choose(r, ev.shiftKey, tick || ev.ctrlKey || ev.metaKey);
  }

  private keyed(ev: KeyboardEvent): void {
    const { m } = this.e;
    const by = { ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10, Home: m.rings.length, End: -m.rings.length }[ev.key];
    if (by) {
      const to = Math.max(0, Math.min(m.rings.length - 1, this.active + by));
      this.choose(to, ev.shiftKey, false);
    } else if (ev.key.toLowerCase() === "a" && (ev.ctrlKey || ev.metaKey)) {
      this.chosen = new Set(m.rings.map((r) => r.id));
      this.mark();
    } else if (ev.key === " ") this.choose(this.active, false, true);
    else if (ev.key === "Delete") this.actions?.run("ring.remove", this.at());
    else return;
    ev.preventDefault();
    ev.stopPropagation();
    this.rows[this.active]?.scrollIntoView({ block: "nearest" });
  }

  /** Chooses a ring alone, up to it from the last one, or in addition. */
  choose(r: number, upTo: boolean, also: boolean): void {
    const { m } = this.e;
    const id = m.rings[r].id;
    if (upTo) for (let k = Math.min(r, this.active); k <= Math.max(r, this.active); k++) this.chosen.add(m.rings[k].id);
    else if (also) {
      if (!this.chosen.delete(id)) this.chosen.add(id);
    } else this.chosen = new Set([id]);
    this.active = r;
    const view = this.stage.view;
    view.reveal({ turn: view.centre, high: r + 1 });
    this.e.tell("look");
    this.mark();
  }

  // ---------- actions ----------

  /** Takes the table of what can be done. */
  offer(actions: Actions): void {
    this.actions = actions;
    this.bar.replaceChildren(...CHOSEN.map((name) => barButton(actions, actions.get(name), () => this.at())));
    this.mark();
  }

  private at(): Where {
    return { place: this.e.focus, rings: this.ids(), x: 0, y: 0 };
  }

  /** Chosen rings by id, from the bottom. */
  private ids(): number[] {
    return this.e.m.rings.filter((r) => this.chosen.has(r.id)).map((r) => r.id);
  }

  /** Moves a stretch of rings over the ring above or below it. */
  move(ids: number[], by: number): void {
    const { m } = this.e;
    const { rings } = m;
    const at = ids.map((id) => m.ringIndex(id)).sort((a, b) => a - b);
    const over = by > 0 ? m.upon(at[at.length - 1]) : m.footing(at[0]).ring;
    if (over < 0) return;
    const to = by > 0 ? over : m.footing(over).ring;
    this.e.step({ do: "move_rings", rings: ids, above: to < 0 ? 0 : rings[to].id });
  }

  noteDialog(r: number): void {
    const ring = this.e.m.rings[r];
    const after = el("input", { type: "text", value: ring.after, maxlength: MAX_NOTE, id: "ring-after" });
    const note = el("textarea", { maxlength: MAX_NOTE, id: "ring-note" }, ring.note);
    const form = el(
      "form",
      {},
      el(
        "div",
        { class: "field" },
        el("label", { for: "ring-after" }, say("rings.after")),
        after,
        el("span", { class: "hint" }, say("rings.after.hint")),
      ),
      el("div", { class: "field" }, el("label", { for: "ring-note" }, say("rings.own_note")), note),
      el("button", { class: "main", type: "submit" }, say("rings.note.save")),
    );
    form.addEventListener("submit", (ev) => {
      ev.preventDefault();
      dialog.close();
      this.e.step({ do: "ring_note", ring: ring.id, after: after.value.trim(), note: note.value.trim() });
    });
    const dialog = showDialog(say("rings.note.title", { Ring: r + 1 }), form);
  }

  /** Another count for the chosen rings, with a look at what comes of it. */
  countDialog(ids: number[]): void {
    countDialog(this.e, this.base, ids);
  }
}

function drawStrip(canvas: HTMLCanvasElement, ring: Ring, papers: number[][], frontTurn: number): void {
  canvas.width = ring.n;
  canvas.height = 1;
  const c = canvas.getContext("2d")!;
  const picture = c.createImageData(ring.n, 1);
  // The strip is cut open at the back, so that the front stands in its middle.
  const first = ring.nearest(frontTurn + 0.5 + 0.5 / ring.n);
  for (let i = 0; i < ring.n; i++) {
    const [r, g, b] = papers[ring.shown[(first + i) % ring.n] & COLOUR] ?? [128, 128, 128];
    picture.data.set([r, g, b, 255], i * 4);
  }
  c.putImageData(picture, 0, 0);
}
