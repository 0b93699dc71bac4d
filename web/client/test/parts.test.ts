// A figure of several parts is looked at one part at a time. The figure is Go's own (samples.ts): a body of three rings of 12,
// a wing of 4 and 3 on points 13 to 20 of its top ring and the wing's twin, a neck of 4 on points 11 and 12, a head set on that.
import assert from "node:assert/strict";
import { test } from "node:test";
import { flood, run, step } from "../pattern/model/lattice";
import { dab, Model, placeOf } from "../pattern/model/model";
import { images } from "../pattern/model/symmetry";
import { freeGround, freeName, groundOf, growEdit, inTheWay, leaveOut, pointsFrom, takenBy } from "../pattern/shaping/part-edits";
import { samples } from "../wire/samples";
import type { StateWire } from "../wire/types";

function swan(): Model {
  const m = new Model();
  const state = samples.StateWire.find((s) => s.title === "Swan");
  assert.ok(state);
  m.load(structuredClone(state) as StateWire);
  return m;
}

const part = (m: Model, name: string) => m.parts.find((p) => p.name === name)!;

test("a figure of several parts shows the one on the table first, and counts all", () => {
  const m = swan();
  assert.equal(m.part?.name, "Body");
  assert.equal(m.rings.length, 3);
  assert.equal(m.units, 36 + 7 + 7 + 4 + 6);
  assert.deepEqual(
    m.growing(2).map((g) => [g.part.name, g.first, g.points]),
    [
      ["Right wing", 13, 8],
      ["Left wing", 3, 8],
      ["Neck", 11, 2],
    ],
  );
  const free = m.openPoints(2).flatMap((open, p) => (open ? [p] : []));
  assert.deepEqual(free, [0, 1, 2, 21, 22, 23]);
});

test("another part in view has its own rings, places and front", () => {
  const m = swan();
  assert.equal(m.look(part(m, "Right wing").id), true);
  assert.deepEqual(
    m.rings.map((r) => [r.n, r.open]),
    [
      [4, true],
      [3, true],
    ],
  );
  assert.equal(m.footing(0).grows, true);
  assert.equal(m.footing(0).number, 3);
  assert.deepEqual(m.pointsOf(0, 0), [13, 14]);
  assert.deepEqual(m.neighbours(placeOf(0, 0)), [placeOf(0, 1), placeOf(1, 0)], "no neighbour beyond the end, none on the body");
  assert.deepEqual(m.neighbours(placeOf(1, 2)), [placeOf(1, 1), placeOf(0, 2), placeOf(0, 3)]);
  assert.equal(m.frontTurn, part(m, "Right wing").front_turn);
  assert.equal(m.ringIndex(m.rows[0].id), -1, "the body's rings are not in view");
  assert.equal(m.numberOf(m.rings[1].id), 2);
  assert.equal(m.look(part(m, "Left wing").id), false, "a twin is looked at as the part that it mirrors");
  m.look(part(m, "Neck").id);
  assert.equal(m.rings.length, 4);
  assert.deepEqual(m.neighbours(placeOf(1, 0)), [placeOf(0, 0), placeOf(2, 0)]);
});

test("a hand does not go over the ends of an open row", () => {
  const m = swan();
  m.look(part(m, "Right wing").id);
  assert.deepEqual(run(m, placeOf(0, 2), 0.9), [placeOf(0, 2), placeOf(0, 3)]);
  assert.equal(step(m, placeOf(0, 3), 1, 0, 0), placeOf(0, 3));
  assert.equal(step(m, placeOf(0, 0), -1, 0, 0), placeOf(0, 0));
  assert.deepEqual(flood(m, placeOf(0, 3), "touching"), [placeOf(0, 3)]);
});

test("what is painted on a part shows on its twin, drafted, pending and told", () => {
  const m = swan();
  const wing = part(m, "Right wing");
  m.look(wing.id);
  const twin = m.rows.find((r) => r.id === -m.rings[0].id)!;
  const cells = () => [...twin.shown];
  assert.deepEqual(cells(), [1, 0, 0, 0], "the mirror image of what the document says");
  m.setDraft(new Map([[placeOf(0, 0), dab(1)]]));
  assert.deepEqual(cells(), [1, 0, 0, 1]);
  m.clearDraft();
  assert.deepEqual(cells(), [1, 0, 0, 0]);
  const runs = [{ ring: m.rings[0].id, at: 1, n: 2, colour: "b" }];
  m.push({ seq: 1, edit: { do: "paint", runs } });
  assert.deepEqual(cells(), [1, 1, 1, 0]);
  m.receive(
    {
      rev: 2,
      client: "me",
      seq: 1,
      person: "p",
      name: "",
      label: "",
      undoes: 0,
      change: { paint: [{ ring: m.rings[0].id, at: 1, n: 2, colour: 1 }] },
    },
    "me",
  );
  assert.deepEqual(cells(), [1, 1, 1, 0]);
  assert.equal(m.unitsOf(1), 6 + 1, "six on both wings, one on the neck");
  assert.deepEqual(m.painted({ row: twin.id, unit: 0 }), { row: m.rings[0].id, unit: 3 });
});

