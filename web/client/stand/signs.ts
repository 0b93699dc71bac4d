// Signs on the units in space: a small leaf of its paper's letter on the edge of every unit that faces outwards,
// all in one instanced mesh that shares the units' places. Letters come from one sheet, drawn once per palette.

import {
  type BufferGeometry,
  CanvasTexture,
  type InstancedBufferAttribute,
  InstancedMesh,
  LinearFilter,
  LinearMipmapLinearFilter,
  PlaneGeometry,
  ShaderMaterial,
} from "three";
import { inkOn } from "../base/ink";
import type { Colour } from "../wire/types";

/** Cells of the sheet of letters, across and down: as many as a figure can have colours. */
const ACROSS = 8;
/** Side of a cell, pixels. */
const CELL = 64;
/** Side of a sign, in legs: a little less than the units stand apart. */
const SIDE = 0.48;
/** A sign smaller than this, CSS pixels, cannot be read. */
const READABLE = 11;
/** What is added to a colour's place in the palette for a unit with its short side out. */
export const SHORT_SIGN = 64;
export const NO_SIGN = -1;

export class Signs {
  readonly mesh: InstancedMesh<BufferGeometry, ShaderMaterial>;
  on = false;
  private colours: readonly Colour[] = [];
  private texture: CanvasTexture | null = null;
  private written = "";

  /** places are the units' matrices; marks say each one's colour, SHORT_SIGN added when its short side is out. */
  constructor(
    private readonly legMM: number,
    places: InstancedBufferAttribute,
    marks: InstancedBufferAttribute,
  ) {
    const geometry = new PlaneGeometry(1, 1);
    geometry.setAttribute("mark", marks);
    this.mesh = new InstancedMesh(geometry, this.material(), places.count);
    this.mesh.instanceMatrix = places;
    this.mesh.frustumCulled = false;
    this.mesh.renderOrder = 1;
    this.mesh.visible = false;
    this.mesh.name = "signs";
  }

  /**
   * A unit's long side runs from between its points down to the far end of its spine, its short side down to
   * the right-angled corner; the sign lies on the part that the ring above leaves in sight.
   */
  private material(): ShaderMaterial {
    return new ShaderMaterial({
      transparent: true,
      depthWrite: false,
      polygonOffset: true,
      polygonOffsetFactor: -1,
      polygonOffsetUnits: -4,
      uniforms: { leg: { value: this.legMM }, sheet: { value: null } },
      vertexShader: `uniform float leg; attribute float mark; varying vec2 at;
        void main() {
          float colour = mod(mark, ${SHORT_SIGN}.0);
          at = (vec2(mod(colour, ${ACROSS}.0), ${ACROSS - 1}.0 - floor(colour / ${ACROSS}.0)) + uv) / ${ACROSS}.0;
          vec2 here = position.xy * ${SIDE};
          vec3 own = mark >= ${SHORT_SIGN}.0
            ? vec3(-here.x, -0.7 + here.y, -0.03)
            : vec3(here.x, -0.8, 0.8) + vec3(0.0, here.y, -here.y) * 0.7071 + vec3(0.0, 0.03, 0.03);
          gl_Position = mark < 0.0 ? vec4(0.0, 0.0, 2.0, 1.0) : projectionMatrix * modelViewMatrix * instanceMatrix * vec4(leg * own, 1.0);
        }`,
      fragmentShader: `uniform sampler2D sheet; varying vec2 at;
        void main() {
          gl_FragColor = texture2D(sheet, at);
          if (gl_FragColor.a < 0.02) discard;
        }`,
    });
  }

  /** Takes the palette whose signs are to be written. */
  take(colours: readonly Colour[]): void {
    this.colours = colours;
  }

  /** Shows the signs where they are wanted and large enough to be read. */
  show(pixelsPerMM: number): void {
    this.mesh.visible = this.on && SIDE * this.legMM * pixelsPerMM >= READABLE;
    if (this.mesh.visible) this.write();
  }

  /** Writes the letters on their sheet, dark on light papers and light on dark ones, once per palette. */
  private write(): void {
    const key = this.colours.map((c) => c.sign + c.hex).join();
    if (key === this.written) return;
    this.written = key;
    const sheet = document.createElement("canvas");
    sheet.width = sheet.height = ACROSS * CELL;
    const c = sheet.getContext("2d")!;
    c.font = `700 ${Math.round(CELL * 0.8)}px "Atkinson Hyperlegible", system-ui, sans-serif`;
    c.textAlign = "center";
    c.textBaseline = "middle";
    this.colours.forEach((colour, i) => {
      c.fillStyle = inkOn(colour.hex);
      c.fillText(colour.sign, ((i % ACROSS) + 0.5) * CELL, (Math.floor(i / ACROSS) + 0.54) * CELL);
    });
    this.texture?.dispose();
    this.texture = new CanvasTexture(sheet);
    this.texture.minFilter = LinearMipmapLinearFilter;
    this.texture.magFilter = LinearFilter;
    this.mesh.material.uniforms.sheet.value = this.texture;
  }

  dispose(): void {
    this.mesh.geometry.dispose();
    this.mesh.material.dispose();
    this.texture?.dispose();
    this.mesh.dispose();
  }
}
