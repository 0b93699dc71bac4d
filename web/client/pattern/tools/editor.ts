// The editor's state and everything that can be done with it; pointer, keys, buttons and menus all end
// here. Pages paint what this holds and never compute a number of their own.
import { newID } from "../../base/dom";
import { Deciders, Listeners } from "../../base/listeners";
import { say } from "../../base/words";
import { type Ask, type Edit, MAX_COLOURS } from "../../wire/types";
import { Freehand } from "../model/freehand";
import { flood, frame, lean, ofColour, patch, run, type Spot, unitUnder, wholeRing } from "../model/lattice";
import { mod } from "../model/mod";
import { dab, KEEP, type Model, type Place, placeOf, ringOf, unitOf } from "../model/model";
import { COLOUR, half, SHORT } from "../model/ring";
import { images, imagesOf, moves, PLAIN, type Symmetry } from "../model/symmetry";
import { together, withTwins } from "../model/twins";
import type { Sync } from "../sync/sync";

/** The tools: what a touch of the grid does. tool.NAME of the catalogue is what one is called. */
export const TOOLS = ["unit", "run", "lean", "patch", "frame", "ring", "flood", "swap", "pick", "select"] as const;
export type Tool = (typeof TOOLS)[number];

/** Hands that draw a shape between where they went down and where they are. */
const SHAPES = new Set<Tool>(["run", "lean", "patch", "frame", "select"]);

/** What paint does to the side that faces outwards. */
export const SIDE_CHOICES = ["as_is", "long", "short", "side_only_long", "side_only_short"] as const;
export type SideChoice = (typeof SIDE_CHOICES)[number];

export type Topic =
  | "paint"
  | "look"
  | "tool"
  | "paper"
  | "symmetry"
  | "selection"
  | "focus"
  | "figure"
  | "trail"
  | "hover"
  | "part"
  | "ahead";

/** What the hand has and is at; only the editor writes it, and tells who listens. */
interface Hand {
  tool: Tool;
  /** Colour in hand, by id. */
  paper: string;
  side: SideChoice;
  /** What the tool that fills goes over. */
  floodWithin: "ring" | "touching";
  symmetry: Readonly<Symmetry>;
  selection: ReadonlySet<Place>;
  focus: Place;
  /** The unit under a pointer that is not pressed, −1 when none. */
  hover: Place;
  /** First corner of a shape drawn by keyboard, −1 when none. */
  anchor: Place;
}

export class Editor {
  readonly canPaint: boolean;
  private readonly hand: Hand = {
    tool: "unit",
    paper: "",
    side: "as_is",
    floodWithin: "touching",
    symmetry: { ...PLAIN },
    selection: new Set(),
    focus: 0,
    hover: -1,
    anchor: -1,
  };

  private listeners = new Map<Topic, (() => void)[]>();
  private stroke: Stroke | null = null;
  private keyTravel = 0;
  /** Whether something that nobody drew lies over the figure: what is drafted then is only shown ahead. */
  private ahead = false;

  constructor(
    readonly m: Model,
    readonly sync: Sync,
    power: string,
  ) {
    this.canPaint = power === "edit";
  }

  // ---------- the hand ----------

  get tool(): Hand["tool"] {
    return this.hand.tool;
  }

  get paper(): Hand["paper"] {
    return this.hand.paper;
  }

  get side(): Hand["side"] {
    return this.hand.side;
  }

  get floodWithin(): Hand["floodWithin"] {
    return this.hand.floodWithin;
  }

  get symmetry(): Hand["symmetry"] {
    return this.hand.symmetry;
  }

  get selection(): Hand["selection"] {
    return this.hand.selection;
  }

  get focus(): Hand["focus"] {
    return this.hand.focus;
  }

  get hover(): Hand["hover"] {
    return this.hand.hover;
  }

  get anchor(): Hand["anchor"] {
    return this.hand.anchor;
  }

  /** The pointer is over a unit, or over none (−1). */
  hoverOver(p: Place): void {
    if (this.hover === p) return;
    this.hand.hover = p;
    this.tell("hover");
  }

  on(topic: Topic, fn: () => void): void {
    const list = this.listeners.get(topic) ?? [];
    list.push(fn);
    this.listeners.set(topic, list);
  }

