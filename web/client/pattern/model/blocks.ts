// Blocks of units that are carried elsewhere: copied, moved, mirrored, stamped. A block remembers
// where its units stand against one of them, in units of their ring, so that it falls into place on
// any ring; halves come from the stagger.

import type { Extra } from "../../wire/types";
import { dab, KEEP, type Model, type Place, placeOf, ringOf, unitOf } from "./model";
import { COLOUR, half, SHORT } from "./ring";
import { atOf, turnOf } from "./seats";
import type { Seat } from "./twins";

export interface BlockUnit {
  /** Rings above the anchor. */
  up: number;
  /** Units to the right of the anchor, halves on every other ring. */
  right: number;
  /** Colour by id, "" for the paper in hand. */
  colour: string;
  /** KEEP leaves the side as it is. */
  side: number;
}

/** An extra that goes with a block, against the same anchor. */
export interface BlockExtra {
  up: number;
  right: number;
  extra: Extra;
}

export interface Block {
  units: BlockUnit[];
  /** Extras on its units, none in a stamp. */
  extras?: BlockExtra[];
  /** Ring that the anchor came from, −1 for a stamp. */
  home: number;
}

/** Cuts a block out of the figure; null when no unit is given. The anchor is the unit nearest to its middle. */
export function blockOf(m: Model, places: Iterable<Place>): Block | null {
  const all = [...places].filter((p) => ringOf(p) < m.rings.length && unitOf(p) < m.rings[ringOf(p)].n);
  if (!all.length) return null;
  const anchor = middlePlace(m, all);
  const at = m.rings[ringOf(anchor)].middle(unitOf(anchor));
  const units = all.map((p) => {
    const ring = m.rings[ringOf(p)];
    const cell = m.cell(p);
    return {
      up: ringOf(p) - ringOf(anchor),
      right: Math.round(half(ring.middle(unitOf(p)) - at) * ring.around * 4) / 4,
      colour: m.colours[cell & COLOUR].id,
      side: cell & SHORT ? 1 : 0,
    };
  });
  const extras = extrasOn(m, all).map((extra) => {
    const r = m.ringIndex(extra.ring);
    const ring = m.rings[r];
    return { up: r - ringOf(anchor), right: Math.round(half(turnOf(ring, extra.at) - at) * ring.around * 4) / 4, extra };
  });
  return { units, extras, home: ringOf(anchor) };
}

/** Extras that stand on some units; one in a gap needs the units on both sides. */
export function extrasOn(m: Model, places: Iterable<Place>): Extra[] {
  const inside = new Set(places);
  return m.extras.filter((x) => {
    const r = m.ringIndex(x.ring);
    if (r < 0) return false;
    return [Math.floor(x.at), Math.ceil(x.at)].every((u) => inside.has(placeOf(r, u % m.rings[r].n)));
  });
}

/** Where the extras of a block go when its anchor is put on a place. */
export function laidExtras(m: Model, b: Block, at: Place): { extra: Extra; seat: Seat }[] {
  const turn = m.rings[ringOf(at)].middle(unitOf(at));
  return (b.extras ?? []).flatMap(({ up, right, extra }) => {
    const ring = m.rings[ringOf(at) + up];
    return ring ? [{ extra, seat: { ring: ring.id, at: atOf(ring, turn + right / ring.around + 1e-7) } }] : [];
  });
}

/** The unit of a set that is nearest to the middle of it. */
export function middlePlace(m: Model, places: Place[]): Place {
  const first = m.rings[ringOf(places[0])].middle(unitOf(places[0]));
  let across = 0;
  let up = 0;
  for (const p of places) {
    across += half(m.rings[ringOf(p)].middle(unitOf(p)) - first);
    up += ringOf(p);
  }
  const turn = first + across / places.length;
  const ring = up / places.length;
  let best = places[0];
  let least = Infinity;
  for (const p of places) {
    const d = Math.abs(half(m.rings[ringOf(p)].middle(unitOf(p)) - turn)) * m.rings[ringOf(p)].around + Math.abs(ringOf(p) - ring);
    if (d < least) {
      least = d;
      best = p;
    }
  }
  return best;
}

