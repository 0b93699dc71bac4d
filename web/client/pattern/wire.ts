// What the server and the page say to each other about a design. The Go side computes every value
// here; the page shows them.
import type { Look } from "./model/looks";

/** One paper of the figure. */
export interface Colour {
  id: string;
  name: string;
  hex: string;
  sign: string;
  /** The sign was chosen; others come by themselves, and make way when they are chosen elsewhere. */
  own_sign?: boolean;
}

/** A ring as it travels: cells one character a unit, the rest left out where it is plain. */
export interface RingWire {
  id: number;
  start?: number;
  cells: string;
  takes?: string;
  sides?: string;
  free?: [unit: number, points: number][];
  from?: number;
  /** In hundred-thousandths of a turn: unit 0's left edge, every unit's width, in a ring with openings with the gaps between. */
  edges?: number[];
  after?: string;
  note?: string;
}

/** What a glued piece is cut out as. */
export type Outline = "disc" | "oval" | "triangle" | "bar";

export interface Extra {
  key: number;
  kind: "tucked" | "glued";
  name: string;
  colour?: string;
  units?: number;
  /** Identity of its ring. */
  ring: number;
  at: number;
  shaping?: string;
  outline?: Outline;
  diameter_mm?: number;
  width_mm?: number;
  height_mm?: number;
}

export interface Totals {
  units: number;
  in_rings: number;
  by_colour: { colour: string; units: number; sheets: number }[];
  sheets: number;
}

export interface UnitPaper {
  long_mm: number;
  short_mm: number;
  fold: string;
}

export interface Past {
  can_undo: boolean;
  can_redo: boolean;
}

export interface StateWire {
  rev: number;
  title: string;
  unit: UnitPaper;
  front: number;
  front_turn: number;
  colours: Colour[];
  rings: RingWire[];
  extras: Extra[] | null;
  looks?: Look[];
  totals: Totals;
  power: "view" | "build" | "edit";
  history: Past;
}

/** A run of units, inside one ring, that gets a colour (its place in the palette) or a side. */
export interface PaintedRun {
  ring: number;
  at: number;
  n: number;
  colour?: number;
  side?: string;
}

/** What one step changed: any part may be absent. */
export interface Change {
  paint?: PaintedRun[];
  rings?: RingWire[];
  order?: number[];
  colours?: Colour[];
  extras?: Extra[];
  looks?: Look[];
  front?: number;
  front_turn?: number;
  title?: string;
  unit?: UnitPaper;
}

/** A run of units in an edit: the colour goes by its id, so that palettes may change meanwhile. */
export interface EditRun {
  ring: number;
  at: number;
  n: number;
  colour?: string;
  side?: "long" | "short";
}

/** An edit as the server's figure.Apply reads it. */
export type Edit =
  | { do: "paint"; runs: EditRun[] }
  | { do: "undo" }
  | { do: "redo" }
  | { do: "restore"; rev: number }
  | { do: "add_colour"; id: string; name: string; hex: string }
  | { do: string; [field: string]: unknown };

export interface StepEvent {
  rev: number;
  client: string;
  seq: number;
  person: string;
  name: string;
  label: string;
  undoes?: number;
  change: Change;
  totals?: Totals;
}

/** Totals that were not known with the step that changed them. */
export interface ToldTotals {
  rev: number;
  totals: Totals;
}

export interface Person {
  client: string;
  name: string;
  tint: number;
  ring: number;
  unit: number;
}

export interface Refusal {
  what: string;
  fix?: string;
  where?: string;
}

/** What became of a step. One that changed nothing has no revision of its own and is never told. */
export interface StepResult {
  seq: number;
  rev?: number;
  nothing?: boolean;
  refused?: Refusal;
  remarks?: string[];
}

export interface EditsAnswer {
  rev: number;
  results: StepResult[];
  totals?: Totals;
  history?: Past;
}
