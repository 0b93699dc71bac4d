// Puts the editor together: model, sync, stage, dock, panel, menus, keys.

import { byFinger, calm, el, onPress } from "../base/dom";
import { icon } from "../base/icons";
import { keepLook, recallLook } from "../base/marks";
import { Notes } from "../base/notes";
import { type Choice, cardIsOpen, closeCard, showCard, showMenu } from "../base/popover";
import { say } from "../base/words";
import { StandPart } from "../stand/part";
import { MAX_PERSON_NAME, MM_PER_INCH, type Person, type StepEvent } from "../wire/types";
import { showAbout } from "./dialogs/about";
import { Extras } from "./dialogs/extra-dialog";
import { type Inks, TINTS } from "./grid/overlay";
import { Stage } from "./grid/stage";
import { type Block, blockOf, extrasOn, ground, middlePlace, turnedOver, turnedOverExtras } from "./model/blocks";
import { step as latticeStep, type Spot, unitUnder } from "./model/lattice";
import { mod } from "./model/mod";
import { Model, type Place, placeOf, ringOf, unitOf } from "./model/model";
import { comesOut, MOTIFS } from "./model/motifs";
import { COLOUR } from "./model/ring";
import { ExtrasPart } from "./panels/extras";
import { Check, Findings } from "./panels/findings";
import { History } from "./panels/history";
import { Panel } from "./panels/panel";
import { Papers } from "./panels/papers";
import { Rings } from "./panels/rings";
import { Units } from "./panels/units";
import { Views } from "./panels/views";
import { Queue } from "./sync/queue";
import { type Status, Sync } from "./sync/sync";
import { Bar, type BarAction } from "./tools/bar";
import { Dock } from "./tools/dock";
import { Editor } from "./tools/editor";
import { showHelp } from "./tools/help";
import { Keys } from "./tools/keys";
import { Placing } from "./tools/placing";
import { Rail } from "./tools/rail";
import { stampPictures } from "./tools/stamps";

/** Starts the editor in its shell; data-base is the design's address, data-power what may be done. */
export async function startPattern(shell: HTMLElement): Promise<void> {
  const base = shell.dataset.base ?? "";
  const model = new Model();
  const queue = new Queue(base, storage("localStorage"), storage("sessionStorage"));
  const notes = new Notes();
  let app: App | null = null;
  const sync = new Sync(base, model, queue, {
    changed: (step) => app?.changed(step),
    refused: (why) => notes.show(why.what || say("refused"), why.fix, "fault"),
    taken: () => notes.clearFaults(),
    remark: (text) => notes.show(text),
    gone: () => notes.showGone(queue.steps.length),
    people: (list) => app?.people(list),
    history: (p) => app?.history(p.can_undo, p.can_redo),
    status: (s) => app?.status(s),
  });
  sync.name = storage("localStorage")?.getItem("tuckring:name") ?? "";
  const editor = new Editor(model, sync, shell.dataset.power ?? "view");
  app = new App(shell, editor, notes, base);
  while (!(await started(sync))) {
    shell.append(notes.stack);
    notes.show(say("no_state"), say("no_state.fix"), "fault");
    await new Promise((again) => setTimeout(again, RETRY_MS));
  }
  app.open();
}

/** So long a link waits for what was just put down to reach the server. */
const LEAVE_MS = 2000;
/** So often a page that found nobody tries again to fetch its figure. */
const RETRY_MS = 4000;

async function started(sync: Sync): Promise<boolean> {
  try {
    await sync.start();
    return true;
  } catch {
    return false;
  }
}

