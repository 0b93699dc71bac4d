import type {
  Ask,
  Change,
  Colour,
  Edit,
  EditRun,
  Extra,
  Look,
  PaintedRun,
  Part,
  RingWire,
  StateWire,
  Step,
  StepEvent,
  Totals,
  UnitPaper,
} from "../../wire/types";
import { MAX_COLOURS, MIN_UNITS, PLAIN_TAKES } from "../../wire/types";
import { Footing } from "./footing";
import { mod } from "./mod";
import { COLOUR, OwnRing, type Ring, SHORT } from "./ring";

/** A unit's place as one number: ring index × 1024 + unit index (a ring has no more than MAX_UNITS units, which is less). */
export type Place = number;
export const placeOf = (ring: number, unit: number): Place => ring * 1024 + unit;
export const ringOf = (p: Place): number => p >> 10;
export const unitOf = (p: Place): number => p & 1023;

/** What a draft does to a unit: a colour (its place in the palette) or KEEP, and a side or KEEP. */
export const KEEP = 255;
export const dab = (colour: number, side: number = KEEP): number => colour | (side << 8);

/** A unit of any part: its row by identity, and its number from the seam, from 0. */
export interface UnitAt {
  row: number;
  unit: number;
}

/** Where a part grows: points of a row that it takes, from the first on to the right. */
export interface Growth {
  part: Part;
  first: number;
  points: number;
}

/** What the lowest ring stands on. */
const TABLE = new Footing(-1, null);

/**
 * The figure as this page knows it. What the server has confirmed is kept apart from what is shown:
 * shown = kept + pending steps + the draft under the hand. Confirmed steps are applied in the order
 * of their revisions, each once, so that all pages come to show the same.
 *
 * A figure of several parts is looked at one part at a time: rings, places, footings and front are those of the part in view,
 * counted from its first row. rows are those of all parts. What is done to a part shows on its twin at once.
 */
export class Model {
  /** What the getters below show. Only the model itself writes here. */
  private readonly now = {
    rev: 0,
    title: "",
    unit: { long_mm: 0, short_mm: 0, fold: "doubled" } as UnitPaper,
    front: 0,
    frontTurn: 0,
    rows: [] as OwnRing[],
    parts: [] as readonly Part[],
    extras: [] as readonly Extra[],
    looks: [] as readonly Look[],
    totals: { units: 0, in_rings: 0, by_colour: [], sheets: 0 } as Totals,
    colours: [] as readonly Colour[],
    dirty: [] as Place[],
    dirtyAll: true,
    elsewhere: false,
    shape: 0,
    pending: [] as Step[],
  };
  /** Units in rings by place in the palette, always of what is shown; unitsOf counts tucked ones too. */
  private inRings = new Int32Array(MAX_COLOURS);
  /** An extra that is being moved and the place where it is shown meanwhile. */
  private moving: { key: number; ring: number; at: number } | null = null;
  private confirmedColours: Colour[] = [];
  private confirmedExtras: Extra[] = [];
  private byID = new Map<number, number>();
  /** Index of the part in view, and its rows. */
  private viewed = 0;
  private low = 0;
  private window: readonly OwnRing[] = [];
  private colourIndex = new Map<string, number>();
  private draftDabs = new Map<Place, number>();
  private draftBefore = new Map<Place, number>();
  private footings: Footing[] = [];
  private scale = MIN_UNITS;
  /** For each ring the units that take the points of its footing, worked out when asked for. */
  private taken: Int32Array[] = [];

  // ---------- what everybody may read ----------

  get rev(): number {
    return this.now.rev;
  }

  get title(): string {
    return this.now.title;
  }

  get unit(): Readonly<UnitPaper> {
    return this.now.unit;
  }

  /** The front line: a place around ring 1, in units of it, and the same in turns; the middle of an open part. */
  get front(): number {
    return this.viewed ? this.now.parts[this.viewed].front : this.now.front;
  }

  get frontTurn(): number {
    return this.viewed ? this.now.parts[this.viewed].front_turn : this.now.frontTurn;
  }

