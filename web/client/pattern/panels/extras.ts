// The part of the panel that lists the extras: each with its place, to be changed, moved by arrow keys or
// buttons, or taken off.
import { el } from "../../base/dom";
import { icon } from "../../base/icons";
import type { Notes } from "../../base/notes";
import { dot } from "../../base/popover";
import { say } from "../../base/words";
import type { Extra } from "../../wire/types";
import type { Extras } from "../dialogs/extra-dialog";
import { whereIs } from "../dialogs/extra-dialog";
import type { Parts } from "../dialogs/part-dialog";
import type { Stage } from "../grid/stage";
import { placeOf } from "../model/model";
import { turnOf } from "../model/seats";
import { lacking } from "../model/twins";
import { nudged } from "../shaping/nudge";
import type { Editor } from "../tools/editor";
import type { Part } from "./panel";

/** After the last move an extra rests this long before the step is sent, so that a walk is one step. */
const REST_MS = 700;

export class ExtrasPart implements Part {
  readonly name = "extras" as const;
  readonly root = el("div", { class: "extras-part" });
  private readonly list = el("ul", { class: "bare extra-list" });
  private readonly none = el("p", {}, say("extras.none"));
  private moving = 0;
  private rest = 0;
  private moved: Extra | null = null;
  private readonly rows = new Map<number, { says: string; row: HTMLElement }>();

  constructor(
    private readonly e: Editor,
    private readonly stage: Stage,
    private readonly extras: Extras,
    private readonly parts: Parts,
    private readonly notes: Notes,
    visible: () => boolean,
  ) {
    const shown = () => this.root.isConnected && visible();
    stage.overlay.showsFocus.add(shown);
    stage.carriesExtras.add(shown);
    this.root.append(el("p", { class: "hint" }, say(e.canPaint ? "extras.how" : "extras.see")));
    if (e.canPaint)
      this.root.append(
        el("button", { type: "button", class: "wide-button", onclick: () => extras.add(e.focus) }, icon("plus"), say("extras.add")),
      );
    this.root.append(this.none, this.list);
  }

  update(): void {
    const { m } = this.e;
    if (this.moved) this.showMoved();
    const focused =
      document.activeElement instanceof HTMLElement && this.root.contains(document.activeElement)
        ? document.activeElement.dataset.action
        : "";
    this.none.hidden = m.extras.length > 0;
    const rows = m.extras.filter((x) => x.key > 0).map((x) => this.rowOf(x)); // those of twins go with their part's
    if (rows.length === this.list.children.length && rows.every((row, i) => row === this.list.children[i])) return;
    this.list.replaceChildren(...rows);
    if (focused) this.root.querySelector<HTMLElement>(`[data-action="${focused}"]`)?.focus({ preventScroll: true });
  }

  /** The row of an extra; one that still says the same stays, so that no hand misses it. */
  private rowOf(x: Extra): HTMLElement {
    const says = JSON.stringify([
      x,
      this.what(x),
      whereIs(this.e.m, x),
      lacking(this.e.m, x),
      this.e.m.colours[this.e.m.indexOfColour(x.colour ?? "")]?.hex,
      this.moving === x.key,
    ]);
    const had = this.rows.get(x.key);
    if (had?.says === says) return had.row;
    const row = this.row(x);
    this.rows.set(x.key, { says, row });
    return row;
  }

  private row(x: Extra): HTMLElement {
    const { e } = this;
    const colour = e.m.colours[e.m.indexOfColour(x.colour ?? "")];
    const head = el("div", { class: "extra-head" }, colour ? dot(colour.hex) : null, el("b", { dir: "auto" }, x.name));
    const row = el("li", { class: "extra-row" }, head, el("p", { class: "hint" }, this.what(x), el("br", {}), whereIs(this.e.m, x)));
    if (x.shaping) row.append(el("p", { class: "hint", dir: "auto" }, x.shaping));
    const action = (name: string, label: string, act: () => void) => {
      const b = el(
        "button",
        { type: "button", class: "quiet", "data-action": `${name}-${x.key}`, "aria-label": `${label}: ${x.name}` },
        label,
      );
      b.addEventListener("click", act);
      return b;
    };
    const actions = el(
      "div",
      { class: "finding-actions" },
      action("show", say("check.show"), () => this.lead(x)),
    );
    if (e.canPaint) {
      const move = action("move", say("extras.move"), () => this.startMoving(x));
      move.setAttribute("aria-expanded", String(this.moving === x.key));
      actions.append(
        move,
        action("change", say("extras.change"), () => this.extras.change(x)),
        action("duplicate", say("extra.duplicate"), () => this.extras.duplicate(x)),
      );
      if (x.kind === "tucked" && e.m.ringIndex(x.ring) >= 0)
        actions.append(action("part", say("extra.to_part"), () => this.parts.fromExtra(x)));
      const seat = lacking(e.m, x);
      if (seat) actions.append(action("mirror", say("extra.mirror"), () => this.extras.mirror(x, seat)));
      actions.append(action("remove", say("extra.remove"), () => e.stepExtra({ do: "remove_extra", key: x.key })));
    }
    row.append(actions);
    if (this.moving === x.key) row.append(this.pad(x));
    return row;
  }

