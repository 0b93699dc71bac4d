// A look ahead in 3D: how the figure would stand after an edit, in a dialog. The hand turns it, or drags what the dialog
// lets it drag. It is loaded when a dialog wants it first.
import { el } from "../base/dom";
import type { Model } from "../pattern/model/model";
import type { Edit, TryAsk } from "../wire/types";
import { Pointer } from "./pointer";
import { Stage } from "./stage";
import { readStanding } from "./standing";

export class Look {
  readonly root = el("div", { class: "look-ahead" });
  private readonly stage: Stage;
  private asked: AbortController | null = null;
  private dragging = false;
  private last = { x: 0, y: 0 };

  /** drag is told how far the hand went, in CSS pixels, while it drags; without it the hand turns the figure. */
  constructor(
    private readonly base: string,
    label: string,
    private readonly drag?: (dx: number, dy: number) => void,
  ) {
    this.stage = new Stage(() => undefined);
    const { canvas, eye } = this.stage;
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", label);
    this.root.append(canvas);
    const look = (change: () => void) => {
      change();
      this.stage.ask();
    };
    new Pointer(canvas, {
      grab: (x, y) => {
        this.last = { x, y };
        return this.dragging;
      },
      stroke: (x, y) => {
        this.drag?.(x - this.last.x, y - this.last.y);
        this.last = { x, y };
      },
      lift: () => undefined,
      drop: () => undefined,
      tap: () => undefined,
      orbit: (dx, dy) => look(() => eye.orbit(dx, dy)),
      pan: (dx, dy) => look(() => eye.pan(dx, dy)),
      zoom: (factor) => look(() => eye.zoom(factor)),
    });
    new ResizeObserver(() => this.stage.setSize(this.root.clientWidth, this.root.clientHeight)).observe(this.root);
  }

  /** Whether the hand drags what the dialog is about, and does not turn the figure. */
  drags(on: boolean): void {
    this.dragging = on;
    this.stage.canvas.classList.toggle("paints", on);
  }

  /** Shows the figure as it stands, where nothing is shown yet. */
  async stand(now: Model): Promise<void> {
    if (this.root.dataset.shows) return;
    try {
      const res = await fetch(`${this.base}/stand.bin`);
      if (!res.ok || this.root.dataset.shows) return;
      this.stage.stand(readStanding(await res.arrayBuffer()), now);
    } catch {
      // no connection: the box stays empty
    }
  }

  /** Shows the figure as it would be after an edit, then; what cannot be, or not be asked, leaves the one that is there. */
  async show(edit: Edit, then: Model): Promise<void> {
    this.asked?.abort();
    this.asked = new AbortController();
    const { signal } = this.asked;
    try {
      const res = await fetch(`${this.base}/stand/try`, {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ edit } satisfies TryAsk),
        signal,
      });
      if (!res.ok) return;
      const standing = readStanding(await res.arrayBuffer());
      if (signal.aborted) return;
      this.stage.stand(standing, then);
      this.root.dataset.shows = String(standing.scene.count);
    } catch {
      // gone, or asked for anew
    }
  }

  /** The dialog is closed. */
  end(): void {
    this.asked?.abort();
  }
}