function storage(which: "localStorage" | "sessionStorage"): Storage | null {
  try {
    return window[which];
  } catch {
    return null; // storage forbidden: steps wait in memory only
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

class App {
  private readonly stage: Stage;
  private readonly dock: Dock;
  private readonly panel = new Panel();
  private readonly views: Views;
  private readonly stand: StandPart;
  private readonly papers: Papers;
  private readonly rings: Rings;
  private readonly keys: Keys;
  private readonly placing: Placing;
  private readonly findings: Findings;
  private readonly extras: Extras;
  private readonly bar: Bar;
  private readonly undo: HTMLButtonElement;
  private readonly redo: HTMLButtonElement;
  private readonly peopleButton: HTMLButtonElement;
  private others: Person[] = [];
  private copied: Block | null = null;
  private askedName = false;
  private opened = false;
  private inches: boolean | null = null;
  private keptLook = "";
  private canUndo = false;
  private readonly foundBadge = el("span", { class: "badge", "aria-hidden": "true", hidden: true });

  constructor(
    private readonly shell: HTMLElement,
    private readonly e: Editor,
    private readonly notes: Notes,
    base: string,
  ) {
    this.stage = new Stage(e, inks());
    this.placing = new Placing(e, () => this.placingChanged());
    this.papers = new Papers(e, notes);
    this.dock = new Dock(e, {
      symmetry: (x, y) => this.symmetryMenu(x, y),
      paper: (id, x, y) => this.papers.card(id, x, y),
      addPaper: (x, y) => this.papers.addCard(x, y),
    });
    this.views = new Views(e, this.stage, () => this.panel.visible);
    this.recallLook();
    this.views.root.append(el("a", { class: "button quiet", href: `${base}/size` }, say("views.size")));
    this.rings = new Rings(e, this.stage, base);
    this.findings = new Findings(e, base);
    this.extras = new Extras(e, base, notes);
    this.stand = new StandPart(e, base, (place) => this.lead(place));
    this.stand.signs(this.stage.grid.signs);
    const units = new Units(e, this.stage, base, () => this.panel.visible);
    const extras = new ExtrasPart(e, this.stage, this.extras, this.notes, () => this.panel.visible);
    for (const part of [
      this.views,
      this.stand,
      this.rings,
      units,
      extras,
      this.papers,
      new Check(e, this.stage, this.findings),
      new History(e, base),
    ])
      this.panel.add(part);
    this.bar = new Bar(
      e,
      this.placing,
      { selection: () => this.selectionActions(), placing: () => this.placingActions() },
      (on) => this.dock.makeRoom(this.bar.root, on),
      () => this.stage.focusGrid(),
    );
    this.dock.toolRow.prepend(this.bar.root);
    addEventListener("resize", () => this.bar.root.hidden || this.dock.makeRoom(this.bar.root, true));
    this.undo = round("undo", say("undo"), () => e.undo());
    this.redo = round("redo", say("redo"), () => e.redo());
    this.peopleButton = round("person", say("people"), () => this.peopleCard());
    this.keys = this.makeKeys();
    this.connect();
  }

  private connect(): void {
    const { stage, e } = this;
    stage.onPainted = (changed) => {
      if (changed) this.views.changed();
      if (changed) this.stand.follow();
      this.dock.update();
      this.bar.update();
    };
    stage.onMenu = (x, y, place) => this.unitMenu(place, x, y);
    stage.onFront = (turn) => this.setFront(turn);
    stage.onRuler = (ring, x, y) => this.ringMenu(ring, x, y);
    stage.intercept = (kind, s, touch) => {
      if (!this.placing.held) return this.panel.isLow && this.choose(kind, s);
      this.placing.carry(s, touch);
      if (kind === "up" && !touch) this.placing.put();
      return true;
    };
    stage.onExtra = (carried, r, at) => {
      const extra = e.m.extras.find((x) => x.key === carried.key); // as it is by now, whoever changed it
      if (!extra) return;
      const ring = e.m.rings[r].id;
      if (extra.ring === ring && extra.at === at) this.extras.change(extra);
      else this.extras.move(extra, ring, at);
    };
    this.findings.onFound(() => {
      this.showLengths();
      this.showFound();
    });
    e.on("symmetry", () => this.sayMisfits());
    e.on("paper", () => this.placing.show());
    e.on("tool", () => {
      this.placing.finish();
      this.explainTool();
    });
    e.letGo = () => {
      if (!this.placing.pending) return false;
      this.placing.stop();
      return true;
    };
    addEventListener("pagehide", () => this.placing.finish());
    document.addEventListener("click", (ev) => this.leave(ev), true);
    const here = calm(() => this.here(), 120);
    e.on("focus", here);
    setInterval(() => document.visibilityState === "visible" && this.here(), 8000);
  }

  open(): void {
    const { stage, e } = this;
    const more = round("more", say("more"), () => this.moreMenu(more));
    const steps = el("div", { class: "rail-part" }, e.canPaint ? this.undo : null, e.canPaint ? this.redo : null, more);
    const sight = el(
      "div",
      { class: "rail-part" },
      round("minus", say("zoom.out"), () => stage.zoom(1 / 1.3)),
      round("fit", say("zoom.fit"), () => stage.fit()),
      round("plus", say("zoom.in"), () => stage.zoom(1.3)),
    );
    const rail = new Rail(steps, sight, this.dock.paperRow, this.views.thumb, this.foundBadge, () => this.panel.open());
    this.peopleButton.hidden = true;
    document.querySelector(".of-figure")?.after(this.peopleButton);
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
    e.settlePaper();
    e.focus = placeOf(0, e.m.rings[0]?.nearest(e.m.frontTurn) ?? 0);
    stage.open();
    this.changed(null);
    this.goToAddress();
    addEventListener("hashchange", () => this.goToAddress());
  }

  /** A link that leaves the page first puts down what is held, so that the next page shows it. */
  private leave(ev: MouseEvent): void {
    const link = ev.target instanceof Element ? ev.target.closest<HTMLAnchorElement>("a[href]") : null;
    if (!this.placing.held || !link || ev.button) return;
    const here = location.href.split("#")[0];
    if (link.target || link.download || ev.ctrlKey || ev.metaKey || ev.shiftKey || ev.altKey || link.href.split("#")[0] === here) return;
    ev.preventDefault();
    this.placing.finish();
    void this.e.sync.sent(LEAVE_MS).then(() => location.assign(link.href));
  }

  /** Selects a unit and brings it into sight. */
  private lead(place: Place): void {
    const { e, stage } = this;
    stage.view.reveal({ turn: e.m.rings[ringOf(place)].middle(unitOf(place)), high: ringOf(place) + 1 });
    e.setFocus(place);
    e.select([place]);
    e.tell("look");
  }

  /** Says what a tool does the first time it is taken. */
  private explainTool(): void {
    const { tool } = this.e;
    const kept = storage("localStorage");
    const known = kept?.getItem("tuckring:hands") ?? "";
    // With a mouse the button's own title says it.
    if (!kept || tool === "unit" || !byFinger() || known.split(" ").includes(tool)) return;
    try {
      kept.setItem("tuckring:hands", `${known} ${tool}`.trim());
    } catch {
      return; // it could never be remembered, and would be said every time
    }
    this.notes.hint(say("tool.explain", { Name: say(`tool.${tool}`), Does: say(`tool.${tool}.does`) }));
  }

  // ---------- what the sync says ----------

  changed(step: StepEvent | null): void {
    if (!this.opened) return;
    const { e } = this;
    this.shell.dataset.rev = String(e.m.rev);
    e.settlePaper();
    e.settleFocus();
    if (step && (step.change.rings || step.change.order)) this.restructured();
    if (step && step.client === e.sync.queue.client && step.undoes) this.notes.say(step.label);
    e.tell("paint", "figure");
    this.showTitle();
    this.panel.update();
    this.findings.want();
  }

  /** The title in the page's head follows, whoever changed it. */
  private showTitle(): void {
    const head = document.querySelector(".of-figure");
    if (!head || head.textContent === this.e.m.title) return;
    document.title = document.title.replace(head.textContent ?? "", this.e.m.title);
    head.textContent = this.e.m.title;
  }

  /** While a part covers the tools, a touch chooses the unit that the part is about, and paints nothing. */
  private choose(kind: "hover" | "down" | "up", s: Spot): boolean {
    const { e, stage } = this;
    if (kind !== "down" || (stage.carriesExtras() && stage.overlay.extraAt(stage.view.x(s.turn), stage.view.y(s.high), true))) return false;
    const place = unitUnder(e.m, s);
    if (place < 0) return false;
    e.select([]);
    e.setFocus(place);
    e.tell("look");
    return true;
  }

  /** How much was found, at the tab and at the button that opens the panel on small windows. */
  private showFound(): void {
    const count = this.findings.count;
    this.panel.badge("check", count, say("check.badge", { Count: count }));
    this.foundBadge.dataset.count = String(count);
    this.foundBadge.hidden = !count;
  }

  /** Shows the panel with one of its parts, beside the grid or over it. */
  private showPart(name: "units" | "extras"): void {
    this.e.select([]);
    if (!this.panel.visible) return this.panel.open(name);
    this.panel.show(name);
    this.panel.focus();
  }

  /** Goes to the unit that the address names: #at-RING-UNIT, by the ring's identity. */
  private goToAddress(): void {
    const [, ring, unit] = /^#at-(\d+)-(\d+)$/.exec(location.hash) ?? [];
    const { e } = this;
    const r = ring ? e.m.ringIndex(Number(ring)) : -1;
    if (r < 0 || Number(unit) >= e.m.rings[r].n) return;
    this.lead(placeOf(r, Number(unit)));
  }

  /** Rings came, went or moved: places may mean other units now. */
  private restructured(): void {
    const { e } = this;
    e.cancel();
    if (this.placing.held) this.notes.show(say("block.let_go"));
    this.placing.stop();
    if (e.selection.size) e.select([]);
    this.stage.view.settle();
  }

  people(list: Person[]): void {
    this.others = list.filter((p) => p.client !== this.e.sync.queue.client);
    this.stage.overlay.people = this.others;
    this.peopleButton.hidden = !this.others.length;
    const names = this.names();
    this.peopleButton.setAttribute("aria-label", say("people.here", { Names: names, Count: this.others.length }));
    this.peopleButton.title = names;
    this.peopleButton.replaceChildren(...this.others.slice(0, 3).map((p) => this.face(p)));
    this.peopleButton.classList.toggle("faces", this.others.length > 1);
    if (this.others.length && !this.e.sync.name && !this.askedName && this.opened) {
      this.askedName = true;
      this.notes.show(say("people.new", { Names: names, Count: this.others.length }), "", "plain", {
        label: say("people.say_name"),
        do: () => this.peopleCard(),
      });
    }
    this.stage.wanted();
  }

  /** "Mira, Ole, 2 others" */
  private names(): string {
    const named = this.others.filter((p) => p.name).map((p) => p.name);
    const rest = this.others.length - named.length;
    return [...named, ...(rest ? [say(named.length ? "people.others" : "people.only_others", { Count: rest })] : [])].join(", ");
  }

  private face(p: Person): HTMLElement {
    const face = el("span", { class: "face", "aria-hidden": "true" }, p.name ? [...p.name][0].toUpperCase() : icon("person"));
    face.style.backgroundColor = TINTS[p.tint % TINTS.length];
    return face;
  }

  private peopleCard(): void {
    const box = this.peopleButton.getBoundingClientRect();
    const name = el("input", {
      type: "text",
      value: this.e.sync.name,
      maxlength: MAX_PERSON_NAME,
      id: "my-name",
      autocomplete: "nickname",
    });
    const form = el(
      "form",
      { class: "paper-card" },
      el("p", { class: "pop-title" }, say("people")),
      el("ul", { class: "bare" }, ...this.others.map((p) => el("li", { class: "person" }, this.face(p), p.name || say("someone")))),
      el(
        "div",
        { class: "field" },
        el("label", { for: "my-name" }, say("people.my_name")),
        name,
        el("span", { class: "hint" }, say("people.my_name.hint")),
      ),
      el("button", { class: "main", type: "submit" }, say("people.save")),
    );
    form.addEventListener("submit", (ev) => {
      ev.preventDefault();
      this.e.sync.name = name.value.trim();
      storage("localStorage")?.setItem("tuckring:name", this.e.sync.name);
      closeCard(true);
      this.here();
    });
    showCard(form, box.left + 22, box.bottom + 8, say("people"));
  }

  private here(): void {
    const { e } = this;
    const ring = e.m.rings[ringOf(e.focus)];
    if (ring && this.opened) e.sync.here(ring.id, unitOf(e.focus));
  }

  history(canUndo: boolean, canRedo: boolean): void {
    this.canUndo = canUndo;
    this.showUndo();
    this.redo.setAttribute("aria-disabled", String(!canRedo));
  }

  private showUndo(): void {
    this.undo.setAttribute("aria-disabled", String(!this.canUndo && !this.placing.pending));
  }

  status(s: Status): void {
    this.notes.status(s);
    this.panel.sayUnseen(!s.online && s.unseen ? say("offline.unseen", { Count: s.unseen }) : "");
    this.shell.dataset.waiting = String(s.waiting);
  }

  // ---------- menus where the hand is ----------

  private symmetryMenu(x: number, y: number): void {
    const { e } = this;
    const s = e.symmetry;
    showMenu(
      say("symmetry"),
      [
        { label: say("symmetry.mirror"), ticked: s.mirror, key: "M", do: () => e.setSymmetry({ mirror: !s.mirror }) },
        { label: say("symmetry.back"), ticked: s.back, key: "B", do: () => e.setSymmetry({ back: !s.back }) },
        ...[1, 2, 3, 4, 5, 6].map(
          (k): Choice => ({ label: say("symmetry.repeat", { Count: k }), checked: s.repeat === k, do: () => e.setSymmetry({ repeat: k }) }),
        ),
      ],
      x,
      y,
    );
  }

  /** Says on which rings the symmetry does not come out even. */
  private sayMisfits(): void {
    const list = this.stage.overlay.misfits;
    if (!list.length) return;
    const { repeat } = this.e.symmetry;
    const rings = ranges(list.map((r) => r + 1));
    this.notes.show(
      repeat > 1 ? say("symmetry.misfit.repeat", { Rings: rings, K: repeat }) : say("symmetry.misfit.mirror", { Rings: rings }),
      say("symmetry.misfit.fix"),
    );
  }

  private unitMenu(p: Place, x: number, y: number): void {
    const { e } = this;
    const colour = e.m.colours[e.m.cell(p) & COLOUR];
    const choices: Choice[] = [{ label: say("menu.pick", { Name: colour?.name ?? "" }), icon: "pick", key: "I", do: () => e.pick(p) }];
    if (e.canPaint) {
      choices.push(
        { label: say("menu.flood"), icon: "flood", do: () => e.paintPlaces(e.touched("flood", p)) },
        { label: say("menu.ring", { Ring: ringOf(p) + 1 }), icon: "ring", do: () => e.paintPlaces(e.touched("ring", p)) },
        { label: say("menu.swap", { Name: colour?.name ?? "" }), icon: "swap", do: () => e.paintPlaces(e.touched("swap", p)) },
        { label: say(e.isShort(p) ? "menu.long" : "menu.short"), icon: "side", do: () => this.turnSide(p) },
        { label: say("menu.stamp"), icon: "stamp", do: () => this.stampCard(p, x, y) },
      );
      if (this.copied) choices.push({ label: say("menu.paste"), icon: "paste", key: "Ctrl V", do: () => this.paste(p) });
      for (const x of this.extrasNear(p))
        choices.push({ label: say("extra.change", { Name: x.name }), icon: "pencil", do: () => this.extras.change(x) });
      choices.push({ label: say("menu.shape"), icon: "units", do: () => this.showPart("units") });
      choices.push({ label: say("extra.add"), icon: "plus", do: () => this.extras.add(p) });
      choices.push({ label: say("menu.front"), icon: "flag", do: () => this.setFront(e.m.rings[ringOf(p)].middle(unitOf(p))) });
      choices.push({
        label: say("menu.ring_actions", { Ring: ringOf(p) + 1 }),
        icon: "rings",
        key: "T",
        do: () => this.ringMenu(ringOf(p), x, y),
      });
    }
    showMenu(this.stage.whereabouts, choices, x, y);
  }

  /** Extras on a unit, or between it and its neighbours. */
  private extrasNear(p: Place) {
    const ring = this.e.m.rings[ringOf(p)];
    return this.e.m.extras.filter((x) => x.ring === ring.id && mod(x.at - unitOf(p) + 0.5, ring.n) <= 1);
  }

  private turnSide(p: Place): void {
    const run = {
      ring: this.e.m.rings[ringOf(p)].id,
      at: unitOf(p),
      n: 1,
      side: this.e.isShort(p) ? ("long" as const) : ("short" as const),
    };
    this.e.step({ do: "paint", runs: [run] });
  }

  /** Puts the front line at a turn: a place around ring 1, in half units. */
  private setFront(turn: number): void {
    const { m } = this.e;
    const n = m.rings[0].n;
    const front = mod(Math.round(turn * n * 2) / 2, n);
    if (front !== m.front) this.e.step({ do: "set_front", front });
  }

  private ringMenu(r: number, x: number, y: number): void {
    const { e } = this;
    const ring = e.m.rings[r];
    const ids = [ring.id];
    const choices: Choice[] = [{ label: say("menu.ring_row", { Ring: r + 1 }), icon: "rings", do: () => this.showRing(r) }];
    if (e.canPaint) {
      choices.unshift(
        { label: say("menu.fill_ring"), icon: "fill", do: () => e.paintPlaces(e.touched("ring", placeOf(r, 0))) },
        { label: say("menu.insert_above"), icon: "up", do: () => this.rings.insert(r) },
        { label: say("menu.insert_below"), icon: "down", do: () => this.rings.insert(e.m.footing(r).ring) },
        { label: say("rings.duplicate"), icon: "copy", do: () => e.step({ do: "duplicate_rings", rings: ids }) },
        { label: say("rings.count"), icon: "ring", do: () => this.rings.countDialog(ids) },
        { label: say("rings.note"), icon: "pencil", do: () => this.rings.noteDialog(r) },
        { label: say("rings.remove"), icon: "bin", off: e.m.rings.length < 2, do: () => e.step({ do: "remove_rings", rings: ids }) },
      );
    }
    showMenu(say("menu.ring_title", { Ring: r + 1, Count: ring.n }), choices, x, y);
  }

  private showRing(r: number): void {
    if (this.panel.visible) this.panel.show("rings");
    else this.panel.open("rings");
    this.rings.choose(r, false, false);
  }

  private moreMenu(button: HTMLElement): void {
    const box = button.getBoundingClientRect();
    const { overlay, grid } = this.stage;
    const choices: Choice[] = [
      { label: say("look.signs"), ticked: grid.signs, key: "H", do: () => this.toggleSigns() },
      { label: say("look.numbers"), ticked: overlay.numbers, key: "N", do: () => this.toggleNumbers() },
      { label: say("look.points"), ticked: overlay.points, key: "J", do: () => this.togglePoints() },
      { label: say("look.lengths"), ticked: this.inches === false, do: () => this.setLengths(this.inches === false ? null : false) },
      { label: say("look.inches"), ticked: this.inches === true, do: () => this.setLengths(this.inches === true ? null : true) },
      { label: say("help"), icon: "help", key: "?", do: showHelp },
    ];
    if (this.e.canPaint) {
      choices.unshift(
        { label: say("menu.stamp"), icon: "stamp", do: () => this.stampCard(this.inSight(), box.left, box.bottom) },
        { label: say("menu.paste"), icon: "paste", key: "Ctrl V", off: !this.copied, do: () => this.paste(this.inSight()) },
        { label: say("about"), icon: "pencil", do: () => showAbout(this.e) },
        { label: say("menu.select_all"), icon: "select", key: "Ctrl A", do: () => this.selectAll() },
      );
    }
    showMenu(say("more"), choices, box.left + 22, box.bottom + 8);
  }

  /** Signs, numbers and points stay as they were looked at last, on every figure. */
  private recallLook(): void {
    const kept = recallLook();
    this.stage.grid.signs = kept.has("signs");
    this.stage.overlay.numbers = kept.has("numbers");
    this.stage.overlay.points = kept.has("points");
    this.e.on("look", () => this.keepLook());
  }

  private keepLook(): void {
    const { grid, overlay } = this.stage;
    const look = [grid.signs ? "signs" : "", overlay.numbers ? "numbers" : "", overlay.points ? "points" : ""].filter(Boolean);
    if (look.join(" ") === this.keptLook) return;
    this.keptLook = look.join(" ");
    keepLook(look);
  }

  private toggleSigns(): void {
    this.stage.grid.signs = !this.stage.grid.signs;
    this.stage.grid.refreshTiles();
    this.e.tell("look");
    this.views.changed();
    this.stand.signs(this.stage.grid.signs);
  }

  private toggleNumbers(): void {
    this.stage.overlay.numbers = !this.stage.overlay.numbers;
    this.e.tell("look");
  }

  private togglePoints(): void {
    this.stage.overlay.points = !this.stage.overlay.points;
    this.e.tell("look");
  }

  /** The ruler shows how high the rings stand: in mm, in inches, or not (null). */
  private setLengths(inches: boolean | null): void {
    this.inches = inches;
    if (inches !== null) this.findings.want();
    this.showLengths();
  }

  private showLengths(): void {
    const rings = this.findings.found?.size.rings;
    const text = (mm: number) => (this.inches ? `${(mm / MM_PER_INCH).toFixed(1)}″` : String(Math.round(mm)));
    this.stage.overlay.lengths = this.inches === null || !rings ? null : rings.map((r) => text(r.top_mm.best));
    this.e.tell("look");
  }

  /** The unit in the middle of what is in sight, or the focus when it is in sight. */
  private inSight(): Place {
    const { view } = this.stage;
    const { m, focus } = this.e;
    const at = this.stage.pageXY(focus);
    const box = this.stage.root.getBoundingClientRect();
    if (at.x > box.left && at.x < box.right && at.y > box.top && at.y < box.bottom) return focus;
    const s = view.spot(view.midX, view.height / 2);
    const r = Math.max(0, Math.min(m.rings.length - 1, Math.round(s.high - 1)));
    return placeOf(r, m.rings[r].nearest(s.turn));
  }

  // ---------- blocks ----------

  private selectionActions(): BarAction[] {
    return [
      { icon: "fill", label: say("block.fill"), do: () => this.fillSelection() },
      { icon: "move", label: say("block.move"), do: () => this.moveBlock() },
      { icon: "copy", label: say("block.copy"), do: () => this.copy(true) },
      { icon: "cut", label: say("block.cut"), do: () => this.cut() },
      { icon: "mirror", label: say("block.mirror"), do: () => this.turnOver() },
      { icon: "close", label: say("block.done"), do: () => this.e.select([]) },
    ];
  }

  private placingActions(): BarAction[] {
    const actions: BarAction[] = [
      { icon: "down", label: say("block.put"), main: true, do: () => (this.placing.put(), this.stage.focusGrid()) },
      { icon: "mirror", label: say("block.mirror"), do: () => this.placing.turnOver() },
    ];
    if (this.placing.other >= 0) actions.push({ icon: "swap", label: say("block.other"), do: () => this.placing.fallOther() });
    if (this.placing.stamped) actions.push({ icon: "close", label: say("block.done"), do: () => this.placing.finish() });
    else actions.push({ icon: "close", label: say("block.cancel"), do: () => this.placing.stop() });
    return actions;
  }

  private placingChanged(): void {
    this.stage.overlay.held = new Set(this.placing.places());
    this.stage.overlay.ghost = this.placing.ghost();
    this.stage.overlay.brought = this.placing.extras();
    this.showUndo();
    this.stage.overlay.lifts = this.placing.held?.kind === "move";
    this.stage.wanted();
  }

  private copy(thenPaste = false): void {
    const { e } = this;
    const places = e.selection.size ? [...e.selection] : [e.focus];
    this.copied = blockOf(e.m, places);
    if (thenPaste) this.paste(middlePlace(e.m, places));
    else this.notes.show(say(byFinger() ? "block.copied.touch" : "block.copied", { Count: places.length }));
  }

  private cut(): void {
    const { e } = this;
    if (!e.selection.size) return;
    this.copied = blockOf(e.m, e.selection);
    const count = e.selection.size;
    e.m.setDraft(ground(e.m, e.selection));
    e.commit(extrasOn(e.m, e.selection).map((x) => ({ do: "remove_extra", key: x.key })));
    this.notes.show(say(byFinger() ? "block.was_cut.touch" : "block.was_cut", { Count: count }));
    e.select([]);
  }

  private paste(at: Place): void {
    if (!this.copied) return this.notes.show(say("block.nothing"));
    if (!this.e.canPaint) return;
    this.e.select([]);
    this.placing.takeBlock(this.copied, "paste", at);
    this.stage.focusGrid();
  }

  private moveBlock(): void {
    const { e } = this;
    const places = [...e.selection];
    const block = blockOf(e.m, places);
    if (!block) return;
    e.select([]);
    this.placing.takeBlock(block, "move", middlePlace(e.m, places), places);
    this.stage.focusGrid();
  }

  private turnOver(): void {
    const { e } = this;
    e.m.setDraft(turnedOver(e.m, e.selection));
    e.commit(turnedOverExtras(e.m, e.selection).map(({ extra, seat }) => ({ do: "edit_extra", extra: { ...extra, ...seat } })));
    e.tell("paint");
  }

  private fillSelection(): void {
    const { e } = this;
    if (e.selection.size) e.paintPlaces([...e.selection]);
  }

  private selectAll(): void {
    const { m } = this.e;
    this.e.select(m.rings.flatMap((ring, r) => Array.from({ length: ring.n }, (_, u) => placeOf(r, u))));
  }

  private stampCard(at: Place, x: number, y: number): void {
    const { e } = this;
    const shelf = stampPictures(
      e.m,
      e.m.indexOfColour(e.paper),
      (motif) => {
        closeCard();
        this.placing.takeMotif(motif, at);
        if (!comesOut(motif, e.m, ringOf(this.placing.place))) this.notes.show(say("stamp.uneven"));
        this.stage.focusGrid();
      },
      MOTIFS,
    );
    showCard(el("div", { class: "stamp-card" }, el("p", { class: "pop-title" }, say("menu.stamp")), shelf), x, y, say("menu.stamp"));
  }

  // ---------- keys ----------

  private makeKeys(): Keys {
    const { e } = this;
    const atFocus = (open: (x: number, y: number) => void) => {
      const { x, y } = this.stage.pageXY(e.focus);
      open(x, y);
    };
    e.on("said", () => this.notes.show(say(this.keys.trail ? "trail.on" : "trail.off")));
    return new Keys(e, this.stage, {
      help: showHelp,
      menu: () => atFocus((x, y) => this.unitMenu(e.focus, x, y)),
      ringMenu: () => atFocus((x, y) => this.ringMenu(ringOf(e.focus), x, y)),
      copy: () => this.copy(),
      cut: () => this.cut(),
      paste: () => this.paste(e.focus),
      selectAll: () => this.selectAll(),
      fillSelection: () => this.fillSelection(),
      escape: () => this.escape(),
      place: () => this.placeByKey(),
      nudge: (dx, dy) => this.nudge(dx, dy),
      numbers: () => this.toggleNumbers(),
      signs: () => this.toggleSigns(),
      points: () => this.togglePoints(),
      colours: () => this.dock.focusPaper(),
      say: (text) => this.notes.say(text),
    });
  }

  private escape(): boolean {
    const { e } = this;
    if (cardIsOpen()) closeCard(true);
    else if (this.placing.held) this.placing.stop();
    else if (e.anchor >= 0 || e.drawing) e.cancel();
    else if (e.selection.size) e.select([]);
    else return false;
    return true;
  }

  private placeByKey(): boolean {
    if (!this.placing.held) return false;
    this.placing.put();
    return true;
  }

  private nudge(dx: number, dy: number): boolean {
    if (!this.placing.held) return false;
    const { m } = this.e;
    const from = this.placing.place;
    const ring = m.rings[ringOf(from)];
    this.placing.nudge(latticeStep(m, from, dx, dy, ring.middle(unitOf(from))));
    return true;
  }
}

function round(name: string, label: string, act: () => void): HTMLButtonElement {
  const b = el("button", { type: "button", class: "round", "aria-label": label, title: label }, icon(name));
  onPress(b, () => b.getAttribute("aria-disabled") !== "true" && act());
  return b;
}

/** "3, 5–8, 12" */
function ranges(sorted: number[]): string {
  const out: string[] = [];
  for (let i = 0; i < sorted.length; ) {
    let k = i;
    while (sorted[k + 1] === sorted[k] + 1) k++;
    out.push(k === i ? `${sorted[i]}` : `${sorted[i]}–${sorted[k]}`);
    i = k + 1;
  }
  return out.length > 8 ? `${out.slice(0, 8).join(", ")} …` : out.join(", ");
}
