// Puts the editor together: makes its parts, lets them hear of one another, and brings them up to date when the figure
// has changed.

import { el } from "../base/dom";
import { Marks } from "../base/marks";
import type { Notes } from "../base/notes";
import { say } from "../base/words";
import { StandPart } from "../stand/part";
import type { StepEvent } from "../wire/types";
import { Actions, type Where } from "./actions/action";
import { allActions } from "./actions/all";
import type { Desk } from "./actions/desk";
import { showAbout } from "./dialogs/about";
import { Extras } from "./dialogs/extra-dialog";
import { Parts } from "./dialogs/part-dialog";
import type { Inks } from "./grid/overlay";
import { Stage } from "./grid/stage";
import { PictureHand } from "./laying/hand";
import { Laying } from "./laying/laying";
import { type Spot, unitUnder } from "./model/lattice";
import { type Place, placeOf, ringOf, type UnitAt, unitOf } from "./model/model";
import { ExtrasPart } from "./panels/extras";
import { Check, Findings } from "./panels/findings";
import { History } from "./panels/history";
import { Panel } from "./panels/panel";
import { Papers } from "./panels/papers";
import { PartsPart } from "./panels/parts";
import { PicturePart } from "./panels/picture";
import { Rings } from "./panels/rings";
import { Units } from "./panels/units";
import { Views } from "./panels/views";
import type { Status } from "./sync/sync";
import { showAllActions } from "./tools/all-actions";
import { Bar } from "./tools/bar";
import { actionButton, besideButton } from "./tools/buttons";
import { Clipboard } from "./tools/clipboard";
import { Dock } from "./tools/dock";
import type { Editor } from "./tools/editor";
import { explain } from "./tools/explain";
import { Heights } from "./tools/heights";
import { Held } from "./tools/held";
import { showHelp } from "./tools/help";
import { listenToKeys } from "./tools/keys";
import { Menus } from "./tools/menus";
import { PartRow } from "./tools/part-row";
import { People } from "./tools/people";
import { Placing } from "./tools/placing";
import { Rail } from "./tools/rail";
import { Walk } from "./tools/walk";

export class App {
  readonly people: People;
  private readonly marks = new Marks();
  private readonly stage: Stage;
  private readonly dock: Dock;
  private readonly panel = new Panel();
  private readonly views: Views;
  private readonly stand: StandPart;
  private readonly picture: PicturePart | null;
  private readonly placing: Placing;
  private readonly held: Held;
  private readonly findings: Findings;
  private readonly extras: Extras;
  private readonly parts: Parts;
  private readonly bar: Bar;
  private readonly actions: Actions;
  private readonly undo: HTMLButtonElement;
  private readonly redo: HTMLButtonElement;
  private readonly history = { can_undo: false, can_redo: false };
  private readonly foundBadge = el("span", { class: "badge", "aria-hidden": "true", hidden: true });
  private opened = false;

  constructor(
    private readonly shell: HTMLElement,
    private readonly e: Editor,
    private readonly notes: Notes,
    private readonly base: string,
  ) {
    const { marks } = this;
    this.stage = new Stage(e, inks(), marks);
    this.placing = new Placing(e);
    this.held = new Held(e, this.stage, this.placing, notes);
    this.people = new People(e, this.stage, notes);
    this.findings = new Findings(e, base);
    this.extras = new Extras(e, base, notes);
    this.parts = new Parts(e, base, notes);
    this.views = new Views(e, this.stage, marks, () => this.panel.visible, base);
    this.stand = new StandPart(e, base, marks, (at) => this.leadTo(at));
    this.picture = this.makePicture();
    const papers = new Papers(e, base, notes);
    const rings = new Rings(e, this.stage, base);
    this.dock = new Dock(e, papers);
    const menus = new Menus(e, this.stage, this.placing, notes);
    const walk = new Walk(e, this.stage);
    const desk: Desk = {
      e,
      stage: this.stage,
      placing: this.placing,
      clipboard: new Clipboard(e, this.stage, this.placing, notes),
      walk,
      marks,
      heights: new Heights(e, this.stage, this.findings),
      menus,
      dock: this.dock,
      panel: this.panel,
      papers,
      rings,
      extras: this.extras,
      parts: this.parts,
      notes,
      history: this.history,
      dialogs: { help: () => showHelp(this.actions), about: () => showAbout(e), all: (at) => showAllActions(this.actions, at) },
    };
    this.actions = new Actions(allActions(desk), e.canPaint, (why) => notes.show(why));
    for (const part of [menus, this.dock, rings]) part.offer(this.actions);
    this.dock.root.prepend(new PartRow(e).root);
    this.fillPanel(papers, rings);
    this.bar = this.makeBar();
    const beside = (b: HTMLElement) => this.here(besideButton(b, "bottom"));
    this.undo = actionButton(this.actions, "undo", beside);
    this.redo = actionButton(this.actions, "redo", beside);
    listenToKeys(
      this.actions,
      this.stage,
      () => this.here(this.stage.pageXY(e.focus)),
      () => this.placing.held !== null,
    );
    explain(e, this.stage, walk, notes);
    this.connect(menus);
  }

