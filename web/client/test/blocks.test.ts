import assert from "node:assert/strict";
import { test } from "node:test";
import { blockOf, fall, ground, laid, laidExtras, mirrored, turnedOver, turnedOverExtras } from "../pattern/model/blocks";
import { patch } from "../pattern/model/lattice";
import { dab, Model, placeOf, ringOf, unitOf } from "../pattern/model/model";
import { comesOut, MOTIFS, motifBlock } from "../pattern/model/motifs";
import { chance, looks, model, state, tube } from "./figures";

test("a block put back where it came from changes nothing", () => {
  const any = chance(11);
  const m = model(tube(18, 12, () => any(4)));
  const area = patch(m, placeOf(3, 15), placeOf(7, 2), 5 / 18);
  const block = blockOf(m, area)!;
  const before = looks(m);
  const anchor = area.find(
    (p) =>
      ringOf(p) === block.home &&
      block.units.some((u) => u.up === 0 && u.right === 0) &&
      laid(m, block, p, 0).has(area[0]) &&
      laid(m, block, p, 0).has(area[area.length - 1]),
  )!;
  m.setDraft(laid(m, block, anchor, 0));
  assert.equal(looks(m), before);
});

test("a block put down elsewhere keeps its shape", () => {
  const m = model(tube(18, 12));
  const area = patch(m, placeOf(2, 3), placeOf(6, 7), 4 / 18);
  const block = blockOf(m, area)!;
  for (const to of [placeOf(block.home, 12), placeOf(block.home + 3, 0), placeOf(block.home + 2, 17)]) {
    const there = [...laid(m, block, to, 0).keys()];
    assert.equal(there.length, area.length);
    const links = (ps: number[]) => ps.reduce((n, p) => n + m.neighbours(p).filter((q) => ps.includes(q)).length, 0);
    assert.equal(links(there), links(area));
  }
});

test("on a ring that stands half a unit off, a block can fall both ways", () => {
  const m = model(tube(18, 8));
  const block = blockOf(m, [placeOf(2, 4)])!;
  assert.equal(fall(m, block, 4, m.rings[4].middle(5)).other, -1);
  // Over the gap of ring 4 (where it stood on ring 3): a hair to the right falls right, the other way is left.
  const gap = m.rings[2].middle(4);
  const right = fall(m, block, 3, gap + 0.001);
  const ways = [right.place, right.other].map(unitOf).sort((a, b) => a - b);
  assert.deepEqual(
    ways.map((u) => Math.abs(m.rings[3].middle(u) - gap) < 0.51 / 18),
    [true, true],
  );
  assert.ok(m.rings[3].middle(unitOf(right.place)) > m.rings[3].middle(unitOf(right.other)));
});

test("turning over twice is the identity, for blocks and in place", () => {
  const any = chance(13);
  const m = model(tube(18, 9, () => any(4)));
  const area = patch(m, placeOf(1, 3), placeOf(5, 9), 6 / 18);
  const block = blockOf(m, area)!;
  assert.deepEqual(mirrored(mirrored(block)), { ...block, units: block.units.map((u) => ({ ...u, right: u.right + 0 })) });
  const before = looks(m);
  for (let i = 0; i < 2; i++) {
    const edit = turnedOver(m, area);
    m.setDraft(edit);
    const step = m.draftEdit()!;
    m.clearDraft();
    m.push({ seq: i + 1, edit: step });
    if (i === 0) assert.notEqual(looks(m), before);
  }
  assert.equal(looks(m), before);
});

test("where a block was cut out, the paper around it closes the hole", () => {
  const m = model(tube(12, 5, (r, u) => (r === 2 && u === 4 ? 1 : 3)));
  assert.deepEqual(ground(m, [placeOf(2, 4)]), new Map([[placeOf(2, 4), dab(3, 255)]]));
});

test("every motif is drawn for staggered rings: widths odd and even by turns", () => {
  for (const motif of MOTIFS) {
    motif.rows?.forEach((row, i, rows) => {
      assert.equal(row, [...row].reverse().join(""), `${motif.name} is symmetric`);
      if (i) assert.equal((row.length + rows[i - 1].length) % 2, 1, `${motif.name}, row ${i}`);
    });
  }
});

test("every motif falls on as many units as it has, and bands that come out even have no break", () => {
  const m = model(tube(24, 20));
  for (const motif of MOTIFS) {
    const block = motifBlock(motif, m, 6);
    assert.equal(laid(m, block, placeOf(6, 5), 1).size, block.units.length, motif.name);
    if (!motif.band) continue;
    assert.ok(comesOut(motif, m, 6), motif.name);
    const painted = laid(m, block, placeOf(6, 0), 1);
    for (const p of painted.keys()) assert.ok(painted.has(placeOf(ringOf(p), (unitOf(p) + motif.band.period) % 24)), motif.name);
  }
});

test("extras go with the block they stand on: copied, flipped and turned over in their place", () => {
  const m = new Model();
  const eye = { key: 1, kind: "glued" as const, name: "Eye", outline: "disc" as const, diameter_mm: 12, ring: 3, at: 4 };
  m.load({ ...state(tube(18, 12)), extras: [eye, { ...eye, key: 2, at: 6.5 }, { ...eye, key: 3, at: 7.5 }] });
  const area = patch(m, placeOf(2, 4), placeOf(2, 7), 3 / 18);
  // The third one sits in the gap after the area's last unit: it stays.
  const block = blockOf(m, area)!;
  assert.deepEqual(
    block.extras!.map((x) => x.extra.key),
    [1, 2],
  );
  const seats = (b: typeof block, at: number) => laidExtras(m, b, at).map((x) => [x.seat.ring, x.seat.at]);
  const anchor = area.find((p) => [...laid(m, block, p, 0).keys()].every((q) => area.includes(q)))!;
  assert.deepEqual(seats(block, anchor), [
    [3, 4],
    [3, 6.5],
  ]);
  assert.deepEqual(seats(block, placeOf(4, (unitOf(anchor) + 10) % 18)), [
    [5, 14],
    [5, 16.5],
  ]);
  assert.deepEqual(seats(mirrored(block), placeOf(4, unitOf(anchor))), [
    [5, 2 * unitOf(anchor) - 4],
    [5, 2 * unitOf(anchor) - 6.5],
  ]);
  // The area is units 4 … 7, so its middle is at 5½: 4 goes to 7, and 6½ to 4½.
  assert.deepEqual(
    turnedOverExtras(m, area).map((x) => x.seat.at),
    [7, 4.5],
  );
});
