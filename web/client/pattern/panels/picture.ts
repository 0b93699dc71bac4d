// The part of the panel for a picture that is laid over the grid: it is chosen, dropped, pasted or photographed, laid, and
// turned into paint with the figure's papers; the figure stands beside it in 3D. Taking it is one step.
import { byFinger, el, onPress } from "../../base/dom";
import { icon } from "../../base/icons";
import type { Notes } from "../../base/notes";
import { dot } from "../../base/popover";
import { type Plain, say } from "../../base/words";
import type { StandPart } from "../../stand/part";
import { type Lay, MAX_TIMES, type PaperStock, type ReadyPaper } from "../../wire/types";
import type { Laying } from "../laying/laying";
import type { Editor } from "../tools/editor";
import type { Part } from "./panel";

const WAYS = ["around", "flat", "straight"] as const satisfies readonly Lay["way"][];
/** The file types that can be read. */
const TYPES = "image/jpeg,image/png,image/gif,image/webp";
/** How many papers are looked for when it is asked which suit. */
const SUITING = 6;
/** How far off a paper may be on average and still be called near: what an untrained eye takes for the same family of colours (own). */
const NEAR = 8;
const FAR = 18;

export class PicturePart implements Part {
  readonly name = "picture" as const;
  readonly root = el("div", { class: "picture-part" });
  private readonly start = el("div", { class: "picture-start" });
  private readonly form = el("form", { novalidate: true, hidden: true });
  private readonly wrong = el("p", { class: "wrong", role: "alert" });
  private readonly actions = el("div", { class: "picture-actions" });
  private readonly reading = el("p", { class: "hint", role: "status" });
  private readonly outcome = el("div", { class: "outcome", role: "status" });
  private readonly papers = el("div", { class: "picture-papers" });
  private readonly suits = el("div", {});
  private readonly standing = el("div", { class: "picture-stand" });
  private readonly takeIt = el("button", { type: "button", class: "main" }, say("laying.take"));

  private readonly way = el("select", { id: "lay-way" }, ...WAYS.map((w) => el("option", { value: w }, say(`laying.way.${w}`))));
  private readonly times = number("lay-times", 1, 1, MAX_TIMES);
  private readonly from = number("lay-from", 1, 1, 1);
  private readonly to = number("lay-to", 1, 1, 1);
  private readonly right = number("lay-x", 0, -1000, 1000, 0.5);
  private readonly up = number("lay-y", 0, -1000, 1000, 0.5);
  private readonly wide = number("lay-width", 1, 0.1, 1000, 0.5);
  private readonly high = number("lay-height", 1, 0.1, 1000, 0.5);
  private readonly turn = number("lay-turn", 0, -180, 180, 1);
  private readonly mirror = check("lay-mirror");
  private readonly best = number("lay-best", 0, 0, 64);
  private readonly spread = el("input", { type: "range", id: "lay-spread", min: 0, max: 100, step: 5, value: 0 });
  private readonly edges = check("lay-edges");
  private readonly clean = check("lay-clean");
  private readonly alike = check("lay-alike");
  private readonly back = check("lay-back");
  private readonly ground = el("select", { id: "lay-ground" });
  private readonly stock = new Map<string, HTMLInputElement>();
  private drawn = "";
  private seen: ImageBitmap | null = null;

  constructor(
    private readonly e: Editor,
    private readonly laying: Laying,
    private readonly stand: StandPart,
    private readonly notes: Notes,
    private readonly reach: () => void,
  ) {
    this.chooser();
    this.fields();
    this.root.append(this.start, this.reading, this.wrong, this.form);
    laying.changed.add(() => this.show());
    new IntersectionObserver((seen) => this.inSight(seen[seen.length - 1].isIntersecting)).observe(this.root);
    this.listen();
    this.show();
  }

  update(): void {
    if (this.laying.shown) this.stand.update();
    this.show();
  }

  /** The grid was painted: so is the figure beside the form. */
  follow(): void {
    if (this.laying.shown) this.stand.follow();
  }

  /** The part came into sight or went out of it; a picture that goes with it waits. */
  private inSight(on: boolean): void {
    const { laying } = this;
    if (!on && laying.shown) this.notes.show(say("laying.waits"), "", "plain", { label: say("laying.return"), do: this.reach });
    if (on) this.notes.unsay(say("laying.waits"));
    laying.show(on);
  }

