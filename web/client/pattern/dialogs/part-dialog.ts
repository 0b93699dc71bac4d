// The dialogs of parts: a part is grown or set on, moved, bent and named, each with a look at what comes of it before it is
// done, on the grid and in 3D.
import { el } from "../../base/dom";
import type { Notes } from "../../base/notes";
import { showDialog } from "../../base/popover";
import { type Plain, say } from "../../base/words";
import type { Look } from "../../stand/look";
import { answer, readList } from "../../wire/door";
import {
  type Bend,
  type Edit,
  type Extra,
  MAX_BEND,
  MAX_NAME,
  MAX_RINGS,
  MAX_TILT,
  MAX_UNITS,
  type Part,
  type Rings,
  type Trial,
} from "../../wire/types";
import type { Model } from "../model/model";
import { tryEdit } from "../shaping/lookahead";
import {
  freeGround,
  freeName,
  type Ground,
  groundOf,
  growEdit,
  inTheWay,
  KINDS,
  type PartKind,
  takenBy,
  type Wish,
} from "../shaping/part-edits";
import { groundPicture } from "../shaping/part-picture";
import type { Editor } from "../tools/editor";
import { refuseBeside, type Wrong } from "./refusal";

const WAIT_MS = 160;

/** Fields of the forms by the place that a refusal names; those of a batch have its number before them. */
const FIELDS: Record<string, string> = {
  name: "part-name",
  units: "part-units",
  rows: "part-rows",
  point: "part-unit",
  colour: "part-colour",
  at: "part-at",
  tilt: "part-tilt",
  on: "part-ring",
  how: "part-how",
  copy: "part-copy",
};

/** What is usual of each kind: units of the first row, rows. */
const USUAL: Record<PartKind, { units: number; rows: number }> = {
  wing: { units: 7, rows: 7 },
  strip: { units: 3, rows: 8 },
  chain: { units: 1, rows: 14 },
  tube: { units: 6, rows: 4 },
  set: { units: 12, rows: 4 },
};

export class Parts {
  constructor(
    private readonly e: Editor,
    private readonly base: string,
    private readonly notes: Notes,
  ) {}

  // ---------- growing ----------

  /** The form of a new part, from what is selected or in focus. */
  grow(kind?: PartKind): void {
    const { m, selection, focus } = this.e;
    const ground = groundOf(m, selection, focus);
    const chosen = ground.units > 1;
    const first = kind ?? (chosen ? "wing" : "chain");
    this.growForm(selection.size ? ground : freeGround(m, ground, USUAL[first].units), first, chosen);
  }

  /** Makes a chain of tucked units a part that can be painted, row by row. */
  fromExtra(x: Extra): void {
    const { m } = this.e;
    const r = m.ringIndex(x.ring);
    if (r < 0) return;
    const point = 2 * Math.floor(x.at) + (x.at % 1 ? 1 : 0);
    const wish: Wish = {
      ...this.wishOf("chain", { ring: r, point, units: 1 }),
      name: freeName(m, x.name),
      colour: x.colour ?? this.e.paper,
      rows: x.units ?? 1,
      free: true,
    };
    const grown = growEdit(m, wish);
    const edit: Edit = { do: "batch", edits: [{ do: "remove_extra", key: x.key }, ...(grown.do === "batch" ? grown.edits : [grown])] };
    void this.make(edit);
  }

  private wishOf(kind: PartKind, ground: Ground): Wish {
    const { units, rows } = USUAL[kind];
    return { kind, name: "", colour: this.e.paper, units, rows, ground, free: false, at: null, how: "glued", tilt: 0 };
  }

  /** Carries an edit out that adds a part, and looks at the part once it is there. False says that it was refused. */
  private async make(edit: Edit, refused?: (wrong: Wrong) => void): Promise<boolean> {
    const trial = await tryEdit(this.base, edit);
    if (trial?.refused) {
      if (refused) refused(trial.refused);
      else this.notes.show([trial.refused.what, trial.refused.fix].filter(Boolean).join(" "));
      return false;
    }
    this.e.lookAtNext();
    this.e.step(edit);
    return true;
  }

