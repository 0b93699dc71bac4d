// Keeps the page and the server in step: sends the queue, listens to what everybody does, fetches the
// state anew when it has to, and says how the connection is.
import { whileShown } from "../../base/dom";
import { answer, told } from "../../wire/door";
import {
  ALIVE_MS,
  type Ask,
  AWAY_MS,
  type EditsAnswer,
  type EditsAsk,
  type Events,
  type HereAsk,
  type History,
  MAX_STEPS,
  type Person,
  type Refusal,
  type Step,
  type StepEvent,
} from "../../wire/types";
import { type Model, unseen } from "../model/model";
import { Queue } from "./queue";

export interface SyncEvents {
  /** The figure changed: by a step, or as a whole when step is null. */
  changed(step: StepEvent | null): void;
  /** The server refused a step; it has been taken back. */
  refused(reason: Refusal): void;
  /** The server took a step that was made after its last refusal. */
  taken?(): void;
  /** What the server has to say about a step it carried out. */
  remark?(text: string): void;
  people(list: Person[]): void;
  history(p: History): void;
  /** The address no longer opens the figure for us; steps not yet sent stay in the browser. */
  gone?(): void;
  /** Connection and steps still on their way. */
  status(s: Status): void;
}

export interface Status {
  online: boolean;
  waiting: number;
  /** How many of the waiting steps will show only when the server has them. */
  unseen: number;
  /** Whether waiting steps would survive a reload. */
  kept: boolean;
  /** Whether the server answers that its disk is full. */
  full: boolean;
}

/** Most steps and bytes in one post. */
const BATCH = MAX_STEPS / 10;
const BATCH_BYTES = 1 << 20;
/** Browsers let 64 KiB of bodies outlive their page (Fetch, 4.6); a character takes at most three bytes. */
const KEEPALIVE_CHARS = 20_000;
/** Answers that say: this address is not, or no longer, for you. */
const SHUT = new Set([401, 403, 404, 410]);
/** The answer of a server whose disk is full (RFC 4918, 11.5). */
const FULL = 507;
/** The answer of a server that wants to be left in peace for a while (RFC 6585, 4). */
const TOO_MUCH = 429;
/** No pause that a server asks for is longer. */
const PAUSE_MS = 30_000;
const RETRY_MS = [500, 1000, 2000, 4000, 8000];
/** So long after something that cannot be read, the state is fetched anew. */
const SHUN_MS = 4000;
/** Without any sign of the event stream for so long, it is opened anew. */
const SILENT_MS = 3 * ALIVE_MS;
/** So often a page that stays open says that it is still here. */
const HERE_MS = 0.4 * AWAY_MS;

export class Sync {
  private connected = true;
  private called = "";
  private sending = false;
  private failures = 0;
  private full = false;
  /** The last step that there was when one was refused. */
  private refusedAt = 0;
  /** Posts in a row whose numbers were not those that the server expected. */
  private misnumbered = 0;
  private stream: EventSource | null = null;
  private heard = 0;
  private retry = 0;
  /** The timer of a pause that the server asked for; 0 when steps may be sent. */
  private pause = 0;
  private history: History = { can_undo: false, can_redo: false };
  private lastHere = "";
  private hereSent = 0;
  private stopped = false;

  constructor(
    private readonly base: string,
    readonly model: Model,
    readonly queue: Queue,
    private readonly on: SyncEvents,
  ) {}

  /** Whether the server could be reached when it was last tried. */
  get online(): boolean {
    return this.connected;
  }

  /** What this person is called; "" when they have not said. */
  get name(): string {
    return this.called;
  }

  /** Says what this person is called from now on. */
  call(name: string): void {
    this.called = name;
  }

  /** Fetches the state, draws waiting steps on it and begins to listen and send. */
  async start(): Promise<void> {
    this.model.wait(this.queue.steps);
    if (this.queue.unread) this.on.refused({ what: "", fix: "", where: "" });
    await this.fetchState();
    this.listen();
    void this.send();
    setInterval(() => this.tick(), Queue.aliveMS);
    addEventListener("pagehide", () => this.leave());
    addEventListener("pageshow", (e) => e.persisted && location.reload());
    addEventListener("online", () => this.reconnect());
    whileShown(
      () => {
        this.tick();
        this.reconnect();
      },
      () => this.release(),
    );
  }

  /** Makes a step of an edit: drawn, kept and sent. */
  step(edit: Ask): void {
    const step = this.queue.add(edit);
    this.model.push(step);
    if (edit.do === "undo" || edit.do === "redo") this.guessHistory(edit.do);
    else this.setHistory({ can_undo: true, can_redo: false });
    this.on.changed(null);
    this.report();
    void this.send();
  }

