import assert from "node:assert/strict";
import { test } from "node:test";
import { flatCorners, isPiece, within } from "../pattern/model/looks";
import { Model } from "../pattern/model/model";
import { proportion } from "../pattern/panels/sides";
import type { Look } from "../wire/types";
import { event, state, tube } from "./figures";

const PIECE: Look = { key: 1, solid: [[0, -0.5, -0.25, 0.1, 0.5, -0.25, 0.1, 0.5, 0.25, 0.1, -0.5, 0.25, 0.1]] };
const WING: Look = {
  key: 2,
  solid: [
    [-1, -0.3, 0, 0, 0, 0, 3, 0, -1, 3],
    [1, 0.3, 0, 0, 0, 0, 3, 0, -1, 3],
  ],
  flat: [
    [-1, 0, 0, 3, 0, 3, -1],
    [1, 0, 0.1, 3, 0, 3, -1],
  ],
};

test("a glued piece lies flat on the grid as it is; a tucked unit as the server turned it", () => {
  assert.deepEqual(flatCorners(PIECE), [
    {
      leaf: 0,
      at: [
        [-0.5, -0.25],
        [0.5, -0.25],
        [0.5, 0.25],
        [-0.5, 0.25],
      ],
    },
  ]);
  assert.deepEqual(flatCorners(WING)[0], {
    leaf: -1,
    at: [
      [0, 0],
      [3, 0],
      [3, -1],
    ],
  });
  assert.equal(isPiece(PIECE), true);
  assert.equal(isPiece(WING), false);
  const [{ at }] = flatCorners(PIECE);
  assert.equal(within(at, 0.45, 0.2), true);
  assert.equal(within(at, 0.45, 0.3), false);
});

test("looks come with the state and with the steps that change them, and stay for others", () => {
  const m = new Model();
  const extra = { key: 2, kind: "tucked" as const, name: "wing", ring: 1, at: 0, units: 1 };
  m.load({ ...state(tube(12, 3)), extras: [extra], looks: [WING] });
  m.receive(event(2, "x", 1, { paint: [{ ring: 1, at: 0, n: 1, colour: 1 }] }), "me");
  assert.deepEqual(m.looks, [WING]);
  m.receive(event(3, "x", 2, { extras: [], looks: [] }), "me");
  assert.deepEqual(m.looks, []);
});

test("a side's picture makes room for what stands off the wall", () => {
  const bare = new Model();
  bare.load(state(tube(12, 3)));
  const winged = new Model();
  winged.load({ ...state(tube(12, 3)), extras: [{ key: 2, kind: "tucked", name: "wing", ring: 2, at: 0, units: 1 }], looks: [WING] });
  // A tube of 12 is 12/π pitches across; the wing stands 3 pitches off on its side, and the picture is as wide on both.
  assert.ok(Math.abs(proportion(winged) / proportion(bare) - (12 / Math.PI + 6) / (12 / Math.PI)) < 1e-9);
});