  tell(...topics: Topic[]): void {
    for (const t of topics) for (const fn of this.listeners.get(t) ?? []) fn();
  }

  // ---------- parts ----------

  /** Looks at a part: what was drawn of another becomes a step first, and what was selected or is shown ahead there is let go. */
  lookAt(part: number): void {
    const { m } = this;
    const wanted = m.parts.find((p) => p.id === part);
    if (!wanted || part === m.part?.id || wanted.twin === m.part?.id) return;
    this.commit();
    this.cancel();
    this.letGo.any();
    if (!m.look(part)) return; // which takes the draft away
    this.hand.selection = new Set();
    this.hand.focus = placeOf(0, Math.max(0, m.rings[0]?.nearest(m.frontTurn) ?? 0));
    this.tell("part", "selection", "focus", "figure", "look", "paint");
  }

  /** The parts that there were when one was asked for, by identity; null when none is awaited. */
  private before: Set<number> | null = null;

  /** The next part that this page adds is looked at once it is there. */
  lookAtNext(): void {
    this.before = new Set(this.m.parts.map((p) => p.id));
  }

  /** A step of this page was refused: it adds no part that could be looked at. */
  awaitNoPart(): void {
    this.before = null;
  }

  /** A step of this page came back that changed the parts. */
  partsChanged(): void {
    const { before } = this;
    const fresh = before && this.m.parts.filter((p) => !before.has(p.id) && !p.twin).pop();
    this.before = null;
    if (fresh) this.lookAt(fresh.id);
  }

  /** Looks at the part that a row is of, by the row's identity. */
  lookAtRow(row: number): void {
    const part = this.m.parts[this.m.partOf(row)];
    if (part) this.lookAt(part.id);
  }

  // ---------- choosing ----------

  /** Why no colour can be added now; "" when one can. */
  get noMoreColours(): string {
    return this.m.colours.length < MAX_COLOURS ? "" : say("paper.full", { Max: MAX_COLOURS });
  }

  take(tool: Tool): void {
    this.cancel();
    this.hand.tool = tool;
    this.tell("tool");
  }

  /** What the tool that fills goes over: connected units of the whole figure, or of one ring. */
  fillWithin(within: "ring" | "touching"): void {
    this.hand.floodWithin = within;
    this.tell("tool");
  }

  /** What paint does to the side that faces out. */
  chooseSide(side: SideChoice): void {
    this.hand.side = side;
    this.tell("symmetry");
  }

  choosePaper(id: string): void {
    if (this.m.indexOfColour(id) < 0) return;
    this.hand.paper = id;
    this.tell("paper");
    if (this.tool === "pick") this.take("unit");
  }

  /** Keeps the paper in hand a paper that the figure has. */
  settlePaper(): void {
    if (this.m.indexOfColour(this.paper) < 0 && this.m.colours.length) {
      this.hand.paper = this.m.colours[Math.min(1, this.m.colours.length - 1)].id;
      this.tell("paper");
    }
  }

  setSymmetry(s: Partial<Symmetry>): void {
    this.hand.symmetry = { ...this.symmetry, ...s };
    this.tell("symmetry");
  }

  /** What paint does to a unit now. */
  get dab(): number {
    const colour = this.side.startsWith("side_only") ? KEEP : Math.max(0, this.m.indexOfColour(this.paper));
    const side = this.side === "as_is" ? KEEP : this.side.endsWith("short") ? 1 : 0;
    return dab(colour, side);
  }

  // ---------- strokes of a pointer ----------

  /** The hand goes down on a spot, with units so many pixels wide; add keeps what is selected and selects more. */
  begin(s: Spot, unitPx: number, add = false): void {
    if (this.ahead && this.draws && !this.mayDraw()) return;
    const at = unitUnder(this.m, s);
    if (at >= 0) this.setFocus(at);
    this.stroke = new Stroke(this, this.tool, s, at, add ? this.selection : new Set(), unitPx);
    this.stroke.to(s);
    this.tell("paint");
  }

  /** The hand moves over spots, in order. */
  moveTo(spots: Spot[]): void {
    if (!this.stroke) return;
    for (const s of spots) this.stroke.to(s);
    this.tell("paint");
  }

  /** The hand lifts: what was drawn becomes a step. */
  end(): void {
    const s = this.stroke;
    this.stroke = null;
    s?.finish();
    this.tell("paint");
  }