  private growForm(ground: Ground, first: PartKind, chosen: boolean): void {
    const { e } = this;
    const { m } = e;
    const kind = choice(
      "part-kind",
      KINDS.map((k) => [k, say(`part.kind.${k}`)]),
      first,
    );
    const name = el("input", { type: "text", id: "part-name", value: freeName(m, say(`part.name.${first}`)), maxlength: MAX_NAME });
    const ring = number("part-ring", first === "set" ? m.rings.length : ground.ring + 1, 1, m.rings.length);
    const unit = number("part-unit", (ground.point >> 1) + 1, 1, m.rings[ground.ring].n);
    const side = choice(
      "part-side",
      [
        ["0", say("part.left_point")],
        ["1", say("part.right_point")],
      ],
      String(ground.point & 1),
    );
    const units = number("part-units", chosen && first !== "set" ? ground.units : USUAL[first].units, 1, MAX_UNITS);
    const rows = number("part-rows", chosen && first === "wing" ? ground.units : USUAL[first].rows, 1, MAX_RINGS);
    const colour = choice(
      "part-colour",
      m.colours.map((c) => [c.id, c.name]),
      e.paper,
    );
    const centred = choice(
      "part-place",
      [
        ["middle", say("part.place.middle")],
        ["at", say("part.place.at")],
      ],
      "middle",
    );
    const at = number("part-at", (ground.point >> 1) + 1, 1, MAX_UNITS + 0.5, 0.5);
    const how = choice(
      "part-how",
      [
        ["glued", say("part.how.glued")],
        ["pushed", say("part.how.pushed")],
      ],
      "glued",
    );
    const tilt = number("part-tilt", 0, -MAX_TILT, MAX_TILT, 5);
    const free = el("input", { type: "checkbox", id: "part-free" });
    const freeText = el("span", {});
    const freeRow = el("label", { class: "choice", hidden: true }, free, freeText);
    const copy = choice("part-copy", [["", say("part.copy.tube")]], "");
    let rings: Rings | undefined;
    let borrowing = Promise.resolve();
    const borrow = async () => {
      const { value } = copy;
      const read = value ? await fetchRings(value) : undefined;
      if (copy.value !== value) return; // another one was chosen meanwhile
      rings = read;
      fit();
      ahead.later();
    };
    copy.addEventListener("input", (ev) => {
      ev.stopPropagation(); // looked at once its rings are there
      rings = undefined;
      ahead.busy();
      borrowing = borrow();
    });
    const copyField = field("part-copy", say("part.copy"), copy);
    if (this.base.startsWith("/d/"))
      void fetch(`${this.base}/rings/others`)
        .then(async (res) => {
          if (res.ok) for (const f of readList("OnShelf", await res.text())) copy.append(el("option", { value: f.id }, f.title));
        })
        .catch(() => undefined);
    else copyField.hidden = true;
    const points = el("div", { class: "row" }, field("part-unit", say("part.unit"), unit), field("part-side", say("part.side"), side));
    const set = el(
      "div",
      {},
      copyField,
      el("div", { class: "row" }, field("part-place", say("part.place"), centred), field("part-at", say("part.at"), at)),
      el("div", { class: "row" }, field("part-how", say("part.how"), how), field("part-tilt", say("part.tilt"), tilt)),
      el("div", { class: "notice warning" }, el("p", {}, say("part.caution"))),
    );
    const status = el("p", { class: "hint", role: "status" });
    const picture = el("div", { class: "ground" });
    const shown = el("div", { class: "ahead" });
    const apply = el("button", { class: "main", type: "submit" }, say("part.make"));
    const form = el(
      "form",
      { class: "part-form", novalidate: true },
      el(
        "div",
        { class: "part-fields" },
        field("part-kind", say("part.kind"), kind),
        el("div", { class: "row" }, field("part-name", say("part.name"), name), field("part-colour", say("part.colour"), colour)),
        field("part-ring", say("part.ring"), ring),
        points,
        el("div", { class: "row" }, field("part-units", say("part.units"), units), field("part-rows", say("part.rows"), rows)),
        set,
        status,
        freeRow,
      ),
      el("div", { class: "part-ahead" }, picture, shown),
      el("div", { class: "dialog-actions" }, apply),
    );
    const kindNow = (): PartKind => KINDS.find((k) => k === kind.value) ?? "wing";
    const groundNow = (): Ground => {
      const r = whole(ring, 1, m.rings.length) - 1;
      const u = whole(unit, 1, m.rings[r].n) - 1;
      return { ring: r, point: 2 * u + Number(side.value), units: kindNow() === "chain" ? 1 : whole(units, 1, MAX_UNITS) };
    };
    const wrong = (): Wrong | null => {
      const k = kindNow();
      if (k === "set" && copy.value && !rings) return { where: "copy", what: say("part.copy.gone") };
      const r = whole(ring, 1, m.rings.length) - 1;
      return (
        placeWrong("on", ring, m.rings.length, "part.ring_beyond") ??
        (k === "set"
          ? centred.value === "at"
            ? seatWrong(at, m.rings[r].n)
            : null
          : placeWrong("point", unit, m.rings[r].n, "part.unit_beyond"))
      );
    };
    const wish = (): Wish => ({
      kind: kindNow(),
      name: name.value.trim(),
      colour: colour.value,
      units: kindNow() === "chain" ? 1 : Number(units.value),
      rows: Number(rows.value),
      ground: groundNow(),
      free: free.checked,
      at: centred.value === "at" ? Number(at.value) - 1 : null,
      how: how.value === "pushed" ? "pushed" : "glued",
      tilt: Number(tilt.value),
      rings: kindNow() === "set" ? rings : undefined,
    });
    const fit = () => {
      const k = kindNow();
      points.hidden = k === "set";
      set.hidden = k !== "set";
      apply.textContent = say(k === "set" ? "part.make_set" : "part.make");
      colour.closest<HTMLElement>(".field")!.hidden = k === "set" && !!rings;
      units.closest<HTMLElement>(".field")!.hidden = k === "chain" || (k === "set" && !!rings);
      rows.closest<HTMLElement>(".field")!.hidden = k === "set" && !!rings;
      at.closest<HTMLElement>(".field")!.hidden = centred.value !== "at";
      const g = groundNow();
      const way = k === "set" ? [] : inTheWay(m, g);
      freeRow.hidden = !way.length;
      freeText.textContent = say("part.free", { Count: way.length, Ring: g.ring + 2 });
      const other = k === "set" ? undefined : takenBy(m, g);
      status.textContent = k === "set" ? "" : other ? say("part.taken", { Part: other }) : freeWords(m, g.ring);
    };
    const ahead = this.ahead(form, shown, () => growEdit(m, wish()), {
      apply,
      other: "part-unit",
      wrong,
      show: (trial) => {
        const then = trial?.change ? m.after(trial.change) : null;
        const known = new Set(m.rows.map((r) => r.id));
        const fresh = kindNow() === "set" || !then ? [] : then.rows.filter((r) => !known.has(r.id) && r.id > 0);
        picture.replaceChildren(kindNow() === "set" ? "" : groundPicture(m, groundNow(), fresh, say("part.picture")));
      },
    });
    kind.addEventListener("change", () => {
      const k = kindNow();
      if (KINDS.some((other) => name.value === freeName(m, say(`part.name.${other}`)))) name.value = freeName(m, say(`part.name.${k}`));
      if (k === "set") ring.value = String(m.rings.length); // on top of what is there
      units.value = String(USUAL[k].units);
      rows.value = String(USUAL[k].rows);
    });
    form.addEventListener("input", () => {
      fit();
      ahead.later();
    });
    form.addEventListener("submit", (ev) => {
      ev.preventDefault();
      void borrowing.then(async () => {
        if (!ahead.allows()) return;
        if (await this.make(growEdit(m, wish()), (wrong) => ahead.refuse(wrong))) dialog.close();
      });
    });
    const dialog = showDialog(say("part.grow"), form, () => ahead.end());
    dialog.classList.add("wide");
    fit();
    ahead.later();
    kind.focus();
  }

