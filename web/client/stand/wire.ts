// How the standing figure comes from the server: its scene as JSON, then every unit's place as numbers.
// Lengths are in mm and angles in radians; the Go package shape says what each number means.

export interface Scene {
  rev: number;
  stride: number;
  count: number;
  unit: {
    positions: number[];
    normals: number[];
    indices: number[];
    parts: Part[];
    leg_mm: number;
  };
  rings: SceneRing[];
  extras: { key: number; first: number; count: number }[];
  pieces: Piece[];
  height_mm: number;
  radius_mm: number;
  calibrated: boolean;
  /** Every length may come out so many times as long, at the least and at the most. */
  low: number;
  high: number;
  /** Sentences that say what stands there. */
  about: string[];
}

export interface Part {
  name: string;
  first: number;
  count: number;
}

export interface SceneRing {
  id: number;
  first: number;
  count: number;
  radius_mm: number;
  y_mm: number;
  long_tilt: number;
  short_tilt: number;
}

export interface Piece {
  key: number;
  x: number;
  y: number;
  z: number;
  yaw: number;
  tilt: number;
  colour: number;
  outline: [number, number][];
}

/** Where the numbers of a unit stand in its stride. */
export const X = 0;
export const Y = 1;
export const Z = 2;
export const YAW = 3;
export const TILT = 4;
export const SCALE = 5;
export const PAPER = 6;

export interface Standing {
  scene: Scene;
  places: Float32Array;
}

/** Takes the server's answer apart: length of the JSON (little-endian), the JSON, float32 numbers. */
export function readStanding(bytes: ArrayBuffer): Standing {
  const length = new DataView(bytes).getUint32(0, true);
  const scene = JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 4, length))) as Scene;
  const places = new Float32Array(bytes, 4 + length);
  if (places.length !== scene.stride * scene.count) {
    throw new Error(`the standing figure has ${places.length} numbers, not ${scene.stride * scene.count}`);
  }
  return { scene, places };
}
