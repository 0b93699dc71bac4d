// Extras under mirror and repeat: one that is added, moved, changed or removed takes its images with it, as a painted
// unit does. Images are not linked in the document: they are the extras that stand where the symmetry puts them and
// look alike.

import type { Edit, Extra, ExtraState } from "../../wire/types";
import { mod } from "./mod";
import type { Model } from "./model";
import { atOf, turnOf } from "./seats";
import { moves, type Symmetry } from "./symmetry";

/** An extra's place: a ring by identity, a unit of it or half a unit more. */
export type Seat = Pick<Extra, "ring" | "at">;

/** Where each move of the symmetry but staying puts a place, in the order of the moves. */
function imagesOf(m: Model, s: Symmetry, seat: Seat): Seat[] {
  const ring = m.rings[m.ringIndex(seat.ring)];
  if (!ring) return [];
  const turn = turnOf(ring, seat.at);
  return moves(s)
    .slice(1)
    .map(({ sign, by }) => ({ ring: seat.ring, at: mod(atOf(ring, sign * (turn - m.frontTurn) + m.frontTurn + by + 1e-7), ring.n) }));
}

const same = (a: Seat, b: Seat) => a.ring === b.ring && a.at === b.at;

const LOOKS = ["kind", "colour", "units", "outline", "diameter_mm", "width_mm", "height_mm"] as const;

/** The extra that stands at a place and looks like another; one of the same name first. */
function alikeAt(m: Model, x: Extra, seat: Seat): Extra | undefined {
  const there = m.extras.filter((y) => y.key !== x.key && same(y, seat) && LOOKS.every((k) => (y[k] ?? "") === (x[k] ?? "")));
  return there.find((y) => y.name === x.name) ?? there[0];
}

/** The place on the other side of the front line. */
export function otherSide(m: Model, seat: Seat): Seat | null {
  const [image] = imagesOf(m, { mirror: true, back: false, repeat: 1 }, seat);
  return image && !same(image, seat) ? image : null;
}

/** Where the other side lacks an extra that is alike; null on the front line, and where one is there. */
export function lacking(m: Model, x: Extra): Seat | null {
  const seat = otherSide(m, x);
  return seat && !alikeAt(m, x, seat) ? seat : null;
}

/** The nearest place to the right, whole units on, where no extra is. */
export function freeBeside(m: Model, x: Extra): Seat {
  const { n } = m.rings[m.ringIndex(x.ring)] ?? { n: 1 };
  for (let k = 1; k < n; k++) {
    const seat = { ring: x.ring, at: (x.at + k) % n };
    if (!m.extras.some((y) => same(y, seat))) return seat;
  }
  return { ring: x.ring, at: x.at };
}

/** An extra of its own, like another one, at a place. */
export function copyOf(x: ExtraState, seat: Seat): ExtraState {
  const { key, ...copy } = { ...x, ...seat };
  return copy;
}

/** Several edits as one step; one stays what it is. */
export function together(edits: Edit[]): Edit {
  return edits.length === 1 ? edits[0] : { do: "batch", edits };
}

/** An edit of an extra with what it does to the images of that extra. */
export function withTwins(m: Model, s: Symmetry, edit: Edit): Edit {
  if (edit.do === "add_extra") return added(m, s, edit.extra);
  if (edit.do === "edit_extra") return changed(m, s, edit.extra);
  if (edit.do === "remove_extra") return removed(m, s, edit.key);
  return edit;
}

function added(m: Model, s: Symmetry, x: ExtraState): Edit {
  const seats: Seat[] = [x];
  for (const image of imagesOf(m, s, x)) if (!seats.some((seat) => same(seat, image))) seats.push(image);
  return together(seats.map((seat) => ({ do: "add_extra", extra: copyOf(x, { ring: seat.ring, at: seat.at }) })));
}

function changed(m: Model, s: Symmetry, to: ExtraState): Edit {
  const edits: Edit[] = [{ do: "edit_extra", extra: to }];
  const from = m.extras.find((x) => x.key === to.key);
  if (!from) return edits[0];
  const seats = imagesOf(m, s, to);
  const done = new Set([to.key]);
  imagesOf(m, s, from).forEach((seat, i) => {
    const twin = alikeAt(m, from, seat);
    if (!twin || done.has(twin.key) || !seats[i]) return;
    done.add(twin.key);
    // On the line itself both would lie on one another: there the image stays.
    const place = same(seats[i], to) ? { ring: twin.ring, at: twin.at } : seats[i];
    const own = {
      key: twin.key,
      name: twin.name === from.name ? to.name : twin.name,
      shaping: twin.shaping === from.shaping ? to.shaping : twin.shaping,
    };
    edits.push({ do: "edit_extra", extra: { ...to, ...own, ...place } });
  });
  return together(edits);
}

function removed(m: Model, s: Symmetry, key: number): Edit {
  const x = m.extras.find((y) => y.key === key);
  const keys = new Set([key]);
  for (const seat of x ? imagesOf(m, s, x) : []) {
    const twin = alikeAt(m, x!, seat);
    if (twin) keys.add(twin.key);
  }
  return together([...keys].map((key) => ({ do: "remove_extra", key })));
}
