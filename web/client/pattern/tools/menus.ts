// Menus where the hand is. Each is a list of actions by name; what they say, whether they are on or off and which key does
// the same comes from the table.

import { el } from "../../base/dom";
import type { Notes } from "../../base/notes";
import { type Choice, cardIsOpen, closeCard, showCard, showMenu } from "../../base/popover";
import { say } from "../../base/words";
import type { Extra } from "../../wire/types";
import { type Actions, keyText, type Where } from "../actions/action";
import type { Stage } from "../grid/stage";
import { mod } from "../model/mod";
import { type Place, placeOf, ringOf, unitOf } from "../model/model";
import { comesOut, MOTIFS } from "../model/motifs";
import { type Editor, SIDE_CHOICES } from "./editor";
import type { Placing } from "./placing";
import { stampPictures } from "./stamps";

const OF_UNIT = ["unit.flood", "unit.ring", "unit.swap", "unit.turn", "stamp", "part.grow"];
const OF_RING = [
  "ring.fill",
  "ring.above",
  "ring.below",
  "ring.duplicate",
  "ring.count",
  "ring.note",
  "ring.remove",
  "ring.show",
  "part.grow",
];
const MORE = [
  "all",
  "stamp",
  "paste",
  "about",
  "part.grow",
  "part.set_on",
  "select.all",
  "marks.signs",
  "marks.numbers",
  "marks.points",
  "heights.mm",
  "heights.inches",
  "help",
];
/** Offered only to those who paint, though its key works for all. */
const FOR_PAINTERS = new Set(["select.all", "ring.menu"]);
/** Menus name the key of the tool that does the same. */
const KEY_OF: Record<string, string> = { "unit.pick": "tool.pick" };

export class Menus {
  private actions: Actions | null = null;

  constructor(
    private readonly e: Editor,
    private readonly stage: Stage,
    private readonly placing: Placing,
    private readonly notes: Notes,
  ) {}

  /** Takes the table of what can be offered. */
  offer(actions: Actions): void {
    this.actions = actions;
  }

  get somethingOpen(): boolean {
    return cardIsOpen();
  }

  close(): void {
    closeCard(true);
  }

  symmetry(x: number, y: number): void {
    const repeats = [1, 2, 3, 4, 5, 6].map((k) => `symmetry.repeat_${k}`);
    this.open(say("symmetry"), ["symmetry.mirror", "symmetry.back", ...repeats], this.here(x, y));
  }

  side(x: number, y: number): void {
    this.open(
      say("side"),
      SIDE_CHOICES.map((s) => `side.${s}`),
      this.here(x, y),
    );
  }

  flood(x: number, y: number): void {
    this.open(say("tool.flood"), ["flood.touching", "flood.ring"], this.here(x, y));
  }

  /** The menu of a unit. */
  unit(at: Where): void {
    const extras = this.extrasNear(at.place).flatMap((extra) => this.choices(["extra.change"], { ...at, extra }));
    const paste = this.actions?.possible("paste", at) ? ["paste"] : [];
    showMenu(
      this.stage.whereabouts,
      [
        ...this.choices(["unit.pick", ...OF_UNIT, ...paste], at),
        ...extras,
        ...this.choices(["units.shape", "extra.add", "front.here", "ring.menu"], at),
      ],
      at.x,
      at.y,
    );
  }

  ring(r: number, x: number, y: number): void {
    const ring = this.e.m.rings[r];
    const at = { place: placeOf(r, 0), rings: [ring.id], x, y };
    this.open(say("menu.ring_title", { Ring: r + 1, Count: ring.n }), OF_RING, at);
  }

  more(x: number, y: number): void {
    const place = this.inSight();
    this.open(say("more"), MORE, { place, rings: [this.e.m.rings[ringOf(place)].id], x, y });
  }

  /** Motifs to stamp. */
  stamps(at: Place, x: number, y: number): void {
    const { e, placing } = this;
    const shelf = stampPictures(
      e.m,
      e.m.indexOfColour(e.paper),
      (motif) => {
        closeCard();
        placing.takeMotif(motif, at);
        if (!comesOut(motif, e.m, ringOf(placing.place))) this.notes.show(say("stamp.uneven"));
        this.stage.focusGrid();
      },
      MOTIFS,
    );
    showCard(el("div", { class: "stamp-card" }, el("p", { class: "pop-title" }, say("menu.stamp")), shelf), x, y, say("menu.stamp"));
  }

  private here(x: number, y: number): Where {
    return { place: this.e.focus, rings: [], x, y };
  }

  private open(title: string, names: readonly string[], at: Where): void {
    showMenu(title, this.choices(names, at), at.x, at.y);
  }

  private choices(names: readonly string[], at: Where): Choice[] {
    const { actions, e } = this;
    if (!actions) return [];
    return names
      .map((name) => actions.get(name))
      .filter((a) => actions.offered(a) && (e.canPaint || !FOR_PAINTERS.has(a.name)))
      .map((a) => {
        const key = KEY_OF[a.name] ? actions.get(KEY_OF[a.name]).key : a.key;
        return {
          label: actions.label(a, at),
          icon: a.icon,
          key: key && keyText(key),
          off: !!actions.why(a, at),
          checked: a.checked?.(at),
          ticked: a.ticked?.(at),
          do: () => actions.run(a.name, at),
        };
      });
  }

  /** Extras on a unit, or between it and its neighbours. */
  private extrasNear(p: Place): Extra[] {
    const ring = this.e.m.rings[ringOf(p)];
    return this.e.m.extras.filter((x) => x.ring === ring.id && mod(x.at - unitOf(p) + 0.5, ring.n) <= 1);
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
}