  /** The front line of the part on the table, in turns. */
  get standsAt(): number {
    return this.now.frontTurn;
  }

  /** The rows of the part in view. */
  get rings(): readonly Ring[] {
    return this.window;
  }

  /** Where the rows of the part in view begin among those of all. */
  get firstRow(): number {
    return this.low;
  }

  /** The rows of all parts, in the order of building. */
  get rows(): readonly Ring[] {
    return this.now.rows;
  }

  /** The parts of a figure of several, none in a figure of one. */
  get parts(): readonly Part[] {
    return this.now.parts;
  }

  /** The part in view; undefined in a figure of one. */
  get part(): Part | undefined {
    return this.now.parts[this.viewed];
  }

  /** Extras as shown: the confirmed ones, with pending changes on top. */
  get extras(): readonly Readonly<Extra>[] {
    return this.now.extras;
  }

  /** How the confirmed extras look, in the order in which they are drawn. */
  get looks(): readonly Look[] {
    return this.now.looks;
  }

  get totals(): Readonly<Totals> {
    return this.now.totals;
  }

  /** The palette as shown: the confirmed colours, then those added and not yet confirmed. */
  get colours(): readonly Readonly<Colour>[] {
    return this.now.colours;
  }

  /** Places that look otherwise since they were painted last; dirtyAll when the structure changed. */
  get dirty(): readonly Place[] {
    return this.now.dirty;
  }

  get dirtyAll(): boolean {
    return this.now.dirtyAll;
  }

  /** Units of other parts than the one in view look otherwise since all was painted last. */
  get elsewhere(): boolean {
    return this.now.elsewhere;
  }

  /** Raised whenever rings, order or widths change, so that caches know. */
  get shape(): number {
    return this.now.shape;
  }

  /** Steps made here that have not come back from the server, in their order. */
  get pending(): readonly Step[] {
    return this.now.pending;
  }

  // ---------- reading what the server says ----------

  /** Takes a whole state; pending steps are drawn on top again. */
  load(s: StateWire): void {
    this.clearDraft();
    this.now.rev = s.rev;
    this.now.title = s.title;
    this.now.unit = s.unit;
    this.now.front = s.front;
    this.now.frontTurn = s.front_turn;
    this.confirmedExtras = s.extras;
    this.now.looks = s.looks;
    this.now.totals = s.totals;
    this.confirmedColours = s.colours;
    this.now.rows = s.rings.map((r) => new OwnRing(r));
    this.now.parts = s.parts;
    this.restructured();
    this.rebuild();
  }

  /**
   * Applies a confirmed step. A step already known (its revision is not above ours) changes nothing
   * and gives false. own is this page's client id: its pending step has then come home.
   */
  receive(e: StepEvent, own: string): boolean {
    if (e.client === own) this.forget(e.seq);
    if (e.rev <= this.rev) {
      if (e.client === own) this.reshow();
      return false;
    }
    this.now.rev = e.rev;
    if (e.totals) this.now.totals = e.totals;
    this.apply(e.change, e.client === own);
    return true;
  }

  /** What is counted and needed, as the server says of a revision; what is told of an older one is let be. */
  count(totals: Totals, rev: number): void {
    if (rev >= this.rev) this.now.totals = totals;
  }

  /** Replaces the steps that wait for the server; they are drawn when a state is loaded. */
  wait(steps: readonly Step[]): void {
    this.now.pending = steps.slice();
  }

  /** Drops a step that the server refused: what it had drawn goes away. */
  refuse(seq: number): void {
    const step = this.pending.find((s) => s.seq === seq);
    this.forget(seq);
    this.showExtras();
    if (step && step.edit.do === "paint") this.repair(step.edit.runs);
    else this.rebuild();
  }

  /**
   * The server has a step as revision rev. When the state that we know has it already, it is told no more
   * and must not stay drawn on top of what others do after it.
   */
  accepted(seq: number, rev: number): void {
    if (rev > this.rev || !this.pending.some((s) => s.seq === seq)) return;
    this.forget(seq);
    this.reshow();
  }