  /** What an action is about that is asked for at a place of the page: the unit in focus and its ring. */
  private here({ x, y }: { x: number; y: number }): Where {
    const { m, focus } = this.e;
    const ring = m.rings[ringOf(focus)];
    return { place: focus, rings: ring ? [ring.id] : [], x, y };
  }

  private fillPanel(papers: Papers, rings: Rings): void {
    const { e, base, stage, marks } = this;
    const visible = () => this.panel.visible;
    this.views.root.append(el("a", { class: "button quiet", href: `${base}/size` }, say("views.size")));
    const parts = [
      this.views,
      this.stand,
      new PartsPart(e, this.parts),
      rings,
      new Units(e, stage, marks, base, visible),
      new ExtrasPart(e, stage, this.extras, this.parts, this.notes, visible),
      papers,
      ...(this.picture ? [this.picture] : []),
      new Check(e, stage, this.findings),
      new History(e, base),
    ];
    for (const part of parts) this.panel.add(part);
  }

  /** Laying a picture over the grid, for those who may paint. */
  private makePicture(): PicturePart | null {
    const { e, base, stage, marks } = this;
    if (!e.canPaint) return null;
    const laying = new Laying(e, base);
    new PictureHand(e, stage, laying, inks().accent);
    const stand = new StandPart(e, base, marks, (at) => this.leadTo(at));
    return new PicturePart(e, laying, stand, this.notes, () => this.panel.reach("picture"));
  }

  private makeBar(): Bar {
    const bar = new Bar(
      this.e,
      this.placing,
      this.actions,
      () => this.here({ x: 0, y: 0 }),
      (on) => this.dock.makeRoom(bar.root, on),
      () => this.stage.focusGrid(),
    );
    this.dock.toolRow.prepend(bar.root);
    addEventListener("resize", () => bar.root.hidden || this.dock.makeRoom(bar.root, true));
    return bar;
  }

  private connect(menus: Menus): void {
    const { stage, e } = this;
    stage.painted.add((changed) => {
      if (changed) this.views.changed();
      if (changed) this.stand.follow();
      if (changed) this.picture?.follow();
      this.dock.update();
      this.bar.update();
    });
    stage.menuAsked.add((place, x, y) => menus.unit({ ...this.here({ x, y }), place }));
    stage.ringAsked.add((ring, x, y) => menus.ring(ring, x, y));
    stage.frontCarried.add((turn) => e.setFront(turn));
    stage.intercepts.add((kind, s) => this.panel.isLow && this.choose(kind, s));
    stage.extraCarried.add((carried, r, at) => {
      const extra = e.m.extras.find((x) => x.key === carried.key); // as it is by now, whoever changed it
      if (!extra) return;
      const ring = e.m.rings[r].id;
      if (extra.ring === ring && extra.at === at) this.extras.change(extra);
      else this.extras.move(extra, ring, at);
    });
    e.hindered.add((why) => this.notes.show(why));
    this.findings.lookedOver.add(() => this.showFound());
    this.placing.changed.add(() => this.showUndo());
    this.marks.changed.add((mark) => mark === "signs" && this.views.changed());
    e.on("part", () => {
      this.inView = "";
      this.held.drop();
      stage.view.fit();
      this.panel.update();
    });
  }

  open(): void {
    const { stage, e, actions } = this;
    const beside = (b: HTMLElement) => this.here(besideButton(b, "bottom"));
    const button = (name: string) => actionButton(actions, name, beside);
    const steps = el("div", { class: "rail-part" }, e.canPaint ? this.undo : null, e.canPaint ? this.redo : null, button("more"));
    const sight = el("div", { class: "rail-part" }, button("zoom.out"), button("zoom.fit"), button("zoom.in"));
    const rail = new Rail(steps, sight, this.dock.paperRow, this.views.thumb, this.foundBadge, () => this.panel.open());
    document.querySelector(".of-figure")?.after(this.people.button);
    this.shell.replaceChildren(
      this.notes.banner,
      rail.root,
      stage.root,
      this.dock.root,
      this.panel.root,
      this.notes.stack,
      this.notes.live,
    );
    this.shell.classList.add("ready");
    this.opened = true;
    this.people.open();
    e.settlePaper();
    e.setFocus(placeOf(0, e.m.rings[0]?.nearest(e.m.frontTurn) ?? 0));
    stage.open();
    this.changed(null);
    this.inView = e.m.rings.map((r) => `${r.id}:${r.n}:${r.start}`).join(" ");
    this.goToAddress();
    addEventListener("hashchange", () => this.goToAddress());
  }

