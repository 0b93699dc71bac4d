import assert from "node:assert/strict";
import { test } from "node:test";
import { View } from "../pattern/grid/view";
import { flatCorners } from "../pattern/model/looks";
import { Model } from "../pattern/model/model";
import type { Look } from "../wire/types";
import { state, tube } from "./figures";

// Fitted, the whole figure is in sight: extras that stand over the top ring, under the lowest and aside among it.
test("a fitted view leaves room for extras that stand out", () => {
  const looks: Look[] = [
    { key: 1, solid: [[-1, 0, 0, 0, 0.2, 4, 0, 0, 2, 0.5]], flat: [[-1, 0, 0, 0.2, 4, 0, 2]] },
    { key: 2, solid: [[-1, 0, 0, 0, 0.2, -3, 0, 0, -2, 0.5]], flat: [[-1, 0, 0, 0.2, -3, 0, -2]] },
    { key: 3, solid: [[1, 0, 0, 0, 5, 0, 0, 5, -1, 0]], flat: [[1, 0, 0, 5, 0, 5, -1]] },
  ];
  const tucked = (key: number, ring: number, at: number) => ({
    key,
    kind: "tucked" as const,
    name: "x",
    colour: "soot",
    units: 1,
    ring,
    at,
  });
  const extras = [tucked(1, 20, 0), tucked(2, 1, 0), tucked(3, 10, 5)];
  for (const [width, height] of [
    [896, 686],
    [390, 480],
    [1400, 300],
  ]) {
    const m = new Model();
    m.load({ ...state(tube(12, 20)), extras, looks });
    const v = new View(m);
    v.setStage(width, height, 1);
    v.fit();
    for (const look of looks) {
      const x = extras.find((each) => each.key === look.key)!;
      const ring = m.rings[x.ring - 1];
      for (const [along, up] of flatCorners(look).flatMap((f) => f.at)) {
        const px = v.x(ring.middle(x.at)) + along * v.unit;
        const py = v.y(x.ring) - up * v.unit;
        assert.ok(px >= v.edges.left - 1 && px <= width - v.edges.right + 1, `${look.key} at ${px} of ${width}`);
        assert.ok(py >= v.edges.top - 1 && py <= height - v.edges.bottom + 1, `${look.key} at ${py} of ${height}`);
      }
    }
  }
});
