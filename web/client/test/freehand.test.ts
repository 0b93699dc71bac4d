// What a free stroke paints when the hand shakes. The strokes are drawn in pixels at the sizes at which the
// editor opens a figure of 16 × 15, and judged by plane geometry: a unit is wrong when no spot of the stroke that
// was meant, drawn without noise, lies nearest to its middle.
import assert from "node:assert/strict";
import { test } from "node:test";
import { RISE, View } from "../pattern/grid/view";
import { Freehand } from "../pattern/model/freehand";
import { linked, unitUnder } from "../pattern/model/lattice";
import { type Model, type Place, placeOf, ringOf, unitOf } from "../pattern/model/model";
import { arcsOf, chance, edgesOf, model, tube } from "./figures";

interface Pixel {
  x: number;
  y: number;
}

/** The stage as it was measured in Chromium, at 1280 × 860 and at 390 × 844. */
const STAGES = { desk: [940, 628], phone: [390, 626] } as const;

function viewOf(m: Model, stage: keyof typeof STAGES): View {
  const v = new View(m);
  [v.width, v.height] = STAGES[stage];
  v.open();
  return v;
}

/** Units of a stroke through pixels. */
function painted(m: Model, v: View, pixels: Pixel[]): Set<Place> {
  const out = new Set<Place>();
  const spots = pixels.map((p) => v.spot(p.x, p.y));
  const stroke = new Freehand(m, spots[0], v.unit, (p, on) => (on ? out.add(p) : out.delete(p)));
  for (const s of spots.slice(1)) stroke.to(s);
  return out;
}

function straight(a: Pixel, b: Pixel, step: number): Pixel[] {
  const n = Math.max(1, Math.round(Math.hypot(b.x - a.x, b.y - a.y) / step));
  return Array.from({ length: n + 1 }, (_, i) => ({ x: a.x + ((b.x - a.x) * i) / n, y: a.y + ((b.y - a.y) * i) / n }));
}

type Noise = (px: number, any: (below: number) => number) => () => number;

/** Each event off by up to so many pixels, whatever the one before was. */
const jumping: Noise = (px, any) => () => (any(2001) / 1000 - 1) * px;

/** As far off on average, but swinging: four fifths of each event's error stay in the next. */
const swinging: Noise = (px, any) => {
  const normal = () => Array.from({ length: 12 }, () => any(1e6) / 1e6).reduce((a, b) => a + b) - 6;
  let off = (normal() * px) / Math.sqrt(3);
  return () => (off = off * 0.8 + (normal() * 0.6 * px) / Math.sqrt(3));
};

function shaken(pixels: Pixel[], noise: Noise, px: number, any: (below: number) => number): Pixel[] {
  const x = noise(px, any);
  const y = noise(px, any);
  return pixels.map((p) => ({ x: p.x + x(), y: p.y + y() }));
}

/** Units whose middle is nearest to some pixel of a path; both where two are as near. */
function nearestAlong(m: Model, v: View, path: Pixel[]): Set<Place> {
  const middles = m.rings.flatMap((ring, r) =>
    Array.from({ length: ring.n }, (_, u) => ({ place: placeOf(r, u), x: v.x(ring.middle(u)), y: v.y(r + 1) })),
  );
  const out = new Set<Place>();
  for (const p of path) {
    const far = middles.map((c) => Math.hypot(c.x - p.x, c.y - p.y));
    const least = Math.min(...far) + 0.01;
    for (const [i, d] of far.entries()) if (d <= least) out.add(middles[i].place);
  }
  return out;
}

/** Ends of straight strokes: from unit middle to unit middle along a ring, leaning, and upright. */
const SHAPES: Record<string, (m: Model, v: View, k: number) => [Pixel, Pixel]> = {
  "along a ring": (m, v, k) => {
    const a = middle(m, v, 3 + (k % 9), -6);
    return [a, { x: a.x + 12 * v.unit, y: a.y }];
  },
  "leaning right": (m, v, k) => leaning(m, v, k, 1),
  "leaning left": (m, v, k) => leaning(m, v, k, -1),
  "upright between two columns of middles": (m, v, k) => upright(m, v, k, k % 4 < 2 ? 0.25 : -0.25),
  "upright through middles and gaps": (m, v, k) => upright(m, v, k, 0),
};