  private guessHistory(what: "undo" | "redo"): void {
    if (what === "undo") this.setHistory({ ...this.history, can_redo: true });
    else this.setHistory({ ...this.history, can_undo: true });
  }

  private setHistory(p: History): void {
    this.history = p;
    this.on.history(p);
  }

  /** Waits until all steps have reached the server, no longer than so many ms; those that have not stay in the browser. */
  async sent(most: number): Promise<void> {
    const end = performance.now() + most;
    while (this.queue.steps.length && !this.stopped && performance.now() < end) await new Promise((again) => setTimeout(again, 20));
  }

  // ---------- sending ----------

  private async send(): Promise<void> {
    if (this.sending || this.stopped || this.pause || !this.queue.steps.length) return;
    this.sending = true;
    try {
      while (this.queue.steps.length && !this.stopped) {
        if (!(await this.post(batch(this.queue.steps)))) break;
      }
    } finally {
      this.sending = false;
      this.report();
    }
  }

  /** Sends some steps; false when it has to be tried again later. */
  private async post(steps: Step[]): Promise<boolean> {
    let res: Response;
    try {
      const body = JSON.stringify({ client: this.queue.client, name: this.name, steps } satisfies EditsAsk);
      res = await fetch(`${this.base}/edits`, {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body,
        keepalive: body.length < KEEPALIVE_CHARS, // goes on its way though the page is left
        signal: AbortSignal.timeout(20_000),
      });
      if (res.status === 409) return await this.outOfStep(res);
      if (SHUT.has(res.status)) return this.shut();
      if (res.status === FULL) return this.failed(true);
      if (res.status === TOO_MUCH) return this.later(res);
      if (res.status >= 500 || res.status === 408) return this.failed();
      if (!res.ok) return await this.refuseAll(res, steps);
      this.took(await answer("EditsAnswer", res));
    } catch {
      return this.failed();
    }
    this.failures = this.misnumbered = 0;
    this.setOnline(true);
    return true;
  }

  /** Takes the server's answers: accepted steps come back on the event stream, refused ones go. */
  private took(answer: EditsAnswer): void {
    for (const r of answer.results) {
      this.queue.done(r.seq);
      for (const remark of r.remarks ?? []) this.on.remark?.(remark);
      if (!r.refused && !r.nothing) {
        this.model.accepted(r.seq, r.rev ?? 0);
        if (r.seq > this.refusedAt) this.on.taken?.();
        continue;
      }
      this.model.refuse(r.seq);
      if (!r.refused) continue;
      this.refusedAt = Math.max(r.seq, ...this.queue.steps.map((s) => s.seq));
      this.on.refused(r.refused);
    }
    if (answer.totals) this.model.count(answer.totals, answer.rev);
    if (!this.queue.steps.length) this.setHistory(answer.history);
    this.on.changed(null);
    this.report();
  }

  /** The server counts this client's steps otherwise: the waiting ones get the numbers it expects. */
  private async outOfStep(res: Response): Promise<boolean> {
    const said = await answer("Problem", res).catch(() => null);
    const expected = said?.expected ?? 0;
    if (expected > 0) this.queue.renumber(expected);
    else this.queue.renew();
    this.model.wait(this.queue.steps);
    if (++this.misnumbered > 5) return this.failed();
    await this.fetchState().catch(() => undefined);
    this.listen();
    return true;
  }

  /** Nothing more can be sent or heard under this address: the link was taken back, the figure put away. */
  private shut(): boolean {
    if (this.stopped) return false;
    this.stopped = true;
    this.stream?.close();
    this.stream = null;
    this.on.gone?.();
    return false;
  }

  /** The server will never take these steps: one is malformed or too large. */
  private async refuseAll(res: Response, steps: Step[]): Promise<boolean> {
    // When the answer is a page, its status says enough.
    const said: Refusal = await answer("Problem", res).catch(() => ({ what: "", fix: "", where: "" }));
    for (const s of steps) {
      this.queue.done(s.seq);
      this.model.refuse(s.seq);
    }
    this.on.refused(said);
    this.on.changed(null);
    return true;
  }

  /** The server asks for a pause: the steps wait in the queue, and the page is as connected as before. */
  private later(res: Response): boolean {
    const asked = Number(res.headers.get("Retry-After") ?? 0) * 1000;
    const wait = Math.min(PAUSE_MS, Math.max(RETRY_MS[0], asked || 0));
    this.pause = window.setTimeout(() => {
      this.pause = 0;
      void this.send();
    }, wait);
    return false;
  }

  private failed(full = false): boolean {
    if (this.full !== full) {
      this.full = full;
      this.report();
    }
    this.setOnline(false);
    const wait = RETRY_MS[Math.min(this.failures++, RETRY_MS.length - 1)];
    clearTimeout(this.retry);
    this.retry = window.setTimeout(() => this.reconnect(), wait);
    return false;
  }

