// Shaping rings by hand: which edits the buttons send. Places and points follow the rule of the craft: a
// ring of n units offers 2n points, and the gap at the seam is one gap.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Model, placeOf } from "../pattern/model/model";
import { PLAIN } from "../pattern/model/symmetry";
import { freeOf, takesOf } from "../pattern/shaping/lookahead";
import { nudged } from "../pattern/shaping/nudge";
import { fillEdit, freeBeside, freeEdit, leaveOutEdit, sideEdit, takeEdit } from "../pattern/shaping/shape-edits";
import type { RingWire } from "../wire/types";
import { edgesOf } from "./figures";

function figure(rings: RingWire[]): Model {
  const m = new Model();
  m.load({
    rev: 0,
    title: "Tower",
    unit: { long_mm: 52, short_mm: 37, fold: "doubled" },
    front: 0,
    front_turn: 0,
    colours: [{ id: "chalk", name: "Chalk", hex: "#f4efe6", sign: "C" }],
    rings,
    parts: [],
    extras: [],
    looks: [],
    totals: { units: 0, in_rings: 0, by_colour: [], sheets: 0 },
    power: "edit",
    history: { can_undo: false, can_redo: false },
  });
  return m;
}

/** Three rings of six; ring 2 leaves two points free after its last unit and one before its first. */
function withOpenings(): Model {
  return figure([
    { id: 1, cells: "AAAAAA", from: -1 / 12 },
    {
      id: 2,
      cells: "AAAAA",
      start: 1,
      takes: "22221",
      free: [
        [0, 1],
        [5, 2],
      ],
      edges: edgesOf([0.1, 0.25, 0.25, 0.4, 0.4, 0.55, 0.55, 0.7, 0.7, 0.8]),
    },
    { id: 3, cells: "AAAAAA", start: 9, takes: "222211", edges: edgesOf([0, 0.1, 0.1, 0.2, 0.2, 0.3, 0.3, 0.4, 0.4, 0.5, 0.5, 0.6]) },
  ]);
}

test("a unit takes points, and its mirror image with it", () => {
  const m = figure([
    { id: 1, cells: "AAAAAA", from: -1 / 12 },
    { id: 2, cells: "AAAAAA", start: 1, from: 0 },
  ]);
  assert.deepEqual(takeEdit(m, placeOf(1, 1), 3, PLAIN), { do: "take", ring: 2, unit: 1, takes: 3 });
  // Ring 2 stands half a unit off the front line, so unit 1 (middle at 0.25) mirrors unit 4 (0.75).
  assert.deepEqual(takeEdit(m, placeOf(1, 1), 3, { ...PLAIN, mirror: true }), {
    do: "batch",
    edits: [
      { do: "take", ring: 2, unit: 1, takes: 3 },
      { do: "take", ring: 2, unit: 4, takes: 3 },
    ],
  });
});

test("the opening at the seam is one, before the first unit and after the last", () => {
  const m = withOpenings();
  assert.equal(freeBeside(m, placeOf(1, 0), "left"), 3);
  assert.equal(freeBeside(m, placeOf(1, 4), "right"), 3);
  assert.equal(freeBeside(m, placeOf(1, 2), "left"), 0);
  assert.deepEqual(freeEdit(m, placeOf(1, 0), "left", 4), { do: "leave_free", ring: 2, unit: 0, points: 2 });
  assert.deepEqual(freeEdit(m, placeOf(1, 4), "right", 4), { do: "leave_free", ring: 2, unit: 5, points: 3 });
  assert.deepEqual(freeEdit(m, placeOf(1, 0), "left", 1), {
    do: "batch",
    edits: [
      { do: "leave_free", ring: 2, unit: 0, points: 0 },
      { do: "leave_free", ring: 2, unit: 5, points: 1 },
    ],
  });
  assert.deepEqual(freeEdit(m, placeOf(1, 2), "right", 1), { do: "leave_free", ring: 2, unit: 3, points: 1 });
});

test("filling goes from the highest unit down, so that numbers stay right", () => {
  const m = withOpenings();
  assert.deepEqual(fillEdit(m, placeOf(1, 0), "left"), {
    do: "batch",
    edits: [
      { do: "fill_in", ring: 2, unit: 5 },
      { do: "fill_in", ring: 2, unit: 0 },
    ],
  });
});

test("a unit is left out with its image, never on the bottom ring", () => {
  const m = withOpenings();
  assert.deepEqual(leaveOutEdit(m, placeOf(1, 3), PLAIN), { do: "leave_out", ring: 2, at: 3, n: 1 });
  assert.deepEqual(leaveOutEdit(m, placeOf(0, 3), PLAIN), { do: "batch", edits: [] });
});

test("turning a side leaves the colour as it is", () => {
  const m = withOpenings();
  assert.deepEqual(sideEdit(m, [placeOf(0, 1), placeOf(0, 2)], "short"), { do: "paint", runs: [{ ring: 1, at: 1, n: 2, side: "short" }] });
});

test("an extra is pushed by half units, across the seam, and from ring to ring where it stands", () => {
  const m = withOpenings();
  const eye = { key: 1, kind: "glued" as const, name: "Eye", ring: 1, at: 0 };
  assert.deepEqual(nudged(m, eye, -1, 0), { ring: 1, at: 5.5 });
  assert.deepEqual(nudged(m, { ...eye, at: 5.5 }, 1, 0), { ring: 1, at: 0 });
  assert.deepEqual(nudged(m, eye, 0, -1), { ring: 1, at: 0 }, "there is nothing below the bottom ring");
  assert.deepEqual(nudged(m, { ...eye, at: 1 }, 0, 1), { ring: 2, at: 0 }, "the middle of unit 1 lies in the first unit of ring 2");
});

test("a ring's takes and free points are counted", () => {
  const ring = withOpenings().rings[1];
  assert.deepEqual(takesOf(ring), [1, 4, 0, 0]);
  assert.equal(freeOf(ring), 3);
});