  /** The hand takes back what it was about to do. */
  cancel(): void {
    this.stroke = null;
    this.hand.anchor = -1;
    this.keyTravel = 0;
    this.undraft();
    this.tell("paint", "focus");
  }

  /** Whether the tool in hand puts paint on units. */
  private get draws(): boolean {
    return this.tool !== "select" && this.tool !== "pick";
  }

  get drawing(): boolean {
    return this.stroke !== null;
  }

  /** Why what goes around cannot be done to the part in view; "" when it can. */
  get inLine(): string {
    return this.m.rings[0]?.open ? say("parts.in_line") : "";
  }

  /** What the tool that replaces a colour does in the other parts of the figure: where nothing is selected it works everywhere. */
  elsewhere(tool: Tool, p: Place): Edit[] {
    const { m } = this;
    if (tool !== "swap" || this.selection.size || m.parts.length < 2) return [];
    const edit = m.replacedElsewhere(m.cell(p) & COLOUR, this.dab);
    return edit ? [edit] : [];
  }

  /** Turns what a hand drew into a step, together with other edits; what is only shown ahead stays what it is. */
  commit(more: Edit[] = []): void {
    const edit = this.canPaint && !this.ahead ? this.m.draftEdit() : null;
    this.undraft();
    const edits = edit ? [edit, ...more] : more;
    if (this.canPaint && edits.length) this.sync.step(together(edits));
  }

  // ---------- what is drafted ----------

  /** Replaces what the hand is about to do: dabs by place. False where no hand may draw. */
  draft(dabs: Map<Place, number>): boolean {
    if (!this.mayDraw()) return false;
    this.m.setDraft(dabs);
    return true;
  }

  /** Adds units to what the hand is about to do, painted as it paints. False where no hand may draw. */
  draftMore(places: Place[]): boolean {
    if (!this.mayDraw()) return false;
    for (const p of places) this.m.addDraft(p, this.dab);
    return true;
  }

  /** Takes away what the hand is about to do. */
  undraft(): void {
    if (!this.ahead) this.m.clearDraft();
  }

  /** Shows what could become of the units: dabs by place. Until it is taken or ended no hand draws; what one drew becomes a step. */
  showAhead(dabs: Map<Place, number>): void {
    if (!this.canPaint) return;
    if (!this.ahead) this.layHandsDown();
    this.m.setDraft(dabs);
    this.tell("paint");
  }

  private layHandsDown(): void {
    this.tell("ahead"); // what is held over the grid goes first: it is no stroke
    if (this.stroke) this.end();
    else if (this.anchor < 0) this.commit();
    this.cancel();
    this.ahead = true;
  }

  /** Takes what is shown ahead away again. */
  endAhead(): void {
    if (!this.ahead) return;
    this.ahead = false;
    this.cancel();
  }

  /** Takes what is shown ahead as one step; false where it would change nothing, and then it stays shown. */
  keepAhead(): boolean {
    if (!this.ahead || !this.m.draftEdit()) return false;
    this.ahead = false;
    this.commit();
    this.tell("paint");
    return true;
  }

  /** Why no hand may draw now; "" when it may. */
  get busy(): string {
    return this.ahead ? say("laying.first") : "";
  }

  /** A hand would have drawn and may not: why. */
  readonly hindered = new Listeners<[why: string]>();

  /** Whether a hand may draw; where not, it hears why. */
  mayDraw(): boolean {
    if (!this.canPaint) return false;
    if (this.ahead) this.hindered.tell(this.busy);
    return !this.ahead;
  }

  step(edit: Ask): void {
    if (this.canPaint) this.sync.step(edit);
  }

  /** A step that adds, changes or removes an extra, and its images under the symmetry. */
  stepExtra(edit: Edit): void {
    this.step(withTwins(this.m, this.symmetry, edit));
  }

  // ---------- keyboard ----------

  setFocus(p: Place): void {
    if (p === this.focus) return;
    this.hand.focus = p;
    this.tell("focus");
  }

  /** Keeps the focus on a unit that exists. */
  settleFocus(): void {
    const r = Math.min(ringOf(this.focus), this.m.rings.length - 1);
    if (r < 0) return;
    this.setFocus(placeOf(r, Math.min(unitOf(this.focus), this.m.rings[r].n - 1)));
  }