  /** Selects a unit and brings it into sight. */
  private lead(place: Place): void {
    const { e, stage } = this;
    stage.view.reveal({ turn: e.m.rings[ringOf(place)].middle(unitOf(place)), high: ringOf(place) + 1 });
    e.setFocus(place);
    e.select([place]);
    e.tell("look");
  }

  /** Brings a unit of any part into sight; of a twin, the one that it mirrors. */
  private leadTo(at: UnitAt): void {
    const { e } = this;
    const unit = e.m.painted(at);
    const row = e.m.row(unit.row);
    if (!row || unit.unit >= row.n) return;
    e.lookAtRow(unit.row);
    this.lead(e.m.placeAt(unit));
  }

  /** Goes to the unit that the address names: #at-RING-UNIT, by the ring's identity. */
  private goToAddress(): void {
    const [, ring, unit] = /^#at-(-?\d+)-(\d+)$/.exec(location.hash) ?? [];
    if (ring) this.leadTo({ row: Number(ring), unit: Number(unit) });
  }

  /** While a part covers the tools, a touch chooses the unit that the part is about, and paints nothing. */
  private choose(kind: "hover" | "down" | "up", s: Spot): boolean {
    const { e, stage } = this;
    if (kind !== "down") return false;
    if (stage.carriesExtras.any() && stage.overlay.extraAt(stage.view.x(s.turn), stage.view.y(s.high), true)) return false;
    const place = unitUnder(e.m, s);
    if (place < 0) return false;
    e.select([]);
    e.setFocus(place);
    e.tell("look");
    return true;
  }

  // ---------- what the sync says ----------

  changed(step: StepEvent | null): void {
    if (!this.opened) return;
    const { e } = this;
    this.shell.dataset.rev = String(e.m.rev);
    e.settlePaper();
    e.settleFocus();
    if (step?.change.parts && step.client === e.sync.queue.client) e.partsChanged();
    if (step && (step.change.rings || step.change.order || step.change.parts)) this.restructured();
    if (step && step.client === e.sync.queue.client && step.undoes) {
      this.notes.clear();
      this.notes.say(step.label);
    }
    e.tell("paint", "figure");
    this.showTitle();
    this.panel.update();
    this.findings.want();
  }

  /** The rows in view as they were when they last changed. */
  private inView = "";

  /** Rings came, went or moved: where they are in view, places may mean other units now. */
  private restructured(): void {
    const { e } = this;
    const inView = e.m.rings.map((r) => `${r.id}:${r.n}:${r.start}`).join(" ");
    if (inView !== this.inView) {
      e.cancel();
      this.held.drop();
      if (e.selection.size) e.select([]);
    }
    this.inView = inView;
    this.stage.view.settle();
  }

  /** The title in the page's head follows, whoever changed it. */
  private showTitle(): void {
    const head = document.querySelector(".of-figure");
    if (!head || head.textContent === this.e.m.title) return;
    document.title = document.title.replace(head.textContent ?? "", this.e.m.title);
    head.textContent = this.e.m.title;
  }

  /** How much was found, at the tab and at the button that opens the panel on small windows. */
  private showFound(): void {
    const count = this.findings.count;
    this.panel.badge("check", count, say("check.badge", { Count: count }));
    this.foundBadge.dataset.count = String(count);
    this.foundBadge.hidden = !count;
  }

  showHistory(h: { can_undo: boolean; can_redo: boolean }): void {
    Object.assign(this.history, { can_undo: h.can_undo, can_redo: h.can_redo });
    this.showUndo();
  }

  private showUndo(): void {
    this.undo.setAttribute("aria-disabled", String(!this.actions.possible("undo")));
    this.redo.setAttribute("aria-disabled", String(!this.actions.possible("redo")));
  }

  status(s: Status): void {
    this.notes.status(s);
    this.panel.sayUnseen(!s.online && s.unseen ? say("offline.unseen", { Count: s.unseen }) : "");
    this.shell.dataset.waiting = String(s.waiting);
  }
}

function inks(): Inks {
  const style = getComputedStyle(document.documentElement);
  const of = (name: string) => style.getPropertyValue(name).trim();
  return {
    ink: of("--ink"),
    muted: of("--muted"),
    accent: of("--accent"),
    warning: of("--warning"),
    card: of("--card"),
    ground: of("--ground"),
    line: of("--line"),
  };
}
