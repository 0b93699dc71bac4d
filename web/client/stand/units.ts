// All units of the figure: one instanced mesh for each part of the unit, which share their places and
// papers, so that twelve thousand units are a handful of draw calls.
import {
  BufferGeometry,
  Color,
  DynamicDrawUsage,
  Float32BufferAttribute,
  Group,
  InstancedBufferAttribute,
  InstancedMesh,
  Matrix4,
  type Ray,
  Vector3,
} from "three";
import type { Model, UnitAt } from "../pattern/model/model";
import { COLOUR, SHORT } from "../pattern/model/ring";
import { AT_AZIMUTH, AT_COLOUR, AT_FRAME, AT_TILT, AT_X, AT_Y, AT_YAW, AT_Z, type SceneRing } from "../wire/types";
import { paper } from "./paper";
import { NO_SIGN, SHORT_SIGN, Signs } from "./signs";
import type { Standing } from "./standing";

/** What says how units are painted: the figure's model, or as little of it as a page knows. */
export type Painted = Pick<Model, "colours" | "extras" | "row" | "rows" | "indexOfColour">;

/** What an instance is: a unit of a ring, or one of a tucked extra's. */
export interface Found {
  unit: UnitAt | null;
  extra: number | null;
  instance: number;
}

/** What repainting did: the instances that look otherwise now; turned another side of a unit outwards. */
export interface Repainted {
  changed: Set<number>;
  turned: boolean;
}

/** Instances that are drawn over the picture that is there in one go; for more, all is drawn anew. */
export const MOST_TOUCHED = 512;

/** Parts of the unit are shaded a little differently, so that folds read in any light. */
const TONES: Record<string, number> = { left: 1, right: 0.86, pocket: 0.78 };

/** No paper yet: differs from every cell, so that everything is painted at first. */
const BARE = 255;

const AS_SENT = 0;
const LONG_OUT = 1;
const SHORT_OUT = 2;

export class Units {
  readonly group = new Group();
  /** The few units that were painted since the last picture, to be drawn over it. */
  readonly touched = new Group();
  readonly signs: Signs;
  private readonly meshes: InstancedMesh[] = [];
  private readonly some: InstancedMesh[] = [];
  private readonly matrices: InstancedBufferAttribute;
  private readonly papers: InstancedBufferAttribute;
  /** Which sign each unit carries, see Signs. */
  private readonly marks: InstancedBufferAttribute;
  /** The cell that each unit shows. */
  private readonly shown: Uint8Array;
  /** How each unit stands now: as it was sent, with its long or with its short side out. */
  private readonly pose: Uint8Array;
  private readonly centre = new Vector3();
  private readonly reach: number;
  private done: Repainted = { changed: new Set(), turned: false };
  private readonly few: { matrices: InstancedBufferAttribute; papers: InstancedBufferAttribute; walls: InstancedBufferAttribute };
  private readonly frames: Matrix4[];
  /** Which part each unit is of, and how far parts are pulled apart now: 0 not at all, 1 wide. */
  private readonly part: Uint8Array;
  private apart = 0;

  constructor(readonly standing: Standing) {
    const { scene } = standing;
    this.matrices = new InstancedBufferAttribute(new Float32Array(16 * scene.count), 16);
    this.papers = new InstancedBufferAttribute(new Float32Array(3 * scene.count), 3);
    this.marks = new InstancedBufferAttribute(new Float32Array(scene.count).fill(NO_SIGN), 1);
    this.signs = new Signs(scene.unit.leg_mm, this.matrices, this.marks);
    this.matrices.setUsage(DynamicDrawUsage);
    this.papers.setUsage(DynamicDrawUsage);
    this.shown = new Uint8Array(scene.count).fill(BARE);
    this.pose = new Uint8Array(scene.count);
    this.frames = scene.frames.map((f) => new Matrix4().fromArray(f));
    this.part = new Uint8Array(scene.count);
    for (const { part, first, count } of [...scene.rings, ...scene.extras]) this.part.fill(part, first, first + count);
    this.few = {
      matrices: new InstancedBufferAttribute(new Float32Array(16 * MOST_TOUCHED), 16),
      papers: new InstancedBufferAttribute(new Float32Array(3 * MOST_TOUCHED), 3),
      walls: new InstancedBufferAttribute(new Float32Array(3 * MOST_TOUCHED), 3),
    };
    for (const attribute of Object.values(this.few)) attribute.setUsage(DynamicDrawUsage);
    const walls = this.walls();
    for (const part of scene.unit.parts) this.addPart(walls, part.name, part.first, part.count);
    this.touched.visible = false;
    for (let i = 0; i < scene.count; i++) this.stand(i);
    const whole = this.meshes[0].geometry.boundingSphere!;
    this.centre.copy(whole.center);
    this.reach = whole.radius;
  }

