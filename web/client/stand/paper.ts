// The paper of the units: matt, lit softly, darker the deeper it lies in the wall.
import { DoubleSide, MeshLambertMaterial } from "three";

/** How much light is left at the axis side of the wall, and on what faces the inside of the figure. */
const DEEP = 0.42;
const INSIDE = 0.5;

/**
 * Material of one part of the unit. tone darkens the whole part. In the wall (walled is which way is out of it), how deep a
 * place lies is told by how far it stands off the circle of its ring, in legs: the shoulders and the
 * spine's end stand out, the right-angled corner and the inside lie in the shade of the units around
 * them.
 */
export function paper(legMM: number, tone: number): MeshLambertMaterial {
  const material = new MeshLambertMaterial({ side: DoubleSide });
  material.onBeforeCompile = (shader) => {
    shader.uniforms.leg = { value: legMM };
    shader.uniforms.tone = { value: tone };
    shader.vertexShader = shader.vertexShader
      .replace(
        "#include <common>",
        "#include <common>\nuniform float leg;\nattribute vec3 walled;\nvarying float outward;\nvarying float faced;",
      )
      .replace(
        "#include <begin_vertex>",
        `#include <begin_vertex>
        outward = mix(0.2, dot((instanceMatrix * vec4(position, 0.0)).xyz, walled) / leg, length(walled));
        faced = dot((instanceMatrix * vec4(normal, 0.0)).xyz, walled);`,
      );
    shader.fragmentShader = shader.fragmentShader
      .replace("#include <common>", "#include <common>\nuniform float tone;\nvarying float outward;\nvarying float faced;")
      .replace(
        "#include <color_fragment>",
        `#include <color_fragment>
        diffuseColor.rgb *= tone * mix(${DEEP.toFixed(2)}, 1.0, smoothstep(-0.5, 0.28, outward)) * mix(${INSIDE.toFixed(2)}, 1.0, smoothstep(-0.6, 0.0, faced));`,
      );
  };
  material.customProgramCacheKey = () => "paper";
  return material;
}
