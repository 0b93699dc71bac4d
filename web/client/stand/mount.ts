// The 3D view as a thing that can stand in any element: beside the grid, or on a page of its own. It
// shows what the model shows; whoever changes the model tells it so with changed().

import { el, set } from "../base/dom";
import { luminance } from "../base/ink";
import { Marks } from "../base/marks";
import { say } from "../base/words";
import type { Model, UnitAt } from "../pattern/model/model";
import { COLOUR, SHORT } from "../pattern/model/ring";
import { LIGHT_INK_BELOW } from "../wire/types";
import { type Stance, VIEWS } from "./eye";
import { Papers } from "./papers";
import { Pointer } from "./pointer";
import { cm, ruleFor } from "./rule";
import { NoDepth, Stage } from "./stage";
import { readStanding, type Standing } from "./standing";
import type { Found } from "./units";

export { NoDepth };

/** What paints: the figure's editor on the page, so that a stroke here is a stroke like any other. */
export interface Brush {
  /** Id of the paper in hand. */
  readonly paper: string;
  choose(id: string): void;
  /** Draws over a unit; nothing is sent before lift, or before a unit of another part. */
  touch(at: UnitAt): void;
  lift(): void;
  /** Takes back what is drawn and not yet sent. */
  drop(): void;
  undo(): void;
  redo(): void;
}

export interface StandOptions {
  /** Address of the design. */
  base: string;
  /** Address of the model file. */
  file: string;
  /** The answer to the request for the places, when it was sent already. */
  places?: Promise<Response>;
  /** When the model is filled. */
  ready?: Promise<void>;
  /** null where the link does not allow to paint. */
  brush: Brush | null;
  /** Called with new sentences about the figure when it stands otherwise. */
  about?(sentences: string[]): void;
  /** What else stands beside the figure, below the view's own buttons. */
  aside?: HTMLElement | null;
  /** Leaves out what stands beside the grid already: papers, undo, what can be kept. */
  bare?: boolean;
  /** Shows a unit that was touched on the grid beside; without it a link leads to the pattern. */
  find?(at: UnitAt): void;
}

export interface Stand {
  /** The model shows something else: repaints in the next frame, and fetches the places if it must. */
  changed(): void;
  /** Draws at once: for whoever paints the grid in this very frame. */
  follow(): void;
  /** Shows the signs on the units, or not. */
  signs(on: boolean): void;
  /** Whether there is something to undo and to redo. */
  history(canUndo: boolean, canRedo: boolean): void;
}

/** Room for the scale bar, CSS pixels. */
const RULE = 130;
/** How long a change of view takes, ms. */
const GLIDE = 380;
/** Waits so long for more changes before it fetches the places anew, ms. */
const CALM = 120;

/** Puts the view into an element and fetches the figure. Throws NoDepth where there is no WebGL. */
export function mountStand(root: HTMLElement, model: Model, o: StandOptions): Stand {
  const view = new View(root, model, o);
  void view.fetch(o.places);
  return view;
}

class View implements Stand {
  private readonly stage: Stage;
  private readonly scaleText = el("span");
  private readonly scale = el("p", { class: "stand-scale" }, this.scaleText);
  private readonly named = el("p", { class: "stand-named", role: "status" });
  private readonly papers: Papers;
  private readonly undo = el("button", { type: "button", class: "stand-button" }, say("undo"));
  private readonly signSwitch = el("button", { type: "button", class: "stand-button", "aria-pressed": "false" }, say("look.signs"));
  private readonly redo = el("button", { type: "button", class: "stand-button" }, say("redo"));
  private painting = false;
  private seen = false;
  private chosen: UnitAt | null = null;
  private chosenCell = 0;
  private fetching = 0;
  private form: unknown[] = [];
  private formRev = 0;
  private wanted = false;
  private gliding = 0;
  private readonly touched = new Set<string>();

