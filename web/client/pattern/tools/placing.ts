// Something is held over the grid and not yet put down: a pasted block, a moved one, a stamp. Shown as
// it would fall; put down by a press, a key or a button.

import { Listeners } from "../../base/listeners";
import type { Edit, Extra } from "../../wire/types";
import { type Block, fall, ground, laid, laidExtras, mirrored } from "../model/blocks";
import { type Spot, step } from "../model/lattice";
import { type Place, ringOf, unitOf } from "../model/model";
import { type Motif, motifBlock } from "../model/motifs";
import { images, moves } from "../model/symmetry";
import { copyOf, type Seat, withTwins } from "../model/twins";
import type { Editor } from "./editor";

export interface Held {
  kind: "paste" | "move" | "stamp";
  motif?: Motif;
}

export class Placing {
  held: Held | null = null;
  place: Place = 0;
  /** The other way a block can fall on a staggered ring, −1 when there is none. */
  other: Place = -1;
  private block: Block | null = null;
  /** Whether a finger or key has brought it where it is, so that it is meant to stay there; a mouse only passes by. */
  private aimed = false;
  /** Whether a stamp has been put down already. */
  stamped = false;
  private turned = false;
  private under = new Map<Place, number>();

  /** What is held came, went, or would fall elsewhere. */
  readonly changed = new Listeners();

  constructor(private readonly e: Editor) {}

  /** Takes a block in hand, over a place. */
  takeBlock(block: Block, kind: "paste" | "move", at: Place, from: Iterable<Place> = []): void {
    if (!this.e.mayDraw()) return;
    this.e.cancel();
    this.held = { kind };
    this.block = block;
    this.aimed = false;
    this.stamped = false;
    this.turned = false;
    this.under = kind === "move" ? ground(this.e.m, from) : new Map();
    this.putAt(at);
  }

  /** Takes a motif in hand. */
  takeMotif(motif: Motif, at: Place): void {
    if (!this.e.mayDraw()) return;
    this.e.cancel();
    this.held = { kind: "stamp", motif };
    this.aimed = false;
    this.stamped = false;
    this.turned = false;
    this.under = new Map();
    this.putAt(at);
  }

  /** A hand holds it over a spot: a finger brings it there to stay, a mouse passes by. */
  carry(s: Spot, touch: boolean): void {
    this.aimed ||= touch;
    this.over(s);
  }

  private over(s: Spot): void {
    const { m } = this.e;
    const ring = Math.max(0, Math.min(m.rings.length - 1, Math.round(s.high - 1)));
    const f = fall(m, this.now(ring), ring, s.turn);
    this.place = f.place;
    this.other = f.other;
    this.show();
  }

  /** Holds it with its anchor on a place. */
  putAt(p: Place): void {
    const ring = this.e.m.rings[ringOf(p)];
    this.over({ turn: ring.middle(unitOf(p)) + 1e-4, high: ringOf(p) + 1 });
  }

  /** Moves it by one step of the grid, as a key does. */
  step(dx: number, dy: number): void {
    const { m } = this.e;
    const ring = m.rings[ringOf(this.place)];
    this.aimed = true;
    this.putAt(step(m, this.place, dx, dy, ring.middle(unitOf(this.place))));
    this.e.setFocus(this.place);
  }

  /** Lets it fall the other way. */
  fallOther(): void {
    if (this.other < 0) return;
    const was = this.place;
    this.place = this.other;
    this.other = was;
    this.show();
  }

  turnOver(): void {
    this.turned = !this.turned;
    this.show();
  }

  /** Puts it down as one step; a stamp stays in hand. */
  put(): void {
    if (!this.held || !this.e.mayDraw()) return;
    this.show(); // whatever came between may have cleared the draft
    const stays = this.held.kind === "stamp";
    this.aimed = false;
    this.stamped = stays;
    this.e.commit(this.extraEdits());
    if (stays) this.show();
    else {
      this.e.select(this.places());
      this.stop();
    }
    this.e.tell("paint");
  }

  /** Ends with what is seen put down: a block, and a stamp that was aimed since it was put down last. */
  finish(): void {
    if (!this.held) return;
    if (this.held.kind !== "stamp" || this.aimed) this.put();
    this.stop();
  }

  /** Whether letting go would lose something: not after a stamp was put down and before it is aimed anew. */
  get pending(): boolean {
    return this.held !== null && (!this.stamped || this.aimed);
  }

  /** Ends with nothing put down. */
  stop(): void {
    if (!this.held) return;
    this.held = null;
    this.block = null;
    this.e.undraft();
    this.e.tell("paint");
    this.changed.tell();
  }

  private now(ring: number): Block {
    const block = this.held?.motif ? motifBlock(this.held.motif, this.e.m, ring) : this.block!;
    return this.turned ? mirrored(block) : block;
  }

  /** Units that it would cover; none when nothing is held. */
  places(): Place[] {
    if (!this.held) return [];
    return [...laid(this.e.m, this.now(ringOf(this.place)), this.place, 0).keys()];
  }

  /** Extras that go with it, each with where it would come to stand. */
  extras(): { extra: Extra; seat: Seat }[] {
    return this.held ? laidExtras(this.e.m, this.now(ringOf(this.place)), this.place) : [];
  }

  /** A moved block carries its extras along; a pasted one brings others like them, with their images. */
  private extraEdits(): Edit[] {
    const { m, symmetry } = this.e;
    if (this.held?.kind !== "move")
      return this.extras().map(({ extra, seat }) => withTwins(m, symmetry, { do: "add_extra", extra: copyOf(extra, seat) }));
    const there = new Map(m.extras.map((x) => [x.key, x]));
    return this.extras().flatMap(({ extra, seat }) => {
      const now = there.get(extra.key);
      return now && (now.ring !== seat.ring || now.at !== seat.at) ? [{ do: "edit_extra", extra: { ...now, ...seat } }] : [];
    });
  }

  /** Outline of the other way, for the overlay. */
  ghost(): Place[] {
    if (!this.held || this.other < 0) return [];
    return [...laid(this.e.m, this.now(ringOf(this.other)), this.other, 0).keys()];
  }

  /** Shows what putting it down would do, images of the symmetry included. */
  show(): void {
    if (!this.held) return;
    const { e } = this;
    const block = laid(e.m, this.now(ringOf(this.place)), this.place, Math.max(0, e.m.indexOfColour(e.paper)));
    const dabs = new Map(this.under);
    const list = moves(e.symmetry);
    if (this.held.kind !== "move" && list.length > 1) {
      for (const [p, d] of block) for (const q of images(e.m, p, e.symmetry, list)) dabs.set(q, d);
    }
    for (const [p, d] of block) dabs.set(p, d);
    if (!e.draft(dabs)) return;
    e.tell("paint");
    this.changed.tell();
  }
}