  private forget(seq: number): void {
    const i = this.pending.findIndex((s) => s.seq === seq);
    if (i >= 0) this.now.pending.splice(i, 1);
  }

  private apply(c: Change, own: boolean): void {
    const draft = new Map(this.draftDabs);
    this.clearDraft();
    if (c.title !== undefined) this.now.title = c.title;
    if (c.unit) this.now.unit = c.unit;
    if (c.front !== undefined) this.now.front = c.front;
    if (c.front_turn !== undefined) this.now.frontTurn = c.front_turn;
    if (c.extras) this.confirmedExtras = c.extras;
    if (c.looks) this.now.looks = c.looks;
    if (c.extras || own) this.showExtras();
    const whole = !!(c.rings || c.order || c.colours);
    const before = this.part?.id;
    if (c.parts) this.now.parts = c.parts;
    if (c.colours) this.recolour(c.colours, new Set((c.rings ?? []).map((r) => r.id)));
    if (c.rings || c.order || c.parts) this.rering(c.rings ?? [], c.order, before);
    for (const run of c.paint ?? []) this.paintKept(run);
    if (whole) this.rebuild();
    else if (c.paint) this.repair(c.paint);
    else if (own) this.rebuildCells();
    if (c.front_turn !== undefined || c.front !== undefined || c.extras || c.looks || c.parts || c.title !== undefined)
      this.now.dirtyAll = true;
    if (!whole) this.setDraft(draft);
  }

  /** Takes a new palette. Rings that the change does not carry keep their colours by id. */
  private recolour(colours: Colour[], carried: Set<number>): void {
    const now = new Map(colours.map((c, i) => [c.id, i]));
    const to = this.confirmedColours.map((c) => now.get(c.id) ?? 0);
    this.confirmedColours = colours;
    if (to.every((t, i) => t === i)) return;
    for (const r of this.now.rows) {
      if (carried.has(r.id)) continue;
      for (let u = 0; u < r.n; u++) r.kept[u] = (r.kept[u] & SHORT) | (to[r.kept[u] & COLOUR] ?? 0);
    }
  }

  private rering(changed: RingWire[], order?: number[], viewed?: number): void {
    this.now.rows = reordered(this.now.rows, changed, order);
    if (viewed !== undefined)
      this.viewed = Math.max(
        0,
        this.now.parts.findIndex((p) => p.id === viewed),
      );
    this.restructured();
  }

  private paintKept(run: PaintedRun): void {
    const i = this.byID.get(run.ring);
    if (i === undefined) return;
    const { kept } = this.now.rows[i];
    const twin = this.twinRow(i)?.kept;
    for (let u = run.at; u < run.at + run.n && u < kept.length; u++) {
      let cell = kept[u];
      if (run.colour !== undefined) cell = (cell & SHORT) | run.colour;
      if (run.side) cell = (cell & COLOUR) | (run.side === "short" ? SHORT : 0);
      kept[u] = cell;
      if (twin) twin[twin.length - 1 - u] = cell;
    }
  }

  // ---------- what this page does ----------

  /** Draws a step of this page at once; it stays pending until it comes back. */
  push(step: Step): void {
    this.now.pending.push(step);
    if (step.edit.do === "paint") {
      this.drawRuns(step.edit.runs);
    } else if (step.edit.do === "add_colour") {
      this.rebuild();
    } else if (step.edit.do === "undo" || step.edit.do === "redo") {
      this.reshow();
    } else {
      for (const edit of editsIn(step.edit)) if (edit.do === "paint") this.drawRuns(edit.runs);
      this.showExtras();
    }
  }

  /** Shows an extra at another place, which is no step yet: an extra that is being moved. null puts it back. */
  moveExtra(key: number, seat: { ring: number; at: number } | null): void {
    this.moving = seat && { key, ring: seat.ring, at: seat.at };
    this.showExtras();
  }

  /** Everything has been painted as it looks now. */
  allPainted(): void {
    this.now.dirty = [];
    this.now.dirtyAll = false;
    this.now.elsewhere = false;
  }