function middle(m: Model, v: View, ring: number, right: number): Pixel {
  return { x: v.x(m.rings[ring].middle(m.rings[ring].nearest(v.centre + right / 16))), y: v.y(ring + 1) };
}

function leaning(m: Model, v: View, k: number, way: number): [Pixel, Pixel] {
  const a = middle(m, v, 1, -way * (2 + (k % 3)));
  return [a, { x: a.x + way * 5.5 * v.unit, y: v.y(13) }];
}

function upright(m: Model, v: View, k: number, right: number): [Pixel, Pixel] {
  const x = middle(m, v, 1, (k % 7) - 3).x + right * v.unit;
  return [
    { x, y: v.y(2) },
    { x, y: v.y(14) },
  ];
}

/** More than one unit of a ring in a stroke straight up: it went to and fro over both halves. */
function doubled(units: Set<Place>): number {
  return units.size - new Set([...units].map(ringOf)).size;
}

const STROKES = 24;

/** A straight stroke and the units that it means. */
interface Meant {
  a: Pixel;
  b: Pixel;
  meant: Set<Place>;
}

function strokesOf(m: Model, v: View, shape: string): Meant[] {
  return Array.from({ length: STROKES }, (_, k) => {
    const [a, b] = SHAPES[shape](m, v, k);
    return { a, b, meant: nearestAlong(m, v, straight(a, b, 1)) };
  });
}

/** Wrong units a stroke, over strokes of three speeds, both ways. */
function wrongUnits(m: Model, v: View, strokes: Meant[], upright: boolean, noise: Noise, px: number): number {
  let wrong = 0;
  strokes.forEach(({ a, b, meant }, k) => {
    const any = chance(k * 7919 + px);
    const hand = shaken(k % 2 ? straight(a, b, [3, 8, 16][k % 3]) : straight(b, a, [3, 8, 16][k % 3]), noise, px, any);
    const got = painted(m, v, hand);
    wrong += [...got].filter((p) => !meant.has(p)).length;
    if (upright) wrong += doubled(got);
  });
  return wrong / strokes.length;
}

for (const stage of ["desk", "phone"] as const) {
  test(`a hand that shakes by up to 4 px stays on its line: ${stage}`, (t) => {
    const m = model(tube(16, 15));
    const v = viewOf(m, stage);
    for (const shape of Object.keys(SHAPES)) {
      const strokes = strokesOf(m, v, shape);
      const told: string[] = [];
      for (const px of [0, 2, 4, 6]) {
        for (const noise of [jumping, swinging]) {
          const wrong = wrongUnits(m, v, strokes, shape.startsWith("upright"), noise, px);
          told.push(`${px} px ${wrong.toFixed(2)}`);
          assert.ok(wrong < (px <= 4 ? 0.1 : 0.5), `${shape}, ${px} px: ${wrong} wrong units a stroke`);
        }
      }
      t.diagnostic(`${shape}, units ${v.unit.toFixed(0)} px wide, wrong units a stroke: ${told.join(", ")}`);
    }
  });

  test(`a change of ring that is meant is painted before the hand is in the next ring's middle: ${stage}`, () => {
    const m = model(tube(16, 15));
    const v = viewOf(m, stage);
    // A unit is two ring heights high: from middle to middle is half its height.
    for (const degrees of [90, 60, 30, 15]) {
      for (let k = 0; k < 16; k++) {
        const up = k % 2 ? 1 : -1;
        const from = middle(m, v, 7, -5);
        const turn = { x: from.x + (4 + k / 16) * v.unit, y: from.y };
        const rise = degrees * (Math.PI / 180);
        const far = v.ringPx / Math.sin(rise);
        const end = { x: turn.x + far * Math.cos(rise), y: turn.y - up * v.ringPx };
        const got = painted(m, v, [...straight(from, turn, 2), ...straight(turn, end, 2)]);
        assert.ok(
          [...got].some((p) => ringOf(p) === 7 + up),
          `${degrees}°, corner ${k}/16 of a unit on, ${up > 0 ? "up" : "down"}`,
        );
      }
    }
  });
}

