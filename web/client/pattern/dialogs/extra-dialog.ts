// Extras on the grid: units tucked in, pieces glued on. They are put, moved and changed where they sit.

import { el } from "../../base/dom";
import type { Notes } from "../../base/notes";
import { showDialog } from "../../base/popover";
import { say } from "../../base/words";
import {
  type Extra,
  type ExtraKind,
  type ExtraState,
  MAX_EXTRA_MM,
  MAX_EXTRA_UNITS,
  MAX_NAME,
  MAX_NOTE,
  MAX_UNITS,
  type Outline,
} from "../../wire/types";
import { type Model, type Place, ringOf, unitOf } from "../model/model";
import { copyOf, freeBeside, type Seat, withTwins } from "../model/twins";
import { tryEdit } from "../shaping/lookahead";
import type { Editor } from "../tools/editor";
import { refuseBeside } from "./refusal";

/** "Ring 12, between units 3 and 4" */
export function whereIs(m: Model, seat: Seat): string {
  const ring = m.row(seat.ring);
  if (!ring) return "";
  const u = Math.floor(seat.at);
  const number = m.numberOf(seat.ring);
  const where =
    seat.at === u
      ? say("extras.at", { Ring: number, Unit: u + 1 })
      : say("extras.between", { Ring: number, Unit: u + 1, Next: ((u + 1) % ring.n) + 1 });
  return m.parts.length ? say("parts.place", { Part: m.partName(seat.ring), Where: where }) : where;
}

const KINDS: readonly ExtraKind[] = ["tucked", "glued"];
const OUTLINES: readonly Outline[] = ["disc", "oval", "triangle", "bar"];

/** Fields of the form by the place that a refusal names. */
const FIELDS: Record<string, string> = {
  "extra.name": "extra-name",
  "extra.colour": "extra-colour",
  "extra.units": "extra-units",
  "extra.outline": "extra-outline",
  "extra.diameter_mm": "extra-diameter",
  "extra.width_mm": "extra-width",
  "extra.height_mm": "extra-height",
  "extra.ring": "extra-ring",
  "extra.at": "extra-at",
  "extra.shaping": "extra-shaping",
};

export class Extras {
  constructor(
    private readonly e: Editor,
    private readonly base: string,
    private readonly notes: Notes,
  ) {}

  /** The form of a new extra at a unit. */
  add(p: Place): void {
    const ring = this.e.m.rings[ringOf(p)];
    this.form({ kind: "tucked", name: "", colour: this.e.paper, units: 1, ring: ring.id, at: unitOf(p) });
  }

  /** The form of one that is there. */
  change(x: Extra): void {
    this.e.lookAtRow(x.ring);
    this.form(x);
  }

  /** Moves an extra to another place. */
  move(x: Extra, ring: number, at: number): void {
    if (x.ring !== ring || x.at !== at) this.e.stepExtra({ do: "edit_extra", extra: { ...x, ring, at } });
  }

  /** Puts another one like it beside it, or at a place. */
  duplicate(x: Extra, to?: Seat): void {
    this.e.lookAtRow(x.ring);
    const seat = to ?? freeBeside(this.e.m, x);
    this.e.stepExtra({ do: "add_extra", extra: copyOf(x, seat) });
    this.notes.show(say("extra.copied", { Name: x.name, Where: whereIs(this.e.m, seat) }));
  }

  /** Puts its mirror image on the other side of the front line, whatever symmetry is on. */
  mirror(x: Extra, seat: Seat): void {
    this.e.step({ do: "add_extra", extra: copyOf(x, seat) });
    this.notes.show(say("extra.copied", { Name: x.name, Where: whereIs(this.e.m, seat) }));
  }