  // ---------- changing ----------

  /** Another place for a part: other points, or another place on the ring it is set on. */
  move(part: Part): void {
    const { e } = this;
    const { m } = e;
    const on = part.on ?? part.set?.on ?? 0;
    const carrier = m.parts[m.partOf(on)];
    const rowsOf = m.rows.filter((r) => m.partOf(r.id) === m.partOf(on));
    const first = m.rows[m.parts.slice(0, m.parts.indexOf(part)).reduce((sum, p) => sum + p.rows, 0)];
    const ring = number("part-ring", m.numberOf(on), 1, rowsOf.length);
    const unit = number("part-unit", (first.start >> 1) + 1, 1, MAX_UNITS);
    const side = choice(
      "part-side",
      [
        ["0", say("part.left_point")],
        ["1", say("part.right_point")],
      ],
      String(first.start & 1),
    );
    const centred = choice(
      "part-place",
      [
        ["middle", say("part.place.middle")],
        ["at", say("part.place.at")],
      ],
      part.set && !part.set.centred ? "at" : "middle",
    );
    const at = number("part-at", (part.set?.at ?? 0) + 1, 1, MAX_UNITS + 0.5, 0.5);
    const how = choice(
      "part-how",
      [
        ["glued", say("part.how.glued")],
        ["pushed", say("part.how.pushed")],
      ],
      part.set?.how ?? "glued",
    );
    const tilt = number("part-tilt", part.set?.tilt ?? 0, -MAX_TILT, MAX_TILT, 5);
    const shown = el("div", { class: "ahead" });
    const apply = el("button", { class: "main", type: "submit" }, say("part.save"));
    const fields = part.set
      ? [
          el("div", { class: "row" }, field("part-place", say("part.place"), centred), field("part-at", say("part.at"), at)),
          el("div", { class: "row" }, field("part-how", say("part.how"), how), field("part-tilt", say("part.tilt"), tilt)),
          el("div", { class: "notice warning" }, el("p", {}, say("part.caution"))),
        ]
      : [el("div", { class: "row" }, field("part-unit", say("part.unit"), unit), field("part-side", say("part.side"), side))];
    const form = el(
      "form",
      { class: "part-form", novalidate: true },
      el(
        "div",
        { class: "part-fields" },
        el("p", { class: "hint" }, say("part.moves_on", { Part: carrier?.name ?? "" })),
        field("part-ring", say("part.ring"), ring),
        ...fields,
      ),
      el("div", { class: "part-ahead" }, shown),
      el("div", { class: "dialog-actions" }, apply),
    );
    const edit = (): Edit => {
      const to = rowsOf[whole(ring, 1, rowsOf.length) - 1].id;
      if (!part.set) return { do: "move_part", part: part.id, on: to, point: 2 * (Number(unit.value) - 1) + Number(side.value) };
      const place = centred.value === "at" ? { at: Number(at.value) - 1 } : {};
      return {
        do: "move_part",
        part: part.id,
        on: to,
        ...place,
        how: how.value === "pushed" ? "pushed" : "glued",
        tilt: Number(tilt.value),
      };
    };
    const wrong = (): Wrong | null => {
      const { n } = rowsOf[whole(ring, 1, rowsOf.length) - 1];
      return (
        placeWrong("on", ring, rowsOf.length, "part.ring_beyond") ??
        (part.set ? (centred.value === "at" ? seatWrong(at, n) : null) : placeWrong("point", unit, n, "part.unit_beyond"))
      );
    };
    this.open(say("part.move.title", { Part: part.name }), form, shown, { apply, edit, wrong, other: "part-unit" });
  }

