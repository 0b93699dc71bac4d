// What a row stands on. Points are numbered as in the document (contract, version 1): left and right point of unit 0, of
// unit 1, …; a plain ring's unit takes the right point of one unit and the left point of the next.
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { arcsOf, edgesOf, model, tube } from "./figures";

test("the lowest ring stands on the table and takes no points", () => {
  const m = model(tube(6, 2));
  const table = m.footing(0);
  assert.ok(table.onTable);
  assert.equal(table.ring, -1);
  assert.equal(table.number, 0);
  assert.equal(table.offered, 0);
  assert.deepEqual(m.pointsOf(0, 3), []);
  assert.deepEqual(m.below(0, 3), []);
});

test("a ring stands on the one below, which offers two points a unit", () => {
  const m = model(tube(6, 3));
  const footing = m.footing(1);
  assert.equal(footing.ring, 0);
  assert.equal(footing.number, 1);
  assert.equal(footing.row, m.rings[0]);
  assert.equal(footing.offered, 12);
  assert.deepEqual(m.pointsOf(1, 0), [1, 2]);
  assert.deepEqual(m.pointsOf(1, 5), [11, 0], "around the seam");
  assert.deepEqual(footing.owner(11), { unit: 5, right: true });
  assert.equal(m.upon(0), 1);
  assert.equal(m.upon(2), -1);
});

// Unit 0 of a plain ring of 6 reaches from turn 0 − 1/12 to 1/12 when its middle is turn 0: its points stand a quarter in.
test("a point stands in the middle of its half of the unit", () => {
  const m = model(tube(4, 2));
  const ring = m.rings[0];
  assert.equal(m.footing(1).turn(0), ring.left(0) + 1 / 16);
  assert.equal(m.footing(1).turn(1), ring.left(0) + 3 / 16);
});

test("points that no unit takes are free", () => {
  // Six units under five: 12 points, five units take two each, two stay free before unit 2.
  const [low] = tube(6, 1);
  const arcs = arcsOf(6, 1, "22222");
  const m = model([low, { id: 2, start: 1, cells: "AAAAA", free: [[2, 2]], edges: edgesOf(arcs) }]);
  assert.deepEqual(m.freePoints(1), [5, 6]);
  assert.deepEqual(Array.from(m.footing(1).takenBy(m.rings[1])), [4, 0, 0, 1, 1, -1, -1, 2, 2, 3, 3, 4]);
  assert.deepEqual(m.above(0, 2), [1]);
});

// Rows that stand otherwise would be wrong wherever the row below is worked out by hand.
test("only the model knows which row stands on which", () => {
  const byHand = /rings\[\w*(\(\w*\))? ?[-+] ?1\]|placeOf\((r|ringOf\(\w+\)) ?[-+] ?1\b|footing\([^)]*[-+] ?1\)|2 \* [\w.[\]]*\.n\b/;
  for (const line of ["m.rings[r - 1]", "rings[ringOf(p) + 1].n", "placeOf(r - 1, b)", "2 * m.rings[r].n"]) assert.match(line, byHand);
  const found: string[] = [];
  for (const name of readdirSync("web/client/pattern", { recursive: true, encoding: "utf8" })) {
    if (!name.endsWith(".ts") || name === join("model", "model.ts")) continue;
    const lines = readFileSync(join("web/client/pattern", name), "utf8").split("\n");
    lines.forEach((line, i) => {
      if (byHand.test(line)) found.push(`${name}:${i + 1}: ${line.trim()}`);
    });
  }
  assert.deepEqual(found, [], "ask Model.footing and Model.upon instead");
});
