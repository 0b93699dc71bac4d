// Our own small motifs, drawn for staggered rings. Drawings stand centred on a middle line, and their
// rows have odd and even widths by turns; bands go all around.
import type { Block, BlockUnit } from "./blocks";
import { mod } from "./mod";
import { KEEP, type Model } from "./model";

export interface Band {
  rings: number;
  /** Units after which it repeats. */
  period: number;
  /** Whether the unit x to the right of the anchor is painted; x is a half on odd rings of the band. */
  on: (ring: number, x: number) => boolean;
}

export interface Motif {
  name:
    | "eyes"
    | "smile"
    | "face"
    | "beak"
    | "heart"
    | "star"
    | "anchor"
    | "window"
    | "stripe"
    | "dots"
    | "checks"
    | "teeth"
    | "zigzag"
    | "rope";
  /** Rows from the top: # takes the paper in hand, a dot is left alone. */
  rows?: string[];
  band?: Band;
}

export const MOTIFS: Motif[] = [
  { name: "face", rows: ["#.....#", "##....##", "#.....#", "........", "...#...", "........", "#.....#", "##..##", ".###."] },
  { name: "eyes", rows: ["#...#", "##..##", "#...#"] },
  { name: "smile", rows: ["#.....#", "##..##", ".###."] },
  { name: "beak", rows: ["#####", "####", "###", "##", "#"] },
  { name: "heart", rows: ["#..#", "##.##", "######", "#####", "####", "###", "##", "#"] },
  { name: "star", rows: ["#", "##", "#######", "######", "#####", "######", "##...##"] },
  { name: "anchor", rows: ["##", "#.#", "##", "#####", "##", "#", "#..##..#", "##.#.##", "######", "###"] },
  { name: "window", rows: ["#", "##", "###", "##", "###", "##"] },
  { name: "stripe", band: { rings: 2, period: 1, on: () => true } },
  { name: "dots", band: { rings: 1, period: 3, on: (_, x) => mod(x, 3) === 0 } },
  { name: "checks", band: { rings: 4, period: 4, on: (r, x) => (Math.floor(mod(x, 4) / 2) + (r >> 1)) % 2 === 0 } },
  { name: "teeth", band: { rings: 3, period: 4, on: (r, x) => mod(x, 4) >= r / 2 && mod(x, 4) <= 2 - r / 2 } },
  { name: "zigzag", band: { rings: 5, period: 4, on: (r, x) => Math.min(mod(x, 4), 4 - mod(x, 4)) === r / 2 } },
  { name: "rope", band: { rings: 4, period: 3, on: (r, x) => mod(Math.floor(x) - (r >> 1), 3) === 0 } },
];

/** A motif as a block that can be put down; a band is made for the rings it is held over. */
export function motifBlock(motif: Motif, m: Model, ring: number): Block {
  const units: BlockUnit[] = [];
  const add = (up: number, right: number) => units.push({ up, right, colour: "", side: KEEP });
  if (motif.rows) drawing(motif.rows, add);
  if (motif.band) {
    for (let r = 0; r < motif.band.rings; r++) {
      const n = m.rings[ring + r]?.n ?? 0;
      for (let k = 0; k < n; k++) if (motif.band.on(r, k + (r % 2) / 2)) add(r, k + (r % 2) / 2);
    }
  }
  return { units, home: -1 };
}

/** The anchor is on the middle line, on the row in the middle that has a unit there. */
function drawing(rows: string[], add: (up: number, right: number) => void): void {
  const middle = rows.length >> 1;
  const anchor = rows[middle].length % 2 === 1 ? middle : middle - 1;
  rows.forEach((row, i) => {
    for (let k = 0; k < row.length; k++) if (row[k] === "#") add(anchor - i, k - (row.length - 1) / 2);
  });
}

/** Whether a band comes out even on all rings it would cover. */
export function comesOut(motif: Motif, m: Model, ring: number): boolean {
  if (!motif.band) return true;
  for (let r = 0; r < motif.band.rings; r++) {
    const n = m.rings[ring + r]?.n;
    if (n && n % motif.band.period !== 0) return false;
  }
  return true;
}