  /** The figure as it would be after a change: a model to be looked at only. */
  after(c: Change): Model {
    const out = new Model();
    out.now.colours = c.colours ?? this.colours;
    out.colourIndex = new Map(out.colours.map((colour, i) => [colour.id, i]));
    out.now.frontTurn = c.front_turn ?? this.now.frontTurn;
    out.now.rows = reordered(this.now.rows, c.rings ?? [], c.order);
    out.now.parts = c.parts ?? this.now.parts;
    out.viewed = Math.max(
      0,
      out.now.parts.findIndex((p) => p.id === this.part?.id),
    );
    out.now.extras = c.extras ?? this.extras;
    out.now.looks = c.looks ?? this.looks;
    out.restructured();
    return out;
  }

  /** Replaces the draft, which is what the hand is about to do: dabs by place. */
  setDraft(dabs: Map<Place, number>): void {
    for (const [p, before] of this.draftBefore) {
      if (!dabs.has(p)) {
        this.showAt(p, before);
        this.draftBefore.delete(p);
        this.draftDabs.delete(p);
      }
    }
    for (const [p, d] of dabs) this.addDraft(p, d);
  }

  /** Adds one dab to the draft. */
  addDraft(p: Place, d: number): void {
    if (this.draftDabs.get(p) === d) return;
    const before = this.draftBefore.get(p) ?? this.cell(p);
    this.draftBefore.set(p, before);
    this.draftDabs.set(p, d);
    this.showAt(p, dabbed(before, d));
  }

  /** Takes one unit out of the draft. */
  dropDraft(p: Place): void {
    const before = this.draftBefore.get(p);
    if (before === undefined) return;
    this.showAt(p, before);
    this.draftBefore.delete(p);
    this.draftDabs.delete(p);
  }

  /** Takes the draft away again. */
  clearDraft(): void {
    for (const [p, before] of this.draftBefore) this.showAt(p, before);
    this.draftBefore.clear();
    this.draftDabs.clear();
  }

  /** The draft as an edit, null when it would change nothing; units already so are left out. */
  draftEdit(): Edit | null {
    const places = [...this.draftDabs.keys()].filter((p) => this.cell(p) !== this.draftBefore.get(p));
    const runs = this.runsOf(places, (p) => this.draftDabs.get(p)!);
    return runs.length ? { do: "paint", runs } : null;
  }

  get draftSize(): number {
    return this.draftDabs.size;
  }

  /** Runs of neighbouring units that get the same dab; a run never crosses the seam. */
  runsOf(places: Place[], dabAt: (p: Place) => number): EditRun[] {
    const out: EditRun[] = [];
    let last = -2;
    let lastDab = -1;
    for (const p of places.sort((a, b) => a - b)) {
      const d = dabAt(p);
      if (p === last + 1 && d === lastDab) out[out.length - 1].n++;
      else out.push(this.newRun(p, d));
      last = p;
      lastDab = d;
    }
    return out;
  }

  /** All units of a colour in the parts that are not in view, as an edit that puts a dab on them; null where there are none. */
  replacedElsewhere(colour: number, d: number): Edit | null {
    const runs: EditRun[] = [];
    for (const row of this.rows) {
      if (row.id < 0 || this.ringIndex(row.id) >= 0) continue; // twins show what they mirror
      let last: EditRun | null = null;
      for (let u = 0; u < row.n; u++) {
        if ((row.shown[u] & COLOUR) !== colour) {
          last = null;
          continue;
        }
        if (!last) {
          last = this.runAt(row.id, u, d);
          last.n = 0;
          runs.push(last);
        }
        last.n++;
      }
    }
    return runs.length ? { do: "paint", runs } : null;
  }

  private newRun(p: Place, d: number): EditRun {
    return this.runAt(this.rings[ringOf(p)].id, unitOf(p), d);
  }

  private runAt(ring: number, at: number, d: number): EditRun {
    const run: EditRun = { ring, at, n: 1 };
    if ((d & 255) !== KEEP) run.colour = this.colours[d & 255].id;
    if (d >> 8 !== KEEP) run.side = d >> 8 ? "short" : "long";
    return run;
  }

