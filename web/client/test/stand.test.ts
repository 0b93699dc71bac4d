import assert from "node:assert/strict";
import { test } from "node:test";
import { Euler, type InstancedMesh, Matrix4, Raycaster, Vector3 } from "three";
import { within } from "../pattern/model/looks";
import { dab, placeOf } from "../pattern/model/model";
import { Eye, VIEWS } from "../stand/eye";
import { fileName } from "../stand/mount";
import { ruleFor } from "../stand/rule";
import { readStanding, type Standing } from "../stand/standing";
import { Units } from "../stand/units";
import { type Scene, STRIDE } from "../wire/types";
import { chance, model, tube } from "./figures";

/** A unit of two leaves that meet in a spine, simpler than the real one. */
const UNIT: Scene["unit"] = {
  positions: [0, -10, 0, 0, -10, 10, -3, 0, 0, 3, 0, 0],
  normals: [1, 0, 0, 1, 0, 0, 1, 0, 0, 1, 0, 0],
  indices: [0, 1, 2, 0, 3, 1],
  parts: [
    { name: "left", first: 0, count: 3 },
    { name: "right", first: 3, count: 3 },
  ],
  leg_mm: 10,
};

/** Rings of n units around the axis, as the server would place them, their long sides out. */
function standing(n: number, rings: number): Standing {
  const random = chance(5);
  const places = new Float32Array(STRIDE * n * rings);
  for (let i = 0; i < n * rings; i++) {
    const azimuth = (2 * Math.PI * (i % n)) / n + random(100) / 1000;
    places.set([20 * Math.sin(azimuth), 10 + 5 * Math.floor(i / n), 20 * Math.cos(azimuth), azimuth, 0.5, azimuth, 0, 0], STRIDE * i);
  }
  const ring = (k: number) => ({
    id: k + 1,
    part: 0,
    first: k * n,
    count: n,
    radius_mm: 20,
    y_mm: 10 + 5 * k,
    long_tilt: 0.5,
    short_tilt: 0.2,
  });
  const scene: Scene = {
    rev: 1,
    stride: STRIDE,
    count: n * rings,
    unit: UNIT,
    frames: [new Matrix4().elements],
    parts: [],
    rings: Array.from({ length: rings }, (_, k) => ring(k)),
    extras: [],
    pieces: [],
    height_mm: 10 + 5 * rings,
    radius_mm: 30,
    calibrated: false,
    low: 0.8,
    high: 1.2,
    about: [],
  };
  return { scene, places };
}

const meshes = (units: Units) => units.group.children as InstancedMesh[];

function placed(units: Units, i: number): number[] {
  const m = new Matrix4();
  meshes(units)[0].getMatrixAt(i, m);
  return m.elements;
}

function near(a: number[], b: number[], by = 1e-5): void {
  assert.equal(a.length, b.length);
  for (const [i, x] of a.entries()) assert.ok(Math.abs(x - b[i]) < by, `${i}: ${x} is not ${b[i]}`);
}

test("the server's answer is taken apart: length of the JSON, the JSON, numbers", () => {
  const text = JSON.stringify({ ...standing(1, 1).scene, about: ["a tower"] });
  const json = new TextEncoder().encode(text.padEnd(text.length + (-text.length & 3)));
  const bytes = new Uint8Array(4 + json.length + 4 * 8);
  bytes.set([json.length & 255, json.length >> 8, 0, 0]);
  bytes.set(json, 4);
  bytes.set([0x00, 0x00, 0x80, 0x3f, 0x00, 0x00, 0x20, 0xc1], 4 + json.length); // IEEE 754 binary32: 1 and −10
  const { scene, places } = readStanding(bytes.buffer);
  assert.deepEqual(scene.about, ["a tower"]);
  assert.deepEqual([...places], [1, -10, 0, 0, 0, 0, 0, 0]);
  assert.throws(() => readStanding(bytes.buffer.slice(0, bytes.length - 4)), /7 numbers of 8 a unit, not 8 for each of 1 units/);
  bytes.set(new TextEncoder().encode(text.replace('"stride":8', '"stride":7')), 4);
  assert.throws(() => readStanding(bytes.buffer), /8 numbers of 7 a unit/);
});

test("a unit is turned as three's own Euler(tilt, yaw, 0, YXZ) turns it", () => {
  const s = standing(9, 3);
  const units = new Units(s);
  for (let i = 0; i < s.scene.count; i++) {
    const [x, y, z, yaw, tilt] = s.places.subarray(8 * i, 8 * i + 5);
    near(placed(units, i), new Matrix4().makeRotationFromEuler(new Euler(tilt, yaw, 0, "YXZ")).setPosition(x, y, z).elements);
  }
});

test("a painted unit takes its paper, and only that unit", () => {
  const units = new Units(standing(12, 4));
  const m = model(tube(12, 4));
  assert.equal(units.repaint(m, true).changed.size, 48, "every unit is painted");
  assert.ok(units.fits(m));
  assert.deepEqual(units.repaint(m, false), { changed: new Set(), turned: false }, "nothing to paint");
  const before = Array.from(meshes(units)[0].instanceColor!.array);
  m.setDraft(new Map([[placeOf(2, 5), dab(1)]]));
  assert.deepEqual(units.repaint(m, false), { changed: new Set([2 * 12 + 5]), turned: false });
  const changed = Array.from(meshes(units)[0].instanceColor!.array).flatMap((v, i) => (v === before[i] ? [] : [Math.floor(i / 3)]));
  assert.deepEqual([...new Set(changed)], [2 * 12 + 5]);
});

