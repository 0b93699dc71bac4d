// Another number of units for a stretch of rings, with a look at what comes of it before it is done: how
// the figure stands, which units take one, three or four points, and what cannot be.
import { el } from "../../base/dom";
import { showDialog } from "../../base/popover";
import { say } from "../../base/words";
import { type Edit, MAX_UNITS, MIN_UNITS, type Trial } from "../../wire/types";
import { paintSide } from "../panels/sides";
import { tryEdit } from "../shaping/lookahead";
import { takesStrip, takesText } from "../shaping/takes-strip";
import type { Editor } from "../tools/editor";
import { refuseBeside } from "./refusal";

/** Rings whose points are told one by one; more would be a wall of text. */
const LISTED = 3;
const WAIT_MS = 160;

/** Opens the dialog for rings given by identity; the stretch of rings can be changed in it. */
export function countDialog(e: Editor, base: string, ids: number[]): void {
  const { m } = e;
  const at = m.rings.map((r, i) => (ids.includes(r.id) ? i : -1)).filter((i) => i >= 0);
  if (!at.length) return;
  const low = number("ring-low", at[0] + 1, 1, m.rings.length);
  const high = number("ring-high", at[at.length - 1] + 1, 1, m.rings.length);
  const least = m.rings[at[0]].open ? 1 : MIN_UNITS;
  const units = number("ring-units", m.rings[at[0]].n, least, MAX_UNITS);
  const top = number("ring-top", m.rings[at[at.length - 1]].n, least, MAX_UNITS);
  const before = el("canvas", { class: "look" });
  const after = el("canvas", { class: "look" });
  const outcome = el("div", { class: "outcome", role: "status", "aria-live": "polite" });
  const apply = el("button", { class: "main", type: "submit" }, say("rings.count.apply"));
  const form = el(
    "form",
    { class: "count-form", novalidate: true },
    el(
      "div",
      { class: "quad" },
      field("ring-low", say("count.low"), low),
      field("ring-units", say("count.low.units"), units),
      field("ring-high", say("count.high"), high),
      field("ring-top", say("count.high.units"), top),
    ),
    el(
      "div",
      { class: "looks" },
      el("figure", {}, before, el("figcaption", {}, say("rings.now"))),
      el("figure", {}, after, el("figcaption", {}, say("rings.then"))),
    ),
    outcome,
    el("p", { class: "hint" }, say("rings.count.how")),
    el("div", { class: "dialog-actions" }, apply),
  );

  /** The rings meant, from the bottom; none when the numbers make no stretch. */
  const stretch = () => m.rings.slice(Number(low.value) - 1, Number(high.value)).map((r) => r.id);
  const edit = (): Edit => {
    const rings = stretch();
    const out: Edit = { do: "set_count", rings, units: Math.round(Number(units.value)) };
    const upper = Math.round(Number(top.value));
    return rings.length > 1 && upper !== out.units ? { ...out, top: upper || -1 } : out;
  };
  let asked: AbortController | null = null;
  let timer = 0;
  const look = async () => {
    asked?.abort();
    asked = new AbortController();
    const { signal } = asked;
    const trial = stretch().length ? await tryEdit(base, edit(), signal) : NO_STRETCH(m.rings.length);
    if (!signal.aborted) show(trial);
  };
  const show = (trial: Trial | null) => {
    const refused = refuseBeside(form, trial?.refused ?? null, FIELDS, "ring-units");
    apply.setAttribute("aria-disabled", String(refused));
    after.classList.toggle("none", refused || !trial);
    outcome.replaceChildren();
    if (!trial?.change) return;
    const then = m.after(trial.change);
    paintSide(after, then, then.frontTurn, 220, 220);
    const touched = new Set((trial.change.rings ?? []).map((r) => r.id));
    const list = then.rings.map((ring, r) => ({ ring, r })).filter(({ ring, r }) => touched.has(ring.id) && differs(e, ring, r));
    for (const { ring, r } of list.slice(0, LISTED)) {
      outcome.append(
        el(
          "div",
          { class: "outcome-ring" },
          el("p", {}, el("b", {}, say("shape.ring", { Ring: r + 1 })), " ", takesText(ring, then.footing(r).onTable)),
          takesStrip(ring, then.frontTurn),
        ),
      );
    }
    if (list.length > LISTED) outcome.append(el("p", { class: "hint" }, say("count.more", { Count: list.length - LISTED })));
    for (const remark of new Set(trial.remarks ?? [])) outcome.append(el("p", { class: "remark" }, remark));
    if (trial.totals)
      outcome.append(
        el(
          "p",
          {},
          say("count.totals", {
            Units: say("total.units", { Count: trial.totals.units }),
            Sheets: say("total.sheets", { Count: trial.totals.sheets }),
          }),
        ),
      );
  };
  const fit = () => (top.closest<HTMLElement>(".field")!.hidden = stretch().length < 2);
  const later = () => {
    fit();
    clearTimeout(timer);
    timer = window.setTimeout(() => void look(), WAIT_MS);
  };
  if (units.value === top.value) {
    // Until the upper number is touched it follows the lower one: a tube stays a tube.
    const follow = () => (top.value = units.value);
    units.addEventListener("input", follow);
    top.addEventListener("input", () => units.removeEventListener("input", follow), { once: true });
  }
  for (const input of [low, high, units, top]) input.addEventListener("input", later);
  form.addEventListener("submit", (ev) => {
    ev.preventDefault();
    if (!stretch().length) return show(NO_STRETCH(m.rings.length));
    const step = edit();
    void tryEdit(base, step).then((trial) => {
      if (trial?.refused) return show(trial);
      dialog.close();
      e.step(step);
    });
  });
  const dialog = showDialog(say("count.title"), form, () => asked?.abort());
  paintSide(before, m, m.frontTurn, 220, 220);
  paintSide(after, m, m.frontTurn, 220, 220);
  units.focus();
  units.select();
  later();
}

const FIELDS = { units: "ring-units", top: "ring-top", rings: "ring-high" };

/** The refusal of two ring numbers that make no stretch. */
const NO_STRETCH = (rings: number): Trial => ({
  rev: 0,
  refused: { what: say("count.no_stretch", { Rings: rings }), fix: "", where: "rings" },
});

/** Whether a ring would have other units, or take other points, than it does now. */
function differs(e: Editor, ring: { id: number; n: number; takes: Uint8Array | null }, r: number): boolean {
  const now = e.m.rings[e.m.ringIndex(ring.id)];
  return !now || now.n !== ring.n || e.m.ringIndex(ring.id) !== r || String(now.takes ?? "") !== String(ring.takes ?? "");
}

function number(id: string, value: number, min: number, max: number): HTMLInputElement {
  return el("input", { type: "number", inputmode: "numeric", min, max, value, id });
}

function field(id: string, label: string, control: HTMLElement): HTMLElement {
  return el("div", { class: "field" }, el("label", { for: id }, label), control);
}
