// Puts the editor together: model, sync, stage, dock, panel, menus, keys.
import { Dock } from "./dock";
import { el } from "./dom";
import { Editor } from "./editor";
import { icon } from "./icons";
import { Keys } from "./keys";
import { Model, ringOf } from "./model";
import { Notes } from "./notes";
import type { Inks } from "./overlay";
import { Panel } from "./panel";
import { showMenu } from "./popover";
import { Queue } from "./queue";
import { Stage } from "./stage";
import { type Status, Sync } from "./sync";
import { Views } from "./views";
import type { StepEvent } from "./wire";
import { say } from "./words";

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
    people: (list) => app?.people(list),
    past: (p) => app?.past(p.can_undo, p.can_redo),
    status: (s) => app?.status(s),
  });
  const editor = new Editor(model, sync, shell.dataset.power ?? "view");
  app = new App(shell, editor, notes);
  try {
    await sync.start();
  } catch {
    notes.show(say("no_state"), say("no_state.fix"), "fault");
    return;
  }
  app.open();
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
  return { ink: of("--ink"), muted: of("--muted"), accent: of("--accent"), warning: of("--warning"), card: of("--card"), ground: of("--ground"), line: of("--line") };
}

class App {
  private readonly stage: Stage;
  private readonly dock: Dock;
  private readonly panel = new Panel();
  private readonly views: Views;
  readonly keys: Keys;
  private readonly undo: HTMLButtonElement;
  private readonly redo: HTMLButtonElement;

  constructor(
    private readonly shell: HTMLElement,
    private readonly e: Editor,
    private readonly notes: Notes,
  ) {
    this.stage = new Stage(e, inks());
    this.dock = new Dock(e, { symmetry: (x, y) => this.symmetryMenu(x, y), paper: () => undefined, addPaper: () => undefined });
    this.views = new Views(e, this.stage, () => this.panel.visible);
    this.panel.add(this.views);
    this.undo = round("undo", say("undo"), () => e.undo());
    this.redo = round("redo", say("redo"), () => e.redo());
    this.keys = new Keys(e, this.stage, {
      help: () => undefined,
      menu: () => undefined,
      ringMenu: () => undefined,
      copy: () => undefined,
      cut: () => undefined,
      paste: () => undefined,
      selectAll: () => undefined,
      fillSelection: () => undefined,
      escape: () => false,
      place: () => false,
      nudge: () => false,
      numbers: () => undefined,
      signs: () => undefined,
      colours: () => undefined,
      say: (text) => notes.say(text),
    });
    this.stage.onPainted = (changed) => {
      if (changed) this.views.changed();
      this.dock.update();
    };
  }

  open(): void {
    const { stage, e } = this;
    const left = el("div", { class: "float top-left" }, e.canPaint ? this.undo : null, e.canPaint ? this.redo : null);
    const zoom = el("div", { class: "float bottom-right" }, round("plus", say("zoom.in"), () => stage.zoom(1.3)), round("minus", say("zoom.out"), () => stage.zoom(1 / 1.3)), round("fit", say("zoom.fit"), () => stage.fit()));
    const thumb = el("button", { type: "button", class: "thumb-button", "aria-label": say("panel.open"), title: say("panel.open"), onclick: () => this.panel.open() }, this.views.thumb);
    stage.root.append(left, zoom, el("div", { class: "float top-right" }, thumb), this.notes.banner, this.notes.stack);
    this.shell.replaceChildren(stage.root, this.dock.root, this.panel.root, this.notes.live);
    this.shell.classList.add("ready");
    e.settlePaper();
    stage.open();
    this.changed(null);
  }

  changed(step: StepEvent | null): void {
    const { e } = this;
    e.settlePaper();
    e.settleFocus();
    if (step) for (const p of e.selection) if (!e.m.rings[ringOf(p)]) e.selection.delete(p);
    e.tell("paint", "figure");
    this.panel.update();
  }

  people(list: import("./wire").Person[]): void {
    this.stage.overlay.people = list.filter((p) => p.client !== this.e.sync.queue.client);
    this.stage.wanted();
  }

  past(canUndo: boolean, canRedo: boolean): void {
    this.undo.setAttribute("aria-disabled", String(!canUndo));
    this.redo.setAttribute("aria-disabled", String(!canRedo));
  }

  status(s: Status): void {
    this.notes.status(s);
    this.shell.dataset.waiting = String(s.waiting);
  }

  private symmetryMenu(x: number, y: number): void {
    const { e } = this;
    const s = e.symmetry;
    showMenu(
      say("symmetry"),
      [
        { label: say("symmetry.mirror"), checked: s.mirror, key: "M", do: () => e.setSymmetry({ mirror: !s.mirror }) },
        { label: say("symmetry.back"), checked: s.back, key: "B", do: () => e.setSymmetry({ back: !s.back }) },
        ...[1, 2, 3, 4, 6].map((k) => ({ label: say("symmetry.repeat", { Count: k }), checked: s.repeat === k, do: () => e.setSymmetry({ repeat: k }) })),
      ],
      x,
      y,
    );
  }
}

function round(name: string, label: string, act: () => void): HTMLButtonElement {
  const b = el("button", { type: "button", class: "round", "aria-label": label, title: label }, icon(name));
  b.addEventListener("click", () => b.getAttribute("aria-disabled") !== "true" && act());
  return b;
}
