// The stage: the painted grid with what lies over it, and what comes to it: mouse, pen, fingers, wheel.

import { el } from "../../base/dom";
import { Deciders, Listeners } from "../../base/listeners";
import type { Marks } from "../../base/marks";
import { say } from "../../base/words";
import type { Extra } from "../../wire/types";
import { type Spot, unitUnder } from "../model/lattice";
import { atOf } from "../model/seats";
import type { Editor } from "../tools/editor";
import { Cells, unitLabel } from "./cells";
import { Grid } from "./grid";
import { type Inks, Overlay } from "./overlay";
import { RULER, View } from "./view";

/** A finger that rests so long without moving opens the menu of its unit. */
const LONG_PRESS_MS = 550;
/** A second finger means: not a stroke, a look around. Only a stroke this old and this long (px) is kept then. */
const STROKE_MS = 600;
const STROKE_PX = 24;
/** After so long without moving, a picture that was painted roughly is painted finely. */
const REST_MS = 140;
/** So many measures of strokes are kept for a look at how quick the page is; then they start anew. */
const MEASURES = 5000;

export class Stage {
  readonly root: HTMLElement;
  readonly view: View;
  readonly grid: Grid;
  readonly overlay: Overlay;
  readonly cells: Cells;
  /** The menu of a unit is asked for, at a place of the page. */
  readonly menuAsked = new Listeners<[place: number, x: number, y: number]>();
  /** The menu of a ring is asked for on the ruler, at a place of the page. */
  readonly ringAsked = new Listeners<[ring: number, x: number, y: number]>();
  /** The front line was carried to a turn. */
  readonly frontCarried = new Listeners<[turn: number]>();
  /** An extra was carried to a place of a ring (by index), which may be where it was. */
  readonly extraCarried = new Listeners<[extra: Extra, ring: number, at: number]>();
  /** A frame was painted; changed says whether a unit changed its look. */
  readonly painted = new Listeners<[changed: boolean]>();
  /** Whether every tool carries extras, not only the one that selects. */
  readonly carriesExtras = new Deciders();
  /** Each may take the pointer instead of the tools, as while something is being placed; yes when it did. */
  readonly intercepts = new Deciders<[kind: "hover" | "down" | "up", s: Spot, touch: boolean]>();

  private pointers = new Map<number, { x: number; y: number }>();
  private mode: "none" | "draw" | "pan" | "ruler" | "door" | "place" | "extra" | "front" = "none";
  private drawn = { since: 0, x: 0, y: 0, far: 0 };
  private pinch = { gap: 0, x: 0, y: 0 };
  private press = 0;
  private pressAt = { x: 0, y: 0 };
  private strokeStart = 0;
  private inputTime = 0;
  private frame = 0;
  private measured = 0;
  private opened = false;
  private seen = false;
  private spaceHeld = false;

  constructor(
    private readonly e: Editor,
    inks: Inks,
    marks: Marks,
  ) {
    this.view = new View(e.m);
    const canvas = el("canvas", { class: "paper-layer", "aria-hidden": "true" });
    const over = el("canvas", { class: "over-layer", "aria-hidden": "true" });
    this.grid = new Grid(canvas, e.m, this.view, inks.ground, marks);
    this.overlay = new Overlay(over, e, this.view, inks, marks);
    this.cells = new Cells(e, this.view);
    const how = el("p", { id: "grid-how", class: "seen-by-readers" }, say("grid.how"));
    this.root = el("div", { class: "stage" }, canvas, over, this.cells.root, how);
    this.listen();
    let resting = 0;
    this.grid.wentRough.add(() => {
      clearTimeout(resting);
      resting = window.setTimeout(() => {
        this.grid.refine();
        this.wanted();
      }, REST_MS);
    });
    marks.changed.add((mark) => {
      if (mark === "signs") this.grid.refreshTiles();
      e.tell("look");
    });
    new ResizeObserver(() => {
      this.resized();
      this.now(); // a canvas of another size is black until it is painted
    }).observe(this.root);
    e.on("paint", () => this.wanted());
    for (const t of ["look", "selection", "symmetry", "tool", "hover", "figure"] as const) e.on(t, () => this.wanted());
    e.on("focus", () => this.wanted());
  }

  // ---------- painting ----------