  // ---------- listening ----------

  private get eventsURL(): string {
    return `${this.base}/events?since=${this.model.rev}&client=${this.queue.client}`;
  }

  /** Finds out why the event stream broke off: a page cannot see its status. */
  private async probe(): Promise<void> {
    const stop = new AbortController();
    try {
      const res = await fetch(this.eventsURL, { signal: stop.signal });
      if (SHUT.has(res.status)) this.shut();
    } catch {
      // nobody answers: an ordinary lost connection
    } finally {
      stop.abort();
    }
  }

  private listen(): void {
    this.stream?.close();
    this.stream = null;
    if (this.stopped || document.hidden) return;
    const source = new EventSource(this.eventsURL);
    this.stream = source;
    this.heard = performance.now();
    const hear = <N extends keyof Events>(what: N, take: (data: Events[N]) => void) =>
      source.addEventListener(what, (e: MessageEvent<string>) => {
        this.heard = performance.now();
        const data = readable(what, e.data);
        if (data) take(data);
        else this.startOver(source);
      });
    source.onopen = () => {
      this.heard = performance.now();
      this.failures = 0;
      this.setOnline(true);
      void this.send();
    };
    source.onerror = () => {
      if (this.stream !== source) return;
      source.close();
      this.stream = null;
      this.failed();
      void this.probe();
    };
    hear("step", (step) => {
      if (this.model.receive(step, this.queue.client)) this.on.changed(step);
    });
    hear("people", (list) => this.on.people(list));
    hear("history", (p) => this.setHistory(p));
    hear("totals", (t) => {
      this.model.count(t.totals, t.rev);
      this.on.changed(null);
    });
    hear("alive", () => undefined);
    hear("resync", () => void this.resync());
  }

  /** What came on the stream cannot be read, so steps may be missing: the whole state is fetched anew, but not over and over. */
  private startOver(source: EventSource): void {
    if (this.stream !== source) return;
    source.close();
    this.stream = null;
    clearTimeout(this.retry);
    this.retry = window.setTimeout(() => void this.resync(), SHUN_MS);
  }

  /** Lets go of the stream while the page is hidden; what is missed comes when it is shown again. */
  private release(): void {
    this.stream?.close();
    this.stream = null;
    this.lastHere = "";
  }

  private async resync(): Promise<void> {
    try {
      await this.fetchState();
      this.listen();
    } catch {
      this.failed();
    }
  }

  private async fetchState(): Promise<void> {
    const res = await fetch(`${this.base}/state`, { headers: { Accept: "application/json" } });
    if (!res.ok) throw new Error(`state: ${res.status}`);
    const state = await answer("StateWire", res);
    this.model.wait(this.queue.steps);
    this.model.load(state);
    this.setHistory(state.history);
    this.on.changed(null);
  }

  private reconnect(): void {
    if (this.stopped) return;
    clearTimeout(this.retry);
    if (!this.stream) this.listen();
    void this.send();
  }

  private tick(): void {
    this.queue.alive();
    if (this.stream && performance.now() - this.heard > SILENT_MS) this.listen();
    if (this.queue.steps.length) void this.send();
  }

  private leave(): void {
    this.queue.leave();
    this.stopped = true;
    this.release();
  }

  // ---------- people and status ----------

  /** Tells the others where this hand is. */
  here(ring: number, unit: number): void {
    const body = JSON.stringify({ client: this.queue.client, name: this.name, ring, unit } satisfies HereAsk);
    const now = performance.now();
    if ((body === this.lastHere && now - this.hereSent < HERE_MS) || !this.online || this.stopped) return;
    this.lastHere = body;
    this.hereSent = now;
    void fetch(`${this.base}/here`, { method: "POST", headers: { "Content-Type": "application/json" }, body }).catch(() => undefined);
  }

  private setOnline(online: boolean): void {
    if (this.online === online) return;
    this.connected = online;
    if (online) this.full = false;
    this.report();
  }

  private report(): void {
    this.on.status({
      online: this.online,
      waiting: this.queue.steps.length,
      unseen: unseen(this.model.pending),
      kept: this.queue.kept,
      full: this.full,
    });
  }
}

function readable<N extends keyof Events>(what: N, text: string): Events[N] | null {
  try {
    return told(what, text);
  } catch {
    return null;
  }
}

/** The next steps to send together. */
export function batch(steps: Step[]): Step[] {
  const out: Step[] = [];
  let bytes = 0;
  for (const s of steps) {
    bytes += JSON.stringify(s).length;
    if (out.length && (out.length >= BATCH || bytes > BATCH_BYTES)) break;
    out.push(s);
  }
  return out;
}
