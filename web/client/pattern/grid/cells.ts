// The grid as assistive technology meets it: the WAI-ARIA grid pattern with one cell in the tab order
// (roving focus). Only rows around the focus exist in the page; aria-rowcount and aria-rowindex tell
// the rest. Rows count from the top, as a grid is read; labels count rings from the bottom, as makers do.
import { el } from "../../base/dom";
import { say } from "../../base/words";
import { type Place, placeOf, ringOf, unitOf } from "../model/model";
import { COLOUR, SHORT } from "../model/ring";
import type { Editor } from "../tools/editor";
import type { View } from "./view";

/** Cells kept on each side of the focus, in its ring. */
const BESIDE = 3;

export class Cells {
  readonly root: HTMLElement;
  private around = -1;
  private shape = -1;
  private cells = new Map<Place, HTMLElement>();

  constructor(
    private readonly e: Editor,
    private readonly v: View,
  ) {
    this.root = el("div", {
      class: "cells",
      role: "grid",
      "aria-label": say("grid"),
      "aria-multiselectable": "true",
      "aria-describedby": "grid-how",
    });
  }

  /** Rebuilds the few cells around the focus where needed and brings labels up to date. */
  update(takeFocus = false): void {
    const { e } = this;
    const had = this.root.contains(document.activeElement);
    if (this.around !== e.focus || this.shape !== e.m.shape) this.rebuild();
    for (const [p, cell] of this.cells) {
      const label = this.label(p);
      if (cell.getAttribute("aria-label") !== label) cell.setAttribute("aria-label", label);
      cell.setAttribute("aria-selected", String(e.selection.has(p)));
    }
    this.position();
    if (takeFocus || had) this.cells.get(e.focus)?.focus({ preventScroll: true });
  }

  private rebuild(): void {
    const { e } = this;
    this.around = e.focus;
    this.shape = e.m.shape;
    this.cells.clear();
    const rows: HTMLElement[] = [];
    const total = e.m.rings.length;
    const here = ringOf(e.focus);
    const turn = e.m.rings[here]?.middle(unitOf(e.focus)) ?? 0;
    for (let r = Math.min(total - 1, here + 1); r >= Math.max(0, here - 1); r--) {
      const row = el("div", { role: "row", "aria-rowindex": total - r });
      const mid = r === here ? unitOf(e.focus) : e.m.rings[r].nearest(turn);
      const n = e.m.rings[r].n;
      const units: number[] = [];
      const { open } = e.m.rings[r];
      for (let k = -Math.min(BESIDE, (n - 1) >> 1); k <= Math.min(BESIDE, n >> 1); k++) {
        if (!open || (mid + k >= 0 && mid + k < n)) units.push((mid + k + n) % n);
      }
      for (const u of [...new Set(units)].sort((a, b) => a - b)) row.append(this.cell(placeOf(r, u)));
      rows.push(row);
    }
    this.root.replaceChildren(...rows);
    this.root.setAttribute("aria-rowcount", String(total));
    this.root.setAttribute("aria-colcount", String(Math.max(...e.m.rings.map((r) => r.n))));
  }

  private cell(p: Place): HTMLElement {
    const cell = el("div", {
      role: "gridcell",
      tabindex: p === this.e.focus ? 0 : -1,
      "aria-colindex": unitOf(p) + 1,
      "aria-label": this.label(p),
    });
    this.cells.set(p, cell);
    return cell;
  }

  /** Puts the focused cell where its unit is on the screen, for magnifiers. */
  position(): void {
    const { e, v } = this;
    for (const [p, cell] of this.cells) {
      const ring = e.m.rings[ringOf(p)];
      if (!ring) continue;
      const w = Math.max(4, ring.width(unitOf(p)) * v.turnPx);
      cell.style.transform = `translate(${v.x(ring.middle(unitOf(p))) - w / 2}px, ${v.y(ringOf(p) + 2)}px)`;
      cell.style.width = `${w}px`;
      cell.style.height = `${2 * v.ringPx}px`;
    }
  }

  label(p: Place): string {
    return unitLabel(this.e, p);
  }
}

/** "ring 6, unit 4 of 16, yellow" */
export function unitLabel(e: Editor, p: Place): string {
  const ring = e.m.rings[ringOf(p)];
  if (!ring) return "";
  const cell = ring.shown[unitOf(p)];
  const colour = e.m.colours[cell & COLOUR];
  const says = say(cell & SHORT ? "unit.short" : "unit.at", {
    Ring: ringOf(p) + 1,
    Unit: unitOf(p) + 1,
    Of: ring.n,
    Colour: colour?.name ?? "",
  });
  return e.m.part ? say("parts.place", { Part: e.m.part.name, Where: says }) : says;
}
