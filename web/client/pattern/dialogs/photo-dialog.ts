// Papers taken from a photo of the sheets: the white sheet is touched first, then each paper; the server reads their colours as
// they would be in white light, which is approximate.
import { el, newID, onPress } from "../../base/dom";
import { icon } from "../../base/icons";
import { showDialog } from "../../base/popover";
import { say } from "../../base/words";
import { answer } from "../../wire/door";
import { type Edit, MAX_COLOURS, MAX_NAME, MAX_SHEETS, type SheetRead, type SheetsAsk, type Spot } from "../../wire/types";
import { sendPicture, small } from "../laying/send";
import { together } from "../model/twins";
import type { Editor } from "../tools/editor";

/** How far an arrow key moves the cross, in shares of the photo. */
const STEP = 0.02;
/** The photo is drawn no wider than this, CSS pixels. */
const WIDE = 640;

export function photoDialog(e: Editor, base: string): void {
  new PhotoDialog(e, base).open();
}

class PhotoDialog {
  private readonly file = el("input", { type: "file", id: "photo-file", accept: "image/*", class: "seen-by-readers" });
  private readonly canvas = el("canvas", {
    class: "photo",
    tabindex: 0,
    role: "application",
    "aria-label": say("photo.canvas"),
    hidden: true,
  });
  private readonly how = el("p", { role: "status" }, say("photo.how"));
  private readonly wrong = el("p", { class: "wrong", role: "alert", hidden: true });
  private readonly list = el("ol", { class: "bare photo-sheets" });
  private readonly add = el("button", { type: "button", class: "main", "aria-disabled": "true" }, say("photo.add", { Count: 0 }));
  private readonly again = el("button", { type: "button", hidden: true }, say("photo.white_again"));

  private image: ImageBitmap | null = null;
  private name = "";
  private blob: Blob | null = null;
  private white: Spot | null = null;
  private spots: Spot[] = [];
  private sheets: SheetRead[] = [];
  private names: string[] = [];
  private cross: Spot = { x: 0.5, y: 0.5 };
  private turn = 0;

  constructor(
    private readonly e: Editor,
    private readonly base: string,
  ) {}

  open(): void {
    const choose = el("label", { class: "button", for: this.file.id }, icon("picture"), el("span", {}, say("photo.choose")));
    const dialog = showDialog(
      say("photo.title"),
      el(
        "div",
        { class: "photo-dialog" },
        this.how,
        el("div", { class: "picture-choose" }, this.file, choose, this.again),
        this.wrong,
        this.canvas,
        this.list,
        el("p", { class: "hint" }, say("photo.about")),
        el("div", { class: "dialog-actions" }, this.add),
      ),
      () => this.image?.close(),
    );
    dialog.classList.add("wide");
    this.file.addEventListener("change", () => this.file.files?.[0] && void this.take(this.file.files[0]));
    this.canvas.addEventListener("pointerdown", (ev) => {
      const box = this.canvas.getBoundingClientRect();
      this.touch({ x: (ev.clientX - box.left) / box.width, y: (ev.clientY - box.top) / box.height });
    });
    this.canvas.addEventListener("keydown", (ev) => this.key(ev));
    onPress(this.again, () => {
      this.white = null;
      this.show();
    });
    onPress(this.add, () => {
      if (this.add.getAttribute("aria-disabled") === "true") return;
      dialog.close();
      this.keep();
    });
  }

  private async take(file: Blob): Promise<void> {
    this.say("");
    try {
      const [image, blob] = await small(file);
      this.image?.close();
      Object.assign(this, { image, blob, name: "", white: null, spots: [], sheets: [], names: [] });
    } catch {
      this.say(say("laying.unread"));
    }
    this.show();
  }

  private key(ev: KeyboardEvent): void {
    const by = { ArrowLeft: [-STEP, 0], ArrowRight: [STEP, 0], ArrowUp: [0, -STEP], ArrowDown: [0, STEP] }[ev.key];
    const within = (v: number) => Math.max(0, Math.min(1, v));
    if (by) this.cross = { x: within(this.cross.x + by[0]), y: within(this.cross.y + by[1]) };
    else if (ev.key === "Enter" || ev.key === " ") this.touch(this.cross);
    else return;
    ev.preventDefault();
    this.show();
  }

  /** The first touch is the white sheet, the others are papers. */
  private touch(at: Spot): void {
    this.cross = at;
    if (!this.white) this.white = at;
    else if (this.spots.length < MAX_SHEETS) this.spots.push(at);
    this.show();
    void this.read();
  }

