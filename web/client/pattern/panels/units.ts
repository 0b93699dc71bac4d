// The part of the panel that shapes rings by hand: the unit in focus with the points it takes, its side
// and the openings beside it, and below it its ring. What is chosen here is done at once and can be
// taken back; the server completes it or says why not.
import { el, onPress } from "../../base/dom";
import { type IconName, icon } from "../../base/icons";
import type { Marks } from "../../base/marks";
import { dot } from "../../base/popover";
import { capital, say } from "../../base/words";
import { type Edit, PLAIN_TAKES } from "../../wire/types";
import { countDialog } from "../dialogs/count-dialog";
import type { Stage } from "../grid/stage";
import { wholeRing } from "../model/lattice";
import { type Place, ringOf, unitOf } from "../model/model";
import { COLOUR } from "../model/ring";
import { images, moves } from "../model/symmetry";
import { fillEdit, freeBeside, freeEdit, leaveOutEdit, sideEdit, takeEdit } from "../shaping/shape-edits";
import { takesStrip, takesText } from "../shaping/takes-strip";
import type { Editor } from "../tools/editor";
import type { Part } from "./panel";

type Side = "left" | "right";

export class Units implements Part {
  readonly name = "units" as const;
  readonly root = el("div", { class: "units-part" });
  private readonly title = el("h2", { id: "units-title" });
  private readonly stands = el("p", { class: "hint" });
  private readonly takes: HTMLElement[] = [];
  private readonly sides: HTMLElement[] = [];
  private readonly gaps = new Map<Side, { count: HTMLElement; less: HTMLElement; fill: HTMLElement }>();
  private readonly taking: HTMLElement[] = [];
  private readonly ringTitle = el("h2", {});
  private readonly ringText = el("p", { class: "hint" });
  private readonly strip = el("div", {});
  private readonly points = el("input", { type: "checkbox", id: "show-points" });

  constructor(
    private readonly e: Editor,
    stage: Stage,
    private readonly marks: Marks,
    private readonly base: string,
    private readonly visible: () => boolean,
  ) {
    this.root.append(this.title, this.stands);
    if (e.canPaint)
      this.root.append(
        this.takesGroup(),
        this.sideGroup(say("shape.side"), this.sides, (side) => this.turn(side)),
        this.openings(),
      );
    this.root.append(el("hr", {}), this.ringTitle, this.ringText, this.strip);
    if (e.canPaint) this.root.append(this.ringActions());
    this.points.addEventListener("change", () => {
      marks.show("points", this.points.checked);
    });
    this.root.append(el("label", { class: "choice" }, this.points, say("look.points")));
    stage.overlay.showsFocus.add(() => this.shown);
    for (const topic of ["focus", "figure", "look"] as const) e.on(topic, () => this.shown && this.update());
  }

  private get shown(): boolean {
    return this.visible() && this.root.isConnected;
  }

  // ---------- controls ----------

  private takesGroup(): HTMLElement {
    const group = el("div", { class: "chips", role: "radiogroup", "aria-labelledby": "takes-label" });
    for (const n of [1, 2, 3, 4]) {
      const chip = el(
        "button",
        { type: "button", class: "chip", role: "radio", "aria-label": say("shape.takes.choice", { Count: n }) },
        String(n),
      );
      onPress(chip, () => this.step(takeEdit(this.e.m, this.e.focus, n, this.e.symmetry)));
      this.takes.push(chip);
      group.append(chip);
    }
    group.addEventListener("keydown", (ev) => walk(ev, this.takes));
    const box = el(
      "div",
      { class: "field" },
      el("span", { class: "label", id: "takes-label" }, say("shape.takes.label")),
      group,
      el("span", { class: "hint" }, say("shape.takes.hint")),
    );
    this.taking.push(box);
    return box;
  }

  private sideGroup(label: string, chips: HTMLElement[], act: (side: "long" | "short") => void): HTMLElement {
    const group = el("div", { class: "chips", role: "radiogroup", "aria-label": label });
    for (const side of ["long", "short"] as const) {
      const chip = el("button", { type: "button", class: "chip", role: "radio" }, say(`shape.side.${side}`));
      onPress(chip, () => act(side));
      chips.push(chip);
      group.append(chip);
    }
    group.addEventListener("keydown", (ev) => walk(ev, chips));
    return el("div", { class: "field" }, el("span", { class: "label", "aria-hidden": "true" }, label), group);
  }

