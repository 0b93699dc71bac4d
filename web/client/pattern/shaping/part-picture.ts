// A small drawing of where a part grows: the row it grows from with its points, and its own first rows above.
import type { Model } from "../model/model";
import { half, type Ring } from "../model/ring";
import { type Ground, pointsFrom } from "./part-edits";

const SVG = "http://www.w3.org/2000/svg";
const WIDE = 320;
const UNIT = 18;
const HIGH = 15;
/** Rows of the part that are drawn. */
const ROWS = 6;

function make(name: string, attributes: Record<string, string | number>): SVGElement {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, String(value));
  return node;
}

/**
 * Draws the row and, when they are known, the rows of the part in the figure as it would be then. Points are dots: taken ones
 * full, free ones hollow, those the part takes in the accent's colour.
 */
export function groundPicture(m: Model, g: Ground, rows: readonly Ring[], label: string): SVGElement {
  const row = m.rings[g.ring];
  const points = pointsFrom(m, g);
  const chosen = new Set(points);
  const open = m.openPoints(g.ring);
  const offering = m.offering(g.ring);
  const turnOf = (p: number) => offering.turn(p);
  const first = points.length ? turnOf(points[0]) : row.middle(0);
  const last = points.length ? turnOf(points[points.length - 1]) : first;
  const centre = first + half(last - first >= 0 ? last - first : last - first + 1) / 2;
  const turnPx = row.around * UNIT;
  const x = (turn: number) => WIDE / 2 + half(turn - centre) * turnPx;
  const shown = rows.slice(0, ROWS);
  const tall = (shown.length + 2) * HIGH + 8;
  const svg = make("svg", { viewBox: `0 0 ${WIDE} ${tall}`, class: "ground-picture", role: "img", "aria-label": label });
  const diamond = (ring: Ring, u: number, high: number, name: string) => {
    const at = x(ring.middle(u));
    const w = (ring.width(u) * turnPx) / 2;
    const y = tall - 4 - high * HIGH;
    if (at < -w || at > WIDE + w) return;
    svg.append(make("path", { d: `M${at} ${y}L${at + w} ${y - HIGH}L${at} ${y - 2 * HIGH}L${at - w} ${y - HIGH}Z`, class: name }));
  };
  for (let u = 0; u < row.n; u++) diamond(row, u, 0, "base");
  shown.forEach((ring, k) => {
    for (let u = 0; u < ring.n; u++) diamond(ring, u, k + 1, "new");
  });
  for (let p = 0; p < offering.offered; p++) {
    const unit = row.middle(p >> 1); // beside its unit, which may stand at the edge where the ring is cut open
    const at = x(unit) + half(turnOf(p) - unit) * turnPx;
    if (at < 0 || at > WIDE) continue;
    const name = chosen.has(p) ? (open[p] ? "chosen" : "clash") : open[p] ? "free" : "taken";
    svg.append(make("circle", { cx: at, cy: tall - 4 - 1.5 * HIGH, r: 2.6, class: name }));
  }
  return svg;
}
