import assert from "node:assert/strict";
import { test } from "node:test";
import { editsIn, Model } from "../pattern/model/model";
import type { Symmetry } from "../pattern/model/symmetry";
import { copyOf, freeBeside, lacking, otherSide, withTwins } from "../pattern/model/twins";
import type { Edit, Extra } from "../wire/types";
import { state, tube } from "./figures";

const mirror: Symmetry = { mirror: true, back: false, repeat: 1 };
const eye: Extra = { key: 1, kind: "glued", name: "Eye", outline: "disc", diameter_mm: 12, ring: 1, at: 3 };

/** A tube of 12 whose front is the middle of ring 1's unit 0: unit u of ring 1 mirrors to 12 − u. */
function figure(...extras: Extra[]): Model {
  const m = new Model();
  m.load({ ...state(tube(12, 4)), extras });
  return m;
}

const extraOf = (e: Edit) => (e.do === "add_extra" || e.do === "edit_extra" ? e.extra : undefined);

const seats = (e: Edit) => editsIn(e).map((part) => [part.do, extraOf(part)?.key, extraOf(part)?.ring, extraOf(part)?.at]);

test("an extra that is added comes with its mirror image, and once on the line", () => {
  const m = figure();
  assert.deepEqual(seats(withTwins(m, mirror, { do: "add_extra", extra: eye })), [
    ["add_extra", undefined, 1, 3],
    ["add_extra", undefined, 1, 9],
  ]);
  assert.equal(editsIn(withTwins(m, mirror, { do: "add_extra", extra: { ...eye, at: 0 } })).length, 1);
  // Ring 2 stands half a unit to the right: its unit 0 mirrors to unit 11, its gap 11½ to itself.
  assert.deepEqual(
    seats(withTwins(m, mirror, { do: "add_extra", extra: { ...eye, ring: 2, at: 0 } })).map((s) => s[3]),
    [0, 11],
  );
  assert.deepEqual(
    seats(withTwins(m, mirror, { do: "add_extra", extra: { ...eye, ring: 2, at: 11.5 } })).map((s) => s[3]),
    [11.5],
  );
});

test("repeats put it everywhere around, and without symmetry nothing is added", () => {
  const m = figure();
  const all = seats(withTwins(m, { mirror: false, back: false, repeat: 4 }, { do: "add_extra", extra: eye }));
  assert.deepEqual(
    all.map((s) => s[3]),
    [3, 6, 9, 0],
  );
  assert.deepEqual(withTwins(m, { mirror: false, back: false, repeat: 1 }, { do: "add_extra", extra: eye }).do, "add_extra");
});

test("moving one moves its image the other way, changing one changes both, names of their own stay", () => {
  const m = figure(eye, { ...eye, key: 2, at: 9, name: "Other eye" }, { ...eye, key: 3, at: 9, diameter_mm: 5 });
  const moved = withTwins(m, mirror, { do: "edit_extra", extra: { ...eye, ring: 3, at: 4.5 } });
  assert.deepEqual(seats(moved), [
    ["edit_extra", 1, 3, 4.5],
    ["edit_extra", 2, 3, 7.5],
  ]);
  const larger = editsIn(withTwins(m, mirror, { do: "edit_extra", extra: { ...eye, diameter_mm: 14, name: "Big eye" } }));
  assert.deepEqual(
    larger.map(extraOf).map((x) => [x?.key, x?.diameter_mm, x?.name]),
    [
      [1, 14, "Big eye"],
      [2, 14, "Other eye"],
    ],
  );
  assert.deepEqual(editsIn(withTwins(m, mirror, { do: "remove_extra", key: 1 })), [
    { do: "remove_extra", key: 1 },
    { do: "remove_extra", key: 2 },
  ]);
});

test("one that has no image goes alone", () => {
  const m = figure(eye);
  assert.deepEqual(seats(withTwins(m, mirror, { do: "edit_extra", extra: { ...eye, at: 4 } })), [["edit_extra", 1, 1, 4]]);
  assert.deepEqual(withTwins(m, mirror, { do: "remove_extra", key: 1 }), { do: "remove_extra", key: 1 });
});

test("a copy goes beside it where nothing is, or to the other side where one is lacking", () => {
  const m = figure(eye, { ...eye, key: 2, at: 4 }, { ...eye, key: 3, at: 8 });
  assert.deepEqual(freeBeside(m, eye), { ring: 1, at: 5 });
  assert.deepEqual(lacking(m, eye), { ring: 1, at: 9 });
  assert.equal(lacking(m, m.extras[1]), null);
  assert.equal(otherSide(m, { ring: 1, at: 6 }), null);
  assert.deepEqual(copyOf(eye, { ring: 1, at: 5 }), { kind: "glued", name: "Eye", outline: "disc", diameter_mm: 12, ring: 1, at: 5 });
});

test("a pending batch shows at once: what it paints and what it does to extras", () => {
  const m = figure(eye);
  m.push({
    seq: 1,
    edit: {
      do: "batch",
      edits: [
        { do: "paint", runs: [{ ring: 1, at: 0, n: 2, colour: "soot" }] },
        { do: "remove_extra", key: 1 },
      ],
    },
  });
  assert.deepEqual([...m.rings[0].shown.slice(0, 3)], [1, 1, 0]);
  assert.deepEqual(m.extras, []);
  m.refuse(1);
  assert.deepEqual([...m.rings[0].shown.slice(0, 3)], [0, 0, 0]);
  assert.equal(m.extras.length, 1);
});
