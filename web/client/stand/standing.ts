// How the standing figure comes from the server: its scene as JSON, then every unit's place as numbers.
// Lengths are in mm and angles in radians; the Go package shape says what each number means.

import { read } from "../wire/door";
import { SCENE_HEAD, type Scene, STRIDE } from "../wire/types";

export interface Standing {
  scene: Scene;
  places: Float32Array;
}

/** Takes the server's answer apart: length of the JSON (little-endian), the JSON, float32 numbers. */
export function readStanding(bytes: ArrayBuffer): Standing {
  const length = new DataView(bytes).getUint32(0, true);
  const scene = read("Scene", new TextDecoder().decode(new Uint8Array(bytes, SCENE_HEAD, length)));
  const places = new Float32Array(bytes, SCENE_HEAD + length);
  if (scene.stride !== STRIDE || places.length !== STRIDE * scene.count) {
    throw new Error(
      `the standing figure has ${places.length} numbers of ${scene.stride} a unit, not ${STRIDE} for each of ${scene.count} units`,
    );
  }
  return { scene, places };
}
