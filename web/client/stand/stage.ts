// The figure on its table: draws it when something changed, and only then; finds what stands under a
// spot of the screen. Where only papers changed, those units alone are drawn over the picture that is
// there: the depths of the picture are kept with it, so each comes out on just the pixels where it shows.
import {
  AmbientLight,
  BufferGeometry,
  Color,
  DirectionalLight,
  EdgesGeometry,
  Float32BufferAttribute,
  HemisphereLight,
  LineBasicMaterial,
  LineSegments,
  type Mesh,
  type Object3D,
  type Ray,
  Raycaster,
  Scene as Room,
  Vector2,
  WebGLRenderer,
} from "three";
import type { Scene } from "../wire/types";
import { Eye } from "./eye";
import { ground } from "./ground";
import { Pieces } from "./pieces";
import type { Standing } from "./standing";
import { type Found, MOST_TOUCHED, type Painted, Units } from "./units";

/** More device pixels than this per CSS pixel are not drawn: nobody sees them, and they cost. */
const SHARPEST = 2;
/** Longest side of a picture to keep, pixels. */
const PICTURE = 2000;
const ACCENT = "#0b6e6e";
const PALE = "#fffdf8";

/** This browser draws nothing in 3D. */
export class NoDepth extends Error {}

export class Stage {
  readonly eye = new Eye();
  readonly canvas: HTMLCanvasElement;
  private readonly renderer: WebGLRenderer;
  private readonly room = new Room();
  private readonly lamp = new DirectionalLight("#fff8ec", 2.1);
  private units: Units | null = null;
  private pieces: Pieces | null = null;
  private shadow: Mesh | null = null;
  private mark: LineSegments<BufferGeometry, LineBasicMaterial> | null = null;
  private marked = -1;
  private asked = 0;
  /** The next picture is drawn whole, not only what was touched. */
  private whole = true;
  private readonly touched = new Set<number>();
  private width = 1;
  private height = 1;
  private palette = "";
  private signed = false;

  /**
   * drawn is called after every picture with the milliseconds of script it took and its draw calls.
   * Throws NoDepth where there is no WebGL.
   */
  constructor(private readonly drawn: (ms: number, calls: number) => void) {
    this.canvas = document.createElement("canvas");
    const context = this.canvas.getContext("webgl2", {
      alpha: true,
      antialias: true,
      depth: true,
      preserveDrawingBuffer: true,
      powerPreference: "low-power",
    });
    if (!context) throw new NoDepth("no WebGL 2");
    this.renderer = new WebGLRenderer({ canvas: this.canvas, context });
    this.renderer.setClearColor(0, 0);
    this.canvas.addEventListener("webglcontextrestored", () => this.ask());
    this.room.add(new AmbientLight("#ffffff", 0.95), new HemisphereLight("#ffffff", "#d8c7a8", 0.95), this.lamp, this.lamp.target);
  }

  get scene(): Scene | null {
    return this.units?.standing.scene ?? null;
  }

  /** Puts a figure on the table in place of the one that stood there. */
  stand(standing: Standing, model: Painted): void {
    this.clear();
    const { scene } = standing;
    this.units = new Units(standing);
    this.pieces = new Pieces(scene, this.apart);
    this.shadow = ground(scene);
    this.mark = mark(scene);
    this.units.signs.on = this.signed;
    this.room.add(this.units.group, this.units.touched, this.units.signs.mesh, this.pieces.mesh, this.shadow, this.mark);
    if (this.apart) this.units.pull(this.apart);
    this.reach(scene);
    this.palette = "";
    this.repaint(model);
    this.ask();
  }

  /** Pulls the parts apart, as for a picture of how they go together, or puts them together again. */
  pull(apart: boolean): void {
    this.apart = apart ? 1 : 0;
    const { units } = this;
    if (!units) return;
    const { scene } = units.standing;
    units.pull(this.apart);
    if (this.pieces) this.room.remove(this.pieces.mesh);
    this.pieces?.dispose();
    this.pieces = new Pieces(scene, this.apart);
    this.room.add(this.pieces.mesh);
    this.palette = "";
    this.marked = -1;
    this.reach(scene);
    this.ask();
  }
  private apart = 0;

  /** Puts something beside the figure, such as the solid that it follows, or takes it away. */
  show(thing: Object3D, on = true): void {
    if (on) this.room.add(thing);
    else this.room.remove(thing);
    this.ask();
  }

  /** Tells the eye how much there is to see. */
  private reach(scene: Scene): void {
    let [up, aside] = [0, 0];
    for (const { apart } of scene.parts) {
      up = Math.max(up, apart[1] * this.apart);
      aside = Math.max(aside, Math.hypot(apart[0], apart[2]) * this.apart);
    }
    this.eye.setFigure(scene.height_mm + up, scene.radius_mm + aside);
  }

  private clear(): void {
    for (const thing of [this.units?.group, this.units?.touched, this.units?.signs.mesh, this.pieces?.mesh, this.shadow, this.mark])
      if (thing) this.room.remove(thing);
    this.units?.dispose();
    this.pieces?.dispose();
    this.shadow?.geometry.dispose();
    this.mark?.geometry.dispose();
    this.mark?.material.dispose();
    this.marked = -1;
  }

  /**
   * Takes the papers of what the model shows. False when the places must come anew: the model has other
   * rings by now, or units turned another side outwards, on which the figure's height depends.
   */
  repaint(model: Painted): boolean {
    if (!this.units) return true;
    const palette = model.colours.map((c) => c.hex + c.sign).join();
    const resigned = palette !== this.palette && this.signed;
    const { changed, turned } = this.units.repaint(model, palette !== this.palette);
    this.palette = palette;
    if (this.pieces?.repaint(model) || turned || resigned) this.ask();
    else if (changed.size) this.askFor(changed);
    return !turned && this.units.fits(model);
  }