/** The block turned over, left to right. */
export function mirrored(b: Block): Block {
  return { ...b, units: b.units.map((u) => ({ ...u, right: -u.right })), extras: b.extras?.map((x) => ({ ...x, right: -x.right })) };
}

/** What a block does to units when its anchor is put on a place; paper is the one in hand. */
export function laid(m: Model, b: Block, at: Place, paper: number): Map<Place, number> {
  const out = new Map<Place, number>();
  const home = m.rings[ringOf(at)];
  const turn = home.middle(unitOf(at));
  for (const u of b.units) {
    const r = ringOf(at) + u.up;
    const ring = m.rings[r];
    if (!ring) continue;
    const unit = ring.nearest(turn + u.right / ring.around + 1e-7);
    const colour = u.colour ? m.indexOfColour(u.colour) : paper;
    if (colour >= 0) out.set(placeOf(r, unit), dab(colour, u.side));
  }
  return out;
}

/**
 * Where a block falls when it is held over a turn of a ring: the unit nearest to the turn, and, on a
 * ring whose units stand half a unit off those it came from, the other way it could fall.
 */
export function fall(m: Model, b: Block, ring: number, turn: number): { place: Place; other: Place } {
  const r = Math.max(0, Math.min(m.rings.length - 1, ring));
  const here = m.rings[r];
  const u = here.nearest(turn);
  const place = placeOf(r, u);
  const staggered = b.home >= 0 && Math.abs(b.home - r) % 2 === 1;
  if (!staggered) return { place, other: -1 };
  const side = half(turn - here.middle(u)) < 0 ? -1 : 1;
  if (here.open && (u + side < 0 || u + side >= here.n)) return { place, other: -1 };
  return { place, other: placeOf(r, (u + side + here.n) % here.n) };
}

/**
 * An area turned over in its place: every ring's part is mirrored about the middle of the lowest
 * ring's part, which is a unit or a gap there and the other on the next ring.
 */
export function turnedOver(m: Model, places: Iterable<Place>): Map<Place, number> {
  const all = [...places];
  const out = new Map<Place, number>();
  if (!all.length) return out;
  const lowest = Math.min(...all.map(ringOf));
  const axis = axisOf(
    m,
    all.filter((p) => ringOf(p) === lowest),
  );
  for (const p of all) {
    const ring = m.rings[ringOf(p)];
    const to = ring.nearest(2 * axis - ring.middle(unitOf(p)) + 1e-7);
    const cell = m.cell(p);
    out.set(placeOf(ringOf(p), to), dab(cell & COLOUR, cell & SHORT ? 1 : 0));
  }
  return out;
}

/** Where the extras of an area go when it is turned over. */
export function turnedOverExtras(m: Model, places: Iterable<Place>): { extra: Extra; seat: Seat }[] {
  const all = [...places];
  if (!all.length) return [];
  const lowest = Math.min(...all.map(ringOf));
  const axis = axisOf(
    m,
    all.filter((p) => ringOf(p) === lowest),
  );
  return extrasOn(m, all).map((extra) => {
    const ring = m.rings[m.ringIndex(extra.ring)];
    return { extra, seat: { ring: extra.ring, at: atOf(ring, 2 * axis - turnOf(ring, extra.at) + 1e-7) } };
  });
}

function axisOf(m: Model, row: Place[]): number {
  const ring = m.rings[ringOf(row[0])];
  const first = ring.middle(unitOf(row[0]));
  const offs = row.map((p) => half(ring.middle(unitOf(p)) - first));
  return first + (Math.min(...offs) + Math.max(...offs)) / 2;
}

/** What is left where a block was taken away: the paper most common around it. */
export function ground(m: Model, places: Iterable<Place>): Map<Place, number> {
  const inside = new Set(places);
  const votes = new Map<number, number>();
  for (const p of inside) {
    for (const n of m.neighbours(p)) {
      if (inside.has(n)) continue;
      const c = m.cell(n) & COLOUR;
      votes.set(c, (votes.get(c) ?? 0) + 1);
    }
  }
  const [colour] = [...votes].sort((a, b) => b[1] - a[1])[0] ?? [0];
  return new Map([...inside].map((p) => [p, dab(colour, KEEP)]));
}
