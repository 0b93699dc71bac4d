// The figure's title and the paper of its units, changed from the pattern page.
import { el } from "../../base/dom";
import { showDialog } from "../../base/popover";
import { say } from "../../base/words";
import { type Fold, MAX_TITLE, MAX_UNIT_MM, MIN_UNIT_MM } from "../../wire/types";
import type { Editor } from "../tools/editor";

const FOLDS: readonly Fold[] = ["doubled", "single"];

export function showAbout(e: Editor): void {
  const { title, unit } = e.m;
  const name = el("input", { type: "text", id: "about-title", value: title, maxlength: MAX_TITLE, required: true });
  const long = el("input", {
    type: "number",
    id: "about-long",
    value: unit.long_mm,
    min: MIN_UNIT_MM,
    max: MAX_UNIT_MM,
    step: "any",
    required: true,
  });
  const short = el("input", {
    type: "number",
    id: "about-short",
    value: unit.short_mm,
    min: MIN_UNIT_MM,
    max: MAX_UNIT_MM,
    step: "any",
    required: true,
  });
  const fold = el("select", { id: "about-fold" }, ...FOLDS.map((f) => el("option", { value: f }, say(`about.${f}`))));
  fold.value = unit.fold;
  const field = (id: string, label: string, control: HTMLElement) =>
    el("div", { class: "field" }, el("label", { for: id }, label), control);
  const form = el(
    "form",
    {},
    field("about-title", say("about.name"), name),
    el("div", { class: "row" }, field("about-long", say("about.long"), long), field("about-short", say("about.short"), short)),
    field("about-fold", say("about.fold"), fold),
    el("button", { class: "main", type: "submit" }, say("about.save")),
  );
  form.addEventListener("submit", (ev) => {
    ev.preventDefault();
    dialog.close();
    if (name.value.trim() !== title) e.step({ do: "set_title", title: name.value.trim() });
    const changed = { long_mm: Number(long.value), short_mm: Number(short.value), fold: FOLDS.find((f) => f === fold.value) ?? unit.fold };
    if (changed.long_mm !== unit.long_mm || changed.short_mm !== unit.short_mm || changed.fold !== unit.fold)
      e.step({ do: "set_unit", ...changed });
  });
  const dialog = showDialog(say("about"), form);
  name.focus();
}
