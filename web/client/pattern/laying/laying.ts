// A picture that is being laid over the grid: what it is, how it lies, which papers it may take, and the server's answer to
// that, which shows ahead on the grid and on everything that shows the figure, until it is taken as one step.
import { Listeners } from "../../base/listeners";
import { say } from "../../base/words";
import { answer } from "../../wire/door";
import type { Edit, Lay, PictureAsk, PictureChoice, PictureTrial, ReadyPaper } from "../../wire/types";
import { dab, KEEP, type Place, placeOf } from "../model/model";
import { together } from "../model/twins";
import type { Editor } from "../tools/editor";
import type { Wall } from "./plane";
import { type Nothing, problemIn, sendPicture, small } from "./send";

/** So long an undecided hand is waited for before the papers are asked for what more would bring. */
const CALM_MS = 500;
/** So long after a question that got no answer it is asked again; the last for all further ones. */
const AGAIN_MS = [1000, 2000, 4000, 8000, 15_000];
/** No answer after so long is none; a picture may be long on its way. */
const ANSWER_MS = 20_000;
const SEND_MS = 120_000;
/** No pause that a server asks for is longer. */
const PAUSE_MS = 30_000;

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
  /** Whether a picture is being read. */
  reading = false;

  private file: Blob | null = null;
  /** What the server calls the files that it has. */
  private readonly names = new WeakMap<Blob, string>();
  /** How it lay on the parts that were in view before, by their identity. */
  private readonly lays = new Map<number, Lay>();
  /** Counts files that were opened and pictures that were let go: a file that is read later than another one was opened comes too late. */
  private opening = 0;
  /** Counts what there is to ask; only an answer to the last can be taken. */
  private asked = 0;
  private answered = 0;
  /** Whether numbers of the last answer may be others by now, though not its paint. */
  private outdated = false;
  private ground = "";
  private asking = false;
  private fits = false;
  private on = false;
  private calm = 0;
  private retry = 0;
  private failures = 0;
  /** Nothing is asked before, by the page's clock. */
  private notBefore = 0;

  constructor(
    private readonly e: Editor,
    private readonly base: string,
  ) {
    for (const topic of ["figure", "part"] as const) e.on(topic, () => this.figureChanged());
    addEventListener("online", () => this.askNow());
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

  /** Takes a file as the picture, made small enough to be sent; of several that were chosen quickly the last. */
  async open(file: Blob): Promise<void> {
    const opening = ++this.opening;
    Object.assign(this, { reading: true, wrong: "" });
    this.changed.tell();
    const read = await small(file).catch(() => null);
    if (opening !== this.opening) {
      read?.[0].close();
      return;
    }
    this.reading = false;
    if (!read) {
      this.wrong = say("laying.unread");
      this.changed.tell();
      return;
    }
    this.image?.close();
    this.lays.clear();
    [this.image, this.file] = read;
    this.trial = null;
    this.lay = { part: this.e.m.part?.id, way: "around", x: 0, y: 0, width: 1, height: 1 };
    this.ground = this.lies;
    if (this.on) this.e.showAhead(new Map());
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

  /** Shows it over the grid, or takes it away while something else is done. */
  show(on: boolean): void {
    if (this.on === on) return;
    this.on = on;
    if (!this.lay) return;
    if (on) {
      this.e.showAhead(this.current && this.trial ? this.dabs(this.trial) : new Map());
      this.askNow();
    } else {
      this.rest();
      this.e.endAhead();
    }
    this.changed.tell();
  }

  get shown(): boolean {
    return this.on && !!this.lay;
  }

  /** Whether the last answer is of the picture as it lies now, and no other picture is on its way. */
  get current(): boolean {
    return this.shown && !this.reading && this.answered === this.asked;
  }

  /** Whether what is seen is what comes of the picture as it lies now, so that it can be taken. */
  get ready(): boolean {
    return this.current && !!this.trial?.paint?.length;
  }

  /** Takes it as one step, and lets the picture go. */
  take(): void {
    if (!this.ready) return;
    const { lay } = this;
    this.lay = null; // the step asks nothing more of it
    if (this.e.keepAhead()) {
      this.end();
      return;
    }
    this.lay = lay;
    this.wrong = say("laying.same");
    this.changed.tell();
  }

  /** Lets the picture go; nothing was changed. */
  end(): void {
    this.opening++;
    this.rest();
    this.image?.close();
    this.lays.clear();
    const nothing = { image: null, lay: null, trial: null, file: null, wrong: "", waiting: false, reading: false, fits: false };
    Object.assign(this, nothing);
    this.e.endAhead();
    this.changed.tell();
  }

  private rest(): void {
    clearTimeout(this.calm);
    clearTimeout(this.retry);
    this.failures = 0;
  }

  /** Papers that suit the picture best, at most so many, among the figure's own and the ready ones; null when there is no answer. */
  async suiting(best: number): Promise<PictureTrial | null> {
    const { lay, file } = this;
    if (!lay) return null;
    const found = await this.answer({ lay, choice: { ...this.choice, best, ready: true, stock: undefined, gains: false } });
    return "wrong" in found || file !== this.file ? null : found;
  }

  /** Adds papers to the figure, as a step of its own. */
  add(papers: ReadyPaper[]): void {
    const edits: Edit[] = papers.map(({ id, name, hex }) => ({ do: "add_colour", id, name, hex }));
    if (edits.length) this.e.step(together(edits));
  }

  // ---------- the figure under it ----------

  /** What the paint depends on beside the picture; with a stock also on what is painted elsewhere. */
  private get lies(): string {
    const { m } = this.e;
    return JSON.stringify([m.part?.id, m.shape, m.colours, this.choice.stock?.length ? m.rev : 0]);
  }

  /** The figure is another, or another part of it is in view, whether the picture is shown or not. */
  private figureChanged(): void {
    const { lay } = this;
    if (!lay) return;
    const { m } = this.e;
    this.outdated = true;
    if (this.lies === this.ground) {
      if (this.shown && this.trial && !m.draftSize) this.e.showAhead(this.dabs(this.trial)); // a repair may have taken it away
      this.askNow();
      return;
    }
    const part = m.part?.id;
    if (lay.part === undefined || part === undefined) this.lay = { ...lay, part };
    else if (lay.part !== part) {
      if (!this.fits) this.lays.set(lay.part, lay);
      const before = this.lays.get(part);
      this.lay = before ?? { ...lay, part, from: undefined, to: undefined };
      this.fits = !before;
      this.trial = null;
    }
    // Rows and papers that went are not asked for.
    const rows = m.rings.length;
    if ((this.lay?.to ?? 0) > rows) this.lay = { ...this.lay!, to: rows, from: Math.min(this.lay?.from ?? 1, rows) };
    const { stock, ground } = this.choice;
    this.choice = {
      ...this.choice,
      stock: stock?.filter((s) => m.indexOfColour(s.colour) >= 0),
      ground: ground && m.indexOfColour(ground) < 0 ? "" : ground,
    };
    this.ground = this.lies;
    this.ask();
  }

  // ---------- asking ----------

  private ask(): void {
    this.asked++;
    this.failures = 0;
    this.askNow();
    this.changed.tell();
  }

  private get unanswered(): boolean {
    return this.shown && (this.answered !== this.asked || this.outdated);
  }

  /** Asks what is not answered yet; while the picture is not shown, nothing. */
  askNow(): void {
    clearTimeout(this.retry);
    if (!this.unanswered || this.asking) return;
    const pause = this.notBefore - performance.now();
    if (pause > 0) this.retry = window.setTimeout(() => this.askNow(), pause);
    else void this.turn();
  }

  /** One question at a time: while one is answered only the last of all others waits. */
  private async turn(): Promise<void> {
    this.asking = this.waiting = true;
    let nothing: Nothing | null = null;
    while (this.lay && this.unanswered) {
      clearTimeout(this.calm);
      this.outdated = false;
      const { lay, asked, file, fits } = this;
      const got = await this.answer({ lay, fit: fits, choice: this.choice });
      if (file !== this.file) continue;
      if (!("wrong" in got)) this.took(got, lay, fits, asked);
      else {
        this.outdated = true;
        nothing = got;
        if (got.again || asked === this.asked) break;
      }
    }
    this.asking = this.waiting = false;
    if (nothing && this.shown) this.gotNothing(nothing);
    this.changed.tell();
  }

  /** Says what is wrong, and asks again after a while where another answer may come. */
  private gotNothing({ wrong, again, after }: Nothing): void {
    this.wrong = wrong;
    if (!again) return;
    const pause = AGAIN_MS[Math.min(this.failures++, AGAIN_MS.length - 1)];
    this.notBefore = performance.now() + Math.min(after ?? 0, PAUSE_MS);
    this.retry = window.setTimeout(() => this.askNow(), Math.max(pause, after ?? 0));
  }

  private took(trial: PictureTrial, of: Lay, fits: boolean, asked: number): void {
    this.failures = 0;
    this.wrong = trial.refused ? [trial.refused.what, trial.refused.fix].filter(Boolean).join(" ") : "";
    const last = asked === this.asked;
    if (last) this.answered = asked;
    if (fits && last) {
      this.fits = false;
      this.lay = trial.lay;
    } else if (of.part !== this.lay?.part) return; // of a part that is no longer in view
    this.trial = trial.refused && this.trial ? { ...trial, paint: [] } : trial;
    if (this.on) this.e.showAhead(this.dabs(this.trial));
    this.changed.tell();
    // What more paper would bring takes longer: it is asked for when the hand rests.
    if (last && !trial.refused && !this.choice.gains) this.calm = window.setTimeout(() => void this.gains(trial), CALM_MS);
  }

  private async gains(of: PictureTrial): Promise<void> {
    if (!this.lay || this.trial !== of) return;
    const more = await this.answer({ lay: this.lay, choice: { ...this.choice, gains: true } });
    if ("wrong" in more || more.refused || this.trial !== of) return;
    this.trial = { ...of, one_more: more.one_more, ten_more: more.ten_more };
    this.changed.tell();
  }

  /** The server's answer; the picture is sent first where it is not there (any more). */
  private async answer(ask: Omit<PictureAsk, "picture">): Promise<PictureTrial | Nothing> {
    const { file, names } = this;
    const none: Nothing = { wrong: say("laying.asks_again"), again: true };
    if (!file) return none;
    try {
      for (let tries = 0; tries < 2; tries++) {
        if (!names.has(file)) {
          const sent = await sendPicture(this.base, file, AbortSignal.timeout(SEND_MS));
          if ("wrong" in sent) return sent;
          names.set(file, sent.name);
        }
        const res = await fetch(`${this.base}/picture/try`, {
          method: "POST",
          headers: { "Content-Type": "application/json" },
          body: JSON.stringify({ ...ask, picture: names.get(file)! } satisfies PictureAsk),
          signal: AbortSignal.timeout(ANSWER_MS),
        });
        if (res.ok) return await answer("PictureTrial", res);
        if (res.status !== 409) return await problemIn(res);
        names.delete(file); // it was kept for a while only
      }
    } catch {
      // no connection, or what came was no answer of ours
    }
    return none;
  }

  // ---------- what is shown ----------

  /** What comes of the picture, by places of the part in view. */
  private dabs(trial: PictureTrial): Map<Place, number> {
    const { m } = this.e;
    const dabs = new Map<Place, number>();
    for (const run of trial.paint ?? []) {
      const r = m.ringIndex(run.ring);
      const colour = m.indexOfColour(run.colour ?? "");
      if (r < 0 || colour < 0) continue;
      for (let u = run.at; u < run.at + run.n && u < m.rings[r].n; u++) dabs.set(placeOf(r, u), dab(colour, KEEP));
    }
    return dabs;
  }
}