  // ---------- looking ----------

  /** Units of a colour (its place in the palette), those of tucked extras among them: all that paper is cut for. */
  unitsOf(colour: number): number {
    const id = this.colours[colour]?.id;
    let n = this.inRings[colour] ?? 0;
    for (const x of this.extras) if (x.kind === "tucked" && x.colour === id) n += x.units ?? 0;
    return n;
  }

  cell(p: Place): number {
    return this.rings[ringOf(p)].shown[unitOf(p)];
  }

  /** Where a ring is in the part in view, by its identity; −1 when it is of another part, or gone. */
  ringIndex(id: number): number {
    const r = (this.byID.get(id) ?? -1) - this.low;
    return r >= 0 && r < this.window.length ? r : -1;
  }

  /** A row of any part, by its identity. */
  row(id: number): Ring | undefined {
    return this.now.rows[this.byID.get(id) ?? -1];
  }

  /** Index of the part that a row is of, by the row's identity; −1 when it is gone. */
  partOf(id: number): number {
    const at = this.byID.get(id) ?? -1;
    if (at < 0) return -1;
    let first = 0;
    for (let k = 0; k < this.parts.length; k++) {
      first += this.parts[k].rows;
      if (at < first) return k;
    }
    return 0;
  }

  /** A row's number in its part as people count, by its identity; 0 when it is gone. */
  numberOf(id: number): number {
    const at = this.byID.get(id) ?? -1;
    let first = 0;
    for (const part of this.parts) {
      if (at < first + part.rows) break;
      first += part.rows;
    }
    return at - first + 1;
  }

  /** The name of the part that a row is of; "" in a figure of one. */
  partName(id: number): string {
    return this.parts[this.partOf(id)]?.name ?? "";
  }

  /** The unit that is painted for a unit: its own, or for one of a twin that of the part it mirrors. */
  painted(at: UnitAt): UnitAt {
    if (at.row >= 0) return at;
    return { row: -at.row, unit: (this.row(at.row)?.n ?? 1) - 1 - at.unit };
  }

  /** The place of a unit in the part in view, −1 when it is of another. */
  placeAt(at: UnitAt): Place {
    const r = this.ringIndex(at.row);
    return r < 0 ? -1 : placeOf(r, at.unit);
  }

  /** Looks at another part, by its identity; at the part that it mirrors when it is a twin. False when it was in view already. */
  look(id: number): boolean {
    let k = this.parts.findIndex((p) => p.id === id);
    const { twin } = this.parts[k] ?? {};
    if (twin) k = this.parts.findIndex((p) => p.id === twin);
    if (k < 0 || k === this.viewed) return false;
    this.clearDraft();
    this.viewed = k;
    this.restructured();
    return true;
  }

  /** The part that mirrors the one in view. */
  get twin(): Part | undefined {
    const { part } = this;
    return part && this.parts.find((p) => p.twin === part.id);
  }

  /** Parts that grow from a row, and on which of its points. */
  growing(r: number): Growth[] {
    const out: Growth[] = [];
    const id = this.rings[r]?.id;
    let first = 0;
    for (const part of this.parts) {
      const row = this.rows[first];
      if (part.on === id && row) {
        const end = row.firstPoint(row.n - 1) + (row.takes ? row.takes[row.n - 1] : PLAIN_TAKES);
        out.push({ part, first: row.start, points: end - row.start });
      }
      first += part.rows;
    }
    return out;
  }

  /** Parts that are set on a row. */
  setOn(r: number): Part[] {
    const id = this.rings[r]?.id;
    return this.parts.filter((p) => p.set?.on === id);
  }

  /** Points of a row that nothing takes: a part can grow there. */
  openPoints(r: number): boolean[] {
    const out = new Array<boolean>(this.offering(r).offered).fill(true);
    const upon = this.upon(r);
    if (upon >= 0)
      this.takenBelow(upon).forEach((unit, p) => {
        out[p] = unit < 0;
      });
    for (const g of this.growing(r)) for (let k = 0; k < g.points; k++) out[mod(g.first + k, out.length)] = false;
    return out;
  }