  /** Moves the focus; a shape begun by key follows, and with paint a trail is painted. */
  walk(to: Place, paint: boolean): void {
    const from = this.focus;
    const here = this.m.rings[ringOf(from)].middle(unitOf(from));
    const there = this.m.rings[ringOf(to)].middle(unitOf(to));
    this.keyTravel += half(there - here);
    this.setFocus(to);
    if (this.anchor >= 0) this.previewShape();
    else if (paint) this.paintPlaces([from, to]);
  }

  /** The key that stands for the hand going down: paints, or sets the corners of a shape. */
  press(): void {
    if (this.ahead && this.draws && !this.mayDraw()) return;
    if (!SHAPES.has(this.tool)) {
      this.strike(this.focus);
      return;
    }
    if (this.anchor < 0) {
      this.hand.anchor = this.focus;
      this.keyTravel = 0;
      this.previewShape();
      this.tell("focus");
      return;
    }
    const places = this.shape(this.tool, this.anchor, this.focus, this.keyTravel);
    this.hand.anchor = -1;
    if (this.tool === "select") this.select(places);
    else this.commit();
    this.tell("paint", "focus");
  }

  private previewShape(): void {
    const places = this.shape(this.tool, this.anchor, this.focus, this.keyTravel);
    if (this.tool === "select") this.select(places);
    else this.draftPlaces(imagesOf(this.m, places, this.symmetry));
    this.tell("paint");
  }

  /** One touch with a tool that draws no shape. */
  private strike(p: Place): void {
    if (this.tool === "pick") this.pick(p);
    else this.paintPlaces(this.touched(this.tool, p), this.elsewhere(this.tool, p));
  }

  /** The units that a touch of p with a tool reaches. */
  touched(tool: Tool, p: Place): Place[] {
    if (tool === "ring") return wholeRing(this.m, ringOf(p));
    if (tool === "flood") return flood(this.m, p, this.floodWithin);
    if (tool === "swap") return ofColour(this.m, this.m.cell(p) & COLOUR, this.selection.size ? this.selection : undefined);
    return [p];
  }

  shape(tool: Tool, a: Place, b: Place, travelled: number): Place[] {
    if (tool === "run") return run(this.m, a, travelled);
    if (tool === "lean") return lean(this.m, a, ringOf(b), travelled);
    if (tool === "frame") return frame(this.m, a, b, travelled);
    return patch(this.m, a, b, travelled);
  }

  // ---------- doing ----------

  /** Paints units and their images as one step, together with other edits. */
  paintPlaces(places: Place[], more: Edit[] = []): void {
    if (!this.draftPlaces(imagesOf(this.m, places, this.symmetry))) return;
    this.commit(more);
    this.tell("paint");
  }

  draftPlaces(places: Place[]): boolean {
    const d = this.dab;
    return this.draft(new Map(places.map((p) => [p, d])));
  }

  pick(p: Place): void {
    const colour = this.m.colours[this.m.cell(p) & COLOUR];
    if (!colour) return;
    this.hand.paper = colour.id;
    this.tell("paper");
  }

  select(places: Iterable<Place>): void {
    this.hand.selection = new Set(places);
    this.tell("selection");
  }

  selectAll(): void {
    this.select(this.m.rings.flatMap((_, r) => wholeRing(this.m, r)));
  }

  /** Each lets go of what it holds and has not put down yet; yes when something was. */
  readonly letGo = new Deciders();

  /** Takes back the last step; while something is held that is not put down, only that. */
  undo(): void {
    if (this.letGo.any()) return;
    this.cancel();
    this.step({ do: "undo" });
  }

  redo(): void {
    this.letGo.any();
    this.cancel();
    this.step({ do: "redo" });
  }

  /** Adds a paper and takes it in hand. */
  addPaper(name: string, hex: string): void {
    const id = `c${newID().slice(0, 8)}`;
    this.step({ do: "add_colour", id, name, hex });
    this.choosePaper(id);
  }

  /** Turns the other side of one unit out, whatever symmetry is on. */
  turnSide(p: Place): void {
    const side = this.isShort(p) ? ("long" as const) : ("short" as const);
    this.step({ do: "paint", runs: [{ ring: this.m.rings[ringOf(p)].id, at: unitOf(p), n: 1, side }] });
  }