  /** Asks for a frame. */
  wanted(): void {
    if (!this.frame) this.frame = requestAnimationFrame(() => this.paint());
  }

  /** Paints in the frame that is being made. */
  private now(): void {
    cancelAnimationFrame(this.frame);
    this.paint();
  }

  private paint(): void {
    this.frame = 0;
    if (!this.opened) return;
    this.grid.paint();
    this.overlay.paint();
    this.cells.update();
    if (!this.seen) performance.mark("grid painted");
    this.seen = true;
    if (this.strokeStart) {
      if (++this.measured % MEASURES === 0) for (const name of ["stroke", "stroke-input"]) performance.clearMeasures(name);
      performance.measure("stroke", { start: this.strokeStart, end: performance.now() });
      performance.measure("stroke-input", { start: this.inputTime, end: performance.now() });
      this.strokeStart = 0;
    }
    this.painted.tell(this.e.m.dirtyAll || this.e.m.elsewhere || this.e.m.dirty.length > 0);
    this.e.m.allPainted();
  }

  private resized(): void {
    const box = this.root.getBoundingClientRect();
    if (box.width < 10 || box.height < 10) return;
    const v = this.view;
    v.setStage(box.width, box.height, Math.min(3, devicePixelRatio || 1));
    if (this.opened && !this.e.drawing) v.settle(); // under a stroke the grid stays where it is
    this.grid.resize();
    this.wanted();
  }

  /** Shows the figure for the first time, once it and the stage are there. */
  open(): void {
    this.resized();
    this.view.open(this.e.canPaint && matchMedia("(pointer: coarse)").matches);
    this.opened = true;
    this.grid.resize();
    this.wanted();
  }

  fit(): void {
    this.view.fit();
    this.e.tell("look");
  }

  zoom(factor: number): void {
    this.view.zoom(factor, this.view.midX, this.view.height / 2);
    this.e.tell("look");
  }

  pan(dx: number, dy: number): void {
    this.view.pan(dx, dy);
    this.e.tell("look");
  }

  // ---------- pointer ----------

  private listen(): void {
    const r = this.root;
    r.addEventListener("pointerdown", (ev) => this.down(ev));
    r.addEventListener("pointermove", (ev) => this.move(ev));
    r.addEventListener("pointerup", (ev) => this.up(ev, false));
    r.addEventListener("pointercancel", (ev) => this.up(ev, true));
    r.addEventListener("pointerleave", () => this.hover(-1));
    r.addEventListener("wheel", (ev) => this.wheel(ev), { passive: false });
    r.addEventListener("contextmenu", (ev) => {
      ev.preventDefault();
      if (this.mode === "none") this.menuAt(ev.clientX, ev.clientY);
    });
    for (const type of ["keydown", "keyup"] as const)
      addEventListener(type, (ev) => {
        if (ev.key === " ") this.spaceHeld = type === "keydown";
      });
    document.fonts?.ready.then(() => {
      this.grid.refreshTiles();
      this.wanted();
    });
  }

  private at(ev: { clientX: number; clientY: number }): { x: number; y: number } {
    const box = this.root.getBoundingClientRect();
    return { x: ev.clientX - box.left, y: ev.clientY - box.top };
  }

  private down(ev: PointerEvent): void {
    if (ev.target instanceof Element && ev.target.closest("button, a, input, .notes")) return;
    ev.preventDefault();
    const p = this.at(ev);
    this.pointers.set(ev.pointerId, p);
    this.root.setPointerCapture(ev.pointerId);
    if (this.pointers.size === 2) {
      this.startPinch();
      return;
    }
    if (this.pointers.size > 2) return;
    this.cells.update(true);
    if (ev.button === 1 || (ev.pointerType === "mouse" && this.spaceHeld && this.mode === "none" && ev.button === 0)) this.mode = "pan";
    else if (ev.button === 2) this.forget(ev.pointerId);
    else if (p.x < RULER) this.mode = "ruler";
    else if (this.overlay.doorAt(p.x, p.y) >= 0) this.mode = "door";
    else if (this.e.canPaint && !this.e.m.rings[0]?.open && this.overlay.onFrontFlag(p.x, p.y)) this.carryFront(p.x);
    else this.startDrawing(ev, p);
  }