  indexOfColour(id: string): number {
    return this.colourIndex.get(id) ?? -1;
  }

  /** Units that the ring with the most has in a whole turn, which sets the scale of the grid. */
  get widest(): number {
    return this.scale;
  }

  /** Units in rings. */
  get units(): number {
    let n = 0;
    for (const r of this.rows) n += r.n;
    return n;
  }

  /** What a ring stands on. */
  footing(r: number): Footing {
    return this.footings[r] ?? TABLE;
  }

  /** The points that a ring offers, whoever takes them. */
  offering(r: number): Footing {
    return new Footing(r, this.rings[r]);
  }

  /** The ring that stands on a ring, −1 when none does. */
  upon(r: number): number {
    return r + 1 < this.rings.length ? r + 1 : -1;
  }

  /** Units below unit u of ring r, whose points it takes: none on the table. */
  below(r: number, u: number): number[] {
    return this.footing(r).unitsUnder(this.rings[r], u);
  }

  /** Units above that take a point of unit u of ring r: none, one or two. */
  above(r: number, u: number): number[] {
    const upon = this.upon(r);
    if (upon < 0) return [];
    const taken = this.takenBelow(upon);
    const left = taken[2 * u];
    const right = taken[2 * u + 1];
    if (left < 0) return right < 0 ? [] : [right];
    return right < 0 || right === left ? [left] : [left, right];
  }

  /** Points that unit u of ring r takes, by their numbers in its footing. */
  pointsOf(r: number, u: number): number[] {
    return this.footing(r).pointsOf(this.rings[r], u);
  }

  /** Points that ring r leaves free, by their numbers in its footing. */
  freePoints(r: number): number[] {
    if (!this.rings[r].free || this.footing(r).grows) return [];
    const out: number[] = [];
    this.takenBelow(r).forEach((unit, p) => {
      if (unit < 0) out.push(p);
    });
    return out;
  }

  private takenBelow(r: number): Int32Array {
    this.taken[r] ??= this.footing(r).takenBy(this.rings[r]);
    return this.taken[r];
  }

  /** True neighbours of a unit: those beside it in its ring, and those that share points with it. */
  neighbours(p: Place): Place[] {
    const r = ringOf(p);
    const u = unitOf(p);
    const ring = this.rings[r];
    const out: Place[] = [];
    if (ring.touchesNext(u)) out.push(placeOf(r, u + 1 < ring.n ? u + 1 : 0));
    const before = u > 0 ? u - 1 : ring.n - 1;
    if (ring.touchesNext(before)) out.push(placeOf(r, before));
    const under = this.footing(r).ring;
    if (under >= 0) for (const b of this.below(r, u)) out.push(placeOf(under, b));
    for (const a of this.above(r, u)) out.push(placeOf(this.upon(r), a));
    return out;
  }

  // ---------- keeping shown in step ----------

  /** Rings came, went or changed: finds them by their identities from now on. */
  private restructured(): void {
    this.byID = new Map(this.rows.map((r, i) => [r.id, i]));
    this.viewed = Math.min(this.viewed, Math.max(0, this.parts.length - 1));
    this.low = 0;
    for (const part of this.parts.slice(0, this.viewed)) this.low += part.rows;
    this.window = this.parts.length ? this.now.rows.slice(this.low, this.low + this.parts[this.viewed].rows) : this.now.rows;
    const on = this.part?.on;
    const ground = on ? new Footing(-1, this.row(on) ?? null, true, this.numberOf(on)) : TABLE;
    this.footings = this.rings.map((_, r) => (r ? new Footing(r - 1, this.rings[r - 1]) : ground));
    this.scale = unitsInTurn(this.rings);
    this.taken = [];
    this.now.shape++;
    this.now.dirtyAll = true;
  }