  constructor(
    private readonly root: HTMLElement,
    private readonly model: Model,
    private readonly o: StandOptions,
  ) {
    this.papers = new Papers(model, o.brush);
    this.stage = new Stage((ms, calls) => this.drawn(ms, calls));
    const { canvas } = this.stage;
    const keys = el("p", { id: "stand-keys" }, say(o.brush ? "stand.keys_paint" : "stand.keys"));
    set(canvas, {
      class: "stand-canvas",
      tabindex: "0",
      role: "application",
      "aria-label": say("stand.canvas", { Title: model.title }),
      "aria-describedby": "stand-keys",
    });
    const field = el("div", { class: "stand-field" }, canvas, this.zooms(), this.scale);
    const help = o.bare
      ? el("div", { class: "seen-by-readers" }, keys)
      : el("details", {}, el("summary", {}, say("stand.keys_title")), keys);
    const more = o.bare ? [help] : [this.papers.root, el("div", { class: "stand-keep" }, this.signSwitch), this.keeping(), o.aside, help];
    const side = el("div", { class: "stand-side" }, this.views(), o.brush ? this.tools() : null, this.named, ...more);
    root.replaceChildren(el("div", { class: "stand-layout" }, field, side));
    root.classList.add("stands");
    new Pointer(canvas, this.pointerActions());
    canvas.addEventListener("keydown", (e) => this.key(e));
    new ResizeObserver(() => this.stage.setSize(field.clientWidth, field.clientHeight)).observe(field);
    this.name(null);
    if (!o.bare) this.switchSigns();
  }

  /** Without the grid beside it the view has the switch, which is the grid's too. */
  private switchSigns(): void {
    const marks = new Marks();
    marks.changed.add(() => this.signs(marks.shows("signs")));
    this.signs(marks.shows("signs"));
    this.signSwitch.addEventListener("click", () => marks.toggle("signs"));
  }

  signs(on: boolean): void {
    set(this.signSwitch, { "aria-pressed": String(on) });
    this.stage.showSigns(on);
  }

  // ---------- the figure ----------

  async fetch(asked = fetch(`${this.o.base}/stand.bin`)): Promise<void> {
    const turn = ++this.fetching;
    this.wanted = false;
    try {
      const res = await asked;
      if (!res.ok) throw new Error(String(res.status));
      const standing = readStanding(await res.arrayBuffer());
      await this.o.ready;
      if (turn === this.fetching) this.stand(standing);
    } catch {
      if (turn === this.fetching) this.named.textContent = say("stand.lost");
    }
  }

  private stand(standing: Standing): void {
    const { model, o } = this;
    this.formed();
    this.apart.hidden = standing.scene.parts.length < 2;
    this.stage.stand(standing, model);
    set(this.stage.canvas, { "aria-label": say("stand.canvas", { Title: model.title }) });
    o.about?.(standing.scene.about);
    this.remark();
    this.papers.show();
    if (standing.scene.rev < this.formRev) this.want();
  }

  changed(): void {
    const same = this.stage.repaint(this.model);
    const formed = this.formed();
    this.papers.show();
    this.rename();
    if (formed || !same) this.want();
  }

  /** Notes what the places depend on; true when it is something else than the last time. */
  private formed(): boolean {
    const m = this.model;
    const form: unknown[] = [m.rows, m.parts, m.extras, m.unit, m.rows.length ? m.standsAt : 0];
    if (form.every((x, i) => x === this.form[i])) return false;
    this.form = form;
    this.formRev = m.rev;
    return true;
  }

  /** Fetches the places soon, once for many changes. */
  private want(): void {
    if (this.wanted || !this.stage.scene) return;
    this.wanted = true;
    setTimeout(() => void this.fetch(), CALM);
  }

  follow(): void {
    this.changed();
    this.stage.now();
  }

  private drawn(ms: number, calls: number): void {
    const { scene, canvas, eye } = this.stage;
    canvas.dataset.calls = String(calls);
    canvas.dataset.ms = ms.toFixed(2);
    if (!scene) return;
    this.root.dataset.stands = String(scene.rev); // now that it can be seen
    if (!this.seen) performance.mark("figure stands");
    this.seen = true;
    const length = ruleFor(eye.pixelsPerMM, RULE);
    this.scale.style.width = `${length * 10 * eye.pixelsPerMM}px`;
    const text = scene.calibrated
      ? say("stand.scale", { Cm: cm(length) })
      : say("stand.scale_about", { Cm: cm(length), Low: cm(length * scene.low), High: cm(length * scene.high) });
    if (this.scaleText.textContent !== text) this.scaleText.textContent = text;
  }

