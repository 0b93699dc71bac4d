// Short explanations: what a tool does the first time it is taken, and where a symmetry does not come out even.
import { byFinger } from "../../base/dom";
import type { Notes } from "../../base/notes";
import { kept } from "../../base/storage";
import { say } from "../../base/words";
import type { Stage } from "../grid/stage";
import type { Editor } from "./editor";
import type { Walk } from "./walk";

const KEY = "tuckring:hands";

export function explain(e: Editor, stage: Stage, walk: Walk, notes: Notes): void {
  e.on("tool", () => explainTool(e, notes));
  e.on("symmetry", () => sayMisfits(e, stage, notes));
  e.on("trail", () => notes.show(say(walk.trail ? "trail.on" : "trail.off")));
}

function explainTool({ tool }: Editor, notes: Notes): void {
  const storage = kept("localStorage");
  const known = storage?.getItem(KEY) ?? "";
  // With a mouse the button's own title says it.
  if (!storage || tool === "unit" || !byFinger() || known.split(" ").includes(tool)) return;
  try {
    storage.setItem(KEY, `${known} ${tool}`.trim());
  } catch {
    return; // it could never be remembered, and would be said every time
  }
  notes.hint(say("tool.explain", { Name: say(`tool.${tool}`), Does: say(`tool.${tool}.does`) }));
}

/** Says on which rings the symmetry does not come out even. */
function sayMisfits(e: Editor, stage: Stage, notes: Notes): void {
  const list = stage.overlay.misfits;
  if (!list.length) return;
  const { repeat } = e.symmetry;
  const rings = ranges(list.map((r) => r + 1));
  notes.show(
    repeat > 1 ? say("symmetry.misfit.repeat", { Rings: rings, K: repeat }) : say("symmetry.misfit.mirror", { Rings: rings }),
    say("symmetry.misfit.fix"),
  );
}

/** "3, 5–8, 12" */
function ranges(sorted: number[]): string {
  const out: string[] = [];
  for (let i = 0; i < sorted.length; ) {
    let k = i;
    while (sorted[k + 1] === sorted[k] + 1) k++;
    out.push(k === i ? `${sorted[i]}` : `${sorted[i]}–${sorted[k]}`);
    i = k + 1;
  }
  return out.length > 8 ? `${out.slice(0, 8).join(", ")} …` : out.join(", ");
}
