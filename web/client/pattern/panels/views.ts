// What is seen from each side, always as the grid stands now, and a turntable in between.
import { calm, el } from "../../base/dom";
import type { Marks } from "../../base/marks";
import { say } from "../../base/words";
import type { Stage } from "../grid/stage";
import type { Editor } from "../tools/editor";
import type { Part } from "./panel";
import { paintSide, proportion, SIDES, type SideName } from "./sides";

/** Height of what stands in the part beside the four drawings: their names and edges, and the totals. */
const BESIDE_VIEWS = 300;
/** While a stroke is drawn the views follow at most so often, so that the stroke stays quick. */
const FOLLOW_MS = 90;

export class Views implements Part {
  readonly name = "views" as const;
  readonly root = el("div", { class: "views" });
  readonly thumb = el("canvas", { class: "thumb", "aria-hidden": "true" });
  private readonly sides = new Map<SideName, HTMLCanvasElement>();
  private readonly totals = el("div", { class: "totals" });
  private readonly later: () => void;

  constructor(
    private readonly e: Editor,
    stage: Stage,
    private readonly marks: Marks,
    private readonly visible: () => boolean,
    private readonly base: string,
  ) {
    const strip = el("div", { class: "side-views" });
    for (const side of Object.keys(SIDES) as SideName[]) {
      const canvas = el("canvas", { "aria-hidden": "true" });
      this.sides.set(side, canvas);
      const turnTo = () => {
        stage.view.turnTo(e.m.frontTurn + SIDES[side]);
        e.tell("look");
      };
      strip.append(
        el(
          "button",
          { type: "button", class: "side-view", title: say("side.show", { Side: say(`side.${side}`) }), onclick: turnTo },
          canvas,
          el("span", {}, say(`side.${side}`)),
        ),
      );
    }
    this.root.append(strip, this.totals);
    this.later = calm(() => this.paint(), FOLLOW_MS);
  }

  /** The figure changed: everything in sight follows soon. */
  changed(): void {
    this.later();
  }

  update(): void {
    this.paint();
  }

  private paint(): void {
    const { m } = this.e;
    if (!m.rings.length) return;
    const dpr = Math.min(2, devicePixelRatio || 1);
    if (this.thumb.offsetParent) {
      if (m.parts.length) this.paintWhole(64 * dpr, 76 * dpr);
      else this.paintInto(this.thumb, 0, 64 * dpr, 76 * dpr);
    }
    if (!this.visible() || !this.root.isConnected) return;
    const across = Math.max(90, Math.min(150, (this.root.clientWidth - 40) / 2));
    const room = (this.root.parentElement!.clientHeight - BESIDE_VIEWS) / 2;
    const high = Math.max(60, Math.min(260, Math.max(120, room), across / proportion(m)));
    this.root.classList.toggle("whole", m.parts.length > 0);
    for (const [side, canvas] of this.sides) {
      if (m.parts.length) {
        this.still(side, canvas);
        continue;
      }
      canvas.style.width = `${Math.round(across)}px`;
      canvas.style.height = `${Math.round(high)}px`;
      this.paintInto(canvas, SIDES[side], across * dpr, high * dpr);
    }
    this.count();
  }

  /** The thumb of a figure of several parts shows all of it, as the shelf does. */
  private paintWhole(w: number, h: number): void {
    const src = `${this.base}/picture.svg?rev=${this.e.m.rev}`;
    if (this.whole === src) return;
    this.whole = src;
    const image = new Image();
    image.onload = () => {
      if (this.whole !== src) return;
      this.thumb.width = Math.round(w);
      this.thumb.height = Math.round(h);
      const side = Math.min(w, h);
      this.thumb.getContext("2d")?.drawImage(image, (w - side) / 2, (h - side) / 2, side, side);
    };
    image.src = src;
  }
  private whole = "";

  /** A figure of several parts as the server draws it, once what was done here has arrived there. */
  private still(side: SideName, canvas: HTMLCanvasElement): void {
    const image = canvas.parentElement!.querySelector("img") ?? el("img", { alt: "" });
    const signs = this.marks.shows("signs") ? "&signs" : "";
    const src = `${this.base}/figure.svg?from=${side}${signs}&rev=${this.e.m.rev}`;
    if (image.getAttribute("src") === src) return;
    image.setAttribute("src", src);
    if (!image.isConnected) canvas.after(image);
  }

  private paintInto(canvas: HTMLCanvasElement, side: number, w: number, h: number): void {
    paintSide(canvas, this.e.m, this.e.m.frontTurn + side, Math.round(w), Math.round(h), this.marks.shows("signs"));
  }

  /** Totals as the server says them; the counts of papers stand at the colours. */
  private count(): void {
    const { m } = this.e;
    const t = m.totals;
    const split = t.units > t.in_rings ? [say("total.split", { InRings: t.in_rings, InExtras: t.units - t.in_rings })] : [];
    const lines = [
      say("total.units", { Count: t.units }),
      ...split,
      m.parts.length > 1 ? say("total.parts", { Count: m.parts.length }) : say("total.rings", { Count: m.rows.length }),
      say("total.sheets", { Count: t.sheets }),
    ];
    const text = lines.join("|");
    if (this.totals.dataset.text === text) return;
    this.totals.dataset.text = text;
    this.totals.replaceChildren(...lines.map((line) => el("p", {}, line)));
  }
}