test("the short side turned out faces the axis with its spine, and back again", () => {
  const s = standing(12, 4);
  const units = new Units(s);
  const m = model(tube(12, 4));
  units.repaint(m, true);
  const i = 12 + 3;
  const was = [...placed(units, i)];
  m.setDraft(new Map([[placeOf(1, 3), dab(255, 1)]]));
  assert.equal(units.repaint(m, false).turned, true);
  const [x, y, z, , , azimuth] = s.places.subarray(8 * i, 8 * i + 6);
  near(placed(units, i), new Matrix4().makeRotationFromEuler(new Euler(0.2, azimuth + Math.PI, 0, "YXZ")).setPosition(x, y, z).elements);
  m.clearDraft();
  units.repaint(m, false);
  near(placed(units, i), was);
});

test("a ray meets the unit that three's own raycaster meets", () => {
  const units = new Units(standing(14, 6));
  const random = chance(3);
  let met = 0;
  for (let k = 0; k < 400; k++) {
    const eye = new Vector3(random(2000) / 10 - 100, random(600) / 10, 120);
    const to = new Vector3(random(400) / 10 - 20, random(450) / 10, random(400) / 10 - 20).sub(eye).normalize();
    const caster = new Raycaster(eye, to);
    const theirs = caster.intersectObjects(units.group.children)[0];
    const ours = units.meet(caster.ray);
    assert.equal(ours === null, theirs === undefined);
    if (!ours || !theirs) continue;
    met++;
    assert.ok(Math.abs(ours.far - theirs.distance) < 1e-2);
  }
  assert.ok(met > 50, `only ${met} rays met anything`);
});

test("every view shows all of the figure, on a phone and on a desk", () => {
  for (const [wide, tall] of [
    [390, 480],
    [900, 700],
    [1600, 500],
    [300, 900],
  ]) {
    for (const [height, radius] of [
      [200, 60],
      [60, 200],
      [100, 50],
    ]) {
      const eye = new Eye();
      eye.setFigure(height, radius);
      eye.setSize(wide, tall);
      for (const [name, view] of Object.entries(VIEWS)) {
        eye.stand(view);
        for (let a = 0; a < 2 * Math.PI; a += 0.2) {
          for (const y of [0, height]) {
            const p = new Vector3(radius * Math.sin(a), y, radius * Math.cos(a)).project(eye.camera);
            assert.ok(Math.abs(p.x) <= 1 && Math.abs(p.y) <= 1 && p.z >= -1 && p.z <= 1, `${name}: ${p.toArray()} of ${wide}×${tall}`);
          }
        }
      }
    }
  }
});

test("pixels of a millimetre are what the camera shows at the axis", () => {
  const eye = new Eye();
  eye.setFigure(120, 40);
  eye.setSize(800, 600);
  eye.stand(VIEWS.front);
  const up = new Vector3(0, 1, 0).applyQuaternion(eye.camera.quaternion);
  const high = eye.target.clone().add(up).project(eye.camera).y - eye.target.clone().project(eye.camera).y;
  assert.ok(Math.abs((high * 600) / 2 - eye.pixelsPerMM) < 0.01);
});

test("the scale bar has a round length that fits", () => {
  assert.equal(ruleFor(2, 130), 5); // 5 cm are 100 px, 10 cm would be 200
  assert.equal(ruleFor(0.1, 130), 100);
  assert.equal(ruleFor(20, 130), 0.5);
});

test("a place lies inside an outline or not", () => {
  const beak: [number, number][] = [
    [0, -5],
    [4, 5],
    [-4, 5],
  ];
  assert.ok(within(beak, 0, 0));
  assert.ok(within(beak, 3, 4.5));
  assert.ok(!within(beak, 3, -4));
  assert.ok(!within(beak, 0, 6));
});

test("a file's name keeps letters of any script and no others", () => {
  assert.equal(fileName("Puffin / on the quay?"), "Puffin-on-the-quay");
  assert.equal(fileName("Čáp Ñandú 2"), "Čáp-Ñandú-2");
  assert.equal(fileName("…"), "figure");
});

test("every unit's sign follows its paper and the side that is out, in one more draw call", () => {
  const units = new Units(standing(12, 3));
  const m = model(tube(12, 3, (r) => r));
  units.repaint(m, true);
  const mark = (i: number) => (units.signs.mesh.geometry.getAttribute("mark") as unknown as { array: Float32Array }).array[i];
  assert.deepEqual([0, 12, 24].map(mark), [0, 1, 2]);
  m.addDraft(placeOf(1, 4), dab(3));
  m.addDraft(placeOf(2, 5), dab(0, 1));
  units.repaint(m, false);
  assert.equal(mark(16), 3);
  assert.equal(mark(29), 64, "colour 0 with its short side out");
  assert.equal(mark(15), 1);
  assert.equal(units.signs.mesh.instanceMatrix, meshes(units)[0].instanceMatrix, "the signs stand where the units stand");
  assert.equal(units.signs.mesh.count, 36);
});

test("signs are shown when they are wanted and large enough to be read", () => {
  const { signs } = new Units(standing(12, 3)); // legs of 10 mm: a sign is 4.8 mm
  signs.show(5);
  assert.equal(signs.mesh.visible, false);
  signs.on = true;
  signs.show(1);
  assert.equal(signs.mesh.visible, false, "5 pixels are too few");
});