  /** Shows everything anew: palette, counts, kept cells, pending steps. */
  private rebuild(): void {
    this.showExtras();
    this.draftBefore.clear();
    this.draftDabs.clear();
    this.now.colours = this.confirmedColours.concat(this.addedColours());
    this.colourIndex = new Map(this.colours.map((c, i) => [c.id, i]));
    this.inRings.fill(0);
    for (const r of this.now.rows) {
      r.shown.set(r.kept);
      for (let u = 0; u < r.n; u++) this.inRings[r.shown[u] & COLOUR]++;
    }
    this.drawPending();
    this.now.dirtyAll = true;
  }

  private reshow(): void {
    this.rebuildCells();
    this.showExtras();
  }

  /** Shows the confirmed extras as the pending steps change them; one whose ring is gone stays where it is. */
  private showExtras(): void {
    let out: readonly Extra[] = this.confirmedExtras;
    for (const edit of liveSteps(this.pending).flatMap((s) => editsIn(s.edit))) {
      if (edit.do === "remove_extra") out = out.filter((x) => x.key !== edit.key);
      if (edit.do !== "edit_extra") continue;
      const to = edit.extra;
      if (this.byID.has(to.ring)) out = out.map((x) => (x.key === to.key ? { ...to, key: x.key } : x));
    }
    const { moving } = this;
    if (moving && this.byID.has(moving.ring)) out = out.map((x) => (x.key === moving.key ? { ...x, ...moving } : x));
    if (out !== this.extras) this.now.dirtyAll = true;
    this.now.extras = out;
  }

  /** Like rebuild for cells only, so that units that do not change are not painted again. */
  private rebuildCells(): void {
    const draft = new Map(this.draftDabs);
    this.clearDraft();
    const want = this.rows.map((r) => r.kept.slice());
    this.eachPendingDab((i, u, d) => (want[i][u] = dabbed(want[i][u], d)));
    want.forEach((cells, i) => {
      if (this.rows[i].id > 0) for (let u = 0; u < cells.length; u++) this.show(i, u, cells[u]);
    });
    this.setDraft(draft);
  }

  /** Puts the units of some runs back to what is kept, and draws pending steps on top again. */
  private repair(runs: { ring: number; at: number; n: number }[]): void {
    const draft = new Map(this.draftDabs);
    this.clearDraft();
    const want = new Map<Place, number>(); // by places among all rows
    for (const run of runs) {
      const i = this.byID.get(run.ring);
      if (i === undefined) continue;
      const end = Math.min(run.at + run.n, this.rows[i].n);
      for (let u = run.at; u < end; u++) want.set(placeOf(i, u), this.rows[i].kept[u]);
    }
    this.eachPendingDab((i, u, d) => {
      const p = placeOf(i, u);
      const now = want.get(p);
      if (now !== undefined) want.set(p, dabbed(now, d));
    });
    for (const [p, cell] of want) this.show(ringOf(p), unitOf(p), cell);
    this.setDraft(draft);
  }

  private addedColours(): Colour[] {
    const known = new Set(this.confirmedColours.map((c) => c.id));
    const out: Colour[] = [];
    for (const { edit } of liveSteps(this.pending)) {
      if (edit.do !== "add_colour") continue;
      const { id, name, hex } = edit;
      if (id && !known.has(id)) out.push({ id, name, hex, sign: "" });
    }
    return out.slice(0, MAX_COLOURS - this.confirmedColours.length);
  }

  private drawPending(): void {
    this.eachPendingDab((i, u, d) => this.show(i, u, dabbed(this.rows[i].shown[u], d)));
  }

  private drawRuns(runs: EditRun[]): void {
    this.eachDab(runs, (i, u, d) => this.show(i, u, dabbed(this.rows[i].shown[u], d)));
  }

  /** Rings are counted among all rows. */
  private eachPendingDab(visit: (ring: number, unit: number, d: number) => void): void {
    for (const edit of liveSteps(this.pending).flatMap((s) => editsIn(s.edit))) {
      if (edit.do === "paint") this.eachDab(edit.runs, visit);
    }
  }

