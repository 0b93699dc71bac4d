// The steps of this page that the server has not yet acknowledged, in order, kept in the browser's
// storage so that neither a reload nor a lost connection loses one.
import { newID } from "../../base/dom";
import { read as readAs } from "../../wire/door";
import type { Ask, Step } from "../../wire/types";

/** What the queue needs of localStorage; tests bring their own. */
export interface Shelf {
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
  removeItem(key: string): void;
  key(i: number): string | null;
  readonly length: number;
}

/** A queue left by a page that is gone may be taken over after this time without a sign of life. */
const ABANDONED_MS = 8000;
const ALIVE_MS = 2000;

interface Owner {
  page: string;
  seen: number;
  next: number;
}

/**
 * Queue of one client id for one design. A client id belongs to one open page: a reload takes it up
 * again, a copied tab gets a new one. seq rises by one from 1.
 */
export class Queue {
  client = "";
  steps: Step[] = [];
  /** Whether the browser's storage holds all steps; if not, a reload would lose them. */
  kept = true;
  /** Steps that were kept and that this program cannot read: they are let go of, and must be told of as refused. */
  unread = 0;
  private next = 1;
  private readonly page = newID();

  constructor(
    private readonly design: string,
    private readonly local: Shelf | null,
    private readonly session: Shelf | null,
    private readonly now: () => number = Date.now,
  ) {
    this.begin();
  }

  private begin(): void {
    const remembered = read(this.session, `tuckring:client:${this.design}`);
    const owner = remembered ? this.owner(remembered) : null;
    const taken = !!owner && owner.page !== "" && this.now() - owner.seen < ABANDONED_MS;
    if (remembered && !taken) this.adopt(remembered, owner);
    else this.renew();
    if (!this.steps.length) this.adoptAbandoned();
    write(this.session, `tuckring:client:${this.design}`, this.client);
    this.alive();
  }

  private adopt(client: string, owner: Owner | null): void {
    this.client = client;
    this.next = owner?.next ?? 1;
    this.steps = this.stored(client);
    const last = this.steps[this.steps.length - 1];
    if (last && last.seq >= this.next) this.next = last.seq + 1;
  }

  /** Takes a client id that nobody had before; its steps start anew at 1. */
  renew(): void {
    const old = this.steps;
    for (const s of old) this.erase(s.seq);
    if (this.client) remove(this.local, this.ownerKey(this.client));
    this.client = newID();
    this.next = 1;
    this.steps = [];
    for (const s of old) this.add(s.edit);
    write(this.session, `tuckring:client:${this.design}`, this.client);
    this.alive();
  }

  /** Takes over the steps of a page of this design that was closed before they were sent. */
  private adoptAbandoned(): void {
    for (const client of this.clients()) {
      const owner = this.owner(client);
      if (client === this.client || !owner) continue;
      if (owner.page !== "" && this.now() - owner.seen < ABANDONED_MS) continue;
      if (!this.stored(client).length) {
        if (this.now() - owner.seen > 24 * 3600_000) remove(this.local, this.ownerKey(client));
        continue;
      }
      remove(this.local, this.ownerKey(this.client));
      this.adopt(client, owner);
      return;
    }
  }

  /** Adds an edit and keeps it before anything is sent. */
  add(edit: Ask): Step {
    const step = { seq: this.next++, edit };
    this.steps.push(step);
    this.kept = write(this.local, this.stepKey(this.client, step.seq), JSON.stringify(edit)) && this.kept;
    this.alive();
    return step;
  }

  /** Forgets steps that the server has answered for. */
  done(seq: number): void {
    this.steps = this.steps.filter((s) => s.seq !== seq);
    this.erase(seq);
    if (!this.steps.length) this.kept = true;
  }

  /** The server expects another number next: gives the waiting steps new numbers from there. */
  renumber(expected: number): Step[] {
    const waiting = this.steps;
    for (const s of waiting) this.erase(s.seq);
    this.steps = [];
    this.next = expected;
    return waiting.map((s) => this.add(s.edit));
  }

  /** Signs that this page is alive, so that no other page takes its queue over. */
  alive(): void {
    const owner: Owner = { page: this.page, seen: this.now(), next: this.next };
    write(this.local, this.ownerKey(this.client), JSON.stringify(owner));
  }

  /** The page is leaving: its queue may be taken up at once. */
  leave(): void {
    const owner: Owner = { page: "", seen: this.now(), next: this.next };
    write(this.local, this.ownerKey(this.client), JSON.stringify(owner));
  }

  static readonly aliveMS = ALIVE_MS;

  private ownerKey(client: string): string {
    return `tuckring:page:${this.design}:${client}`;
  }

  private stepKey(client: string, seq: number): string {
    return `tuckring:step:${this.design}:${client}:${seq}`;
  }

  private erase(seq: number): void {
    remove(this.local, this.stepKey(this.client, seq));
  }

  private owner(client: string): Owner | null {
    return ownerIn(read(this.local, this.ownerKey(client)));
  }

  private stored(client: string): Step[] {
    const prefix = `tuckring:step:${this.design}:${client}:`;
    const out: Step[] = [];
    for (const key of keys(this.local)) {
      if (!key.startsWith(prefix)) continue;
      const seq = Number(key.slice(prefix.length));
      const edit = askIn(read(this.local, key));
      if (edit) out.push({ seq, edit });
      else {
        this.unread++;
        remove(this.local, key);
      }
    }
    return out.sort((a, b) => a.seq - b.seq);
  }

  private clients(): string[] {
    const prefix = `tuckring:page:${this.design}:`;
    return keys(this.local)
      .filter((k) => k.startsWith(prefix))
      .map((k) => k.slice(prefix.length));
  }
}

function keys(shelf: Shelf | null): string[] {
  const out: string[] = [];
  if (shelf) for (let i = 0; i < shelf.length; i++) out.push(shelf.key(i) ?? "");
  return out;
}

function read(shelf: Shelf | null, key: string): string | null {
  try {
    return shelf?.getItem(key) ?? null;
  } catch {
    return null;
  }
}

function write(shelf: Shelf | null, key: string, value: string): boolean {
  try {
    shelf?.setItem(key, value);
    return !!shelf;
  } catch {
    return false; // storage full or forbidden: the step lives on in memory
  }
}

function remove(shelf: Shelf | null, key: string): void {
  try {
    shelf?.removeItem(key);
  } catch {
    // nothing was kept there then
  }
}

/** The step that was kept; null when this program has no such step any more, or when it was cut short. */
function askIn(text: string | null): Ask | null {
  try {
    return text ? readAs("Ask", text) : null;
  } catch {
    return null;
  }
}

function ownerIn(text: string | null): Owner | null {
  try {
    const owner: unknown = text ? JSON.parse(text) : null;
    return isOwner(owner) ? owner : null;
  } catch {
    return null;
  }
}

function isOwner(value: unknown): value is Owner {
  if (typeof value !== "object" || value === null) return false;
  return (
    "page" in value &&
    typeof value.page === "string" &&
    "seen" in value &&
    typeof value.seen === "number" &&
    "next" in value &&
    typeof value.next === "number"
  );
}
