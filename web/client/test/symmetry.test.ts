import assert from "node:assert/strict";
import { test } from "node:test";
import { placeOf, ringOf, unitOf } from "../pattern/model/model";
import { images, imagesOf, misfits, moves, type Symmetry } from "../pattern/model/symmetry";
import { chance, edgesOf, model, tube } from "./figures";

const sym = (s: Partial<Symmetry>): Symmetry => ({ mirror: false, back: false, repeat: 1, ...s });

test("mirroring twice is the identity, on the line and between two units", () => {
  for (const front of [0, 0.5, 4, 8.5]) {
    const m = model(tube(18, 6), front);
    const s = sym({ mirror: true });
    m.rings.forEach((ring, r) => {
      for (let u = 0; u < ring.n; u++) {
        const [, mirrored = placeOf(r, u)] = images(m, placeOf(r, u), s);
        const [, back = mirrored] = images(m, mirrored, s);
        assert.equal(back, placeOf(r, u));
      }
    });
  }
});

test("mirrored motifs are odd and even units wide by turns", () => {
  const m = model(tube(18, 2), 0); // a unit of ring 1 is on the line, a gap of ring 2
  const s = sym({ mirror: true });
  assert.deepEqual(images(m, placeOf(0, 0), s), [placeOf(0, 0)]);
  assert.deepEqual(images(m, placeOf(0, 1), s).map(unitOf), [1, 17]);
  assert.deepEqual(images(m, placeOf(1, 0), s).map(unitOf), [0, 17]);
});

test("a mirrored figure has as many units of every colour", () => {
  const any = chance(5);
  const m = model(
    tube(14, 8, () => any(4)),
    3.5,
  );
  const s = sym({ mirror: true });
  const counts = m.colours.map(() => 0);
  m.rings.forEach((ring, r) => {
    for (let u = 0; u < ring.n; u++) counts[m.cell(images(m, placeOf(r, u), s).at(-1)!)]++;
  });
  assert.deepEqual(
    m.colours.map((_, i) => m.unitsOf(i)),
    counts,
  );
});

test("k repeats are unchanged when turned by n/k", () => {
  const any = chance(7);
  for (const [n, k] of [
    [18, 2],
    [18, 3],
    [24, 4],
    [24, 6],
  ]) {
    const m = model(tube(n, 5), 2.5);
    const painted = new Set(
      imagesOf(
        m,
        Array.from({ length: 9 }, () => placeOf(any(5), any(n))),
        sym({ repeat: k, mirror: true }),
      ),
    );
    for (const p of painted) assert.ok(painted.has(placeOf(ringOf(p), (unitOf(p) + n / k) % n)));
  }
});

test("front and back together: each image's images are the same units", () => {
  const m = model(tube(20, 4), 0.5);
  const s = sym({ mirror: true, back: true });
  for (let u = 0; u < 20; u++) {
    const all = new Set(images(m, placeOf(1, u), s));
    for (const p of all) assert.deepEqual(new Set(images(m, p, s)), all);
  }
});

test("rings that k does not divide are named", () => {
  const m = model([
    ...tube(12, 1),
    {
      id: 2,
      start: 1,
      cells: "A".repeat(8),
      takes: "3".repeat(8),
      edges: edgesOf(Array.from({ length: 8 }, (_, u) => [u / 8, (u + 1) / 8]).flat()),
    },
  ]);
  assert.deepEqual(misfits(m, sym({ repeat: 3 })), [1]);
  assert.deepEqual(misfits(m, sym({ repeat: 4 })), []);
  assert.deepEqual(misfits(m, sym({})), []);
});

test("every combination has as many moves as its group", () => {
  assert.equal(moves(sym({ mirror: true, repeat: 4 })).length, 8); // dihedral group of order 2k
  assert.equal(moves(sym({ mirror: true, back: true })).length, 4);
});
