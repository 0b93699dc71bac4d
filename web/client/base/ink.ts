// Colours as numbers, and what is written and drawn on a paper: one rule on the grid, in 3D and in print.
import { DARK_INK, EDGE, EDGE_ON_DARK, EDGE_ON_DARK_BELOW, LIGHT_INK, LIGHT_INK_BELOW } from "../wire/types";

/** Channels 0–255 of "#rrggbb". */
export function channels(hex: string): [number, number, number] {
  const v = parseInt(hex.slice(1), 16);
  return Number.isNaN(v) ? [128, 128, 128] : [(v >> 16) & 255, (v >> 8) & 255, v & 255];
}

/** Mixes a colour towards another: 0 is a itself, 1 is b. */
export function mix(a: string, b: string, t: number): string {
  const ca = channels(a);
  const cb = channels(b);
  return `rgb(${ca.map((v, i) => Math.round(v + (cb[i] - v) * t)).join(",")})`;
}

/** Relative luminance after WCAG 2.2, 0 black to 1 white. */
export function luminance(hex: string): number {
  const [r, g, b] = channels(hex).map((v) => {
    const c = v / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

/** Ink that reads best on a paper. */
export function inkOn(hex: string): string {
  return luminance(hex) < LIGHT_INK_BELOW ? LIGHT_INK : DARK_INK;
}

/** Lines that are seen on a paper, dark ones too. */
export function edgeOn(hex: string): string {
  return luminance(hex) < EDGE_ON_DARK_BELOW ? EDGE_ON_DARK : EDGE;
}