/** A stroke through spots of the plane: units to the right, and up, of the middle of a unit in the middle of a tube. */
interface Drawn {
  m: Model;
  v: View;
  at: (right: number, up: number) => Pixel;
}

/** A plain tube of 18 × 20 with units so many pixels wide. */
function wide(px: number): Drawn {
  const m = model(tube(18, 20));
  const v = new View(m);
  [v.width, v.height] = [20 * px, 20 * px];
  v.open();
  v.unit = px;
  const o = { x: v.x(m.rings[9].middle(m.rings[9].nearest(v.centre))), y: v.y(10) };
  return { m, v, at: (right, up) => ({ x: o.x + right * px, y: o.y - up * px }) };
}

/** Painted units that no spot of the way, looked at every half pixel, is nearest to. */
function strangers(d: Drawn, way: Pixel[], hand: Pixel[]): Place[] {
  const meant = nearestAlong(
    d.m,
    d.v,
    way.slice(1).flatMap((p, i) => straight(way[i], p, 0.5)),
  );
  return [...painted(d.m, d.v, hand)].filter((p) => !meant.has(p));
}

function along(way: Pixel[], step: number): Pixel[] {
  return way.slice(1).flatMap((p, i) => straight(way[i], p, step).slice(i ? 1 : 0));
}

test("a hexagon through the middles of units, two a side, paints its twelve and no other", () => {
  for (const px of [29, 45, 90]) {
    const d = wide(px);
    const ringUp = d.v.ringPx / px;
    const corners = [
      [-2, 0],
      [-1, 2],
      [1, 2],
      [2, 0],
      [1, -2],
      [-1, -2],
      [-2, 0],
    ].map(([right, rings]) => d.at(right, rings * ringUp));
    for (const way of [corners, [...corners].reverse()]) {
      const hand = along(way, 5);
      assert.equal(painted(d.m, d.v, hand).size, 12, `units ${px} px wide`);
      assert.deepEqual(strangers(d, way, hand), [], `units ${px} px wide`);
    }
  }
});

test("circles paint only units that the hand was nearest to", () => {
  const any = chance(17);
  for (const px of [29, 45, 90]) {
    const d = wide(px);
    for (const radius of [1, 2, 3, 4]) {
      for (let k = 0; k < 10; k++) {
        const [right, up] = [any(1000) / 1000, any(1000) / 1000];
        const from = any(628) / 100;
        const way = Array.from({ length: 91 }, (_, i) =>
          d.at(right + radius * Math.cos(from + (i / 45) * Math.PI), up + radius * Math.sin(from + (i / 45) * Math.PI)),
        );
        const hand = along(way, 5);
        assert.deepEqual(strangers(d, way, hand), [], `radius ${radius}, units ${px} px wide`);
        assert.ok(inOnePiece(d.m, painted(d.m, d.v, hand)));
      }
    }
  }
});

test("straight lines at any angle paint only units that the hand was nearest to, and hardly another by 4 px of noise", (t) => {
  const any = chance(23);
  let swung = 0;
  const told: string[] = [];
  for (const degrees of [10, 20, 30, 40, 50, 60, 70, 80]) {
    const rise = degrees * (Math.PI / 180);
    const wayOf = (d: Drawn): Pixel[] => {
      const [right, up] = [any(1000) / 1000 - 0.5, any(1000) / 1000 - 0.5];
      const ends = [d.at(right - 5 * Math.cos(rise), up - 5 * Math.sin(rise)), d.at(right + 5 * Math.cos(rise), up + 5 * Math.sin(rise))];
      return any(2) ? ends : ends.reverse();
    };
    for (const px of [29, 45, 90]) {
      const d = wide(px);
      for (let k = 0; k < 10; k++) {
        const way = wayOf(d);
        assert.deepEqual(strangers(d, way, along(way, 5)), [], `${degrees}°, units ${px} px wide`);
      }
    }
    const d = wide(44);
    for (const noise of [jumping, swinging]) {
      let wrong = 0;
      for (let k = 0; k < STROKES; k++) {
        const way = wayOf(d);
        wrong += strangers(d, way, shaken(along(way, [3, 8, 16][k % 3]), noise, 4, any)).length;
      }
      told.push(`${degrees}° ${(wrong / STROKES).toFixed(2)}`);
      swung += noise === swinging ? wrong / STROKES / 8 : 0;
      // A swing is off the same way all along a border, where the hand runs beside one: that counts on average.
      if (noise === jumping) assert.ok(wrong / STROKES < 0.3, `${degrees}°, 4 px: ${wrong / STROKES} wrong units a stroke`);
    }
  }
  assert.ok(swung < 0.3, `${swung} wrong units a swinging stroke`);
  t.diagnostic(`units 44 px wide, 4 px, wrong units a stroke: ${told.join(", ")}`);
});

