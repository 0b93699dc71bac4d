// The figure that becomes of a solid, in 3D, and the solid over it, translucent.
import { Box3, BufferAttribute, BufferGeometry, Color, DoubleSide, Mesh, MeshLambertMaterial, SRGBColorSpace } from "three";
import { el } from "../base/dom";
import { say } from "../base/words";
import { Pointer } from "../stand/pointer";
import { Stage } from "../stand/stage";
import { readStanding } from "../stand/standing";
import type { Painted } from "../stand/units";

/** How much of the solid is seen. */
const PALE = 0.34;

export class SolidView {
  private readonly stage: Stage;
  private readonly base: string;
  private solid: Mesh<BufferGeometry, MeshLambertMaterial> | null = null;
  private asked: AbortController | null = null;
  private readonly over = el("input", { type: "checkbox", checked: true });

  /** Throws NoDepth where there is no WebGL. */
  constructor(private readonly root: HTMLElement) {
    const { base = "", label = "" } = root.dataset;
    this.base = base;
    this.stage = new Stage(() => undefined);
    const { canvas, eye } = this.stage;
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", label);
    const field = el("div", { class: "solid-field" }, canvas);
    root.replaceChildren(field, el("label", { class: "choice" }, this.over, el("span", {}, say("solid.shown"))));
    this.over.addEventListener("change", () => this.solid && this.stage.show(this.solid, this.over.checked));
    const look = (change: () => void) => {
      change();
      this.stage.ask();
    };
    new Pointer(canvas, {
      grab: () => false,
      stroke: () => undefined,
      lift: () => undefined,
      drop: () => undefined,
      tap: () => undefined,
      orbit: (dx, dy) => look(() => eye.orbit(dx, dy)),
      pan: (dx, dy) => look(() => eye.pan(dx, dy)),
      zoom: (factor) => look(() => eye.zoom(factor)),
    });
    new ResizeObserver(() => this.stage.setSize(field.clientWidth, field.clientHeight)).observe(field);
  }

  /** Shows what settings make of the solid, in these papers; what does not come leaves what is there. */
  async show(query: string, papers: string[]): Promise<void> {
    this.asked?.abort();
    this.asked = new AbortController();
    const { signal } = this.asked;
    try {
      const [stands, solid] = await Promise.all([this.fetch("stand.bin", query, signal), this.fetch("mesh.bin", query, signal)]);
      if (signal.aborted) return;
      const standing = readStanding(stands);
      this.stage.stand(standing, painted(papers));
      if (this.solid) {
        this.stage.show(this.solid, false);
        this.solid.geometry.dispose();
        this.solid.material.dispose();
      }
      this.solid = readSolid(solid);
      this.stage.show(this.solid, this.over.checked);
      this.frame(standing.scene, this.solid.geometry);
      this.root.dataset.shows = query;
    } catch {
      // gone, or asked for anew
    }
  }

  /** Has the figure and all of the solid in sight, of which it may follow only a part. */
  private frame(figure: { height_mm: number; radius_mm: number }, solid: BufferGeometry): void {
    solid.computeBoundingBox();
    const { min, max } = solid.boundingBox ?? new Box3();
    const aside = Math.hypot(Math.max(-min.x, max.x), Math.max(-min.z, max.z));
    this.stage.eye.setFigure(Math.max(figure.height_mm, max.y), Math.max(figure.radius_mm, aside));
    this.stage.ask();
  }

  private async fetch(what: string, query: string, signal: AbortSignal): Promise<ArrayBuffer> {
    const res = await fetch(`${this.base}/${what}?${query}`, { signal });
    if (!res.ok) throw new Error(String(res.status));
    return res.arrayBuffer();
  }
}

/** Units have the papers that came with their places: the page knows no more of the figure. */
function painted(papers: string[]): Painted {
  return {
    colours: papers.map((hex, i) => ({ id: String(i), name: hex, hex, sign: "", units: 0 })),
    extras: [],
    rows: [],
    row: () => undefined,
    indexOfColour: () => -1,
  };
}

/** Takes the solid apart: how many corners and triangles, places, triangles, colours (the Go package solid writes them). */
function readSolid(bytes: ArrayBuffer): Mesh<BufferGeometry, MeshLambertMaterial> {
  const head = new DataView(bytes);
  const corners = head.getUint32(0, true);
  const triangles = head.getUint32(4, true);
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(new Float32Array(bytes, 8, 3 * corners), 3));
  geometry.setIndex(new BufferAttribute(new Uint32Array(bytes, 8 + 12 * corners, 3 * triangles), 1));
  const shown = new Uint8Array(bytes, 8 + 12 * corners + 12 * triangles, 3 * corners);
  const lights = new Float32Array(3 * corners);
  const colour = new Color();
  for (let i = 0; i < lights.length; i += 3) {
    colour.setRGB(shown[i] / 255, shown[i + 1] / 255, shown[i + 2] / 255, SRGBColorSpace).toArray(lights, i);
  }
  geometry.setAttribute("color", new BufferAttribute(lights, 3));
  geometry.computeVertexNormals();
  const mesh = new Mesh(geometry, new MeshLambertMaterial({ vertexColors: true, transparent: true, opacity: PALE, side: DoubleSide }));
  // It comes last and over all, whatever stands in it: of its own faces only the nearest are seen.
  mesh.renderOrder = 3;
  mesh.onBeforeRender = (renderer) => renderer.clearDepth();
  mesh.name = "solid";
  return mesh;
}
