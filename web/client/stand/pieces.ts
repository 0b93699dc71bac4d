// The glued pieces: flat card, all in one mesh with a paper of its own for every piece.
import {
  BufferGeometry,
  Color,
  DoubleSide,
  Euler,
  Float32BufferAttribute,
  Matrix4,
  Mesh,
  MeshLambertMaterial,
  type Ray,
  Shape,
  ShapeGeometry,
  Vector2,
  Vector3,
} from "three";
import { CARD, within } from "../pattern/model/looks";
import type { Scene, ScenePiece } from "../wire/types";
import type { Painted } from "./units";

export class Pieces {
  readonly mesh: Mesh<BufferGeometry, MeshLambertMaterial>;
  private readonly runs: { piece: ScenePiece; first: number; count: number; place: Matrix4 }[] = [];

  /** apart: how far the parts are pulled apart, 0 not at all. */
  constructor(
    scene: Scene,
    private readonly apart = 0,
  ) {
    const positions: number[] = [];
    const normals: number[] = [];
    const indices: number[] = [];
    for (const piece of scene.pieces) this.add(scene, piece, positions, normals, indices);
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new Float32BufferAttribute(positions, 3));
    geometry.setAttribute("normal", new Float32BufferAttribute(normals, 3));
    geometry.setAttribute("color", new Float32BufferAttribute(new Float32Array(positions.length), 3));
    geometry.setIndex(indices);
    this.mesh = new Mesh(geometry, new MeshLambertMaterial({ vertexColors: true, side: DoubleSide }));
    this.mesh.name = "pieces";
    this.mesh.visible = scene.pieces.length > 0;
  }

  private add(scene: Scene, piece: ScenePiece, positions: number[], normals: number[], indices: number[]): void {
    const place = new Matrix4().makeRotationFromEuler(new Euler(piece.tilt, piece.yaw, 0, "YXZ")).setPosition(piece.x, piece.y, piece.z);
    place.premultiply(new Matrix4().fromArray(scene.frames[piece.frame]));
    const away = scene.parts[piece.part]?.apart;
    if (away && this.apart)
      place.premultiply(new Matrix4().makeTranslation(away[0] * this.apart, away[1] * this.apart, away[2] * this.apart));
    const flat = new ShapeGeometry(new Shape(piece.outline.map(([x, y]) => new Vector2(x, y))));
    const first = positions.length / 3;
    const count = flat.attributes.position.count;
    flat.applyMatrix4(place);
    positions.push(...(flat.attributes.position.array as Float32Array));
    normals.push(...(flat.attributes.normal.array as Float32Array));
    for (const i of flat.index!.array) indices.push(first + i);
    this.runs.push({ piece, first, count, place });
    flat.dispose();
  }

  /** Takes the papers that the model shows; false when they are the same as before. */
  repaint(model: Painted): boolean {
    const colours = this.mesh.geometry.getAttribute("color") as Float32BufferAttribute;
    let changed = false;
    for (const { piece, first, count } of this.runs) {
      const of = model.extras.find((x) => x.key === piece.key);
      const paper = model.colours[of?.colour ? model.indexOfColour(of.colour) : piece.colour];
      const c = new Color(paper?.hex ?? CARD);
      if (colours.getX(first) === Math.fround(c.r) && colours.getY(first) === Math.fround(c.g) && colours.getZ(first) === Math.fround(c.b))
        continue;
      for (let i = first; i < first + count; i++) colours.setXYZ(i, c.r, c.g, c.b);
      colours.needsUpdate = changed = true;
    }
    return changed;
  }

  /** The piece that a ray meets first, and how far along; null when it meets none. */
  meet(ray: Ray): { key: number; far: number } | null {
    let best: { key: number; far: number } | null = null;
    for (const { piece, place } of this.runs) {
      const own = ray.clone().applyMatrix4(place.clone().invert());
      const far = -own.origin.z / own.direction.z;
      if (!(far > 0) || (best && far > best.far)) continue;
      const at = own.at(far, new Vector3());
      if (within(piece.outline, at.x, at.y)) best = { key: piece.key, far };
    }
    return best;
  }

  dispose(): void {
    this.mesh.geometry.dispose();
    this.mesh.material.dispose();
  }
}