  private startDrawing(ev: PointerEvent, p: { x: number; y: number }): void {
    const s = this.view.spot(p.x, p.y);
    if (this.intercepts.any("down", s, ev.pointerType !== "mouse")) {
      this.mode = "place";
      return;
    }
    const extra =
      this.e.canPaint && (this.e.tool === "select" || this.carriesExtras.any())
        ? this.overlay.extraAt(p.x, p.y, this.carriesExtras.any())
        : null;
    if (extra) {
      this.mode = "extra";
      this.overlay.carryExtra(extra, p);
      return;
    }
    if (!this.e.canPaint || !this.view.onFigure(p.x)) {
      this.mode = "pan";
      return;
    }
    this.mode = "draw";
    this.drawn = { since: performance.now(), ...p, far: 0 };
    this.mark(ev);
    if (ev.pointerType === "touch" || ev.pointerType === "pen") this.waitForLongPress(ev);
    this.e.begin(s, this.view.unit, ev.shiftKey);
  }

  private waitForLongPress(ev: PointerEvent): void {
    this.pressAt = { x: ev.clientX, y: ev.clientY };
    clearTimeout(this.press);
    this.press = window.setTimeout(() => {
      if (this.mode !== "draw" || this.pointers.size !== 1) return;
      this.e.cancel();
      this.mode = "none";
      this.menuAt(this.pressAt.x, this.pressAt.y);
    }, LONG_PRESS_MS);
  }

  private mark(ev: PointerEvent): void {
    if (this.strokeStart) return;
    this.strokeStart = performance.now();
    this.inputTime = Math.min(ev.timeStamp, this.strokeStart);
  }

  private move(ev: PointerEvent): void {
    const p = this.at(ev);
    const before = this.pointers.get(ev.pointerId);
    if (!before) {
      const s = this.view.spot(p.x, p.y);
      if (this.intercepts.any("hover", s, ev.pointerType !== "mouse")) return;
      this.root.classList.toggle("on-door", this.overlay.doorAt(p.x, p.y) >= 0);
      this.root.classList.toggle("on-flag", this.e.canPaint && this.overlay.onFrontFlag(p.x, p.y));
      if (ev.pointerType !== "touch") this.hover(p.x > RULER && this.view.onFigure(p.x) ? unitUnder(this.e.m, s) : -1);
      return;
    }
    this.pointers.set(ev.pointerId, p);
    if (this.pointers.size >= 2) {
      this.pinchMove();
      return;
    }
    if (this.mode === "pan") {
      this.pan(p.x - before.x, p.y - before.y);
      return;
    }
    if (this.mode === "place") this.intercepts.any("hover", this.view.spot(p.x, p.y), ev.pointerType !== "mouse");
    if (this.mode === "front") this.carryFront(p.x);
    if (this.mode === "extra") {
      this.overlay.moveExtra(p);
      this.wanted();
    }
    if (this.mode !== "draw") return;
    if (Math.hypot(ev.clientX - this.pressAt.x, ev.clientY - this.pressAt.y) > 8) clearTimeout(this.press);
    this.drawn.far = Math.max(this.drawn.far, Math.hypot(p.x - this.drawn.x, p.y - this.drawn.y));
    this.mark(ev);
    const all = ev.getCoalescedEvents?.() ?? [];
    const spots = (all.length ? all : [ev]).map((c) => {
      const q = this.at(c);
      return this.view.spot(q.x, q.y);
    });
    this.e.moveTo(spots);
  }

  private up(ev: PointerEvent, cancelled: boolean): void {
    clearTimeout(this.press);
    const p = this.pointers.get(ev.pointerId);
    this.forget(ev.pointerId);
    if (!p) return;
    if (this.mode === "draw") {
      if (cancelled) this.e.cancel();
      else this.e.end();
    }
    if (this.mode === "place" && !cancelled) this.intercepts.any("up", this.view.spot(p.x, p.y), ev.pointerType !== "mouse");
    if (this.mode === "door" && !cancelled && this.overlay.doorAt(p.x, p.y) >= 0) this.e.lookAt(this.overlay.doorAt(p.x, p.y));
    if (this.mode === "front") this.letGoFront(cancelled);
    if (this.mode === "extra") this.letGoExtra(cancelled ? null : p);
    if (this.mode === "ruler") this.rulerAt(ev, p);
    if (this.pointers.size === 0) this.mode = "none";
  }

