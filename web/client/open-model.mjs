// Opens a binary glTF model, named as the argument, with three's own GLTFLoader and prints what the
// loader understood: names and colours of the meshes, the number of nodes, and the bounds in metres.
import { readFileSync } from "node:fs";
import { Box3 } from "three";
import { GLTFLoader } from "three/examples/jsm/loaders/GLTFLoader.js";

const bytes = readFileSync(process.argv[2]);
const buffer = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength);
const { scene } = await new GLTFLoader().parseAsync(buffer, "");
const meshes = [];
let nodes = 0;
scene.traverse((o) => {
  nodes++;
  if (o.isMesh) meshes.push({ name: o.material.name, colour: `#${o.material.color.getHexString()}` });
});
const box = new Box3().setFromObject(scene);
process.stdout.write(JSON.stringify({ meshes, nodes, low: box.min.toArray(), high: box.max.toArray() }));