  // ---------- choosing ----------

  private chooser(): void {
    const file = el("input", { type: "file", id: "lay-file", accept: TYPES, class: "seen-by-readers" });
    const photo = el("input", { type: "file", id: "lay-photo", accept: "image/*", capture: "environment", class: "seen-by-readers" });
    for (const input of [file, photo])
      input.addEventListener("change", () => {
        const chosen = input.files?.[0];
        input.value = "";
        if (chosen) this.open(chosen);
      });
    const button = (input: HTMLElement, text: Plain) =>
      el("label", { class: "button", for: input.id, "aria-label": say(text) }, icon("picture"), el("span", {}, say(text)));
    this.start.append(
      el("p", { class: "hint" }, say("laying.how")),
      el(
        "div",
        { class: "picture-choose" },
        file,
        button(file, "laying.choose"),
        byFinger() ? photo : null,
        byFinger() ? button(photo, "laying.photo") : null,
      ),
      byFinger() ? "" : el("p", { class: "hint" }, say("laying.drop")),
    );
  }

  /** A picture that is dropped on the page or pasted into it. */
  private listen(): void {
    const pictureOf = (data: DataTransfer | null) => [...(data?.files ?? [])].find((f) => f.type.startsWith("image/"));
    document.addEventListener("paste", (ev) => {
      const file = pictureOf(ev.clipboardData);
      if (!file || !this.e.canPaint) return;
      ev.preventDefault();
      this.open(file);
    });
    document.addEventListener("dragover", (ev) => {
      if (this.e.canPaint && [...(ev.dataTransfer?.items ?? [])].some((i) => i.kind === "file")) ev.preventDefault();
    });
    document.addEventListener("drop", (ev) => {
      if (!this.e.canPaint || !ev.dataTransfer?.files.length) return;
      ev.preventDefault();
      const file = pictureOf(ev.dataTransfer);
      if (file) this.open(file);
      else this.notes.show(say("laying.no_picture"));
    });
  }

  private open(file: Blob): void {
    this.reach();
    void this.laying.open(file);
  }

  // ---------- the form ----------

  private fields(): void {
    const { laying } = this;
    const row = (...fields: HTMLElement[]) => el("div", { class: "row" }, ...fields);
    const field = (control: HTMLElement, label: Plain) =>
      el("div", { class: "field" }, el("label", { for: control.id }, say(label)), control);
    const choice = (control: HTMLElement, label: Plain) => el("label", { class: "choice" }, control, el("span", {}, say(label)));
    const more = (title: Plain, ...inside: HTMLElement[]) => el("details", {}, el("summary", {}, say(title)), ...inside);
    const letGo = el("button", { type: "button" }, say("laying.end"));
    onPress(letGo, () => laying.end());
    onPress(this.takeIt, () => laying.take());
    const fit = el("button", { type: "button", class: "quiet", onclick: () => laying.fit() }, icon("fit"), say("laying.fit"));
    const suiting = el("button", { type: "button", class: "quiet", onclick: () => void this.findPapers() }, say("laying.suiting"));
    this.actions.append(this.takeIt, letGo);
    this.form.append(
      this.actions,
      this.outcome,
      this.standing,
      field(this.way, "laying.way"),
      row(field(this.times, "laying.times"), field(this.from, "laying.from"), field(this.to, "laying.to")),
      el("div", { class: "picture-lay" }, fit, choice(this.mirror, "laying.mirror")),
      more(
        "laying.place",
        row(field(this.right, "laying.x"), field(this.up, "laying.y")),
        row(field(this.wide, "laying.width"), field(this.high, "laying.height"), field(this.turn, "laying.turn")),
      ),
      more(
        "laying.papers",
        row(
          field(this.best, "laying.best"),
          el("div", { class: "field" }, el("label", { for: "lay-spread" }, say("laying.spread")), this.spread),
        ),
        choice(this.clean, "laying.clean"),
        choice(this.edges, "laying.edges"),
        choice(this.alike, "laying.alike"),
        choice(this.back, "laying.back"),
        field(this.ground, "laying.ground"),
        suiting,
        this.suits,
      ),
      more("laying.stock", el("p", { class: "hint" }, say("laying.stock.how")), this.papers),
    );
    this.form.addEventListener("submit", (ev) => ev.preventDefault());
    this.form.addEventListener("input", (ev) => this.changed(ev.target as HTMLElement));
  }

