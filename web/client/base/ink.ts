// Colours as numbers, and what is written and drawn on a paper: one rule on the grid, in 3D and in print.

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

/** On papers of lower luminance ink is light: there white reads better than black. As LightInkBelow of internal/sight. */
export const LIGHT_INK_BELOW = 0.17912878474779;
const DARK_INK = "#000000";
const LIGHT_INK = "#ffffff";

/** On papers of lower luminance a dark outline is lost. As EdgeOnDarkBelow of internal/sight. */
const EDGE_ON_DARK_BELOW = 0.1;
const EDGE = "#55504a";
const EDGE_ON_DARK = "#8d877d";

/** Ink that reads best on a paper. */
export function inkOn(hex: string): string {
  return luminance(hex) < LIGHT_INK_BELOW ? LIGHT_INK : DARK_INK;
}

/** Lines that are seen on a paper, dark ones too. */
export function edgeOn(hex: string): string {
  return luminance(hex) < EDGE_ON_DARK_BELOW ? EDGE_ON_DARK : EDGE;
}
