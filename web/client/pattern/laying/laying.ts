// A picture that is being laid over the grid: what it is, how it lies, which papers it may take, and the server's answer to
// that, which shows as a draft on the grid and on everything that shows the figure, until it is taken as one step.
import { Listeners } from "../../base/listeners";
import { say } from "../../base/words";
import { answer } from "../../wire/door";
import type { Edit, Lay, PictureAsk, PictureChoice, PictureTrial, ReadyPaper } from "../../wire/types";
import { dab, KEEP, type Place, placeOf } from "../model/model";
import { together } from "../model/twins";
import type { Editor } from "../tools/editor";
import type { Wall } from "./plane";
import { sendPicture, small } from "./send";

/** So long an undecided hand is waited for before the papers are asked for what more would bring. */
const CALM_MS = 500;

export class Laying {
  /** Something of it changed: the picture, how it lies, or what came of it. */
  readonly changed = new Listeners();
  image: ImageBitmap | null = null;
  lay: Lay | null = null;
  choice: PictureChoice = { clean: true };
  trial: PictureTrial | null = null;
  /** Why there is no picture, or nothing came of it. */
  wrong = "";
  /** Whether an answer is still to come. */
  waiting = false;

  private file: Blob | null = null;
  private name = "";
  private asking = false;
  private again = false;
  private fits = false;
  private on = false;
  private calm = 0;

  constructor(
    private readonly e: Editor,
    private readonly base: string,
  ) {
    const anew = () => this.on && this.lay && this.ask();
    e.on("figure", anew);
    e.on("part", () => {
      if (!this.on || !this.lay) return;
      this.lay = { ...this.lay, part: e.m.part?.id, from: undefined, to: undefined };
      this.fit();
    });
  }

  /** The wall that it lies on; before the first answer a plain one. */
  get wall(): Wall {
    const { trial } = this;
    return { around: trial?.around || this.e.m.widest, rise: trial?.rise || 1, open: trial?.open ?? false };
  }

  /** Whether the picture's width follows from how often it is repeated. */
  get widthIsGiven(): boolean {
    return this.lay?.way === "around";
  }

  /** Takes a file as the picture, made small enough to be sent. */
  async open(file: Blob): Promise<void> {
    let image: ImageBitmap;
    try {
      [image, this.file] = await small(file);
    } catch {
      this.wrong = say("laying.unread");
      this.changed.tell();
      return;
    }
    this.image?.close();
    Object.assign(this, {
      image,
      name: "",
      wrong: "",
      on: true,
      lay: { part: this.e.m.part?.id, way: "around", x: 0, y: 0, width: 1, height: 1 },
    });
    this.fit();
  }

  /** Lays it otherwise. */
  put(lay: Partial<Lay>): void {
    if (!this.lay) return;
    this.lay = { ...this.lay, ...lay };
    this.ask();
  }

  /** Lays it as it fits best, for the way, the times and the rows chosen. */
  fit(lay: Partial<Lay> = {}): void {
    if (!this.lay) return;
    this.lay = { ...this.lay, ...lay };
    this.fits = true;
    this.ask();
  }

  choose(choice: Partial<PictureChoice>): void {
    this.choice = { ...this.choice, ...choice };
    if (this.lay) this.ask();
  }

  /** Shows the draft, or takes it away while something else is done. */
  show(on: boolean): void {
    if (this.on === on || !this.image) return;
    this.on = on;
    if (on) this.ask();
    else this.undraft();
    this.changed.tell();
  }

  get shown(): boolean {
    return this.on && !!this.lay;
  }

  /** Takes it as one step, and lets the picture go. */
  take(): void {
    if (!this.trial || this.waiting) return;
    this.draft(this.trial);
    this.on = false;
    this.e.commit();
    this.end();
  }

  /** Lets the picture go; nothing was changed. */
  end(): void {
    this.undraft();
    this.image?.close();
    clearTimeout(this.calm);
    Object.assign(this, { image: null, lay: null, trial: null, file: null, name: "", on: false, wrong: "", waiting: false });
    this.changed.tell();
  }