  private changed(field: HTMLElement): void {
    const { laying } = this;
    const fits: HTMLElement[] = [this.way, this.times, this.from, this.to];
    const lies: HTMLElement[] = [this.right, this.up, this.wide, this.high, this.turn, this.mirror];
    if (fits.includes(field)) {
      const way = WAYS.find((w) => w === this.way.value) ?? "around";
      laying.fit({ way, times: value(this.times, 1), from: value(this.from, 1), to: value(this.to, 1) });
    } else if (lies.includes(field)) {
      const { lay, wall } = laying;
      if (!lay) return;
      laying.put({
        x: value(this.right, lay.x),
        y: value(this.up, lay.y / wall.rise) * wall.rise,
        width: value(this.wide, lay.width),
        height: value(this.high, lay.height / wall.rise) * wall.rise,
        turn: value(this.turn, 0),
        mirror: this.mirror.checked,
      });
    } else laying.choose(this.chosen());
  }

  private chosen() {
    const stock: PaperStock[] = [];
    for (const [colour, input] of this.stock)
      if (input.value.trim()) stock.push({ colour, units: Math.max(0, Math.floor(Number(input.value) || 0)) });
    return {
      best: value(this.best, 0),
      spread: Number(this.spread.value) / 100,
      edges: this.edges.checked,
      clean: this.clean.checked,
      mirror: this.alike.checked,
      background: this.back.checked,
      ground: this.back.checked ? this.ground.value : "",
      stock,
    };
  }

  private async findPapers(): Promise<void> {
    const { image } = this.laying;
    const found = await this.laying.suiting(SUITING);
    const papers = found?.added ?? [];
    if (image !== this.laying.image) return;
    if (!papers.length) {
      this.suits.replaceChildren(el("p", { class: "hint" }, say(found ? "laying.suiting.none" : "laying.no_answer")));
      return;
    }
    const add = el(
      "button",
      { type: "button", onclick: () => this.addPapers(papers) },
      icon("plus"),
      say("laying.suiting.add", { Count: papers.length }),
    );
    this.suits.replaceChildren(
      el("ul", { class: "bare paper-list" }, ...papers.map((p) => el("li", {}, dot(p.hex), el("span", { dir: "auto" }, p.name)))),
      add,
    );
  }

  private addPapers(papers: ReadyPaper[]): void {
    this.suits.replaceChildren();
    this.laying.add(papers);
  }

  // ---------- showing ----------

  private show(): void {
    const { laying } = this;
    const { lay, trial } = laying;
    this.reading.textContent = laying.reading ? say("laying.reading") : "";
    this.wrong.textContent = laying.wrong;
    this.wrong.hidden = !laying.wrong;
    // Beside what cannot be taken, and where it stays in sight.
    if (lay && this.wrong.parentNode !== this.actions) this.actions.append(this.wrong);
    if (!lay && this.wrong.parentNode === this.actions) this.form.before(this.wrong);
    this.form.hidden = !lay;
    this.start.classList.toggle("again", !!lay);
    if (laying.image !== this.seen) this.suits.replaceChildren();
    this.seen = laying.image;
    if (!lay) {
      this.standing.replaceChildren();
      return;
    }
    if (!this.standing.firstChild) {
      this.standing.append(this.stand.root);
      this.stand.update();
    }
    this.showLay(lay);
    this.showPapers();
    this.takeIt.setAttribute("aria-disabled", String(!laying.ready));
    this.root.dataset.laid = laying.waiting || !laying.current ? "" : String(trial?.covered ?? "");
    this.showOutcome();
  }

  private showLay(lay: Lay): void {
    const { wall } = this.laying;
    const rows = this.e.m.rings.length;
    for (const input of [this.from, this.to]) input.max = String(rows);
    fill(this.way, lay.way);
    fill(this.times, String(lay.times || 1));
    fill(this.from, String(lay.from || 1));
    fill(this.to, String(lay.to || rows));
    fill(this.right, tenth(lay.x));
    fill(this.up, tenth(lay.y / wall.rise));
    fill(this.wide, tenth(lay.width));
    fill(this.high, tenth(lay.height / wall.rise));
    fill(this.turn, tenth(lay.turn ?? 0));
    this.wide.disabled = lay.way === "around";
    this.mirror.checked = !!lay.mirror;
    this.clean.checked = !!this.laying.choice.clean;
  }

