// Ink on papers. WCAG 2.2, success criterion 1.4.3: text has a contrast of 4.5:1 at least.
import assert from "node:assert/strict";
import { test } from "node:test";
import { edgeOn, inkOn, luminance } from "../base/ink";

/** Contrast ratio of WCAG 2.2. */
function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high + 0.05) / (low + 0.05);
}

const hex = (n: number) => `#${n.toString(16).padStart(6, "0")}`;

// Greys, and every fourth step of each channel.
const PAPERS = [
  ...Array.from({ length: 256 }, (_, v) => hex(v * 0x010101)),
  ...Array.from({ length: 64 ** 2 }, (_, i) => hex(((i & 63) << 18) | ((i >> 6) << 10) | 0x40)),
  ...Array.from({ length: 64 ** 2 }, (_, i) => hex(((i & 63) << 10) | ((i >> 6) << 2) | 0x400000)),
];

test("a sign reads on every paper", () => {
  for (const paper of PAPERS) assert.ok(contrast(inkOn(paper), paper) >= 4.5, `${inkOn(paper)} on ${paper}`);
});

// The greys on both sides of the luminance at which black and white read equally well, as on a print (internal/sight).
test("ink changes where black and white read alike", () => {
  assert.equal(inkOn("#757575"), "#ffffff");
  assert.equal(inkOn("#767676"), "#000000");
});

// Success criterion 1.4.11 asks 3:1 of graphics.
test("an outline is seen on white and on black paper", () => {
  for (const paper of ["#ffffff", "#f4efe6", "#000000", "#2b2b2e"]) assert.ok(contrast(edgeOn(paper), paper) >= 3, paper);
});