  /** Papers that suit the picture best, at most so many, among the figure's own and the ready ones; null when there is no answer. */
  async suiting(best: number): Promise<PictureTrial | null> {
    if (!this.lay) return null;
    return this.answered({ lay: this.lay, choice: { ...this.choice, best, ready: true, stock: undefined, gains: false } });
  }

  /** Adds papers to the figure, as a step of its own. */
  add(papers: ReadyPaper[]): void {
    const edits: Edit[] = papers.map(({ id, name, hex }) => ({ do: "add_colour", id, name, hex }));
    if (edits.length) this.e.step(together(edits));
  }

  // ---------- asking ----------

  private ask(): void {
    this.waiting = true;
    this.changed.tell();
    if (this.asking) this.again = true;
    else void this.turn();
  }

  /** One question at a time: while one is answered only the last of all others waits. */
  private async turn(): Promise<void> {
    this.asking = true;
    do {
      this.again = false;
      clearTimeout(this.calm);
      const { lay, fits, image } = this;
      if (!lay) break;
      const trial = await this.answered({ lay, fit: fits, choice: this.choice });
      if (!this.lay || this.image !== image) break;
      if (!trial) {
        this.wrong ||= say("laying.no_answer");
        break;
      }
      this.took(trial, fits);
    } while (this.again);
    this.asking = false;
    this.waiting = false;
    this.changed.tell();
    if (this.again) this.ask();
  }

  private took(trial: PictureTrial, fits: boolean): void {
    this.wrong = trial.refused ? [trial.refused.what, trial.refused.fix].filter(Boolean).join(" ") : "";
    if (fits && this.fits) {
      this.fits = false;
      if (!this.again) this.lay = trial.lay;
    }
    if (!trial.refused) this.trial = trial;
    else if (this.trial) this.trial = { ...trial, paint: [] };
    else this.trial = trial;
    if (this.on) this.draft(this.trial);
    // What more paper would bring takes longer: it is asked for when the hand rests.
    if (!trial.refused && !this.choice.gains) this.calm = window.setTimeout(() => void this.gains(trial), CALM_MS);
  }

  private async gains(of: PictureTrial): Promise<void> {
    if (!this.lay || this.trial !== of) return;
    const more = await this.answered({ lay: this.lay, choice: { ...this.choice, gains: true } });
    if (!more || this.trial !== of || more.refused) return;
    this.trial = { ...of, one_more: more.one_more, ten_more: more.ten_more };
    this.changed.tell();
  }

  /** The server's answer; the picture is sent first where it is not there (any more). */
  private async answered(ask: Omit<PictureAsk, "picture">): Promise<PictureTrial | null> {
    for (let tries = 0; tries < 2; tries++) {
      try {
        if (!this.name && !(await this.send())) return null;
        const res = await fetch(`${this.base}/picture/try`, {
          method: "POST",
          headers: { "Content-Type": "application/json" },
          body: JSON.stringify({ ...ask, picture: this.name } satisfies PictureAsk),
        });
        if (res.ok) return await answer("PictureTrial", res);
        if (res.status !== 409) {
          const problem = await answer("Problem", res);
          this.wrong = [problem.what, problem.fix].filter(Boolean).join(" ");
          return null;
        }
        this.name = "";
      } catch {
        return null;
      }
    }
    return null;
  }

  private async send(): Promise<boolean> {
    if (!this.file) return false;
    const sent = await sendPicture(this.base, this.file);
    if ("wrong" in sent) this.wrong = sent.wrong;
    else this.name = sent.name;
    return !!this.name;
  }

  // ---------- the draft ----------

  private draft(trial: PictureTrial): void {
    const { m } = this.e;
    const dabs = new Map<Place, number>();
    for (const run of trial.paint ?? []) {
      const r = m.ringIndex(run.ring);
      const colour = m.indexOfColour(run.colour ?? "");
      if (r < 0 || colour < 0) continue;
      for (let u = run.at; u < run.at + run.n && u < m.rings[r].n; u++) dabs.set(placeOf(r, u), dab(colour, KEEP));
    }
    m.setDraft(dabs);
    this.e.tell("paint");
  }

  private undraft(): void {
    this.e.m.clearDraft();
    this.e.tell("paint");
  }
}