  /** Which way is out of the wall, for units that stand in one, in the shade of their neighbours; nothing for those of extras. */
  private walls(): InstancedBufferAttribute {
    const { scene, places } = this.standing;
    const walls = new Float32Array(3 * scene.count);
    const out = new Vector3();
    for (let i = 0; i < scene.count; i++) {
      const at = i * scene.stride;
      const azimuth = places[at + AT_AZIMUTH];
      out.set(Math.sin(azimuth), 0, Math.cos(azimuth));
      const frame = places[at + AT_FRAME];
      if (frame) out.transformDirection(this.frames[frame]);
      out.toArray(walls, 3 * i);
    }
    for (const e of scene.extras) walls.fill(0, 3 * e.first, 3 * (e.first + e.count));
    return new InstancedBufferAttribute(walls, 3);
  }

  private addPart(walls: InstancedBufferAttribute, name: string, first: number, count: number): void {
    const { unit, count: n } = this.standing.scene;
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new Float32BufferAttribute(unit.positions, 3));
    geometry.setAttribute("normal", new Float32BufferAttribute(unit.normals, 3));
    geometry.setIndex(unit.indices.slice(first, first + count));
    geometry.setAttribute("walled", walls);
    geometry.computeBoundingSphere();
    const mesh = new InstancedMesh(geometry, paper(unit.leg_mm, TONES[name] ?? 1), n);
    mesh.instanceMatrix = this.matrices;
    mesh.instanceColor = this.papers;
    mesh.frustumCulled = false;
    mesh.name = name;
    this.meshes.push(mesh);
    this.group.add(mesh);
    this.touched.add(this.someOf(mesh));
  }

  /** The same part of some of the units: same form, same material, so that they come out on the same pixels. */
  private someOf(all: InstancedMesh): InstancedMesh {
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", all.geometry.getAttribute("position"));
    geometry.setAttribute("normal", all.geometry.getAttribute("normal"));
    geometry.setIndex(all.geometry.getIndex());
    geometry.setAttribute("walled", this.few.walls);
    const mesh = new InstancedMesh(geometry, all.material, 0);
    mesh.instanceMatrix = this.few.matrices;
    mesh.instanceColor = this.few.papers;
    mesh.frustumCulled = false;
    this.some.push(mesh);
    return mesh;
  }

  /** Lays the given units, at most MOST_TOUCHED, into the group of those to be drawn over the picture. */
  touch(instances: Iterable<number>): void {
    const { matrices, papers, walls } = this.few;
    const walled = this.meshes[0].geometry.getAttribute("walled").array;
    const m = this.matrices.array as Float32Array;
    const p = this.papers.array as Float32Array;
    let n = 0;
    for (const i of instances) {
      (matrices.array as Float32Array).set(m.subarray(16 * i, 16 * i + 16), 16 * n);
      (papers.array as Float32Array).set(p.subarray(3 * i, 3 * i + 3), 3 * n);
      (walls.array as Float32Array).set((walled as Float32Array).subarray(3 * i, 3 * i + 3), 3 * n);
      n++;
    }
    for (const attribute of Object.values(this.few)) attribute.needsUpdate = true;
    for (const mesh of this.some) mesh.count = n;
  }

  /** Puts a unit in its place as it was sent. */
  private stand(i: number): void {
    const at = i * this.standing.scene.stride;
    this.turn(i, this.standing.places[at + AT_YAW], this.standing.places[at + AT_TILT]);
  }

  /** Puts a unit in its place, turned by tilt about x, then by yaw about y, then as its frame stands. */
  private turn(i: number, yaw: number, tilt: number): void {
    const { places: p, scene } = this.standing;
    const at = i * scene.stride;
    const m = this.matrices.array as Float32Array;
    const sy = Math.sin(yaw);
    const cy = Math.cos(yaw);
    const st = Math.sin(tilt);
    const ct = Math.cos(tilt);
    const o = i * 16;
    m[o] = cy;
    m[o + 1] = 0;
    m[o + 2] = -sy;
    m[o + 4] = st * sy;
    m[o + 5] = ct;
    m[o + 6] = st * cy;
    m[o + 8] = ct * sy;
    m[o + 9] = -st;
    m[o + 10] = ct * cy;
    m[o + 12] = p[at + AT_X];
    m[o + 13] = p[at + AT_Y];
    m[o + 14] = p[at + AT_Z];
    m[o + 15] = 1;
    const frame = p[at + AT_FRAME];
    if (frame) OWN.fromArray(m, o).premultiply(this.frames[frame]).toArray(m, o);
    const away = scene.parts[this.part[i]]?.apart;
    if (away && this.apart) for (let k = 0; k < 3; k++) m[o + 12 + k] += away[k] * this.apart;
  }

  /** Pulls the parts apart: 0 puts them together, 1 as far as they go. */
  pull(apart: number): void {
    const { rings } = this.standing.scene;
    this.apart = apart;
    for (let i = 0; i < this.standing.scene.count; i++) this.stand(i);
    for (const ring of rings)
      for (let i = ring.first; i < ring.first + ring.count; i++)
        if (this.pose[i] !== AS_SENT && !this.sentLike(i, this.pose[i])) this.face(i, this.pose[i], ring);
    this.matrices.needsUpdate = true;
  }

  // ---------- papers ----------

  /** Whether the scene still stands for the model's rings: same rings, same numbers of units. */
  fits(model: Painted): boolean {
    const { rings } = this.standing.scene;
    return rings.length === model.rows.length && rings.every((r, i) => r.id === model.rows[i].id && r.count === model.rows[i].n);
  }

  /** Paints what changed since the last time. all: the palette changed, every unit is painted anew. */
  repaint(model: Painted, all: boolean): Repainted {
    this.done = { changed: new Set(), turned: false };
    const palette = model.colours.map((c) => new Color(c.hex));
    if (all) this.shown.fill(BARE);
    this.signs.take(model.colours);
    for (const r of this.standing.scene.rings) {
      const now = model.row(r.id);
      if (now?.n !== r.count) this.repaintAsSent(r.first, r.count, palette);
      else for (let u = 0; u < r.count; u++) this.repaintUnit(r.first + u, now.shown[u], r, palette);
    }
    for (const e of this.standing.scene.extras) {
      const colour = model.indexOfColour(model.extras.find((x) => x.key === e.key)?.colour ?? "");
      if (colour < 0) this.repaintAsSent(e.first, e.count, palette);
      else
        for (let u = 0; u < e.count; u++) {
          this.tint(e.first + u, palette[colour]);
          this.sign(e.first + u, colour);
        }
    }
    return this.done;
  }

  /** Paints units that the model no longer knows, until the scene comes anew. */
  private repaintAsSent(first: number, count: number, palette: Color[]): void {
    for (let i = first; i < first + count; i++) this.tint(i, palette[this.standing.places[i * this.standing.scene.stride + AT_COLOUR]]);
  }

  private repaintUnit(i: number, cell: number, ring: SceneRing, palette: Color[]): void {
    if (this.shown[i] === cell) return;
    this.shown[i] = cell;
    this.tint(i, palette[cell & COLOUR]);
    this.sign(i, (cell & COLOUR) + (cell & SHORT ? SHORT_SIGN : 0));
    const pose = cell & SHORT ? SHORT_OUT : LONG_OUT;
    if (this.pose[i] === pose) return;
    if (this.pose[i] !== AS_SENT || !this.sentLike(i, pose)) this.face(i, pose, ring);
    this.pose[i] = pose;
  }

  /** Direction of a unit from its frame's axis, 0 on the front line. */
  private azimuth(i: number): number {
    return this.standing.places[i * this.standing.scene.stride + AT_AZIMUTH];
  }

  private sentLike(i: number, pose: number): boolean {
    const turned = Math.cos(this.standing.places[i * this.standing.scene.stride + AT_YAW] - this.azimuth(i)) < 0;
    return turned === (pose === SHORT_OUT);
  }

  /** Turns a side of a unit outwards. */
  private face(i: number, pose: number, ring: SceneRing): void {
    const short = pose === SHORT_OUT;
    this.turn(i, this.azimuth(i) + (short ? Math.PI : 0), short ? ring.short_tilt : ring.long_tilt);
    this.matrices.needsUpdate = true;
    this.done.changed.add(i);
    this.done.turned = true;
  }

  private sign(i: number, mark: number): void {
    if (this.marks.array[i] === mark) return;
    this.marks.array[i] = mark;
    this.marks.needsUpdate = true;
  }

  private tint(i: number, c: Color | undefined): void {
    if (!c) return;
    const a = this.papers.array as Float32Array;
    if (a[3 * i] === Math.fround(c.r) && a[3 * i + 1] === Math.fround(c.g) && a[3 * i + 2] === Math.fround(c.b)) return;
    a[3 * i] = c.r;
    a[3 * i + 1] = c.g;
    a[3 * i + 2] = c.b;
    this.papers.needsUpdate = true;
    this.done.changed.add(i);
  }

  // ---------- finding ----------

  /** The unit that a ray meets first, and how far along; null when it meets none. */
  meet(ray: Ray): { instance: number; far: number } | null {
    let best: { instance: number; far: number } | null = null;
    for (const { instance, near } of this.nearby(ray)) {
      if (best && near > best.far) break;
      const far = this.meetUnit(ray, instance);
      if (far !== null && (!best || far < best.far)) best = { instance, far };
    }
    return best;
  }

  /** Units whose sphere the ray enters, nearest first. */
  private nearby(ray: Ray): { instance: number; near: number }[] {
    const { origin: o, direction: d } = ray;
    const m = this.matrices.array as Float32Array;
    const { x, y, z } = this.centre;
    const r2 = this.reach * this.reach;
    const out: { instance: number; near: number }[] = [];
    for (let i = 0, k = 0; i < this.standing.scene.count; i++, k += 16) {
      const cx = m[k] * x + m[k + 4] * y + m[k + 8] * z + m[k + 12] - o.x;
      const cy = m[k + 1] * x + m[k + 5] * y + m[k + 9] * z + m[k + 13] - o.y;
      const cz = m[k + 2] * x + m[k + 6] * y + m[k + 10] * z + m[k + 14] - o.z;
      const along = cx * d.x + cy * d.y + cz * d.z;
      const off = cx * cx + cy * cy + cz * cz - along * along;
      if (off < r2 && along > -this.reach) out.push({ instance: i, near: along - Math.sqrt(r2 - off) });
    }
    return out.sort((a, b) => a.near - b.near);
  }

  private meetUnit(ray: Ray, instance: number): number | null {
    const { positions: p, indices } = this.standing.scene.unit;
    const own = ray.clone().applyMatrix4(this.matrix(instance).invert());
    let best: number | null = null;
    const at = (k: number, v: Vector3) => v.set(p[3 * k], p[3 * k + 1], p[3 * k + 2]);
    for (let t = 0; t < indices.length; t += 3) {
      const hit = own.intersectTriangle(at(indices[t], A), at(indices[t + 1], B), at(indices[t + 2], C), false, HIT);
      if (!hit) continue;
      const far = hit.distanceTo(own.origin);
      if (best === null || far < best) best = far;
    }
    return best;
  }

  matrix(instance: number): Matrix4 {
    return new Matrix4().fromArray(this.matrices.array, instance * 16);
  }

  /** What an instance is. */
  whatIs(instance: number, model: Painted): Found {
    const { rings, extras } = this.standing.scene;
    for (const r of rings) {
      if (instance < r.first || instance >= r.first + r.count) continue;
      return { instance, unit: model.row(r.id) ? { row: r.id, unit: instance - r.first } : null, extra: null };
    }
    const e = extras.find((x) => instance >= x.first && instance < x.first + x.count);
    return { instance, unit: null, extra: e ? e.key : null };
  }

  /** The instance that stands for a unit, −1 when the scene has none. */
  instanceOf(ringID: number, unit: number): number {
    const r = this.standing.scene.rings.find((x) => x.id === ringID);
    return r && unit < r.count ? r.first + unit : -1;
  }

  dispose(): void {
    this.signs.dispose();
    for (const m of [...this.meshes, ...this.some]) {
      m.geometry.dispose();
      (m.material as { dispose(): void }).dispose();
      m.dispose();
    }
  }
}

const OWN = new Matrix4();
const A = new Vector3();
const B = new Vector3();
const C = new Vector3();
const HIT = new Vector3();
