// A picture on the wall: places of its corners, repeats, and the hand that moves, sizes and turns it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { type At, apply, copies, dragged, toWall } from "../pattern/laying/plane";
import type { Lay } from "../wire/types";

const lay: Lay = { way: "flat", x: 3, y: 5, width: 4, height: 2 };

const near = (a: At, b: At) => assert.ok(Math.hypot(a.x - b.x, a.y - b.y) < 1e-9, `${JSON.stringify(a)} is not ${JSON.stringify(b)}`);

test("the corners of a picture lie where its middle and measures say, and go around with its turn", () => {
  near(apply(toWall(lay), { x: 0.5, y: 0.5 }), { x: 3, y: 5 });
  near(apply(toWall(lay), { x: 0, y: 0 }), { x: 1, y: 6 });
  near(apply(toWall({ ...lay, mirror: true }), { x: 0, y: 0 }), { x: 5, y: 6 });
  // A quarter to the right: its upper left corner comes to the upper right.
  near(apply(toWall({ ...lay, turn: 90 }), { x: 0, y: 0 }), { x: 4, y: 7 });
});

test("repeats stand evenly around, and an open part has one picture", () => {
  const wall = { around: 24, rise: 0.8, open: false };
  const at = copies({ ...lay, times: 3 }, wall).map((by) => lay.x + by);
  for (const x of [-5, 3, 11]) assert.ok(at.includes(x), `none at ${x}`);
  assert.deepEqual(copies(lay, { ...wall, open: true }), [0]);
});

test("the hand moves, sizes and turns it", () => {
  const from = { x: 5, y: 6 };
  const moved = dragged(lay, "move", from, { x: 6, y: 4 }, false);
  near(moved, { x: 4, y: 3 });
  const sized = dragged(lay, "size", from, { x: 7, y: 7 }, false);
  assert.deepEqual([sized.width, sized.height], [8, 4]);
  assert.equal(dragged(lay, "size", from, { x: 7, y: 7 }, true).width, 4);
  const turned = dragged(lay, "turn", { x: 3, y: 9 }, { x: 9, y: 5 }, false);
  assert.equal(turned.turn, 90);
});