  /** Middle of a unit, in turns. */
  turnOf(p: Place): number {
    return this.m.rings[ringOf(p)].middle(unitOf(p));
  }

  /** Puts the front line at a turn: a place around ring 1, in half units. */
  setFront(turn: number): void {
    const { n, open } = this.m.rings[0];
    const front = mod(Math.round(turn * n * 2) / 2, n);
    if (open || front === this.m.front) return;
    const { part } = this.m;
    if (!part || part === this.m.parts[0]) this.step({ do: "set_front", front });
    else this.step({ do: "edit_part", part: part.id, name: part.name, front, bend: part.bend });
  }

  /** Says whether a unit stands with its short side out. */
  isShort(p: Place): boolean {
    return (this.m.cell(p) & SHORT) !== 0;
  }
}

/** One stroke of a pointer, from down to up. */
class Stroke {
  private lastPlace: Place;
  private free: Freehand | null = null;
  private readonly rings = new Set<number>();
  private more: Edit[] = [];

  constructor(
    private readonly e: Editor,
    private readonly tool: Tool,
    private readonly from: Spot,
    private readonly fromPlace: Place,
    private readonly selected: ReadonlySet<Place>,
    private readonly unitPx: number,
  ) {
    this.lastPlace = fromPlace;
  }

  to(s: Spot): void {
    const { e } = this;
    const at = unitUnder(e.m, s);
    if (SHAPES.has(this.tool)) this.shapeTo(s, at);
    else if (this.tool === "unit") this.brush(s);
    else if (at >= 0 && at !== this.lastPlace) this.touch(at);
    else if (s === this.from && at >= 0) this.touch(at);
    if (at >= 0) this.lastPlace = at;
  }

  private brush(s: Spot): void {
    if (!this.e.canPaint) return;
    if (this.free) this.free.to(s);
    else this.free = new Freehand(this.e.m, s, this.unitPx, this.brushes());
  }

  /** Paints a unit with its images, or takes them back where no other unit of the stroke has them too. */
  private brushes(): (p: Place, on: boolean) => void {
    const { e } = this;
    const symmetry = { ...e.symmetry };
    const list = moves(symmetry);
    const times = new Map<Place, number>();
    return (p, on) => {
      for (const q of images(e.m, p, symmetry, list)) {
        const now = (times.get(q) ?? 0) + (on ? 1 : -1);
        times.set(q, now);
        if (on) e.m.addDraft(q, e.dab);
        else if (!now) e.m.dropDraft(q);
      }
    };
  }

  private shapeTo(s: Spot, at: Place): void {
    const { e } = this;
    if (this.fromPlace < 0) {
      if (this.tool === "select") e.select(this.selected);
      return;
    }
    const travelled = s.turn - this.from.turn;
    const b = at >= 0 ? at : nearestPlace(e.m, s);
    const places = e.shape(this.tool, this.fromPlace, b, travelled);
    if (this.tool === "select") e.select([...this.selected, ...places]);
    else if (e.canPaint) e.draftPlaces(imagesOf(e.m, places, e.symmetry));
  }

  private touch(at: Place): void {
    const { e } = this;
    if (this.tool === "pick") {
      e.pick(at);
      return;
    }
    if (!e.canPaint) return;
    if (this.tool === "ring") {
      const low = Math.min(ringOf(at), ...(this.rings.size ? this.rings : [ringOf(at)]));
      const high = Math.max(ringOf(at), ...this.rings);
      for (let r = low; r <= high; r++) this.rings.add(r);
      e.draftPlaces([...this.rings].flatMap((r) => wholeRing(e.m, r)));
      return;
    }
    e.undraft();
    this.more = e.elsewhere(this.tool, at);
    e.draftPlaces(imagesOf(e.m, e.touched(this.tool, at), e.symmetry));
  }

  finish(): void {
    if (this.tool !== "select" && this.tool !== "pick") this.e.commit(this.more);
  }
}

/** The unit of the figure nearest to a spot, wherever the spot is. */
function nearestPlace(m: Model, s: Spot): Place {
  const r = Math.max(0, Math.min(m.rings.length - 1, Math.round(s.high - 1)));
  return placeOf(r, m.rings[r].nearest(s.turn));
}