  private openings(): HTMLElement {
    const box = el("div", { class: "field" }, el("span", { class: "label" }, say("shape.openings")));
    for (const side of ["left", "right"] as const) {
      const count = el("output", { class: "stepper-count" });
      const button = (name: IconName, label: string, by: number) => {
        const b = el("button", { type: "button", class: "round quiet", "aria-label": label, title: label }, icon(name));
        onPress(
          b,
          () =>
            b.getAttribute("aria-disabled") !== "true" &&
            this.step(freeEdit(this.e.m, this.e.focus, side, freeBeside(this.e.m, this.e.focus, side) + by)),
        );
        return b;
      };
      const less = button("minus", say("shape.free.less", { Side: say(`shape.free.${side}`) }), -1);
      const more = button("plus", say("shape.free.more", { Side: say(`shape.free.${side}`) }), 1);
      const fill = el(
        "button",
        { type: "button", class: "quiet", onclick: () => this.step(fillEdit(this.e.m, this.e.focus, side)) },
        say("shape.fill"),
      );
      this.gaps.set(side, { count, less, fill });
      box.append(el("div", { class: "stepper" }, el("span", { class: "grow" }, say(`shape.free.${side}`)), less, count, more, fill));
    }
    const out = el(
      "button",
      { type: "button", onclick: () => this.step(leaveOutEdit(this.e.m, this.e.focus, this.e.symmetry)) },
      icon("cut"),
      say("shape.leave_out"),
    );
    box.append(out, el("span", { class: "hint" }, say("shape.leave_out.hint")));
    this.taking.push(box);
    return box;
  }

  private ringActions(): HTMLElement {
    const add = (name: IconName, label: string, act: () => void) =>
      el("button", { type: "button", class: "bar-action", onclick: act, title: label }, icon(name), el("span", {}, label));
    const turn = (by: number) => this.step({ do: "turn", rings: [this.ring.id], by });
    const side = (s: "long" | "short") => this.step(sideEdit(this.e.m, wholeRing(this.e.m, ringOf(this.e.focus)), s));
    return el(
      "div",
      { class: "ring-actions unit-ring-actions", role: "toolbar", "aria-label": say("shape.ring.actions") },
      add("ring", say("rings.count"), () => countDialog(this.e, this.base, [this.ring.id])),
      add("around_left", say("rings.turn_left"), () => turn(-1)),
      add("around_right", say("rings.turn_right"), () => turn(1)),
      add("unit", say("shape.ring.long"), () => side("long")),
      add("side", say("shape.ring.short"), () => side("short")),
    );
  }

  // ---------- doing ----------

  private get ring() {
    return this.e.m.rings[ringOf(this.e.focus)];
  }

  private step(edit: Edit): void {
    this.e.step(edit);
    this.update();
  }

  private turn(side: "long" | "short"): void {
    const { e } = this;
    const places = images(e.m, e.focus, e.symmetry, moves(e.symmetry));
    this.step(sideEdit(e.m, [...new Set([e.focus, ...places])], side));
  }

  // ---------- showing ----------

  update(): void {
    const { e } = this;
    const p = e.focus;
    const ring = this.ring;
    if (!ring) return;
    const r = ringOf(p);
    const u = unitOf(p);
    const { onTable } = e.m.footing(r);
    const colour = e.m.colours[e.m.cell(p) & COLOUR];
    this.title.replaceChildren(
      dot(colour?.hex ?? "#ffffff"),
      capital(say("unit.at", { Ring: r + 1, Unit: u + 1, Of: ring.n, Colour: colour?.name ?? "" })),
    );
    this.stands.textContent = onTable ? say("shape.stands.bottom") : this.standsOn(p);
    for (const box of this.taking) box.hidden = onTable;
    const takes = ring.takes ? ring.takes[u] : PLAIN_TAKES;
    for (const [i, chip] of this.takes.entries()) choose(chip, i + 1 === takes, takes < 1 && i === 0);
    const short = e.isShort(p);
    for (const [i, chip] of this.sides.entries()) choose(chip, (i === 1) === short);
    for (const [side, gap] of this.gaps) {
      const free = freeBeside(e.m, p, side);
      gap.count.textContent = String(free);
      gap.less.setAttribute("aria-disabled", String(free === 0));
      gap.fill.hidden = free === 0;
    }
    this.ringTitle.textContent = say("shape.ring.title", { Ring: r + 1 });
    this.ringText.textContent = takesText(ring, onTable);
    this.strip.replaceChildren(takesStrip(ring, e.m.frontTurn));
    this.points.checked = this.marks.shows("points");
  }

  /** "Stands on the right point of unit 3 and the left point of unit 4 of ring 5." */
  private standsOn(p: Place): string {
    const footing = this.e.m.footing(ringOf(p));
    const points = this.e.m.pointsOf(ringOf(p), unitOf(p)).map((point) => {
      const { unit, right } = footing.owner(point);
      return say(right ? "shape.point.right" : "shape.point.left", { Unit: unit + 1 });
    });
    const last = points.pop() ?? "";
    return say("shape.stands", {
      Points: points.length ? say("shape.and", { List: points.join(", "), Last: last }) : last,
      Ring: ringOf(p),
    });
  }
}

function choose(chip: HTMLElement, on: boolean, reachable = false): void {
  chip.setAttribute("aria-checked", String(on));
  chip.tabIndex = on || reachable ? 0 : -1;
}

/** Arrow keys walk among the choices; Space and Enter choose. */
function walk(ev: KeyboardEvent, chips: HTMLElement[]): void {
  const by = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[ev.key];
  if (!by) return;
  ev.preventDefault();
  ev.stopPropagation();
  const at = chips.indexOf(document.activeElement as HTMLElement);
  chips[(at + by + chips.length) % chips.length].focus();
}
