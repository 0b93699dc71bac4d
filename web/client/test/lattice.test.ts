import assert from "node:assert/strict";
import { test } from "node:test";
import { column, flood, frame, linked, patch, run, spotOf, step, unitUnder } from "../pattern/model/lattice";
import { type Model, placeOf, ringOf, unitOf } from "../pattern/model/model";
import { arcsOf, edgesOf, model, tube } from "./figures";

/** Five rings of 12 and a closing ring of 8 that take three points each: the published figure of 68
 * units (The Star, Malaysia, 14 March 2012), here its top two rings. */
const closing = () =>
  model([
    { id: 1, cells: "A".repeat(12), from: -1 / 24 },
    { id: 2, start: 1, cells: "A".repeat(8), takes: "3".repeat(8), edges: edgesOf(arcsOf(12, 1, "33333333")) },
  ]);

test("a plain unit stands over the gap and shares points with both units below", () => {
  const m = model(tube(12, 3));
  // Ring 2 starts at point 1: the right point of unit 0 and the left one of unit 1 (contract).
  assert.deepEqual(m.below(1, 0), [0, 1]);
  assert.deepEqual(m.below(1, 11), [11, 0]);
  // Ring 3 starts at point −1: the right point of unit 11 and the left one of unit 0.
  assert.deepEqual(m.below(2, 0), [11, 0]);
  assert.deepEqual(m.above(0, 1).sort(), [0, 1]);
});

test("a closing ring takes three points a unit", () => {
  const m = closing();
  // Points 1, 2, 3 belong to units 0, 1, 1; points 4, 5, 6 to units 2, 2, 3; and so on around.
  assert.deepEqual(m.below(1, 0), [0, 1]);
  assert.deepEqual(m.below(1, 1), [2, 3]);
  assert.deepEqual(m.below(1, 7), [11, 0]);
  // Unit 1 gives both its points to unit 0 of the closing ring; unit 3 one each to units 1 and 2.
  assert.deepEqual(m.above(0, 1), [0]);
  assert.deepEqual(m.above(0, 3), [1, 2]);
});

test("a widening ring takes one point a unit, and an opening takes none", () => {
  const m = model([
    { id: 1, cells: "AAA", from: -1 / 6 },
    {
      id: 2,
      start: 0,
      cells: "AAAA",
      takes: "1111",
      free: [
        [2, 1],
        [4, 1],
      ],
      edges: edgesOf([-1 / 6, 0, 0, 1 / 6, 1 / 3, 1 / 2, 1 / 2, 2 / 3]),
    },
  ]);
  assert.deepEqual(
    [0, 1, 2, 3].map((u) => m.below(1, u)),
    [[0], [0], [1], [2]],
  );
  assert.deepEqual(m.above(0, 2), [3]);
  // Units 1 and 2 have a free point between them, and so have 3 and 0 across the seam.
  assert.ok(m.neighbours(placeOf(1, 0)).includes(placeOf(1, 1)));
  assert.ok(!m.neighbours(placeOf(1, 1)).includes(placeOf(1, 2)));
  assert.ok(!m.neighbours(placeOf(1, 3)).includes(placeOf(1, 0)));
});

test("units are neighbours when they share a point or stand side by side, and only then", () => {
  for (const m of [model(tube(9, 6)), closing()]) {
    m.rings.forEach((ring, r) => {
      for (let u = 0; u < ring.n; u++) {
        for (const n of m.neighbours(placeOf(r, u))) assert.ok(m.neighbours(n).includes(placeOf(r, u)), `ring ${r} unit ${u}`);
        if (r > 0) {
          const shared = new Set(pointsOf(m, r, u).map((p) => p >> 1));
          assert.deepEqual(new Set(m.below(r, u)), shared);
        }
      }
    });
  }
});

/** Points of the ring below that a unit takes, counted out one after another. */
function pointsOf(m: Model, r: number, u: number): number[] {
  const offered = 2 * m.rings[r - 1].n;
  let p = m.rings[r].start;
  for (let i = 0; i < u; i++) p += m.rings[r].freeBefore(i) + (m.rings[r].takes?.[i] ?? 2);
  p += m.rings[r].freeBefore(u);
  return Array.from({ length: m.rings[r].takes?.[u] ?? 2 }, (_, k) => (((p + k) % offered) + offered) % offered);
}