  /** Bends of a part, by numbers and by dragging. */
  bend(part: Part): void {
    const { m } = this.e;
    const list: Bend[] = (part.bend ?? []).map((b) => ({ ...b }));
    if (!list.length) list.push({ rows: part.rows, out: 0, right: 0 });
    let chosen = list.length - 1;
    const table = el("div", { class: "bends" });
    const shown = el("div", { class: "ahead" });
    const drag = el("input", { type: "checkbox", id: "part-drag" });
    const apply = el("button", { class: "main", type: "submit" }, say("part.save"));
    const more = el("button", { type: "button", class: "quiet" }, say("part.bend.more"));
    const form = el(
      "form",
      { class: "part-form", novalidate: true },
      el("div", { class: "part-fields" }, el("p", { class: "hint" }, say("part.bend.how")), table, more),
      el("div", { class: "part-ahead" }, el("label", { class: "choice" }, drag, el("span", {}, say("part.bend.drag"))), shown),
      el("div", { class: "dialog-actions" }, apply),
    );
    const edit = (): Edit => ({
      do: "edit_part",
      part: part.id,
      name: part.name,
      front: part === m.parts[0] || part.open ? 0 : part.front,
      bend: list.filter((b) => b.out || b.right || list.length > 1),
    });
    const row = (b: Bend, k: number): HTMLElement => {
      const input = (id: keyof Bend, min: number, max: number, step: number, label: string) => {
        const i = number(`bend-${id}-${k}`, b[id] ?? 0, min, max, step);
        i.addEventListener("input", () => {
          b[id] = Number(i.value);
        });
        return field(i.id, label, i);
      };
      const pick = el("input", { type: "radio", name: "bend", id: `bend-${k}`, "aria-label": say("part.bend.stretch", { Number: k + 1 }) });
      pick.checked = k === chosen;
      pick.addEventListener("change", () => {
        chosen = k;
      });
      const away = el("button", { type: "button", class: "quiet", "aria-label": say("part.bend.remove", { Number: k + 1 }) }, "×");
      away.addEventListener("click", () => {
        list.splice(k, 1);
        if (!list.length) list.push({ rows: part.rows, out: 0, right: 0 });
        chosen = Math.min(chosen, list.length - 1);
        fill();
        ahead.later();
      });
      return el(
        "div",
        { class: "bend-row", role: "group", "aria-label": say("part.bend.row", { Number: k + 1 }) },
        pick,
        input("rows", 1, MAX_RINGS, 1, say("part.bend.rows")),
        input("out", -MAX_BEND, MAX_BEND, 1, say("part.bend.out")),
        input("right", -MAX_BEND, MAX_BEND, 1, say("part.bend.right")),
        away,
      );
    };
    const fill = () => table.replaceChildren(...list.map(row));
    const ahead = this.open(say("part.bend.title", { Part: part.name }), form, shown, {
      apply,
      edit,
      other: `bend-out-${chosen}`,
      drag: (dx, dy) => {
        const b = list[chosen];
        b.out = clamp(Math.round(((b.out ?? 0) + dy * DRAG) * 10) / 10);
        b.right = clamp(Math.round(((b.right ?? 0) + dx * DRAG) * 10) / 10);
        fill();
        ahead.later();
      },
      fieldOf: (k) => {
        const [, index, name] = /^bend\[(\d+)\]\.(\w+)$/.exec(k) ?? [];
        return index ? `bend-${name}-${index}` : "";
      },
    });
    drag.addEventListener("change", () => ahead.drags(drag.checked));
    more.addEventListener("click", () => {
      const used = list.reduce((sum, b) => sum + b.rows, 0);
      list.push({ rows: Math.max(1, part.rows - used), out: 0, right: 0 });
      chosen = list.length - 1;
      fill();
      ahead.later();
    });
    fill();
  }

