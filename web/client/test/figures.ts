// Figures to test with, and a reproducible source of chance.
import { Model } from "../pattern/model/model";
import { CELL_LETTERS, type Change, EDGES_IN_TURN, type RingWire, type StateWire, type StepEvent } from "../wire/types";

export const COLOURS = ["chalk", "soot", "brick", "honey"].map((id, i) => ({
  id,
  name: id,
  hex: ["#f4efe6", "#2b2b2e", "#a63a2b", "#e0b23c"][i],
  sign: id[0].toUpperCase(),
}));

/** State of a figure with the given rings. */
export function state(rings: RingWire[], front = 0, rev = 1): StateWire {
  return {
    rev,
    title: "Lighthouse",
    unit: { long_mm: 52, short_mm: 37, fold: "doubled" },
    front,
    front_turn: front / rings[0].cells.length,
    colours: COLOURS.map((c) => ({ ...c })),
    rings,
    extras: [],
    parts: [],
    looks: [],
    totals: { units: 0, in_rings: 0, by_colour: [], sheets: 0 },
    power: "edit",
    history: { can_undo: false, can_redo: false },
  };
}

/** A step of somebody as everybody is told it. */
export function event(rev: number, client: string, seq: number, change: Change): StepEvent {
  return { rev, client, seq, person: client, name: "", label: "", undoes: 0, change };
}

/** Plain rings, each half a unit off the one below: start 1 and −1 by turns (contract, document version 1). */
export function tube(n: number, rings: number, paint: (ring: number, unit: number) => number = () => 0): RingWire[] {
  return Array.from({ length: rings }, (_, r) => ({
    id: r + 1,
    start: r === 0 ? 0 : r % 2 === 1 ? 1 : 2 * n - 1,
    cells: Array.from({ length: n }, (_, u) => CELL_LETTERS[paint(r, u)]).join(""),
    from: ((r % 2) - 1) / 2 / n,
  }));
}

/** Edges as they travel, from left and right edges in turns. */
export function edgesOf(arcs: number[]): number[] {
  let at = 0;
  return arcs.map((turn) => {
    const edge = Math.round(turn * EDGES_IN_TURN);
    const by = edge - at;
    at = edge;
    return by;
  });
}

/** Arcs of a ring over a plain ring of m units: a unit owns the arcs of the points it takes. */
export function arcsOf(m: number, start: number, takes: string): number[] {
  const out: number[] = [];
  let p = start;
  for (const t of takes) {
    out.push((p - 1) / (2 * m), (p + Number(t) - 1) / (2 * m));
    p += Number(t);
  }
  return out;
}

export function model(rings: RingWire[], front = 0, rev = 1): Model {
  const m = new Model();
  m.load(state(rings, front, rev));
  return m;
}

/** Chance that gives the same numbers every time (a linear congruential generator, Numerical Recipes). */
export function chance(seed: number): (below: number) => number {
  let s = seed >>> 0;
  return (below) => {
    s = (Math.imul(s, 1664525) + 1013904223) >>> 0;
    return Math.floor((s / 4294967296) * below);
  };
}

/** Everything a figure shows, as text. */
export function looks(m: Model): string {
  return m.rings.map((r) => `${r.id}:${Array.from(r.shown).join(",")}`).join(" ");
}
