// The pointer on the figure: one finger or the mouse turns it (or paints), two fingers or the right button
// move and zoom it, the wheel zooms. A short touch that does not move is a tap.

/** What a pointer does to the figure. */
export interface PointerActions {
  /** A finger or the mouse goes down; true when it paints from here, so that it does not turn. */
  grab(x: number, y: number): boolean;
  /** It paints on. */
  stroke(x: number, y: number): void;
  lift(): void;
  /** A second finger came: what was painted is taken back. */
  drop(): void;
  tap(x: number, y: number): void;
  orbit(dx: number, dy: number): void;
  pan(dx: number, dy: number): void;
  zoom(factor: number): void;
}

/** A touch that moves less (CSS pixels) and is shorter (ms) is a tap. */
const STILL = 7;
const SHORT = 600;

type Doing = "nothing" | "orbit" | "pan" | "paint" | "pinch";

interface Finger {
  x: number;
  y: number;
}

export class Pointer {
  private readonly fingers = new Map<number, Finger>();
  private doing: Doing = "nothing";
  private from = { x: 0, y: 0, time: 0 };
  private still = true;

  constructor(
    private readonly el: HTMLElement,
    private readonly on: PointerActions,
  ) {
    el.addEventListener("pointerdown", (e) => this.down(e));
    el.addEventListener("pointermove", (e) => this.move(e));
    el.addEventListener("pointerup", (e) => this.up(e));
    el.addEventListener("pointercancel", (e) => this.up(e, true));
    el.addEventListener("wheel", (e) => this.wheel(e), { passive: false });
    el.addEventListener("contextmenu", (e) => e.preventDefault());
  }

  private at(e: { clientX: number; clientY: number }): Finger {
    const box = this.el.getBoundingClientRect();
    return { x: e.clientX - box.left, y: e.clientY - box.top };
  }

  private down(e: PointerEvent): void {
    if (this.fingers.size >= 2) return;
    const p = this.at(e);
    this.el.setPointerCapture(e.pointerId);
    this.fingers.set(e.pointerId, p);
    if (this.fingers.size === 2) {
      if (this.doing === "paint") this.on.drop();
      this.doing = "pinch";
      this.still = false;
      return;
    }
    this.from = { ...p, time: performance.now() };
    this.still = true;
    if (e.button === 2 || e.button === 1 || e.shiftKey) this.doing = "pan";
    else this.doing = this.on.grab(p.x, p.y) ? "paint" : "orbit";
  }

  private move(e: PointerEvent): void {
    const was = this.fingers.get(e.pointerId);
    if (!was) return;
    const p = this.at(e);
    if (Math.hypot(p.x - this.from.x, p.y - this.from.y) > STILL) this.still = false;
    if (this.doing === "pinch") this.pinch(e.pointerId, p);
    else if (this.doing === "paint") for (const step of steps(e)) this.strokeTo(this.at(step));
    else if (!this.still) this.drag(p.x - was.x, p.y - was.y);
    else return;
    this.fingers.set(e.pointerId, p);
  }

  private strokeTo(p: Finger): void {
    this.on.stroke(p.x, p.y);
  }

  private drag(dx: number, dy: number): void {
    if (this.doing === "pan") this.on.pan(dx, dy);
    else if (this.doing === "orbit") this.on.orbit(dx, dy);
  }

  /** Two fingers: how far they spread zooms, how far their middle goes moves. */
  private pinch(id: number, p: Finger): void {
    const other = [...this.fingers].find(([k]) => k !== id)?.[1];
    const was = this.fingers.get(id);
    if (!other || !was) return;
    const before = Math.hypot(was.x - other.x, was.y - other.y);
    const after = Math.hypot(p.x - other.x, p.y - other.y);
    if (before > 1 && after > 1) this.on.zoom(after / before);
    this.on.pan((p.x - was.x) / 2, (p.y - was.y) / 2);
  }

  private up(e: PointerEvent, cancelled = false): void {
    if (!this.fingers.delete(e.pointerId)) return;
    if (this.doing === "paint") {
      if (cancelled) this.on.drop();
      else this.on.lift();
    }
    const tapped = this.still && !cancelled && performance.now() - this.from.time < SHORT;
    if (this.fingers.size === 0) {
      this.doing = "nothing";
      if (tapped) this.on.tap(this.from.x, this.from.y);
    } else {
      this.doing = "orbit"; // the finger that stays goes on turning
    }
  }

  private wheel(e: WheelEvent): void {
    e.preventDefault();
    const lines = e.deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1;
    this.on.zoom(Math.exp(-e.deltaY * lines * (e.ctrlKey ? 0.01 : 0.0014)));
  }
}

/** The places that the pointer went through since the last event. */
function steps(e: PointerEvent): PointerEvent[] {
  const list = e.getCoalescedEvents?.() ?? [];
  return list.length ? list : [e];
}