  /** Another name. */
  rename(part: Part): void {
    const { m } = this.e;
    const name = el("input", { type: "text", id: "part-name", value: part.name, maxlength: MAX_NAME });
    const apply = el("button", { class: "main", type: "submit" }, say("part.save"));
    const form = el(
      "form",
      { novalidate: true },
      field("part-name", say("part.name"), name),
      el("div", { class: "dialog-actions" }, apply),
    );
    const edit = (): Edit => ({
      do: "edit_part",
      part: part.id,
      name: name.value.trim(),
      front: part === m.parts[0] || part.open || part.twin ? 0 : part.front,
      bend: part.twin ? [] : (part.bend ?? []),
    });
    this.open(say("part.rename.title", { Part: part.name }), form, null, { apply, edit, other: "part-name" });
    name.select();
  }

  /** The mirror image of a part, on the other side of the front of what carries it. */
  twin(part: Part): void {
    const { m } = this.e;
    const mirrored = say("part.twin_name", { Part: part.name });
    const edit: Edit = { do: "add_twin", part: part.id, name: freeName(m, mirrored.slice(0, MAX_NAME)) };
    void tryEdit(this.base, edit).then((trial) => {
      if (trial?.refused) this.notes.show([trial.refused.what, trial.refused.fix].filter(Boolean).join(" "));
      else this.e.step(edit);
    });
  }