  private eachDab(runs: EditRun[], visit: (ring: number, unit: number, d: number) => void): void {
    for (const run of runs) {
      const i = this.byID.get(run.ring);
      if (i === undefined) continue;
      const colour = run.colour === undefined ? KEEP : this.indexOfColour(run.colour);
      if (colour < 0) continue;
      const d = dab(colour, run.side === undefined ? KEEP : run.side === "short" ? 1 : 0);
      const end = Math.min(run.at + run.n, this.rows[i].n);
      for (let u = run.at; u < end; u++) visit(i, u, d);
    }
  }

  private showAt(p: Place, cell: number): void {
    this.show(this.low + ringOf(p), unitOf(p), cell);
  }

  /** Shows a unit's cell, on the twin of its row too; the ring is counted among all rows. */
  private show(ring: number, u: number, cell: number): void {
    if (!this.put(ring, u, cell)) return;
    const twin = this.twinRow(ring);
    if (twin) this.put(this.byID.get(twin.id)!, twin.n - 1 - u, cell);
  }

  private put(ring: number, u: number, cell: number): boolean {
    const { shown } = this.now.rows[ring];
    const was = shown[u];
    if (was === cell) return false;
    shown[u] = cell;
    this.inRings[was & COLOUR]--;
    this.inRings[cell & COLOUR]++;
    const r = ring - this.low;
    if (r >= 0 && r < this.window.length) this.now.dirty.push(placeOf(r, u));
    else this.now.elsewhere = true;
    return true;
  }

  /** The row that mirrors a row, counted among all. */
  private twinRow(ring: number): OwnRing | undefined {
    return this.now.rows[this.byID.get(-this.rows[ring].id) ?? -1];
  }
}

/** Units that the row with the most has in a whole turn: those of a ring, and as many as would fit around of an open row. */
function unitsInTurn(rings: readonly Ring[]): number {
  let n: number = rings[0]?.open ? 0 : MIN_UNITS;
  for (const r of rings) n = Math.max(n, r.around);
  return n || MIN_UNITS;
}

/** Rings in another order, some of them changed. */
function reordered(rings: readonly OwnRing[], changed: readonly RingWire[], order = rings.map((r) => r.id)): OwnRing[] {
  const byID = new Map(rings.map((r) => [r.id, r]));
  for (const w of changed) byID.set(w.id, new OwnRing(w));
  return order.map((id) => byID.get(id)).filter((r) => r !== undefined);
}

/** A cell after a dab. */
export function dabbed(cell: number, d: number): number {
  const colour = d & 255;
  const side = d >> 8;
  const kept = side === KEEP ? cell & SHORT : side ? SHORT : 0;
  return kept | (colour === KEEP ? cell & COLOUR : colour);
}

/**
 * The pending steps that stand once pending undo and redo have done their work. An undo of a step
 * that the server already has shows only when the server answers.
 */
export function liveSteps(steps: readonly Step[]): Step[] {
  const done: Step[] = [];
  const undone: Step[] = [];
  for (const s of steps) {
    if (s.edit.do === "undo") {
      const last = done.pop();
      if (last) undone.push(last);
    } else if (s.edit.do === "redo") {
      const back = undone.pop();
      if (back) done.push(back);
    } else {
      done.push(s);
      undone.length = 0;
    }
  }
  return done;
}

/** The edits in an edit, those of batches one by one. */
export function editsIn<A extends Ask>(edit: A): (A | Edit)[] {
  return edit.do === "batch" ? edit.edits.flatMap((part) => editsIn(part)) : [edit];
}

const SHOWN: ReadonlySet<Ask["do"]> = new Set<Ask["do"]>(["paint", "add_colour", "edit_extra", "remove_extra"]);

/** How many pending steps the page cannot show before the server has answered: only it knows the rings. */
export function unseen(steps: readonly Step[]): number {
  let n = liveSteps(steps).filter((s) => !editsIn(s.edit).every((e) => SHOWN.has(e.do))).length;
  let depth = 0; // steps of this page that an undo may take back before they are sent
  for (const s of steps) {
    if (s.edit.do === "redo") continue;
    if (s.edit.do !== "undo") depth++;
    else if (depth) depth--;
    else n++;
  }
  return n;
}
