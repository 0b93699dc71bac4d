import assert from "node:assert/strict";
import test from "node:test";
import { area, room, seen } from "../fold/sheet";
import { samples } from "../wire/samples";
import type { Folding } from "../wire/types";

/** A9, doubled: 52 × 37 mm. */
function a9(): Folding {
  const found = samples.Folding.find((f) => f.steps.length === 7);
  assert.ok(found);
  return found;
}

const covered = (f: Folding, t: number) => seen(f, t).reduce((sum, { points }) => sum + Math.abs(area(points)), 0);

test("no paper is lost or stretched: at every step it covers as much as the sheet, layer by layer", () => {
  const f = a9();
  const flat = covered(f, 0);
  for (let k = 1; k <= f.steps.length; k++) assert.ok(Math.abs(covered(f, k) - flat) < 0.01 * flat, `step ${k}`);
});

test("a piece that is lifted is seen from its other side once it is over, and lies on top meanwhile", () => {
  const f = a9();
  assert.ok(
    seen(f, 0).every(({ plain }) => plain),
    "the coloured side lies on the table",
  );
  const lifted = seen(f, 0.4);
  const over = seen(f, 0.9);
  assert.equal(over.filter(({ plain }) => !plain).length * 2, over.length, "half of the sheet has turned over");
  assert.deepEqual(
    over.map(({ plain }) => plain),
    [...over.map(({ plain }) => plain)].sort().reverse(),
    "and lies over the other half",
  );
  assert.equal(lifted.length, over.length);
});

test("the end of one step is the beginning of the next", () => {
  const f = a9();
  for (let k = 1; k < f.steps.length; k++) {
    const before = seen(f, k - 1e-7);
    const after = seen(f, k);
    const key = (list: ReturnType<typeof seen>) =>
      list.map(({ points }) => points.map(([x, y]) => `${x.toFixed(2)} ${y.toFixed(2)}`.replaceAll("-0.00", "0.00")).join(" ")).sort();
    assert.deepEqual(key(before), key(after), `step ${k}`);
  }
});

test("only folds that are made are edges of the paper", () => {
  const f = a9();
  const edges = (t: number) => seen(f, t).reduce((sum, piece) => sum + piece.edges.filter(Boolean).length, 0);
  const border = f.facets.reduce((sum, facet) => sum + facet.edges.filter((step) => step === 0).length, 0);
  assert.equal(edges(0), border);
  assert.ok(edges(0.5) > border);
  assert.equal(
    edges(7),
    f.facets.reduce((sum, facet) => sum + facet.edges.length, 0),
  );
});

test("the paper stays within its room", () => {
  const f = a9();
  const box = room(f);
  for (let t = 0; t <= 7; t += 0.125)
    for (const { points } of seen(f, t))
      for (const [x, y] of points)
        assert.ok(x > box.left - 1 && x < box.right + 1 && y > box.low - 1 && y < box.high + 1, `${t}: ${x}, ${y}`);
});