  // ---------- looking ----------

  private views(): HTMLElement {
    const bar = el("div", { class: "stand-views", role: "group", "aria-label": say("stand.views") });
    for (const [name, stance] of Object.entries(VIEWS) as [keyof typeof VIEWS, Stance][]) {
      bar.append(el("button", { type: "button", class: "stand-button", onclick: () => this.glide(stance) }, say(`stand.view.${name}`)));
    }
    this.apart.addEventListener("click", () => this.pull());
    return bar;
  }

  /** Pulls the parts of the figure apart; a figure of one part has no such button. */
  private readonly apart = el(
    "button",
    {
      type: "button",
      class: "stand-button",
      "aria-pressed": "false",
      "aria-label": say("stand.apart"),
      title: say("stand.apart"),
      hidden: true,
    },
    "⇕",
  );

  private pull(): void {
    const on = this.apart.getAttribute("aria-pressed") !== "true";
    set(this.apart, { "aria-pressed": String(on) });
    this.stage.pull(on);
    this.stage.repaint(this.model);
    this.remark();
  }

  private zooms(): HTMLElement {
    const button = (name: "nearer" | "farther" | "whole", sign: string, act: () => void) =>
      el(
        "button",
        { type: "button", class: "stand-button", "aria-label": say(`stand.${name}`), title: say(`stand.${name}`), onclick: act },
        sign,
      );
    return el(
      "div",
      { class: "stand-zooms" },
      button("nearer", "+", () => this.zoom(1.35)),
      button("farther", "−", () => this.zoom(1 / 1.35)),
      button("whole", "⤢", () => this.glide(this.stage.eye)),
      this.apart,
    );
  }

  private zoom(factor: number): void {
    this.stop();
    this.stage.eye.zoom(factor);
    this.stage.ask();
  }

  /** Goes to a stance, all of the figure in sight; at once for those who asked for less motion. */
  private glide(to: Stance, near = 1): void {
    this.stop();
    const { eye } = this.stage;
    const from = { turn: eye.turn, rise: eye.rise, near: eye.near, target: eye.target.clone() };
    const turn = from.turn + Math.atan2(Math.sin(to.turn - from.turn), Math.cos(to.turn - from.turn));
    const goal = { turn, rise: to.rise };
    if (matchMedia("(prefers-reduced-motion: reduce)").matches) {
      eye.stand(goal, near);
      this.stage.ask();
      return;
    }
    const begin = performance.now();
    const step = () => {
      const t = Math.min(1, (performance.now() - begin) / GLIDE);
      const k = t * t * (3 - 2 * t);
      eye.stand(
        { turn: from.turn + (goal.turn - from.turn) * k, rise: from.rise + (goal.rise - from.rise) * k },
        from.near + (near - from.near) * k,
      );
      eye.target.lerpVectors(from.target, eye.target.clone(), k);
      eye.place();
      this.stage.ask();
      this.gliding = t < 1 ? requestAnimationFrame(step) : 0;
    };
    step();
  }

  private stop(): void {
    cancelAnimationFrame(this.gliding);
    this.gliding = 0;
  }

  // ---------- tools ----------

  private pointerActions() {
    const { eye } = this.stage;
    const look = (change: () => void) => {
      this.stop();
      change();
      this.stage.ask();
    };
    return {
      grab: (x: number, y: number) => this.grab(x, y),
      stroke: (x: number, y: number) => this.stroke(x, y),
      lift: () => this.o.brush?.lift(),
      drop: () => this.o.brush?.drop(),
      tap: (x: number, y: number) => this.tap(x, y),
      orbit: (dx: number, dy: number) => look(() => eye.orbit(dx, dy)),
      pan: (dx: number, dy: number) => look(() => eye.pan(dx, dy)),
      zoom: (factor: number) => look(() => eye.zoom(factor)),
    };
  }

  private tap(x: number, y: number): void {
    this.name(this.stage.find(x, y, this.model));
    if (this.chosen !== null) this.o.find?.(this.chosen);
  }