test("a free stroke leaves out no unit whose middle the hand went through", () => {
  const any = chance(29);
  for (const px of [29, 45, 90]) {
    const d = wide(px);
    const middles = d.m.rings.flatMap((ring, r) =>
      Array.from({ length: ring.n }, (_, u) => ({ place: placeOf(r, u), x: d.v.x(ring.middle(u)), y: d.v.y(r + 1) })),
    );
    for (let k = 0; k < 40; k++) {
      const way = Array.from({ length: 4 }, () => d.at(any(8000) / 1000 - 4, any(8000) / 1000 - 4));
      const hand = along(way, 6);
      const got = painted(d.m, d.v, hand);
      const near = along(way, 1);
      for (const c of middles) {
        // So near its middle is well inside a unit: its cell reaches 0.48 of a unit to the nearest border.
        if (near.some((p) => Math.hypot(p.x - c.x, p.y - c.y) < 0.2 * px)) assert.ok(got.has(c.place), `units ${px} px wide`);
      }
    }
  }
});

test("where counts change a stroke has no gap, and what bridges one lies within half a unit of the hand", () => {
  const m = model([
    { id: 1, cells: "A".repeat(12), from: -1 / 24 },
    { id: 2, start: 1, cells: "A".repeat(8), takes: "3".repeat(8), edges: edgesOf(arcsOf(12, 1, "33333333")) },
    { id: 3, start: 1, cells: "A".repeat(8), from: arcsOf(12, 1, "3")[0] + 1 / 16 },
  ]);
  const any = chance(31);
  for (let k = 0; k < 300; k++) {
    const spots = Array.from({ length: 3 }, () => ({ turn: 0.2 + any(600) / 1000, high: 1 + any(2001) / 1000 }));
    const got = new Set<Place>();
    const stroke = new Freehand(m, spots[0], 40, (p, on) => (on ? got.add(p) : got.delete(p)));
    for (const s of spots) stroke.to(s);
    assert.ok(inOnePiece(m, got), `stroke ${k}`);
    for (const p of got) {
      const { middle, width } = { middle: m.rings[ringOf(p)].middle(unitOf(p)), width: m.rings[ringOf(p)].width(unitOf(p)) };
      const off = spots.slice(1).flatMap((b, i) =>
        Array.from({ length: 101 }, (_, j) => {
          const [turn, high] = [spots[i].turn + ((b.turn - spots[i].turn) * j) / 100, spots[i].high + ((b.high - spots[i].high) * j) / 100];
          return Math.hypot(
            Math.max(0, Math.abs(turn - middle) - width / 2) * 12,
            Math.max(0, Math.abs(high - ringOf(p) - 1) - 0.5) * RISE,
          );
        }),
      );
      assert.ok(Math.min(...off) <= 0.5, `stroke ${k}, unit ${unitOf(p)} of ring ${ringOf(p)}`);
    }
  }
});

/** Whether the units hang together by true neighbours. */
function inOnePiece(m: Model, units: Set<Place>): boolean {
  const seen = new Set<Place>();
  const todo = [[...units][0]];
  while (todo.length) {
    const p = todo.pop()!;
    if (seen.has(p)) continue;
    seen.add(p);
    todo.push(...m.neighbours(p).filter((q) => units.has(q)));
  }
  return seen.size === units.size;
}