  /** The papers, each with how many there are of it, and how many the figure would have. */
  private showPapers(): void {
    const { colours } = this.e.m;
    const says = JSON.stringify(colours);
    if (says !== this.drawn) {
      this.drawn = says;
      const kept = this.ground.value;
      this.ground.replaceChildren(
        el("option", { value: "" }, say("laying.ground.nearest")),
        ...colours.map((c) => el("option", { value: c.id }, c.name)),
      );
      this.ground.value = colours.some((c) => c.id === kept) ? kept : "";
      for (const id of [...this.stock.keys()]) if (!colours.some((c) => c.id === id)) this.stock.delete(id);
      this.papers.replaceChildren(
        ...colours.map((c, k) => {
          const input =
            this.stock.get(c.id) ?? el("input", { type: "number", inputmode: "numeric", min: 0, step: 1, id: `lay-stock-${k}` });
          this.stock.set(c.id, input);
          return el(
            "div",
            { class: "picture-stock" },
            dot(c.hex),
            el("label", { for: input.id, dir: "auto" }, c.name),
            el("span", { class: "number" }),
            input,
          );
        }),
      );
    }
    this.ground.closest<HTMLElement>(".field")!.hidden = !this.back.checked;
    const by = new Map((this.laying.trial?.by ?? []).map((u) => [u.colour, u.units]));
    colours.forEach((c, k) => {
      const cell = this.papers.children[k]?.querySelector(".number");
      if (cell) cell.textContent = String(by.get(c.id) ?? 0);
    });
  }

  private showOutcome(): void {
    const { trial } = this.laying;
    if (!trial || trial.refused) {
      this.outcome.replaceChildren();
      return;
    }
    const lines = [trial.covered ? say("laying.covered", { Count: trial.covered }) : say("laying.nothing")];
    if (trial.covered) {
      lines.push(say(trial.mean < NEAR ? "laying.near" : trial.mean < FAR ? "laying.fair" : "laying.far"));
      lines.push(say("laying.difference", { Mean: tenth(trial.mean), Greatest: tenth(trial.greatest) }));
      if (!trial.proven) lines.push(say("laying.bound", { Bound: tenth(trial.bound) }));
    }
    const p = el("p", {}, lines.join(" "));
    const gains: HTMLElement[] = [];
    const { one_more: one } = trial;
    if (one && one.mean >= WORTH) {
      const add = el("button", { type: "button", class: "quiet" }, icon("plus"), say("laying.add", { Paper: one.paper.name }));
      add.addEventListener("click", () => this.laying.add([one.paper]));
      gains.push(
        el(
          "p",
          {},
          dot(one.paper.hex),
          say("laying.one_more", { Paper: one.paper.name, Less: tenth(one.mean) }),
          this.e.m.indexOfColour(one.paper.id) < 0 ? add : "",
        ),
      );
    }
    for (const g of trial.ten_more ?? [])
      gains.push(el("p", {}, dot(g.paper.hex), say("laying.ten_more", { Paper: g.paper.name, Less: g.mean.toFixed(2) })));
    this.outcome.replaceChildren(p, ...gains);
  }
}

/** A gain in the mean difference that is worth a paper (own). */
const WORTH = 0.3;

const tenth = (v: number) => String(Math.round(v * 10) / 10);

/** Writes into a field, unless the hand is in it. */
function fill(field: HTMLInputElement | HTMLSelectElement, text: string): void {
  if (document.activeElement !== field && field.value !== text) field.value = text;
}

function value(input: HTMLInputElement, otherwise: number): number {
  const v = Number(input.value);
  if (!input.value.trim() || !Number.isFinite(v)) return otherwise;
  return Math.max(Number(input.min), Math.min(Number(input.max), v));
}

function number(id: string, now: number, min: number, max: number, step = 1): HTMLInputElement {
  return el("input", { type: "number", inputmode: "decimal", id, value: now, min, max, step });
}

function check(id: string): HTMLInputElement {
  return el("input", { type: "checkbox", id });
}
