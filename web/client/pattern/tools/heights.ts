// How high the rings stand, on the ruler: in mm, in inches, or not at all.
import { MM_PER_INCH } from "../../wire/types";
import type { Stage } from "../grid/stage";
import type { Findings } from "../panels/findings";
import type { Editor } from "./editor";

export class Heights {
  unit: "mm" | "inches" | null = null;

  constructor(
    private readonly e: Editor,
    private readonly stage: Stage,
    private readonly findings: Findings,
  ) {
    findings.lookedOver.add(() => this.show());
  }

  toggle(unit: "mm" | "inches"): void {
    this.unit = this.unit === unit ? null : unit;
    if (this.unit) this.findings.want();
    this.show();
  }

  private show(): void {
    const rings = this.findings.found?.size.rings;
    const text = (mm: number) => (this.unit === "inches" ? `${(mm / MM_PER_INCH).toFixed(1)}″` : String(Math.round(mm)));
    this.stage.overlay.showLengths(!this.unit || !rings ? null : rings.slice(this.e.m.firstRow).map((r) => text(r.top_mm.best)));
    this.e.tell("look");
  }
}