  /** Takes a part off, with what it carries; undo brings it back. */
  takeOff(part: Part): void {
    this.e.step({ do: "remove_part", part: part.id });
  }

  /** Opens a form that changes a part. */
  private open(title: string, form: HTMLFormElement, shown: HTMLElement | null, o: AheadOptions & { edit: () => Edit }): Ahead {
    const ahead = this.ahead(form, shown, o.edit, o);
    form.addEventListener("input", () => ahead.later());
    form.addEventListener("submit", (ev) => {
      ev.preventDefault();
      if (!ahead.allows()) return;
      const step = o.edit();
      void tryEdit(this.base, step).then((trial) => {
        if (trial?.refused) {
          ahead.refuse(trial.refused);
          return;
        }
        dialog.close();
        this.e.step(step);
      });
    });
    const dialog = showDialog(title, form, () => ahead.end());
    if (shown) dialog.classList.add("wide");
    ahead.later();
    return ahead;
  }

  /** Looks ahead at what a form asks for, a little after it was changed: what is refused beside its field, the rest in 3D. */
  private ahead(form: HTMLElement, shown: HTMLElement | null, edit: () => Edit, o: AheadOptions): Ahead {
    let look: Look | null = null;
    let timer = 0;
    let asked: AbortController | null = null;
    let dragging = false;
    let ended = false;
    const fieldFor = (where: string): Record<string, string> => {
      const last = where.replace(/^edits\[\d+\]\.?/, "");
      return { [where]: FIELDS[last] ?? (o.fieldOf?.(last) || o.other) };
    };
    const refuse = (refused: Wrong | null) => {
      const wrong = refuseBeside(form, refused, refused?.where ? fieldFor(refused.where) : {}, o.other);
      o.apply.setAttribute("aria-disabled", String(wrong));
      return wrong;
    };
    const busy = (on = true) => form.setAttribute("aria-busy", String(on));
    const now = async () => {
      asked?.abort();
      asked = new AbortController();
      const { signal } = asked;
      const own = o.wrong?.() ?? null;
      const step = edit();
      const trial = own ? null : await tryEdit(this.base, step, signal);
      if (signal.aborted || ended) return;
      const wrong = refuse(own ?? trial?.refused ?? null);
      busy(false);
      o.show?.(trial);
      shown?.classList.toggle("none", wrong);
      if (wrong) await look?.stand(this.e.m);
      else await look?.show(step, this.e.m.after(trial?.change ?? {}));
    };
    const later = () => {
      busy();
      clearTimeout(timer);
      timer = window.setTimeout(() => void now(), WAIT_MS);
    };
    if (shown)
      void import("../../stand/look")
        .then((loaded) => {
          if (ended) return;
          look = new loaded.Look(this.base, say("part.ahead"), o.drag);
          look.drags(dragging);
          shown.replaceChildren(look.root);
          later();
        })
        .catch(() => shown.replaceChildren(el("p", { class: "hint" }, say("stand.no_3d" satisfies Plain))));
    return {
      later,
      refuse,
      busy,
      allows: () => !refuse(o.wrong?.() ?? null),
      drags: (on) => {
        dragging = on;
        look?.drags(on);
      },
      end: () => {
        ended = true;
        clearTimeout(timer);
        asked?.abort();
        look?.end();
      },
    };
  }
}

