import { CELL_LETTERS, EDGES_IN_TURN, MAX_COLOURS, PLAIN_TAKES, type RingWire } from "../../wire/types";

/** Bit of a cell that says its short side faces outwards; the bits below are its colour, of which there are as many as fit. */
export const SHORT = MAX_COLOURS;
export const COLOUR = SHORT - 1;

const VALUE = new Uint8Array(128).fill(255);
for (let i = 0; i < CELL_LETTERS.length; i++) VALUE[CELL_LETTERS.charCodeAt(i)] = i;

/** Reads a ring's cells; throws when a character stands for no colour. */
export function readCells(cells: string, sides?: string): Uint8Array {
  const out = new Uint8Array(cells.length);
  for (let i = 0; i < cells.length; i++) {
    const colour = VALUE[cells.charCodeAt(i) & 127];
    if (colour === 255) throw new Error(`cell ${i} is '${cells[i]}', which stands for no colour`);
    out[i] = sides && sides[i] === "S" ? colour | SHORT : colour;
  }
  return out;
}

/** Left and right edge of every unit in turns, from edges as they travel. */
function arcsOf(edges: number[], n: number): Float64Array {
  const out = new Float64Array(2 * n);
  const closed = edges.length === n + 1;
  let at = 0;
  let k = 0;
  for (let u = 0; u < n; u++) {
    if (u === 0 || !closed) at += edges[k++];
    out[2 * u] = at / EDGES_IN_TURN;
    at += edges[k++];
    out[2 * u + 1] = at / EDGES_IN_TURN;
  }
  return out;
}

/** The units of a ring, each its colour and its side: to be looked at. */
export interface Cells extends Iterable<number> {
  readonly length: number;
  readonly [unit: number]: number;
  slice(start?: number, end?: number): Uint8Array;
}

/**
 * One ring: its units as they are kept by the server and as they are shown (kept, plus what this
 * page has done and not yet heard back about), the points it takes, and where it stands.
 */
export class Ring {
  readonly id: number;
  readonly n: number;
  readonly start: number;
  /** Points each unit takes; null where all take two, and in ring 1. */
  readonly takes: Uint8Array | null;
  /** Free points before each unit, index n after the last; null where there are none. */
  readonly free: Uint16Array | null;
  /** Its units stand in a line: the last is no neighbour of the first. */
  readonly open: boolean;
  readonly after: string;
  readonly note: string;
  private readonly from: number;
  private readonly arcs: Float64Array | null;

  constructor(
    w: RingWire,
    readonly kept: Cells,
    readonly shown: Cells,
  ) {
    this.id = w.id;
    this.n = kept.length;
    this.start = w.start ?? 0;
    this.takes = w.takes ? Uint8Array.from(w.takes, (c) => c.charCodeAt(0) - 48) : null;
    this.free = freeOf(w, this.n);
    this.from = w.from ?? 0;
    this.arcs = w.edges?.length ? arcsOf(w.edges, this.n) : null;
    this.open = w.open ?? false;
    this.after = w.after ?? "";
    this.note = w.note ?? "";
  }

  /** Whether all units are equally wide and there is no opening. */
  get even(): boolean {
    return this.arcs === null;
  }

  /** How many of its units would stand in a whole turn: its own, or as many as an open row's would be all around. */
  get around(): number {
    return this.open ? this.n / (this.left(this.n - 1) + this.width(this.n - 1) - this.left(0)) : this.n;
  }

  /** Left edge of a unit, in turns. */
  left(u: number): number {
    return this.arcs ? this.arcs[2 * u] : this.from + u / this.n;
  }

  /** Width of a unit, in turns. */
  width(u: number): number {
    return this.arcs ? this.arcs[2 * u + 1] - this.arcs[2 * u] : 1 / this.n;
  }

  /** Middle of a unit, in turns. */
  middle(u: number): number {
    return this.arcs ? (this.arcs[2 * u] + this.arcs[2 * u + 1]) / 2 : this.from + (u + 0.5) / this.n;
  }

  /** The unit whose arc holds the turn, or the nearest one when the turn lies in an opening. */
  nearest(turn: number): number {
    if (!this.arcs) {
      const u = Math.floor(wrap(turn - this.from) * this.n);
      return u >= this.n ? this.n - 1 : u;
    }
    const arcs = this.arcs;
    const t = arcs[0] + wrap(turn - arcs[0]);
    let low = 0;
    let high = this.n;
    while (high - low > 1) {
      const mid = (low + high) >> 1;
      if (arcs[2 * mid] <= t + 1e-6) low = mid;
      else high = mid;
    }
    if (t <= arcs[2 * low + 1] + 1e-6) return low;
    const next = low + 1 < this.n ? low + 1 : 0;
    const toNext = (next ? arcs[2 * next] : arcs[0] + 1) - t;
    return t - arcs[2 * low + 1] <= toNext ? low : next;
  }

  /** The unit whose arc holds the turn, −1 in an opening. */
  at(turn: number): number {
    const u = this.nearest(turn);
    return Math.abs(half(turn - this.middle(u))) <= this.width(u) / 2 + 1e-5 ? u : -1;
  }

  /** Free points just before unit u (u = n: after the last). */
  freeBefore(u: number): number {
    return this.free ? this.free[u] : 0;
  }

  /** Whether units u and u+1 stand side by side, with no opening between; the seam is no wall. */
  touchesNext(u: number): boolean {
    if (this.open && u + 1 >= this.n) return false;
    if (!this.free) return true;
    return u + 1 < this.n ? this.free[u + 1] === 0 : this.free[this.n] + this.free[0] === 0;
  }

  /** First point of the ring below that unit u takes, not yet wrapped around that ring. */
  firstPoint(u: number): number {
    if (!this.takes && !this.free) return this.start + 2 * u;
    this.firsts ??= this.countPoints();
    return this.firsts[u];
  }
  private firsts: Int32Array | null = null;

  private countPoints(): Int32Array {
    const out = new Int32Array(this.n);
    let p = this.start;
    for (let u = 0; u < this.n; u++) {
      p += this.freeBefore(u);
      out[u] = p;
      p += this.takes ? this.takes[u] : PLAIN_TAKES;
    }
    return out;
  }
}

/** A ring as the model alone has it, which writes its units. */
export class OwnRing extends Ring {
  constructor(
    w: RingWire,
    override readonly kept: Uint8Array = readCells(w.cells, w.sides),
    override readonly shown: Uint8Array = kept.slice(),
  ) {
    super(w, kept, shown);
  }
}

function freeOf(w: RingWire, n: number): Uint16Array | null {
  if (!w.free?.length) return null;
  const out = new Uint16Array(n + 1);
  for (const [unit, points] of w.free) out[unit] += points;
  return out;
}

/** Brings a turn into 0 … 1, 1 excluded. */
export function wrap(t: number): number {
  const w = t - Math.floor(t);
  return w >= 1 ? 0 : w;
}

/** Brings a turn into −½ … ½, ½ excluded: the short way round. */
export function half(t: number): number {
  return wrap(t + 0.5) - 0.5;
}
