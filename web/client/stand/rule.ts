// The scale bar: a round length that fits, and how it is said.

/** Lengths that a bar may have, in cm. */
const ROUND = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500];

/** The longest round length, in cm, whose bar is not wider than room (CSS pixels). */
export function ruleFor(pixelsPerMM: number, room: number): number {
  let best = ROUND[0];
  for (const cm of ROUND) if (cm * 10 * pixelsPerMM <= room) best = cm;
  return best;
}

/** A length in cm as people say it: one decimal where it is not whole. */
export function cm(length: number): string {
  return String(Math.round(length * 10) / 10);
}
