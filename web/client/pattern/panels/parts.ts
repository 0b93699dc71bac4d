// The part of the panel that lists the parts of the figure: each with its units and where it stands, to be looked at, bent,
// moved, mirrored, named or taken off.
import { el } from "../../base/dom";
import { icon } from "../../base/icons";
import { type Plain, say } from "../../base/words";
import type { Part as FigurePart } from "../../wire/types";
import type { Parts } from "../dialogs/part-dialog";
import type { Editor } from "../tools/editor";
import type { Part } from "./panel";

export class PartsPart implements Part {
  readonly name = "parts" as const;
  readonly root = el("div", { class: "parts-part" });
  private readonly list = el("ul", { class: "bare extra-list" });
  private readonly none = el("p", {}, say("parts.none"));
  private says = "";

  constructor(
    private readonly e: Editor,
    private readonly parts: Parts,
  ) {
    this.root.append(el("p", { class: "hint" }, say(e.canPaint ? "parts.how" : "parts.see")));
    if (e.canPaint)
      this.root.append(el("button", { type: "button", class: "wide-button", onclick: () => parts.grow() }, icon("plus"), say("part.grow")));
    this.root.append(this.none, this.list);
    e.on("part", () => this.update());
  }

  update(): void {
    const { m } = this.e;
    const says = JSON.stringify([m.parts, m.part?.id, m.parts.map((p) => this.units(p))]);
    if (says === this.says) return;
    this.says = says;
    const focused = document.activeElement instanceof HTMLElement && this.root.contains(document.activeElement);
    const action = focused ? (document.activeElement as HTMLElement).dataset.action : "";
    this.none.hidden = m.parts.length > 0;
    this.list.replaceChildren(...m.parts.map((p, k) => this.row(p, k)));
    if (action) this.root.querySelector<HTMLElement>(`[data-action="${action}"]`)?.focus({ preventScroll: true });
  }

  /** Index of a part's first row among all. */
  private first(part: FigurePart): number {
    const { parts } = this.e.m;
    return parts.slice(0, parts.indexOf(part)).reduce((sum, p) => sum + p.rows, 0);
  }

  private units(part: FigurePart): number {
    const first = this.first(part);
    return this.e.m.rows.slice(first, first + part.rows).reduce((sum, r) => sum + r.n, 0);
  }

  private row(part: FigurePart, k: number): HTMLElement {
    const { e, parts } = this;
    const { m } = e;
    const here = m.part?.id === part.id || m.part?.id === part.twin;
    const row = el(
      "li",
      { class: here ? "extra-row here" : "extra-row" },
      el("div", { class: "extra-head" }, el("b", { dir: "auto" }, part.name)),
      el(
        "p",
        { class: "hint" },
        say("parts.counts", {
          Units: say("parts.units", { Count: this.units(part) }),
          Rows: say(part.open ? "parts.rows" : "total.rings", { Count: part.rows }),
        }),
        el("br", {}),
        this.where(part),
      ),
    );
    const action = (name: string, label: string, act: () => void) => {
      const b = el(
        "button",
        { type: "button", class: "quiet", "data-action": `${name}-${part.id}`, "aria-label": `${label}: ${part.name}` },
        label,
      );
      b.addEventListener("click", act);
      return b;
    };
    const actions = el("div", { class: "finding-actions" });
    const show = action("show", say("check.show"), () => e.lookAt(part.id));
    show.setAttribute("aria-pressed", String(here));
    actions.append(show);
    if (e.canPaint) {
      if (k && !part.twin) {
        actions.append(
          action("bend", say("part.bend"), () => parts.bend(part)),
          action("move", say("part.move"), () => parts.move(part)),
        );
        if (!m.parts.some((p) => p.twin === part.id)) actions.append(action("twin", say("part.twin"), () => parts.twin(part)));
      }
      actions.append(action("rename", say("part.rename"), () => parts.rename(part)));
      if (k) actions.append(action("off", say("part.off"), () => parts.takeOff(part)));
    }
    row.append(actions);
    return row;
  }

  /** Where a part stands, in words that can be found on the paper. */
  private where(part: FigurePart): string {
    const { m } = this.e;
    const of = m.parts.find((p) => p.id === part.twin);
    if (of) return say("parts.twin_of", { Part: of.name });
    const row = m.rows[this.first(part)];
    if (part.on && row) {
      const key: Plain | "parts.grows_left" | "parts.grows_right" = row.start & 1 ? "parts.grows_right" : "parts.grows_left";
      return say(key, { Ring: m.numberOf(part.on), Part: m.partName(part.on), Unit: (row.start >> 1) + 1 });
    }
    if (part.set) return say(`parts.set_${part.set.how}`, { Ring: m.numberOf(part.set.on), Part: m.partName(part.set.on) });
    return say("parts.stands");
  }
}
