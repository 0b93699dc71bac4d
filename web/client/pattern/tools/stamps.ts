// Small pictures of the motifs to choose from, drawn with the same tiles as the grid.
import { el } from "../../base/dom";
import { say } from "../../base/words";
import { drawTile } from "../grid/tile";
import { RISE } from "../grid/view";
import type { Model } from "../model/model";
import type { Motif } from "../model/motifs";

/** A shelf of motif buttons, drawn in the paper in hand. */
export function stampPictures(m: Model, paper: number, take: (motif: Motif) => void, motifs: Motif[]): HTMLElement {
  const hex = m.colours[paper]?.hex ?? "#2b2b2e";
  const shelf = el("div", { class: "stamps" });
  for (const motif of motifs) {
    const canvas = el("canvas", { "aria-hidden": "true" });
    drawMotif(canvas, motif, hex);
    shelf.append(
      el("button", { type: "button", class: "stamp", onclick: () => take(motif) }, canvas, el("span", {}, say(`stamp.${motif.name}`))),
    );
  }
  return shelf;
}

function drawMotif(canvas: HTMLCanvasElement, motif: Motif, hex: string): void {
  const dots = dotsOf(motif);
  const wide = Math.max(...dots.map((d) => Math.abs(d.x))) * 2 + 1;
  const high = Math.max(...dots.map((d) => d.y)) + 2;
  const dpr = Math.min(2, devicePixelRatio || 1);
  const w = 72 * dpr;
  const h = 56 * dpr;
  const unit = Math.min((w - 6) / wide, (h - 6) / (high * RISE), 12 * dpr);
  canvas.width = w;
  canvas.height = h;
  const c = canvas.getContext("2d")!;
  const foot = (h + high * RISE * unit) / 2;
  for (const d of dots) drawTile(c, hex, false, w / 2 + d.x * unit, foot - d.y * RISE * unit, unit, RISE * unit);
}

/** Units of a motif as x across and y rings up; of a band three repeats. */
function dotsOf(motif: Motif): { x: number; y: number }[] {
  const out: { x: number; y: number }[] = [];
  motif.rows?.forEach((row, i, rows) => {
    for (let k = 0; k < row.length; k++) if (row[k] === "#") out.push({ x: k - (row.length - 1) / 2, y: rows.length - 1 - i });
  });
  if (motif.band) {
    for (let r = 0; r < motif.band.rings; r++) {
      for (let k = -4; k <= 4; k++) if (motif.band.on(r, k + (r % 2) / 2)) out.push({ x: k + (r % 2) / 2, y: r });
    }
  }
  return out;
}