test("the middle of every unit is under itself", () => {
  for (const m of [model(tube(17, 12)), closing()]) {
    m.rings.forEach((ring, r) => {
      for (let u = 0; u < ring.n; u++) assert.equal(unitUnder(m, spotOf(m, placeOf(r, u))), placeOf(r, u));
    });
  }
});

test("a run follows the hand the long way round too", () => {
  const m = model(tube(12, 2));
  assert.deepEqual(run(m, placeOf(0, 11), 3 / 12).map(unitOf), [11, 0, 1, 2]);
  assert.deepEqual(run(m, placeOf(0, 1), -3 / 12).map(unitOf), [1, 0, 11, 10]);
  assert.equal(run(m, placeOf(0, 1), 5).length, 12);
});

test("columns lean half a unit a ring, or stay upright", () => {
  const m = model(tube(12, 9));
  const middles = (way: number) => column(m, placeOf(0, 3), 8, way).map((p) => m.rings[ringOf(p)].middle(unitOf(p)) * 12);
  for (const [i, x] of middles(1).entries()) assert.ok(Math.abs(x - (3 + i / 2)) < 1e-9);
  for (const x of middles(0)) assert.ok(Math.abs(x - 3) < 0.51);
  for (const way of [-1, 0, 1]) {
    const places = column(m, placeOf(0, 3), 8, way);
    for (let k = 1; k < places.length; k++) assert.ok(linked(m, places[k - 1], places[k]));
  }
});

test("a patch is k wide on one ring and k − 1 on the next; its frame is its edge", () => {
  const m = model(tube(18, 10));
  const area = patch(m, placeOf(2, 4), placeOf(6, 8), 4 / 18);
  const widths = [2, 3, 4, 5, 6].map((r) => area.filter((p) => ringOf(p) === r).length);
  assert.deepEqual(widths, [5, 4, 5, 4, 5]);
  const edge = new Set(frame(m, placeOf(2, 4), placeOf(6, 8), 4 / 18));
  for (const p of area) {
    const inside = m.neighbours(p).every((n) => area.includes(n));
    if (inside) assert.ok(!edge.has(p));
  }
});

test("a patch across the seam is whole", () => {
  const m = model(tube(18, 3));
  const units = patch(m, placeOf(0, 16), placeOf(0, 2), 4 / 18).map(unitOf);
  assert.deepEqual(units, [16, 17, 0, 1, 2]);
});

test("a flood stays in its ring or goes through points, and the seam is no wall", () => {
  const m = model(tube(10, 3, (r, u) => (r === 1 && u === 5 ? 1 : 0)));
  assert.equal(flood(m, placeOf(1, 4), "ring").length, 9);
  assert.equal(flood(m, placeOf(1, 4), "touching").length, 29);
  const split = model(tube(10, 3, (r) => (r === 1 ? 1 : 0)));
  assert.equal(flood(split, placeOf(0, 0), "touching").length, 10);
});

test("arrows up and down go to a unit that shares points, and come back", () => {
  const m = model(tube(11, 7));
  for (let u = 0; u < 11; u++) {
    const aim = m.rings[0].middle(u);
    let p = placeOf(0, u);
    for (let i = 0; i < 6; i++) {
      const up = step(m, p, 0, 1, aim);
      assert.ok(linked(m, p, up));
      p = up;
    }
    for (let i = 0; i < 6; i++) p = step(m, p, 0, -1, aim);
    assert.equal(p, placeOf(0, u));
  }
});

test("edges of a closed ring travel without the gaps that it has not", () => {
  const open = model([...tube(12, 1), { id: 2, start: 1, cells: "AAAA", edges: edgesOf([-0.1, 0.1, 0.1, 0.4, 0.4, 0.6, 0.6, 0.9]) }])
    .rings[1];
  const closed = model([...tube(12, 1), { id: 2, start: 1, cells: "AAAA", edges: [-10000, 20000, 30000, 20000, 30000] }]).rings[1];
  for (let u = 0; u < 4; u++) assert.deepEqual([closed.left(u), closed.width(u)], [open.left(u), open.width(u)]);
  assert.deepEqual([closed.left(3), closed.middle(0), closed.nearest(0.5), closed.nearest(0.95)], [0.6, 0, 2, 0]);
});
