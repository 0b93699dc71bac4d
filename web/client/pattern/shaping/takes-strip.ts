// One ring unrolled as a strip, cut open at the back: every unit as wide as its arc, with the number of
// points it takes where that is not two; openings stay empty. The front line runs down the middle.

import { say } from "../../base/words";
import { PLAIN_TAKES } from "../../wire/types";
import { half, type Ring } from "../model/ring";
import { freeOf, takesOf } from "./lookahead";

const SVG = "http://www.w3.org/2000/svg";
const HIGH = 26;
const WIDE = 320;
/** Narrower units carry no number; their shade tells. */
const NUMBER_FROM = 8;

function node(tag: string, attributes: Record<string, string | number>, text = ""): SVGElement {
  const n = document.createElementNS(SVG, tag);
  for (const [k, v] of Object.entries(attributes)) n.setAttribute(k, String(v));
  if (text) n.textContent = text;
  return n;
}

/** Draws the strip; it is decoration beside the sentence of takesText. */
export function takesStrip(ring: Ring, frontTurn: number): SVGElement {
  const svg = node("svg", { viewBox: `0 0 ${WIDE} ${HIGH}`, class: "takes-strip", "aria-hidden": "true" });
  for (let u = 0; u < ring.n; u++) {
    const takes = ring.takes ? ring.takes[u] : PLAIN_TAKES;
    const w = ring.width(u) * WIDE;
    const x = (half(ring.middle(u) - frontTurn) + 0.5) * WIDE - w / 2;
    for (const at of x < 0 ? [x, x + WIDE] : x + w > WIDE ? [x, x - WIDE] : [x]) svg.append(...box(at, w, takes));
  }
  svg.append(node("line", { x1: WIDE / 2, x2: WIDE / 2, y1: 0, y2: HIGH, class: "front" }));
  return svg;
}

function box(x: number, w: number, takes: number): SVGElement[] {
  const out = [
    node("rect", { x: x.toFixed(2), y: 1, width: Math.max(0.5, w - 1).toFixed(2), height: HIGH - 2, rx: 2, class: `takes-${takes}` }),
  ];
  if (takes !== 2 && w >= NUMBER_FROM) out.push(node("text", { x: (x + w / 2 - 0.5).toFixed(2), y: HIGH / 2 + 4.5 }, String(takes)));
  return out;
}

/** "14 units: 2 take 1 point, 12 take 2" */
export function takesText(ring: Ring, bottom: boolean): string {
  const parts: string[] = [];
  if (!bottom) {
    takesOf(ring).forEach((units, i) => {
      if (units) parts.push(say("shape.takes.some", { Count: units, Points: i + 1 }));
    });
    const free = freeOf(ring);
    if (free) parts.push(say("shape.takes.free", { Count: free }));
  }
  const units = say("shape.takes.units", { Count: ring.n });
  return parts.length ? say("shape.takes", { Units: units, Parts: parts.join(", ") }) : units;
}
