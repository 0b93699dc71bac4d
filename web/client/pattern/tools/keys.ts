// Keys of the editor. Letters work while the grid has the focus, so that no other control loses one.

import type { Stage } from "../grid/stage";
import { step } from "../model/lattice";
import { placeOf, ringOf, unitOf } from "../model/model";
import { TOOL_KEYS } from "./dock";
import type { Editor, Tool } from "./editor";
import { TOOLS } from "./editor";

export interface KeyActions {
  help(): void;
  menu(): void;
  ringMenu(): void;
  copy(): void;
  cut(): void;
  paste(): void;
  selectAll(): void;
  fillSelection(): void;
  escape(): boolean;
  place(): boolean;
  nudge(dx: number, dy: number): boolean;
  numbers(): void;
  signs(): void;
  points(): void;
  colours(): void;
  say(text: string): void;
}

export class Keys {
  /** Walking paints while this is on. */
  trail = false;
  private aim = 0;
  private byLetter = new Map<string, Tool>(TOOLS.map((h) => [TOOL_KEYS[h], h]));

  constructor(
    private readonly e: Editor,
    private readonly stage: Stage,
    private readonly actions: KeyActions,
  ) {
    stage.cells.root.addEventListener("keydown", (ev) => this.grid(ev));
    document.addEventListener("keydown", (ev) => this.anywhere(ev));
    e.on("focus", () => {
      if (!this.walking) this.aim = this.middle();
    });
  }
  private walking = false;

  private middle(): number {
    const ring = this.e.m.rings[ringOf(this.e.focus)];
    return ring ? ring.middle(unitOf(this.e.focus)) : 0;
  }

  /** Keys that work wherever the focus is, except while something is typed. */
  private anywhere(ev: KeyboardEvent): void {
    if (ev.target instanceof HTMLElement && ev.target.closest("input, textarea, select, dialog")) return;
    const key = ev.key.toLowerCase();
    if (ev.ctrlKey || ev.metaKey) {
      const action: Record<string, () => void> = { z: () => (ev.shiftKey ? this.e.redo() : this.e.undo()), y: () => this.e.redo() };
      if (action[key] && !ev.altKey) {
        ev.preventDefault();
        action[key]();
      }
      return;
    }
    if (ev.key === "?") {
      ev.preventDefault();
      this.actions.help();
    }
    if (ev.key === "Escape" && this.actions.escape()) ev.preventDefault();
  }

  private grid(ev: KeyboardEvent): void {
    const done = ev.ctrlKey || ev.metaKey ? this.withControl(ev) : this.arrows(ev) || this.acts(ev) || this.letters(ev);
    if (!done) return;
    ev.preventDefault();
    ev.stopPropagation();
  }

  private withControl(ev: KeyboardEvent): boolean {
    const m = this.e.m;
    switch (ev.key.toLowerCase()) {
      case "c":
        return this.did(this.actions.copy);
      case "x":
        return this.did(this.actions.cut);
      case "v":
        return this.did(this.actions.paste);
      case "a":
        return this.did(this.actions.selectAll);
      case "home":
        return this.go(placeOf(m.rings.length - 1, m.rings[m.rings.length - 1].nearest(this.middle())), ev);
      case "end":
        return this.go(placeOf(0, m.rings[0].nearest(this.middle())), ev);
    }
    return false;
  }

  private did(action: () => void): boolean {
    action.call(this.actions);
    return true;
  }

  private arrows(ev: KeyboardEvent): boolean {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[ev.key];
    if (!way) return this.jumps(ev);
    if (this.actions.nudge(way[0], way[1])) return true;
    const { e } = this;
    // With Alt a column leans: up goes to the right, down to the left.
    if (ev.altKey && way[1]) {
      const ring = e.m.rings[ringOf(e.focus)];
      this.aim = this.middle() + (way[1] * ring.width(unitOf(e.focus))) / 2;
    }
    const to = step(e.m, e.focus, way[0], way[1], this.aim);
    return this.go(to, ev, way[1] !== 0 && !ev.altKey);
  }

  private jumps(ev: KeyboardEvent): boolean {
    const { e } = this;
    const r = ringOf(e.focus);
    const last = e.m.rings.length - 1;
    switch (ev.key) {
      case "Home":
        return this.go(placeOf(r, 0), ev);
      case "End":
        return this.go(placeOf(r, e.m.rings[r].n - 1), ev);
      case "PageUp":
        return this.go(this.onRing(Math.min(last, r + 5)), ev, true);
      case "PageDown":
        return this.go(this.onRing(Math.max(0, r - 5)), ev, true);
    }
    return false;
  }

  private onRing(r: number): number {
    return placeOf(r, this.e.m.rings[r].nearest(this.aim + 1e-6));
  }

  private go(to: number, ev: KeyboardEvent, keepAim = false): boolean {
    this.walking = keepAim;
    this.e.walk(to, this.trail || (ev.shiftKey && this.e.anchor < 0 && this.e.tool !== "select"));
    this.walking = false;
    if (!keepAim) this.aim = this.middle();
    this.stage.view.reveal({ turn: this.middle(), high: ringOf(to) + 1 });
    this.stage.cells.update(true);
    this.e.tell("look");
    return true;
  }

  private acts(ev: KeyboardEvent): boolean {
    switch (ev.key) {
      case " ":
      case "Enter":
        if (this.actions.place()) return true;
        this.e.press();
        this.actions.say(this.stage.whereabouts);
        return true;
      case "+":
      case "=":
        return this.did(() => this.stage.zoom(1.25));
      case "-":
        return this.did(() => this.stage.zoom(0.8));
      case "0":
        return this.did(() => this.stage.fit());
      case "ContextMenu":
        return this.did(this.actions.menu);
      case "F10":
        return ev.shiftKey && this.did(this.actions.menu);
      case "Delete":
      case "Backspace":
        return this.e.selection.size > 0 && this.did(this.actions.fillSelection);
    }
    return false;
  }

  private letters(ev: KeyboardEvent): boolean {
    if (ev.altKey) return false;
    const { e } = this;
    const key = ev.key.toLowerCase();
    const paper = /^[1-9]$/.test(key) ? e.m.colours[Number(key) - 1] : undefined;
    if (paper) return this.did(() => e.choosePaper(paper.id));
    const tool = this.byLetter.get(key);
    if (tool) return this.did(() => e.take(tool));
    switch (key) {
      case "m":
        return this.did(() => e.setSymmetry({ mirror: !e.symmetry.mirror }));
      case "b":
        return this.did(() => e.setSymmetry({ back: !e.symmetry.back }));
      case "k":
        return this.did(() => e.setSymmetry({ repeat: (e.symmetry.repeat % 6) + 1 }));
      case "d":
        return this.did(() => this.setTrail(!this.trail));
      case "e":
        return this.did(this.actions.menu);
      case "t":
        return this.did(this.actions.ringMenu);
      case "n":
        return this.did(this.actions.numbers);
      case "h":
        return this.did(this.actions.signs);
      case "j":
        return this.did(this.actions.points);
      case "c":
        return this.did(this.actions.colours);
      case "[":
        return this.did(() => this.stage.pan(80, 0));
      case "]":
        return this.did(() => this.stage.pan(-80, 0));
    }
    return false;
  }

  private setTrail(on: boolean): void {
    this.trail = on;
    this.e.tell("said");
  }
}
