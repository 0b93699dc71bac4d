// Where the viewer stands and looks: turned about the figure's axis, raised, near or far. All lengths
// in mm, angles in radians.
import { PerspectiveCamera, Vector3 } from "three";

/** Angle of view from the lower to the upper edge, degrees: narrow, as a figure on a table is seen. */
const FIELD = 26;
const LOWEST = -0.35;
const HIGHEST = Math.PI / 2;
const NEAREST = 0.12;
const FARTHEST = 4;
/** Room left around the figure when all of it is shown. */
const ROOM = 1.12;

export interface Stance {
  turn: number;
  rise: number;
}

/** The views that the buttons offer, from where the front line is looked at. */
export const VIEWS: Record<"front" | "back" | "left" | "right" | "top", Stance> = {
  front: { turn: 0, rise: 0.12 },
  back: { turn: Math.PI, rise: 0.12 },
  left: { turn: -Math.PI / 2, rise: 0.12 },
  right: { turn: Math.PI / 2, rise: 0.12 },
  top: { turn: 0, rise: HIGHEST },
};

export class Eye {
  readonly camera = new PerspectiveCamera(FIELD, 1, 1, 10_000);
  turn = 0.45;
  rise = 0.28;
  /** Distance from the target, in distances at which the whole figure can be seen. */
  near = 1;
  readonly target = new Vector3();
  private height = 100;
  private radius = 50;
  private width = 1;
  private tall = 1;

  /** The figure that is looked at: its height and the radius of all of it about its axis. */
  setFigure(height: number, radius: number): void {
    const fresh = this.target.lengthSq() === 0;
    const moved = fresh ? 0 : this.target.y - this.height / 2;
    this.height = height;
    this.radius = radius;
    this.target.y = height / 2 + moved;
    this.place();
  }

  setSize(width: number, tall: number): void {
    this.width = Math.max(1, width);
    this.tall = Math.max(1, tall);
    this.camera.aspect = this.width / this.tall;
    this.place();
  }

  /** Distance at which all of the figure is in sight from any side and height. */
  private get whole(): number {
    const tall = Math.tan((FIELD * Math.PI) / 360) / ROOM;
    const wide = tall * this.camera.aspect;
    let far = 0;
    for (const rise of [0, 0.25, 0.5, 0.8, HIGHEST]) {
      const [s, c] = [Math.sin(rise), Math.cos(rise)];
      for (const up of [-this.height / 2, this.height / 2]) {
        // the rim of the figure at this height: its near, far and side places, as seen from this rise
        for (const to of [-this.radius, this.radius]) far = Math.max(far, up * s + to * c + Math.abs(up * c - to * s) / tall);
        far = Math.max(far, up * s + Math.max(this.radius / wide, Math.abs(up * c) / tall));
      }
    }
    return far;
  }

  get distance(): number {
    return this.whole * this.near;
  }

  /** CSS pixels of one mm at the target's distance. */
  get pixelsPerMM(): number {
    return this.tall / (2 * this.distance * Math.tan((FIELD * Math.PI) / 360));
  }

  orbit(dx: number, dy: number): void {
    this.turn -= dx * 0.0085;
    this.rise = clamp(this.rise + dy * 0.0065, LOWEST, HIGHEST);
    this.place();
  }

  /** Looks at the figure from a turn, as high and near as before. */
  turnTo(turn: number): void {
    this.turn = turn;
    this.place();
  }

  zoom(factor: number): void {
    this.near = clamp(this.near / factor, NEAREST, FARTHEST);
    this.place();
  }

  /** Moves the figure by pixels on the screen; it never leaves the picture. */
  pan(dx: number, dy: number): void {
    const mm = 1 / this.pixelsPerMM;
    const right = new Vector3().setFromMatrixColumn(this.camera.matrix, 0);
    const up = new Vector3().setFromMatrixColumn(this.camera.matrix, 1);
    this.target.addScaledVector(right, -dx * mm).addScaledVector(up, dy * mm);
    const side = Math.hypot(this.target.x, this.target.z);
    const most = this.radius;
    if (side > most) this.target.set((this.target.x * most) / side, this.target.y, (this.target.z * most) / side);
    this.target.y = clamp(this.target.y, 0, this.height);
    this.place();
  }

  /** Shows all of the figure from a stance. */
  stand(s: Stance, near = 1): void {
    this.turn = s.turn;
    this.rise = s.rise;
    this.near = near;
    this.target.set(0, this.height / 2, 0);
    this.place();
  }

  place(): void {
    const d = this.distance;
    const rise = Math.min(this.rise, HIGHEST - 1e-4);
    const flat = Math.cos(rise) * d;
    this.camera.position.set(Math.sin(this.turn) * flat, Math.sin(rise) * d, Math.cos(this.turn) * flat).add(this.target);
    this.camera.lookAt(this.target);
    this.camera.near = Math.max(1, d - 2 * this.radius - this.height);
    this.camera.far = d + 4 * this.radius + 2 * this.height;
    this.camera.updateProjectionMatrix();
    this.camera.updateMatrixWorld();
  }
}

export function clamp(v: number, low: number, high: number): number {
  return v < low ? low : Math.min(v, high);
}