  private form(x: Extra | ExtraState): void {
    const { m } = this.e;
    const kind = choice(
      "extra-kind",
      KINDS.map((k) => [k, say(`extra.${k}`)]),
      x.kind,
    );
    const name = el("input", { type: "text", id: "extra-name", value: x.name, maxlength: MAX_NAME, required: true });
    const colour = choice(
      "extra-colour",
      [["", say("extra.no_paper")], ...m.colours.map((c): [string, string] => [c.id, c.name])],
      x.colour ?? "",
    );
    const units = number("extra-units", x.units ?? 1, 1, MAX_EXTRA_UNITS, 1);
    const shaping = el("input", { type: "text", id: "extra-shaping", value: x.shaping ?? "", maxlength: MAX_NOTE });
    const outline = choice(
      "extra-outline",
      OUTLINES.map((o) => [o, say(`extra.outline.${o}`)]),
      x.outline || "disc",
    );
    const diameter = number("extra-diameter", x.diameter_mm ?? 12, 1, MAX_EXTRA_MM, 0.5);
    const width = number("extra-width", x.width_mm ?? 12, 1, MAX_EXTRA_MM, 0.5);
    const height = number("extra-height", x.height_mm ?? 12, 1, MAX_EXTRA_MM, 0.5);
    const ringNumber = number("extra-ring", m.ringIndex(x.ring) + 1, 1, m.rings.length, 1);
    const unit = number("extra-at", x.at + 1, 0.5, MAX_UNITS + 0.5, 0.5);
    const tucked = el("div", {}, field("extra-units", say("extra.units"), units));
    const disc = field("extra-diameter", say("extra.diameter"), diameter);
    const sides = el(
      "div",
      { class: "row" },
      field("extra-width", say("extra.width"), width),
      field("extra-height", say("extra.height"), height),
    );
    const glued = el(
      "div",
      {},
      field("extra-outline", say("extra.outline"), outline),
      disc,
      sides,
      el("div", { class: "notice warning" }, el("p", {}, say("extras.caution"))),
    );
    const fit = () => {
      tucked.hidden = kind.value !== "tucked";
      glued.hidden = kind.value !== "glued";
      disc.hidden = outline.value !== "disc";
      sides.hidden = outline.value === "disc";
      units.disabled = tucked.hidden;
      diameter.disabled = glued.hidden || disc.hidden;
      width.disabled = height.disabled = glued.hidden || sides.hidden;
    };
    kind.addEventListener("change", fit);
    outline.addEventListener("change", fit);
    fit();
    const there = "key" in x && x.key ? { ...x, key: x.key } : null;
    const instead = (label: string, act: () => void) => {
      const closeAndAct = () => {
        dialog.close();
        act();
      };
      return el("button", { type: "button", class: "quiet", onclick: closeAndAct }, label);
    };
    const remove = there && instead(say("extra.remove"), () => this.e.stepExtra({ do: "remove_extra", key: there.key }));
    const another = there && instead(say("extra.duplicate"), () => this.duplicate(there));
    const form = el(
      "form",
      { novalidate: true },
      field("extra-kind", say("extra.kind"), kind),
      field("extra-name", say("extra.name"), name, say("extra.name.hint")),
      field("extra-colour", say("extra.colour"), colour),
      tucked,
      glued,
      el(
        "div",
        { class: "row" },
        field("extra-ring", say("extra.ring"), ringNumber),
        field("extra-at", say("extra.at"), unit, say("extra.at.hint")),
      ),
      field("extra-shaping", say("extra.shaping"), shaping, say("extra.shaping.hint")),
      el(
        "div",
        { class: "dialog-actions" },
        el("button", { class: "main", type: "submit" }, say(there ? "extra.save" : "extra.put")),
        another,
        remove,
      ),
    );
    form.addEventListener("submit", (ev) => {
      ev.preventDefault();
      const ring = m.rings[Number(ringNumber.value) - 1];
      if (!ring)
        return void refuseBeside(
          form,
          { what: say("extras.no_ring", { Rings: m.rings.length }), where: "extra.ring" },
          FIELDS,
          "extra-ring",
        );
      // Half a unit before the first one is the gap after the last one.
      const typed = Number(unit.value) - 1;
      const at = typed === -0.5 ? ring.n - 0.5 : typed;
      if (!(at >= 0 && at < ring.n))
        return void refuseBeside(
          form,
          { what: say("extras.no_unit", { Ring: Number(ringNumber.value), Units: ring.n }), where: "extra.at" },
          FIELDS,
          "extra-at",
        );
      const fixed = kind.value === "tucked" ? "tucked" : "glued";
      const extra: ExtraState = { kind: fixed, name: name.value.trim(), ring: ring.id, at };
      if (there) extra.key = there.key;
      if (colour.value) extra.colour = colour.value;
      if (shaping.value.trim()) extra.shaping = shaping.value.trim();
      if (fixed === "tucked") extra.units = Math.round(Number(units.value));
      else {
        const cut = OUTLINES.find((o) => o === outline.value);
        if (cut !== "disc") extra.outline = cut;
        if (cut === "disc") extra.diameter_mm = Number(diameter.value);
        else Object.assign(extra, { width_mm: Number(width.value), height_mm: Number(height.value) });
      }
      const edit = withTwins(m, this.e.symmetry, { do: there ? "edit_extra" : "add_extra", extra });
      void tryEdit(this.base, edit).then((trial) => {
        if (refuseBeside(form, trial?.refused ?? null, FIELDS, "extra-name")) {
          form.querySelector<HTMLElement>("[aria-invalid]")?.focus();
          return;
        }
        dialog.close();
        this.e.step(edit);
      });
    });
    const dialog = showDialog(there ? say("extra.change", { Name: x.name }) : say("extra.add"), form);
    name.focus();
  }
}

function field(id: string, label: string, control: HTMLElement, hint = ""): HTMLElement {
  if (hint) control.setAttribute("aria-describedby", `${id}-hint`);
  return el(
    "div",
    { class: "field" },
    el("label", { for: id }, label),
    control,
    hint ? el("span", { class: "hint", id: `${id}-hint` }, hint) : null,
  );
}

function number(id: string, value: number, min: number, max: number, step: number): HTMLInputElement {
  return el("input", { type: "number", id, value, min, max, step, required: true });
}

function choice(id: string, options: string[][], value: string): HTMLSelectElement {
  const select = el("select", { id }, ...options.map(([v, text]) => el("option", { value: v }, text)));
  select.value = value;
  return select;
}