  private async read(): Promise<void> {
    const { white, spots } = this;
    if (!white || !spots.length || !this.blob) return;
    const turn = ++this.turn;
    try {
      for (let tries = 0; tries < 2; tries++) {
        if (!this.name) {
          const sent = await sendPicture(this.base, this.blob);
          if ("wrong" in sent) return this.say(sent.wrong);
          this.name = sent.name;
        }
        const res = await fetch(`${this.base}/picture/sheets`, {
          method: "POST",
          headers: { "Content-Type": "application/json" },
          body: JSON.stringify({ picture: this.name, white, at: spots } satisfies SheetsAsk),
        });
        if (res.status === 409) {
          this.name = ""; // no longer kept: it is sent again
          continue;
        }
        if (!res.ok) break;
        const read = await answer("SheetsRead", res);
        if (turn !== this.turn) return;
        this.sheets = read.sheets ?? [];
        this.say(read.refused ? read.refused.what : "");
        this.show();
        return;
      }
      this.say(say("photo.no_answer"));
    } catch {
      this.say(say("photo.no_answer"));
    }
  }

  private say(text: string): void {
    this.wrong.textContent = text;
    this.wrong.hidden = !text;
  }

  /** A name that no paper of the figure and of the photo has yet. */
  private freeName(name: string, others: string[]): string {
    const taken = new Set([...this.e.m.colours.map((c) => c.name), ...others]);
    let out = name;
    for (let k = 2; taken.has(out); k++) out = `${name} ${k}`;
    return out;
  }

  private show(): void {
    const { image, canvas } = this;
    canvas.hidden = !image;
    this.again.hidden = !this.white;
    this.how.textContent = say(!image ? "photo.how" : !this.white ? "photo.touch_white" : "photo.touch_papers");
    const count = this.sheets.length;
    const room = MAX_COLOURS - this.e.m.colours.length;
    this.add.textContent = say("photo.add", { Count: count });
    this.add.setAttribute("aria-disabled", String(!count || count > room));
    if (count > room) this.say(this.e.noMoreColours || say("photo.room", { Count: room }));
    if (image) this.draw(image);
    this.rows();
  }

  private draw(image: ImageBitmap): void {
    const { canvas } = this;
    const w = Math.min(WIDE, image.width);
    const h = Math.round((w * image.height) / image.width);
    if (canvas.width !== w || canvas.height !== h) Object.assign(canvas, { width: w, height: h });
    const c = canvas.getContext("2d")!;
    c.drawImage(image, 0, 0, w, h);
    const ring = ({ x, y }: Spot, text: string) => {
      c.beginPath();
      c.arc(x * w, y * h, 11, 0, 7);
      for (const [width, ink] of [
        [4, "#fffdf8"],
        [2, "#2b2a33"],
      ] as const) {
        c.lineWidth = width;
        c.strokeStyle = ink;
        c.stroke();
      }
      c.font = "700 13px sans-serif";
      c.textAlign = "center";
      c.textBaseline = "middle";
      c.lineWidth = 3;
      c.strokeStyle = "#fffdf8";
      c.strokeText(text, x * w, y * h);
      c.fillStyle = "#2b2a33";
      c.fillText(text, x * w, y * h);
    };
    if (this.white) ring(this.white, "○");
    for (const [k, s] of this.spots.entries()) ring(s, String(k + 1));
    if (document.activeElement === canvas) ring(this.cross, "+");
  }

  private rows(): void {
    const rows = this.sheets.map((sheet, k) => {
      this.names[k] ??= this.freeName(sheet.name, this.names.slice(0, k));
      const square = el("span", { class: "photo-square", "aria-hidden": "true" });
      square.style.backgroundColor = sheet.hex;
      const name = el("input", {
        type: "text",
        maxlength: MAX_NAME,
        value: this.names[k],
        "aria-label": say("photo.name", { Number: k + 1 }),
      });
      name.addEventListener("input", () => (this.names[k] = name.value));
      const away = el(
        "button",
        { type: "button", class: "quiet round", "aria-label": say("photo.away", { Name: this.names[k] }) },
        icon("close"),
      );
      onPress(away, () => {
        for (const list of [this.spots, this.sheets, this.names]) list.splice(k, 1);
        this.show();
      });
      const uneven = sheet.uneven ? el("span", { class: "hint" }, say("photo.uneven")) : null;
      return el("li", {}, el("span", {}, String(k + 1)), square, name, away, uneven);
    });
    const at = document.activeElement instanceof HTMLInputElement && this.list.contains(document.activeElement);
    if (!at || rows.length !== this.list.children.length) this.list.replaceChildren(...rows);
  }

  /** Adds the papers to the figure, in one step. */
  private keep(): void {
    const edits: Edit[] = this.sheets.map((sheet, k) => ({
      do: "add_colour",
      id: `c${newID().slice(0, 8)}`,
      name: this.names[k].trim() || sheet.name,
      hex: sheet.hex,
    }));
    this.e.step(together(edits));
  }
}