  private what(x: Extra): string {
    const { m } = this.e;
    const paper = m.colours[m.indexOfColour(x.colour ?? "")]?.name ?? say("extras.no_colour");
    if (x.kind === "tucked") return say("extras.tucked", { Count: x.units ?? 1, Paper: paper });
    const outline = say(`extra.outline.${x.outline || "disc"}`);
    if (x.diameter_mm) return say("extras.disc", { MM: x.diameter_mm, Paper: paper });
    return say("extras.glued", { Outline: outline, Width: x.width_mm ?? 0, Height: x.height_mm ?? 0, Paper: paper });
  }

  private lead(x: Extra): void {
    const { e, stage } = this;
    e.lookAtRow(x.ring);
    const r = e.m.ringIndex(x.ring);
    if (r < 0) return;
    stage.view.reveal({ turn: turnOf(e.m.rings[r], x.at), high: r + 1 });
    e.setFocus(placeOf(r, Math.floor(x.at) % e.m.rings[r].n));
    e.select([]);
    e.tell("look");
  }

  // ---------- moving ----------

  private startMoving(x: Extra): void {
    this.send();
    this.moving = this.moving === x.key ? 0 : x.key;
    this.lead(x);
    this.update();
    this.root.querySelector<HTMLElement>(`[data-action="right-${this.moving}"]`)?.focus();
  }

  private pad(x: Extra): HTMLElement {
    const way = (name: "left" | "right" | "up" | "down", dx: number, dy: number, turned = 0) => {
      const label = say(`extras.${name}`);
      const drawing = icon("up");
      drawing.style.transform = `rotate(${turned}deg)`;
      const b = el(
        "button",
        {
          type: "button",
          class: "round",
          "data-action": `${name}-${x.key}`,
          "aria-label": label,
          title: label,
          onclick: () => this.nudge(dx, dy),
        },
        drawing,
      );
      return b;
    };
    const pad = el(
      "div",
      { class: "pad", role: "group", "aria-label": say("extras.pad", { Name: x.name }) },
      way("left", -1, 0, -90),
      way("up", 0, 1),
      way("down", 0, -1, 180),
      way("right", 1, 0, 90),
    );
    pad.addEventListener("keydown", (ev) => {
      const to = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[ev.key];
      if (!to) return;
      ev.preventDefault();
      ev.stopPropagation();
      this.nudge(to[0], to[1]);
    });
    return pad;
  }

  private nudge(dx: number, dy: number): void {
    const { e } = this;
    const at = e.m.extras.findIndex((x) => x.key === this.moving);
    if (at < 0) return;
    this.moved = { ...e.m.extras[at], ...nudged(e.m, e.m.extras[at], dx, dy) };
    const x = this.moved;
    this.showMoved();
    clearTimeout(this.rest);
    this.rest = window.setTimeout(() => this.send(), REST_MS);
    const r = e.m.ringIndex(x.ring);
    this.stage.view.reveal({ turn: turnOf(e.m.rings[r], x.at), high: r + 1 });
    e.tell("look");
    this.notes.say(whereIs(this.e.m, x));
    this.update();
  }

  /** Shows the extra that is being moved where it was moved to, whatever others did meanwhile. */
  private showMoved(): void {
    const { m } = this.e;
    const { moved } = this;
    const now = m.extras.find((x) => x.key === moved?.key);
    if (!moved || !now || m.ringIndex(moved.ring) < 0) {
      this.stopMoving();
      return;
    }
    this.moved = { ...now, ring: moved.ring, at: moved.at };
    if (now.ring !== moved.ring || now.at !== moved.at) m.moveExtra(moved.key, moved);
  }

  /** The extra, or the ring that it was moved to, is gone. */
  private stopMoving(): void {
    clearTimeout(this.rest);
    if (this.moved) this.e.m.moveExtra(this.moved.key, null);
    this.moved = null;
  }

  /** Makes one step of the moves so far. */
  private send(): void {
    const { moved } = this;
    this.stopMoving(); // shown where it was again: what moves with it is found from there
    if (!moved) return;
    this.e.stepExtra({ do: "edit_extra", extra: moved });
  }
}