  private tools(): HTMLElement {
    const bar = el("div", { class: "stand-tools", role: "group", "aria-label": say("stand.tools") });
    const buttons = (["turn", "paint"] as const).map((name) => {
      const b = el(
        "button",
        { type: "button", class: "stand-button", "aria-pressed": String((name === "paint") === this.painting) },
        say(`stand.tool.${name}`),
      );
      b.addEventListener("click", () => {
        this.painting = name === "paint";
        for (const x of buttons) set(x, { "aria-pressed": String((x === buttons[1]) === this.painting) });
        this.stage.canvas.classList.toggle("paints", this.painting);
      });
      return b;
    });
    this.undo.addEventListener("click", () => isOn(this.undo) && this.o.brush?.undo());
    this.redo.addEventListener("click", () => isOn(this.redo) && this.o.brush?.redo());
    bar.append(...buttons);
    if (!this.o.bare) bar.append(this.undo, this.redo);
    return bar;
  }

  history(canUndo: boolean, canRedo: boolean): void {
    set(this.undo, { "aria-disabled": String(!canUndo) });
    set(this.redo, { "aria-disabled": String(!canRedo) });
  }

  private grab(x: number, y: number): boolean {
    if (!this.painting || !this.o.brush) return false;
    const found = this.stage.find(x, y, this.model);
    if (!found?.unit) return false;
    this.touched.clear();
    this.paint(found.unit);
    return true;
  }

  private stroke(x: number, y: number): void {
    const found = this.stage.find(x, y, this.model);
    if (found?.unit) this.paint(found.unit);
  }

  private paint(at: UnitAt): void {
    const key = `${at.row} ${at.unit}`;
    if (this.touched.has(key)) return;
    this.touched.add(key);
    this.o.brush?.touch(at);
    this.stage.repaint(this.model);
  }

  // ---------- keys ----------

  private key(e: KeyboardEvent): void {
    if (e.ctrlKey || e.metaKey) {
      if (e.key.toLowerCase() === "z" && this.o.brush) {
        if (e.shiftKey) this.o.brush.redo();
        else this.o.brush.undo();
        e.preventDefault();
      }
      return;
    }
    const act = this.acts(e.shiftKey)[e.key];
    if (!act) return;
    e.preventDefault();
    this.stop();
    act();
    this.stage.ask();
  }

  private acts(move: boolean): Record<string, () => void> {
    const { eye } = this.stage;
    const arrow = (x: number, y: number) => () => (move ? eye.pan(x * 24, y * 24) : eye.orbit(x * 24, y * 24));
    return {
      ArrowLeft: arrow(1, 0),
      ArrowRight: arrow(-1, 0),
      ArrowUp: arrow(0, 1),
      ArrowDown: arrow(0, -1),
      "+": () => eye.zoom(1.2),
      "=": () => eye.zoom(1.2),
      "-": () => eye.zoom(1 / 1.2),
      Home: () => this.glide(VIEWS.front),
      Enter: () => this.chooseMiddle(),
      PageUp: () => this.walk(1, 0),
      PageDown: () => this.walk(-1, 0),
      ",": () => this.walk(0, -1),
      ".": () => this.walk(0, 1),
      " ": () => this.paintChosen(),
      Escape: () => this.name(null),
    };
  }

  private chooseMiddle(): void {
    const { canvas } = this.stage;
    this.name(this.stage.find(canvas.clientWidth / 2, canvas.clientHeight / 2, this.model));
  }

  /** Goes from the chosen unit to its neighbour. */
  private walk(rings: number, units: number): void {
    const from = this.chosen;
    if (from === null) {
      this.chooseMiddle();
      return;
    }
    const { rows } = this.model;
    const row = this.model.row(from.row);
    if (!row) return;
    const index = rows.indexOf(row) + rings;
    const to = rows[index] && this.model.partOf(rows[index].id) === this.model.partOf(row.id) ? rows[index] : row;
    const unit = to === row ? from.unit + units : to.nearest(row.middle(from.unit));
    this.reveal({ row: to.id, unit: to.open ? Math.max(0, Math.min(to.n - 1, unit)) : (unit + to.n) % to.n });
  }

  /** Names a unit and turns the figure so that it is in sight. */
  private reveal(unit: UnitAt): void {
    const instance = this.stage.instanceOf(unit.row, unit.unit);
    if (instance < 0) return;
    this.name({ instance, unit, extra: null });
    const { eye } = this.stage;
    eye.turnTo(this.stage.turnOf(instance));
    this.stage.ask();
  }

