// What is asked for of parts: where one would grow, which points are free there, and what has to be left out so that they are.
import { newID } from "../../base/dom";
import type { As, Edit, Rings, SetOn } from "../../wire/types";
import { mod } from "../model/mod";
import { type Model, type Place, ringOf, unitOf } from "../model/model";

/** What a part can be: it grows from points, or is made by itself and set on. */
export const KINDS = ["wing", "strip", "chain", "tube", "set"] as const;
export type PartKind = (typeof KINDS)[number];

/** Where a part would grow: points of a row, from one on to the right. */
export interface Ground {
  ring: number;
  point: number;
  units: number;
}

/** Where a part would grow that the hand has chosen units for: between the outermost of them, or on both points of one. */
export function groundOf(m: Model, selection: Iterable<Place>, focus: Place): Ground {
  const all = [...selection];
  const ring = all.length ? Math.max(...all.map(ringOf)) : ringOf(focus);
  const units = all.filter((p) => ringOf(p) === ring).map(unitOf);
  if (!units.length) units.push(unitOf(focus));
  const { n } = m.rings[ring];
  const chosen = new Set(units);
  let first = Math.min(...units);
  // A stretch that goes on over the seam begins where the unit before it is not chosen.
  if (chosen.size < n && !m.rings[ring].open) while (chosen.has(mod(first - 1, n))) first = mod(first - 1, n);
  let length = 1;
  while (length < n && chosen.has(mod(first + length, n))) length++;
  return length > 1 ? { ring, point: 2 * first + 1, units: length - 1 } : { ring, point: 2 * first, units: 1 };
}

/** The ground nearest to a wished one on which so many units find free points; the wished one where the row has none. */
export function freeGround(m: Model, g: Ground, units: number): Ground {
  const open = m.openPoints(g.ring);
  const { length } = open;
  const around = !m.rings[g.ring].open;
  const fits = (at: number) => {
    for (let k = 0; k < 2 * units; k++) if (!open[around ? mod(at + k, length) : at + k]) return false;
    return true;
  };
  if (2 * units > length) return g;
  for (let by = 0; by <= length; by++)
    for (const at of [g.point + by, g.point - by]) {
      const point = around ? mod(at, length) : at;
      if (point >= 0 && point < length && fits(point)) return { ring: g.ring, point, units: g.units };
    }
  return g;
}

/** The points that so many units take from a point on, as a row's points are numbered. */
export function pointsFrom(m: Model, g: Ground): number[] {
  const { offered } = m.offering(g.ring);
  return Array.from({ length: Math.min(2 * g.units, offered) }, (_, k) => mod(g.point + k, offered));
}

/** The units of the ring above that take points where a part would grow; none where all are free. */
export function inTheWay(m: Model, g: Ground): number[] {
  const upon = m.upon(g.ring);
  if (upon < 0) return [];
  const wanted = new Set(pointsFrom(m, g));
  const out: number[] = [];
  for (let u = 0; u < m.rings[upon].n; u++) if (m.pointsOf(upon, u).some((p) => wanted.has(p))) out.push(u);
  return out;
}

/** Another part that grows on some of the points; undefined where none does. */
export function takenBy(m: Model, g: Ground): string | undefined {
  const wanted = new Set(pointsFrom(m, g));
  const { offered } = m.offering(g.ring);
  for (const other of m.growing(g.ring))
    for (let k = 0; k < other.points; k++) if (wanted.has(mod(other.first + k, offered))) return other.part.name;
  return undefined;
}

/** The units of a row that are left out of it, in as few edits as there are stretches, the last first: numbers stay true. */
export function leaveOut(m: Model, ring: number, units: readonly number[]): Edit[] {
  const row = m.rings[ring];
  const runs: { at: number; n: number }[] = [];
  for (const u of [...units].sort((a, b) => a - b)) {
    const last = runs[runs.length - 1];
    if (last && last.at + last.n === u) last.n++;
    else runs.push({ at: u, n: 1 });
  }
  return runs.reverse().map(({ at, n }) => ({ do: "leave_out", ring: row.id, at, n }));
}

export type How = SetOn["how"];

export interface Wish {
  kind: PartKind;
  name: string;
  colour: string;
  units: number;
  rows: number;
  ground: Ground;
  /** Units above that are left out first, so that the points are free. */
  free: boolean;
  /** Of a part that is set on: a place of the ring, null for its middle. */
  at: number | null;
  how: How;
  tilt: number;
  /** The rings of another figure, in place of a plain tube. */
  rings?: Rings;
}

/** The edit that makes a part. */
export function growEdit(m: Model, w: Wish): Edit {
  const on = m.rings[w.ground.ring].id;
  if (w.kind === "set") {
    const at = w.at === null ? {} : { at: w.at };
    if (w.rings) return borrowed(m, w, on, w.rings);
    return { do: "set_on", on, ...at, how: w.how, tilt: w.tilt, name: w.name, colour: w.colour, units: w.units, rows: w.rows };
  }
  const as: As = w.kind;
  const grow: Edit = { do: "grow", on, point: w.ground.point, as, units: w.units, rows: w.rows, colour: w.colour, name: w.name };
  const upon = m.upon(w.ground.ring);
  const way = w.free ? inTheWay(m, { ...w.ground, units: w.units }) : [];
  return way.length ? { do: "batch", edits: [...leaveOut(m, upon, way), grow] } : grow;
}

/** The edit that sets a copy of another figure on; colours that this one lacks come along. */
function borrowed(m: Model, w: Wish, on: number, other: Rings): Edit {
  const used = new Set(other.rings.flatMap((r) => r.runs.map((run) => run.colour ?? "")));
  const edits: Edit[] = [];
  const to = new Map<string, string>();
  for (const c of other.colours.filter(({ id }) => used.has(id))) {
    const same = m.colours.find((own) => own.hex.toLowerCase() === c.hex.toLowerCase());
    const id = same?.id ?? `c${newID().slice(0, 8)}`;
    if (!same) edits.push({ do: "add_colour", id, name: c.name, hex: c.hex });
    to.set(c.id, id);
  }
  const rings = other.rings.map((r) => ({
    ...r,
    runs: r.runs.map((run) => (run.colour ? { ...run, colour: to.get(run.colour) ?? w.colour } : run)),
  }));
  const at = w.at === null ? {} : { at: w.at };
  const set: Edit = { do: "set_on", on, ...at, how: w.how, tilt: w.tilt, name: w.name, colour: w.colour, rings, front: other.front };
  return edits.length ? { do: "batch", edits: [...edits, set] } : set;
}

/** A name that no part has yet: the given one, or with a number. */
export function freeName(m: Model, name: string): string {
  const names = new Set(m.parts.map((p) => p.name));
  if (!names.has(name)) return name;
  let k = 2;
  while (names.has(`${name} ${k}`)) k++;
  return `${name} ${k}`;
}