test("a part that goes away brings the body back into view", () => {
  const m = swan();
  m.look(part(m, "Neck").id);
  const rows = m.rows.slice(0, 7);
  const change = { parts: m.parts.slice(0, 3), order: rows.map((r) => r.id), rings: [] };
  m.receive(
    { rev: 2, client: "other", seq: 1, person: "p", name: "", label: "", undoes: 0, change: structuredClone(change) as never },
    "me",
  );
  assert.equal(m.part?.name, "Body");
  assert.equal(m.rings.length, 3);
});

test("a part grows between the outermost of the units that are selected", () => {
  const m = swan();
  assert.deepEqual(groundOf(m, [placeOf(2, 11), placeOf(2, 0), placeOf(2, 1)], 0), { ring: 2, point: 23, units: 2 }, "over the seam");
  assert.deepEqual(groundOf(m, [], placeOf(1, 4)), { ring: 1, point: 8, units: 1 });
  assert.deepEqual(pointsFrom(m, { ring: 2, point: 23, units: 2 }), [23, 0, 1, 2]);
  assert.equal(takenBy(m, { ring: 2, point: 20, units: 1 }), "Right wing");
  assert.equal(takenBy(m, { ring: 2, point: 22, units: 1 }), undefined);
});

test("a part for which no place was chosen begins on the nearest free points", () => {
  const m = swan();
  const wished = { ring: 2, point: 22, units: 1 };
  assert.deepEqual(freeGround(m, wished, 1), wished, "free as it is");
  const taken = groundOf(m, [], placeOf(2, 6)); // the right wing stands there
  const found = freeGround(m, taken, 1);
  const free = m.openPoints(2);
  assert.ok(pointsFrom(m, found).every((p) => free[p]));
  assert.equal(takenBy(m, found), undefined);
  assert.deepEqual(freeGround(m, taken, 12), taken, "so many are nowhere free: it stays where it was wished");
  assert.deepEqual(freeGround(m, { ring: 0, point: 4, units: 1 }, 1), { ring: 0, point: 4, units: 1 }, "the ring above takes all");
});

test("units above that take the points are left out first, in one step", () => {
  const m = swan();
  const ground = { ring: 0, point: 5, units: 2 };
  const way = inTheWay(m, ground);
  assert.equal(way.length, 2);
  assert.deepEqual(leaveOut(m, 1, [1, 2, 5]), [
    { do: "leave_out", ring: m.rings[1].id, at: 5, n: 1 },
    { do: "leave_out", ring: m.rings[1].id, at: 1, n: 2 },
  ]);
  const wish = {
    kind: "wing" as const,
    name: "Fin",
    colour: "a",
    units: 2,
    rows: 2,
    ground,
    free: true,
    at: null,
    how: "glued" as const,
    tilt: 0,
  };
  const edit = growEdit(m, wish);
  assert.equal(edit.do, "batch");
  assert.equal(growEdit(m, { ...wish, free: false }).do, "grow");
  assert.equal(freeName(m, "Neck"), "Neck 2");
  assert.equal(freeName(m, "Fin"), "Fin");
});

test("a look ahead knows the colours that the change brings", () => {
  const m = swan();
  const plum = { id: "plum", name: "Plum", hex: "#6b2b5e", sign: "P" };
  const then = m.after({ colours: [...m.colours, plum] });
  assert.equal(then.colours[then.indexOfColour("plum")].hex, "#6b2b5e");
  assert.equal(m.indexOfColour("plum"), -1, "the figure itself has none");
  assert.equal(m.after({}).indexOfColour(m.colours[1].id), 1);
});

test("a colour is replaced in the other parts too, and twins show what they mirror", () => {
  const m = swan();
  const colour = m.cell(placeOf(0, 0)) & 255;
  const edit = m.replacedElsewhere(m.row(m.rows[3].id)!.shown[0] & 63, dab(colour === 0 ? 1 : 0));
  assert.ok(edit?.do === "paint");
  const own = new Set(m.rings.map((r) => r.id));
  assert.ok(edit.runs.length > 0);
  for (const run of edit.runs) {
    assert.ok(run.ring > 0 && !own.has(run.ring), `row ${run.ring} is in view or of a twin`);
    const row = m.row(run.ring)!;
    for (let u = run.at; u < run.at + run.n; u++) assert.equal(row.shown[u] & 63, m.rows[3].shown[0] & 63);
  }
  assert.equal(m.replacedElsewhere(63, dab(0)), null, "nobody has that colour");
});

test("a row in a line has no back, and nothing of it is repeated around", () => {
  const m = swan();
  assert.ok(m.look(part(m, "Right wing").id));
  const p = placeOf(0, 0);
  assert.deepEqual(images(m, p, { mirror: false, back: true, repeat: 3 }), [p]);
  assert.deepEqual(images(m, p, { mirror: true, back: true, repeat: 3 }), [p, placeOf(0, m.rings[0].n - 1)]);
});