  private paintChosen(): void {
    if (this.chosen === null || !this.o.brush) return;
    this.o.brush.touch(this.chosen);
    this.o.brush.lift();
    this.changed();
  }

  // ---------- naming ----------

  /** Says what was touched, and leads to its place in the pattern. */
  private name(found: Found | null): void {
    this.chosen = found?.unit ?? null;
    this.remark();
    if (!found) {
      this.named.replaceChildren(say(this.o.brush ? "stand.touch_paint" : "stand.touch"));
      return;
    }
    const ringID = found.extra === null ? this.nameUnit(this.chosen) : this.nameExtra(found.extra);
    if (ringID === null) return;
    const unit = this.chosen?.unit ?? 0;
    if (!this.o.find) this.named.append(" ", el("a", { href: `${this.o.base}#at-${ringID}-${unit}` }, say("stand.to_pattern")));
  }

  private nameUnit(at: UnitAt | null): number | null {
    const cell = this.cellOf(at);
    if (at === null || cell === null) return null;
    this.chosenCell = cell;
    const paper = this.model.colours[cell & COLOUR]?.name ?? "";
    const key = cell & SHORT ? "stand.unit_short" : "stand.unit";
    const part = this.model.partName(at.row);
    this.named.replaceChildren(
      dot(this.model.colours[cell & COLOUR]?.hex),
      part ? `${part}: ` : "",
      say(key, { Ring: this.model.numberOf(at.row), Unit: at.unit + 1, Paper: paper }),
    );
    return this.model.painted(at).row;
  }

  /** What a unit looks like, null when it is gone. */
  private cellOf(at: UnitAt | null): number | null {
    return (at && this.model.row(at.row)?.shown[at.unit]) ?? null;
  }

  private nameExtra(key: number): number | null {
    const extra = this.model.extras.find((x) => x.key === key);
    if (!extra) return null;
    this.named.replaceChildren(
      say(`stand.extra.${extra.kind}`, { Name: extra.name, Count: extra.units ?? 1, Ring: this.model.numberOf(extra.ring) }),
    );
    return extra.ring;
  }

  /** Says the chosen unit's paper anew when it was painted, or lets go of it when it is gone. */
  private rename(): void {
    const { chosen } = this;
    if (chosen === null) return;
    const cell = this.cellOf(chosen);
    if (cell === null) this.name(null);
    else if (cell !== this.chosenCell) this.name({ instance: -1, unit: chosen, extra: null });
  }

  private remark(): void {
    const { chosen } = this;
    const cell = this.cellOf(chosen);
    if (chosen === null || cell === null) {
      this.stage.setMark(-1, false);
      return;
    }
    const hex = this.model.colours[cell & COLOUR]?.hex ?? "";
    this.stage.setMark(this.stage.instanceOf(chosen.row, chosen.unit), luminance(hex) < LIGHT_INK_BELOW);
  }

  // ---------- keeping ----------

  private keeping(): HTMLElement {
    const picture = el(
      "button",
      { type: "button", class: "stand-button", onclick: () => void this.keepPicture() },
      say("stand.keep_picture"),
    );
    const model = el("a", { class: "button stand-button", href: this.o.file, download: "" }, say("stand.keep_model"));
    return el("div", { class: "stand-keep" }, picture, model);
  }

  private async keepPicture(): Promise<void> {
    const blob = await this.stage.picture();
    if (!blob) return;
    const link = el("a", { href: URL.createObjectURL(blob), download: `${fileName(this.model.title)}.png` });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  }
}

function isOn(button: HTMLElement): boolean {
  return button.getAttribute("aria-disabled") !== "true";
}

function dot(hex: string | undefined): HTMLElement {
  const s = el("span", { class: "dot", "aria-hidden": "true" });
  if (hex) s.style.background = hex;
  return s;
}

/** A file's name made of a title. */
export function fileName(title: string): string {
  return (
    title
      .replace(/[^\p{L}\p{N}\p{M}]+/gu, "-")
      .replace(/^-|-$/g, "")
      .slice(0, 60) || "figure"
  );
}