test("curves and quick strokes of few events have no gap and follow the hand", () => {
  const m = model(tube(18, 20));
  const v = viewOf(m, "desk");
  const any = chance(3);
  const at = (x: number, y: number) => ({ x: 200 + x, y: 60 + y });
  const circle = (r: number, n: number) =>
    Array.from({ length: n + 1 }, (_, i) => at(250 + r * Math.sin((i / n) * 2 * Math.PI), 250 + r * Math.cos((i / n) * 2 * Math.PI)));
  const paths = [circle(90, 60), circle(150, 12), circle(200, 200), [at(0, 0), at(480, 460)], [at(0, 460), at(240, 0), at(480, 460)]];
  for (let i = 0; i < 300; i++) paths.push(Array.from({ length: 2 + any(4) }, () => at(any(500), any(480))));
  for (const path of paths) {
    const got = painted(m, v, path);
    assert.ok(inOnePiece(m, got));
    const walked = path.slice(1).flatMap((p, i) => straight(path[i], p, 2));
    const ends = [...nearestAlong(m, v, [path[0]]), ...nearestAlong(m, v, [path[path.length - 1]])];
    for (const p of ends)
      assert.ok(
        [...got].some((q) => linked(m, p, q)),
        "it reaches both ends",
      );
    // No unit is further from the hand than a unit is wide.
    for (const p of got) {
      const x = v.x(m.rings[ringOf(p)].middle(unitOf(p)));
      const y = v.y(ringOf(p) + 1);
      assert.ok(
        walked.some((w) => Math.hypot(w.x - x, w.y - y) < v.unit),
        `unit ${unitOf(p)} of ring ${ringOf(p)} is far from the hand`,
      );
    }
  }
});

test("a touch paints the unit whose square is pressed, also with a small tremble", () => {
  const m = model(tube(16, 15));
  const v = viewOf(m, "phone");
  const any = chance(11);
  let touches = 0;
  for (let i = 0; i < 500; i++) {
    const p = { x: 60 + any(300), y: 200 + any(230) };
    const at = unitUnder(m, v.spot(p.x, p.y));
    if (at < 0) continue;
    const got = painted(m, v, [p, { x: p.x + 1, y: p.y - 1 }, { x: p.x - 1, y: p.y + 1 }, p]);
    assert.deepEqual([...got], [at]);
    touches++;
  }
  assert.ok(touches > 400);
});

test("a stroke goes across the seam as if it were not there", () => {
  const m = model(tube(18, 4));
  const got: Place[] = [];
  const stroke = new Freehand(m, { turn: 0.9, high: 1 }, 30, (p) => got.push(p));
  stroke.to({ turn: 1.1, high: 1 });
  assert.deepEqual(got.map(ringOf), [0, 0, 0, 0, 0]);
  assert.deepEqual(
    got.map(unitOf).sort((a, b) => a - b),
    [0, 1, 2, 16, 17],
  );
});

test("a stroke along a ring stays on it over an opening and over units that take three points", () => {
  const open = model([
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
  const closing = model([
    { id: 1, cells: "A".repeat(12), from: -1 / 24 },
    { id: 2, start: 1, cells: "A".repeat(8), takes: "3".repeat(8), edges: edgesOf(arcsOf(12, 1, "33333333")) },
  ]);
  for (const m of [open, closing]) {
    const got = new Set<Place>();
    const stroke = new Freehand(m, { turn: m.rings[1].middle(0), high: 2 }, 30, (p, on) => (on ? got.add(p) : got.delete(p)));
    for (let i = 1; i <= 100; i++) stroke.to({ turn: m.rings[1].middle(0) + i / 100, high: 2 });
    assert.deepEqual(
      [...got].sort((a, b) => a - b),
      Array.from({ length: m.rings[1].n }, (_, u) => placeOf(1, u)),
    );
  }
});

test("a stroke that leaves the figure and comes back paints on both sides and nothing between", () => {
  const m = model(tube(16, 6));
  const got = new Set<Place>();
  const stroke = new Freehand(m, { turn: 0.1, high: 6 }, 40, (p, on) => (on ? got.add(p) : got.delete(p)));
  for (const [turn, high] of [
    [0.1, 10],
    [0.5, 10],
    [0.5, 6],
  ])
    stroke.to({ turn, high });
  assert.deepEqual(new Set([...got].map(ringOf)), new Set([5]));
  assert.ok(got.size >= 2 && [...got].every((p) => [1, 2, 8, 7].includes(unitOf(p))), [...got].map(unitOf).join());
});