interface Ahead {
  later(): void;
  /** Shows what is wrong beside its field; null takes it away. Tells whether something is wrong. */
  refuse(wrong: Wrong | null): boolean;
  /** Something is being worked out that may change what the form shows. */
  busy(): void;
  /** Whether the form holds nothing that this page knows to be wrong; it says what is. */
  allows(): boolean;
  drags(on: boolean): void;
  end(): void;
}

interface AheadOptions {
  apply: HTMLButtonElement;
  /** The field beside which a refusal stands that names none. */
  other: string;
  /** What this page can tell of itself: places in the numbers that people count by. */
  wrong?(): Wrong | null;
  show?(trial: Trial | null): void;
  drag?(dx: number, dy: number): void;
  fieldOf?(where: string): string;
}

/** Degrees a pixel. */
const DRAG = 0.12;

const clamp = (degrees: number) => Math.max(-MAX_BEND, Math.min(MAX_BEND, degrees));

/** Which points of a ring are free, in words. */
function freeWords(m: Model, ring: number): string {
  const open = m.openPoints(ring);
  const count = open.filter(Boolean).length;
  if (!count) return say("part.free.none", { Ring: ring + 1 });
  if (count === open.length) return say("part.free.all", { Ring: ring + 1 });
  const names: string[] = [];
  for (let p = 0; p < open.length; p++) {
    if (!open[p] || (p > 0 && open[p - 1])) continue;
    let end = p;
    while (end + 1 < open.length && open[end + 1]) end++;
    names.push(p >> 1 === end >> 1 ? String((p >> 1) + 1) : `${(p >> 1) + 1}–${(end >> 1) + 1}`);
  }
  return say("part.free.some", { Ring: ring + 1, Count: count, Units: names.join(", ") });
}

function whole(input: HTMLInputElement, low: number, high: number): number {
  const v = Math.round(Number(input.value));
  return Math.max(low, Math.min(high, Number.isFinite(v) ? v : low));
}

/** The rings of another figure on the shelf; undefined when they do not come. */
async function fetchRings(figure: string): Promise<Rings | undefined> {
  try {
    const res = await fetch(`/d/${figure}/rings`);
    return res.ok ? await answer("Rings", res) : undefined;
  } catch {
    return undefined;
  }
}

/** Why a place that is counted from 1 is none; null when it is one. */
function placeWrong(where: string, input: HTMLInputElement, last: number, key: "part.ring_beyond" | "part.unit_beyond"): Wrong | null {
  const v = Number(input.value);
  return input.value && Number.isInteger(v) && v >= 1 && v <= last
    ? null
    : { where, what: say(key, { Found: input.value || "–", Last: last }) };
}

/** The same of a place over a unit or over the gap to its right, half a unit on. */
function seatWrong(input: HTMLInputElement, units: number): Wrong | null {
  const v = Number(input.value);
  return Number.isInteger(2 * v) && v >= 1 && v <= units + 0.5
    ? null
    : { where: "at", what: say("part.seat_beyond", { Found: input.value || "–", Last: units + 0.5 }) };
}

function field(id: string, label: string, control: HTMLElement): HTMLElement {
  return el("div", { class: "field" }, el("label", { for: id }, label), control);
}

function number(id: string, value: number, min: number, max: number, step = 1): HTMLInputElement {
  return el("input", { type: "number", inputmode: "decimal", id, value, min, max, step, required: true });
}

function choice(id: string, options: string[][], value: string): HTMLSelectElement {
  const select = el("select", { id }, ...options.map(([v, text]) => el("option", { value: v }, text)));
  select.value = value;
  return select;
}
