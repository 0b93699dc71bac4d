// What was found when the figure was looked over: will it hold, will it stand, does the pattern show
// what was meant. The server looks; here each finding leads to its place and, where one edit settles
// it, to that edit. Sizes ring by ring come along, for the ruler.
import { calm, el } from "../../base/dom";
import { Listeners } from "../../base/listeners";
import { dot } from "../../base/popover";
import { say } from "../../base/words";
import { answer } from "../../wire/door";
import type { Edit, Finding, Found } from "../../wire/types";
import type { Stage } from "../grid/stage";
import type { UnitAt } from "../model/model";
import type { Editor } from "../tools/editor";
import type { Part } from "./panel";

/** Keeps what the server found, asked anew some time after the figure changed. */
export class Findings {
  found: Found | null = null;
  /** The figure was looked over anew. */
  readonly lookedOver = new Listeners();
  private asking = false;
  private readonly later: () => void;

  constructor(
    private readonly e: Editor,
    private readonly base: string,
  ) {
    this.later = calm(() => void this.ask(), 1200);
  }

  /** How many faults and warnings were found; hints may be meant as they are. */
  get count(): number {
    return this.found?.findings.filter((f) => f.level !== "hint").length ?? 0;
  }

  /** Asks when somebody wants to see it and the figure has changed since. */
  want(): void {
    if (this.found?.rev !== this.e.m.rev) this.later();
  }

  private async ask(): Promise<void> {
    if (this.asking || !this.e.sync.online || this.found?.rev === this.e.m.rev) return;
    this.asking = true;
    try {
      await this.fetch();
      if ((this.found?.rev ?? 0) < this.e.m.rev) this.later();
    } catch {
      // no connection: what was found last stays
    } finally {
      this.asking = false;
    }
  }

  private async fetch(): Promise<void> {
    const res = await fetch(`${this.base}/findings`, { headers: { Accept: "application/json" } });
    if (!res.ok) return;
    this.found = await answer("Found", res);
    this.lookedOver.tell();
  }

  /**
   * The edit that settles a finding now. The figure may have changed since it was looked over, and an
   * old edit would take the change back; so it is looked over again first.
   */
  async settling(f: Finding): Promise<Edit | null> {
    const { sync, m } = this.e;
    for (let i = 0; sync.queue.steps.length && i < 40; i++) await new Promise((go) => setTimeout(go, 50));
    if (this.found?.rev === m.rev && !m.pending.length) return f.edit ?? null;
    try {
      await this.fetch();
    } catch {
      return null;
    }
    return this.found?.findings.find((g) => g.key === f.key)?.edit ?? null;
  }
}

export class Check implements Part {
  readonly name = "check" as const;
  readonly root = el("div", { class: "check" });
  private readonly head = el("p", { class: "hint" });
  private readonly list = el("ul", { class: "bare" });
  private shown: Found | null = null;

  constructor(
    private readonly e: Editor,
    private readonly stage: Stage,
    private readonly findings: Findings,
  ) {
    this.root.append(this.head, this.list);
    findings.lookedOver.add(() => this.show());
  }

  update(): void {
    this.findings.want();
    this.show();
  }

  private show(): void {
    const { found } = this.findings;
    if (found && found === this.shown) return;
    this.shown = found;
    const list = found?.findings ?? [];
    if (!found) this.head.textContent = say("check.looking");
    else this.head.textContent = list.length ? say("check.how") : say("check.nothing");
    this.list.replaceChildren(...list.map((f) => this.row(f)));
  }

  private row(f: Finding): HTMLElement {
    const { m } = this.e;
    const shown = (f.colours ?? []).map((id) => dot(m.colours[m.indexOfColour(id)]?.hex ?? "#ffffff"));
    const level = el("span", { class: `level ${f.level}` }, ...shown, say(`check.${f.level}`));
    const actions = el("div", { class: "finding-actions" });
    const units = this.unitsOf(f);
    if (units.length) actions.append(el("button", { type: "button", class: "quiet", onclick: () => this.lead(units) }, say("check.show")));
    if (f.edit && this.e.canPaint)
      actions.append(el("button", { type: "button", class: "quiet", onclick: () => void this.settle(f) }, say("check.settle")));
    return el(
      "li",
      { class: "finding" },
      level,
      el("p", {}, f.what),
      el("p", { class: "hint" }, f.fix),
      actions.childElementCount ? actions : null,
    );
  }

  private async settle(f: Finding): Promise<void> {
    const edit = await this.findings.settling(f);
    if (edit) this.e.step(edit);
  }

  /** Units that a finding is about: those it names, or its whole ring. */
  /** The units that a finding is about, of any part; those of a twin on the part that it mirrors. */
  private unitsOf(f: Finding): UnitAt[] {
    const { m } = this.e;
    const named = (f.cells ?? []).map((c) => m.painted({ row: c.ring, unit: c.unit })).filter((at) => at.unit < (m.row(at.row)?.n ?? 0));
    if (named.length) return named;
    const row = m.rows[f.ring - 1];
    return row ? Array.from({ length: row.n }, (_, unit) => m.painted({ row: row.id, unit })) : [];
  }

  /** Looks at the part of the first unit, selects the units there and brings them into sight. */
  private lead(units: UnitAt[]): void {
    const { e, stage } = this;
    e.lookAtRow(units[0].row);
    const places = units.map((at) => e.m.placeAt(at)).filter((p) => p >= 0);
    if (!places.length) return;
    const first = e.m.rings[places[0] >> 10];
    const turn = first.n === places.length ? stage.view.centre : first.middle(places[0] & 1023);
    stage.view.reveal({ turn, high: (places[0] >> 10) + 1 });
    e.setFocus(places[0]);
    e.select(places);
    e.tell("look");
  }
}
