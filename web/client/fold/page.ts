// The page of folding: the unit is folded under the reader's hand, by a slider and step by step. The diagrams below say the same
// where scripts are off.
import { read } from "../wire/door";
import type { Folding } from "../wire/types";
import { room, seen } from "./sheet";

const SVG = "http://www.w3.org/2000/svg";

/** How long a step takes that is folded by itself. */
const STEP_MS = 1400;

function startFolding(box: HTMLElement): void {
  const paper = box.querySelector<SVGSVGElement>(".folding-paper");
  const now = box.querySelector<HTMLElement>(".folding-now");
  const slider = box.querySelector<HTMLInputElement>("input[type=range]");
  const back = box.querySelector<HTMLButtonElement>("[data-fold=back]");
  const on = box.querySelector<HTMLButtonElement>("[data-fold=on]");
  if (!paper || !now || !slider || !back || !on) return;
  const folding: Folding = read("Folding", box.dataset.folding ?? "");
  const all = folding.steps.length;
  slider.max = String(all);
  const space = room(folding);
  const rim = 0.03 * (space.right - space.left);
  paper.setAttribute(
    "viewBox",
    [space.left - rim, -space.high - rim, space.right - space.left + 2 * rim, space.high - space.low + 2 * rim].join(" "),
  );
  const pieces = folding.facets.map(() => ({
    face: paper.appendChild(document.createElementNS(SVG, "polygon")),
    edges: paper.appendChild(document.createElementNS(SVG, "path")),
  }));

  let at = 0;
  let moving = 0;
  let said = "";
  const show = (): void => {
    seen(folding, at).forEach(({ points, plain, edges }, i) => {
      const corners = points.map(([x, y]) => `${x.toFixed(2)},${(-y).toFixed(2)}`);
      pieces[i].face.setAttribute("points", corners.join(" "));
      pieces[i].face.setAttribute("class", plain ? "plain" : "coloured");
      pieces[i].edges.setAttribute("d", corners.map((c, k) => (edges[k] ? `M${c}L${corners[(k + 1) % corners.length]}` : "")).join(""));
    });
    slider.value = String(at);
    back.disabled = at <= 0;
    on.disabled = at >= all;
    const step = Math.min(Math.ceil(at + 1e-9) || 1, all);
    const says = at >= all ? (box.dataset.done ?? "") : `${step} / ${all}: ${folding.steps[step - 1].text}`;
    if (says === said) return;
    said = says;
    now.textContent = says;
    slider.setAttribute("aria-valuetext", says);
  };
  const stop = (): void => {
    cancelAnimationFrame(moving);
    moving = 0;
  };
  const go = (to: number): void => {
    stop();
    const from = at;
    if (from === to) return;
    if (matchMedia("(prefers-reduced-motion: reduce)").matches) {
      at = to;
      show();
      return;
    }
    const began = performance.now();
    const long = STEP_MS * Math.abs(to - from);
    const frame = (time: number): void => {
      const s = Math.max(0, Math.min(1, (time - began) / long));
      at = s < 1 ? from + (to - from) * (s * s * (3 - 2 * s)) : to;
      show();
      moving = s < 1 ? requestAnimationFrame(frame) : 0;
    };
    moving = requestAnimationFrame(frame);
  };
  slider.addEventListener("input", () => {
    stop();
    at = Number(slider.value);
    show();
  });
  on.addEventListener("click", () => go(Math.min(all, Math.floor(at + 1e-9) + 1)));
  back.addEventListener("click", () => go(Math.max(0, Math.ceil(at - 1e-9) - 1)));
  show();
  box.hidden = false;
}

const box = document.querySelector<HTMLElement>("[data-folding]");
if (box) startFolding(box);
