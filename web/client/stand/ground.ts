// The shadow that the figure throws on the table: one soft disc, drawn in a small shader.
import { Mesh, PlaneGeometry, ShaderMaterial } from "three";
import type { Scene } from "../wire/types";

/** How far the soft edge reaches beyond the foot, in radii of the foot. */
const SOFT = 1.9;

export function ground(scene: Scene): Mesh<PlaneGeometry, ShaderMaterial> {
  const foot = Math.max(scene.rings[0]?.radius_mm ?? 0, 0.55 * scene.radius_mm) + 0.2 * scene.unit.leg_mm;
  const size = 2 * foot * SOFT;
  const material = new ShaderMaterial({
    transparent: true,
    depthWrite: false,
    uniforms: { foot: { value: 1 / SOFT } },
    vertexShader:
      "varying vec2 at; void main() { at = uv * 2.0 - 1.0; gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0); }",
    fragmentShader: `uniform float foot; varying vec2 at;
      void main() {
        float away = length(at);
        float under = 1.0 - smoothstep(0.75 * foot, 1.12 * foot, away);
        float soft = 1.0 - smoothstep(0.3 * foot, 1.0, away);
        gl_FragColor = vec4(0.16, 0.13, 0.09, 0.30 * under + 0.26 * soft * soft);
      }`,
  });
  const mesh = new Mesh(new PlaneGeometry(size, size), material);
  mesh.rotation.x = -Math.PI / 2;
  mesh.position.set(0.06 * foot, -0.05, 0.02 * foot);
  mesh.name = "shadow";
  return mesh;
}