  setSize(width: number, height: number): void {
    if (width < 1 || height < 1) return;
    this.width = width;
    this.height = height;
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, SHARPEST));
    this.renderer.setSize(width, height, false);
    this.eye.setSize(width, height);
    this.whole = true;
    this.draw();
  }

  /** Draws in the next frame of the browser. */
  ask(): void {
    this.whole = true;
    this.asked ||= requestAnimationFrame(() => this.draw());
  }

  /** Shows the signs on the units, or not. */
  showSigns(on: boolean): void {
    this.signed = on;
    if (!this.units || this.units.signs.on === on) return;
    this.units.signs.on = on;
    this.ask();
  }

  /** Draws some units anew in the next frame of the browser. */
  private askFor(instances: Iterable<number>): void {
    for (const i of instances) this.touched.add(i);
    // A sign may lie over other units than its own, so with signs all is drawn anew.
    if (this.touched.size > MOST_TOUCHED || this.signed) this.whole = true;
    this.asked ||= requestAnimationFrame(() => this.draw());
  }

  /** Draws now, if something waits to be drawn. */
  now(): void {
    if (this.asked) this.draw();
  }

  private draw(): void {
    cancelAnimationFrame(this.asked);
    this.asked = 0;
    const from = performance.now();
    if (this.whole) this.render();
    else this.touchUp();
    this.whole = false;
    this.touched.clear();
    this.drawn(performance.now() - from, this.renderer.info.render.calls);
  }

  private render(): void {
    this.units?.signs.show(this.eye.pixelsPerMM);
    const { turn } = this.eye;
    const left = turn - 0.75; // the light comes from the viewer's upper left
    this.lamp.position.set(Math.sin(left) * 0.8, 1, Math.cos(left) * 0.8);
    this.renderer.render(this.room, this.eye.camera);
  }

  /** Draws the touched units over the picture that is there. */
  private touchUp(): void {
    const { units, renderer } = this;
    if (!units) return;
    // In the order of the whole picture: where two faces cut through each other, the one drawn last shows.
    units.touch([...this.touched].sort((a, b) => a - b));
    const others = [units.group, this.pieces?.mesh, this.shadow].filter((x) => x?.visible);
    for (const x of others) x!.visible = false;
    units.touched.visible = true;
    renderer.autoClear = false;
    this.render();
    renderer.autoClear = true;
    units.touched.visible = false;
    for (const x of others) x!.visible = true;
  }

  // ---------- finding ----------

  /** What stands under a place of the canvas, in CSS pixels from its upper left corner. */
  find(x: number, y: number, model: Painted): Found | null {
    if (!this.units) return null;
    const ray = this.ray(x, y);
    const unit = this.units.meet(ray);
    const piece = this.pieces?.meet(ray);
    if (piece && (!unit || piece.far < unit.far)) return { instance: -1, unit: null, extra: piece.key };
    return unit ? this.units.whatIs(unit.instance, model) : null;
  }

  private ray(x: number, y: number): Ray {
    const caster = new Raycaster();
    caster.setFromCamera(new Vector2((2 * x) / this.width - 1, 1 - (2 * y) / this.height), this.eye.camera);
    return caster.ray;
  }

  /** Marks a unit with lines along its edges, light ones on a dark paper; −1 takes the mark away. */
  setMark(instance: number, dark: boolean): void {
    if (!this.mark || !this.units) return;
    const colour = new Color(dark ? PALE : ACCENT);
    const same = instance === this.marked && this.mark.material.color.equals(colour);
    if (same) return;
    this.marked = instance;
    this.mark.material.color = colour;
    this.mark.visible = instance >= 0;
    if (instance >= 0) this.mark.matrix.copy(this.units.matrix(instance));
    this.mark.matrixWorldNeedsUpdate = true;
    this.ask();
  }

  instanceOf(ringID: number, unit: number): number {
    return this.units?.instanceOf(ringID, unit) ?? -1;
  }

  /** The direction of a unit from the axis, in radians from the front line. */
  turnOf(instance: number): number {
    const m = this.units?.matrix(instance).elements;
    return m ? Math.atan2(m[12], m[14]) : 0;
  }

  // ---------- keeping ----------

  /** A picture of the figure as it is seen now, on a clear ground. */
  picture(): Promise<Blob | null> {
    const scale = PICTURE / Math.max(this.width, this.height);
    const shown = [this.shadow, this.mark].filter((x) => x?.visible);
    for (const x of shown) x!.visible = false;
    this.renderer.setPixelRatio(scale);
    this.renderer.setSize(this.width, this.height, false);
    this.render();
    const blob = new Promise<Blob | null>((done) => this.canvas.toBlob(done, "image/png"));
    for (const x of shown) x!.visible = true;
    this.setSize(this.width, this.height);
    return blob;
  }
}

function mark(scene: Scene): LineSegments<BufferGeometry, LineBasicMaterial> {
  const unit = new BufferGeometry();
  unit.setAttribute("position", new Float32BufferAttribute(scene.unit.positions, 3));
  unit.setIndex(scene.unit.indices);
  const lines = new LineSegments(
    new EdgesGeometry(unit, 20),
    new LineBasicMaterial({ color: ACCENT, depthTest: false, transparent: true }),
  );
  unit.dispose();
  lines.matrixAutoUpdate = false;
  lines.frustumCulled = false;
  lines.renderOrder = 2;
  lines.visible = false;
  lines.name = "mark";
  return lines;
}