  private carryFront(x: number): void {
    this.mode = "front";
    this.overlay.carryFront(this.view.spot(x, 0).turn);
    this.wanted();
  }

  private letGoFront(cancelled: boolean): void {
    const turn = this.overlay.dropFront();
    this.wanted();
    if (turn !== null && !cancelled) this.frontCarried.tell(turn);
  }

  /** Lets go of the extra in the hand at a pixel, or of all of it where there is none. */
  private letGoExtra(p: { x: number; y: number } | null): void {
    const extra = this.overlay.dropExtra();
    this.wanted();
    if (!extra || !p) return;
    const s = this.view.spot(p.x, p.y);
    const r = Math.max(0, Math.min(this.e.m.rings.length - 1, Math.round(s.high - 1)));
    this.extraCarried.tell(extra, r, atOf(this.e.m.rings[r], s.turn));
  }

  private forget(id: number): void {
    this.pointers.delete(id);
    if (this.root.hasPointerCapture(id)) this.root.releasePointerCapture(id);
  }

  private hover(p: number): void {
    this.e.hoverOver(p);
  }

  // ---------- two fingers, wheel ----------

  private startPinch(): void {
    clearTimeout(this.press);
    if (this.mode === "front") this.letGoFront(true);
    if (this.mode === "extra") this.letGoExtra(null);
    if (this.mode === "draw") {
      const meant = performance.now() - this.drawn.since > STROKE_MS && this.drawn.far > STROKE_PX;
      if (meant) this.e.end();
      else this.e.cancel();
    }
    this.mode = "none";
    this.pinch = this.pinchNow();
  }

  private pinchNow() {
    const [a, b] = [...this.pointers.values()];
    return { gap: Math.max(20, Math.hypot(a.x - b.x, a.y - b.y)), x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
  }

  private pinchMove(): void {
    const now = this.pinchNow();
    this.view.pan(now.x - this.pinch.x, now.y - this.pinch.y);
    this.view.zoom(now.gap / this.pinch.gap, now.x, now.y);
    this.pinch = now;
    this.e.tell("look");
  }

  private wheel(ev: WheelEvent): void {
    ev.preventDefault();
    const unit = ev.deltaMode === 1 ? 16 : ev.deltaMode === 2 ? 200 : 1;
    const p = this.at(ev);
    if (ev.ctrlKey || ev.metaKey) {
      this.view.zoom(Math.exp(-ev.deltaY * unit * (ev.deltaMode ? 0.01 : 0.004)), p.x, p.y);
      this.e.tell("look");
    } else if (ev.shiftKey && !ev.deltaX) this.pan(-Math.round(ev.deltaY * unit), 0);
    else this.pan(-Math.round(ev.deltaX * unit), -Math.round(ev.deltaY * unit));
  }

  // ---------- menus ----------

  private menuAt(clientX: number, clientY: number): void {
    const p = this.at({ clientX, clientY });
    const s = this.view.spot(p.x, p.y);
    const ring = Math.round(s.high - 1);
    if (p.x < RULER) {
      if (ring >= 0 && ring < this.e.m.rings.length) this.ringAsked.tell(ring, clientX, clientY);
      return;
    }
    const place = unitUnder(this.e.m, s);
    if (place >= 0) {
      this.e.setFocus(place);
      this.menuAsked.tell(place, clientX, clientY);
    }
  }

  private rulerAt(ev: PointerEvent, p: { x: number; y: number }): void {
    const ring = Math.round(this.view.spot(p.x, p.y).high - 1);
    if (ring >= 0 && ring < this.e.m.rings.length) this.ringAsked.tell(ring, ev.clientX, ev.clientY);
  }

  /** Page coordinates of a unit's middle. */
  pageXY(place: number): { x: number; y: number } {
    const ring = this.e.m.rings[place >> 10];
    const box = this.root.getBoundingClientRect();
    return { x: box.left + this.view.x(ring.middle(place & 1023)), y: box.top + this.view.y((place >> 10) + 1) };
  }

  /** Gives the grid the keyboard. */
  focusGrid(): void {
    this.cells.update(true);
  }

  /** Says where the focus is, for the live region. */
  get whereabouts(): string {
    return unitLabel(this.e, this.e.focus);
  }
}
