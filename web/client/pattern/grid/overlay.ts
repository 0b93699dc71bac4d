// Everything that lies over the grid and comes and goes: ruler, front line, hover, focus, selection,
// other people's places, marks of extras, where a repeat breaks. Light enough to be drawn anew
// whenever one of them changes.

import { edgeOn } from "../../base/ink";
import { Deciders } from "../../base/listeners";
import type { Marks } from "../../base/marks";
import { trace } from "../../base/trace";
import { say } from "../../base/words";
import type { Extra, Look, Part, Person } from "../../wire/types";
import { unitUnder } from "../model/lattice";
import { bandOf, CARD, flatCorners, isPiece, leafFill, within } from "../model/looks";
import { type Place, placeOf, ringOf, unitOf } from "../model/model";
import { half } from "../model/ring";
import { turnOf } from "../model/seats";
import { images, misfits, moves, seams } from "../model/symmetry";
import type { Seat } from "../model/twins";
import type { Editor } from "../tools/editor";
import { RULER, type View } from "./view";

export interface Inks {
  ink: string;
  muted: string;
  accent: string;
  warning: string;
  card: string;
  ground: string;
  line: string;
}

/** Colours of other people's marks: dark enough for white letters, told apart without hue by name. */
export const TINTS = ["#0b6e6e", "#8a3ffc", "#a3271c", "#8a5a00", "#1f5fae", "#a11f6a", "#3d6b1f", "#5b5147"];

/** A selection of more units is drawn as bands along the rings, not unit by unit. */
const MANY = 3000;
/** However far away the figure is, an extra reaches so many pixels. */
const SEEN = 2;
/** How much of the wall a tucked unit that stands off it hides: who paints must see what is behind. */
const SEE_THROUGH = 0.55;
const FONT = '"Atkinson Hyperlegible", system-ui, sans-serif';

/** What is held over the grid, as far as it is seen. */
export interface HeldOver {
  /** Units that it would cover. */
  covers: ReadonlySet<Place>;
  /** Another way it can fall, outlined faintly. */
  ghost: readonly Place[];
  /** Extras that come with it, where it would put them; lifts says that they are taken from where they are. */
  extras: readonly { extra: Extra; seat: Seat }[];
  lifts: boolean;
}

const NOTHING_HELD: HeldOver = { covers: new Set(), ghost: [], extras: [], lifts: false };

interface Pixel {
  readonly x: number;
  readonly y: number;
}

export class Overlay {
  /** Whether the unit in focus is marked although the keyboard is elsewhere. */
  readonly showsFocus = new Deciders();
  private people: readonly Person[] = [];
  private lengths: readonly string[] | null = null;
  /** The front line while it is carried, in turns; null when it stays. */
  private front: number | null = null;
  private carried: { extra: Extra; at: Pixel } | null = null;
  private held = NOTHING_HELD;
  private readonly c: CanvasRenderingContext2D;
  private misfitKey = "";
  private misfitRings: number[] = [];

  constructor(
    readonly canvas: HTMLCanvasElement,
    private readonly e: Editor,
    private readonly v: View,
    private readonly inks: Inks,
    private readonly marks: Marks,
  ) {
    this.c = canvas.getContext("2d")!;
  }

  // ---------- what it is told; seen with the next frame ----------

  /** Who else is there. */
  showPeople(people: readonly Person[]): void {
    this.people = people;
  }

  /** What the ruler shows beside ring numbers; null for counts. */
  showLengths(lengths: readonly string[] | null): void {
    this.lengths = lengths;
  }

  /** What is held over the grid; null for nothing. */
  showHeld(held: HeldOver | null): void {
    this.held = held ?? NOTHING_HELD;
  }

  /** The front line is carried to a turn. */
  carryFront(turn: number): void {
    this.front = turn;
  }

  /** The front line is let go; says where it was carried to, null when it was not. */
  dropFront(): number | null {
    const turn = this.front;
    this.front = null;
    return turn;
  }

  /** An extra is carried over the stage. */
  carryExtra(extra: Extra, at: Pixel): void {
    this.carried = { extra, at };
  }

  /** The extra that is carried is held elsewhere. */
  moveExtra(at: Pixel): void {
    if (this.carried) this.carryExtra(this.carried.extra, at);
  }

  /** The extra that is carried is let go; null when none is. */
  dropExtra(): Extra | null {
    const extra = this.carried?.extra ?? null;
    this.carried = null;
    return extra;
  }

  /** Rings that the symmetry on does not fit. */
  get misfits(): number[] {
    const s = this.e.symmetry;
    const key = `${this.e.m.shape}|${this.e.m.frontTurn}|${s.mirror}|${s.back}|${s.repeat}`;
    if (key !== this.misfitKey) {
      this.misfitKey = key;
      this.misfitRings = misfits(this.e.m, s);
    }
    return this.misfitRings;
  }

  paint(): void {
    const { c, v } = this;
    const w = Math.round(v.width * v.dpr);
    const h = Math.round(v.height * v.dpr);
    if (this.canvas.width !== w || this.canvas.height !== h) {
      this.canvas.width = w;
      this.canvas.height = h;
    }
    c.setTransform(v.dpr, 0, 0, v.dpr, 0, 0);
    c.clearRect(0, 0, v.width, v.height);
    this.frontLine();
    this.symmetryLines();
    this.breaks();
    this.selected();
    if (this.marks.shows("numbers")) this.unitNumbers();
    if (this.marks.shows("points")) this.takenPoints();
    this.growths();
    this.extras();
    this.ghosts();
    this.hovered();
    this.focused();
    this.others();
    this.ruler();
    this.compass();
  }

  // ---------- lines ----------

  private vertical(turn: number, colour: string, dash: number[], width: number): void {
    const { c, v } = this;
    const x = Math.round(v.x(turn)) + 0.5;
    if (x < RULER || x > v.width) return;
    const top = Math.max(0, v.y(this.e.m.rings.length + 1.6));
    const bottom = Math.min(v.height - 18, v.y(-0.2));
    if (bottom <= top) return;
    c.save();
    c.strokeStyle = colour;
    c.lineWidth = width;
    c.setLineDash(dash);
    c.beginPath();
    c.moveTo(x, top);
    c.lineTo(x, bottom);
    c.stroke();
    c.restore();
  }

  /** Whether a pixel is on the handle of the front line, its name at the lower edge. */
  onFrontFlag(x: number, y: number): boolean {
    return y > this.v.height - 26 && Math.abs(x - this.v.x(this.e.m.frontTurn)) < 26;
  }

  private frontLine(): void {
    const m = this.e.m;
    if (this.front !== null) this.vertical(this.front, this.inks.accent, [], 3);
    const strong = this.e.symmetry.mirror;
    // A pale line under the dashes keeps it in sight on dark papers.
    this.vertical(m.frontTurn, "rgba(255,253,248,.75)", [], strong ? 3.5 : 2.5);
    this.vertical(m.frontTurn, this.inks.accent, strong ? [] : [6, 5], strong ? 2 : 1.5);
  }

  private symmetryLines(): void {
    const s = this.e.symmetry;
    const front = this.e.m.frontTurn;
    if (s.mirror) this.vertical(front + 0.5, this.inks.accent, [2, 4], 1.5);
    if (s.back) for (const t of [0.25, 0.75]) this.vertical(front + t, this.inks.accent, [2, 4], 1.5);
    for (const t of seams(s, front)) this.vertical(t, this.inks.accent, [1, 5], 1.5);
  }

  /** On rings that a repeat does not fit: a mark where the motifs meet unevenly. */
  private breaks(): void {
    const { c, v } = this;
    const s = this.e.symmetry;
    const m = this.e.m;
    if (!this.misfits.length) return;
    const at = s.repeat > 1 ? seams(s, m.frontTurn) : [m.frontTurn];
    c.fillStyle = this.inks.warning;
    for (const r of this.misfits) {
      const y = v.y(r + 1);
      if (y < -10 || y > v.height + 10) continue;
      for (const turn of at) {
        const x = v.x(turn);
        const size = Math.min(5, Math.max(2.5, v.ringPx / 4));
        c.beginPath();
        c.moveTo(x, y - size);
        c.lineTo(x + size, y + size * 0.8);
        c.lineTo(x - size, y + size * 0.8);
        c.closePath();
        c.fill();
        c.strokeStyle = this.inks.card;
        c.lineWidth = 1;
        c.stroke();
      }
    }
  }

  // ---------- units ----------

  /** Outline of a unit's tile. */
  private outline(p: Place): void {
    const { c, v } = this;
    const ring = this.e.m.rings[ringOf(p)];
    if (!ring) return;
    const x = v.x(ring.middle(unitOf(p)));
    const w = (ring.width(unitOf(p)) * v.turnPx) / 2;
    const y = v.y(ringOf(p));
    c.beginPath();
    c.moveTo(x, y);
    c.lineTo(x + w, y - v.ringPx);
    c.lineTo(x, y - 2 * v.ringPx);
    c.lineTo(x - w, y - v.ringPx);
    c.closePath();
  }

  private ringed(p: Place, colour: string, width: number): void {
    const { c } = this;
    this.outline(p);
    c.lineJoin = "round";
    c.strokeStyle = this.inks.card;
    c.lineWidth = width + 2;
    c.stroke();
    c.strokeStyle = colour;
    c.lineWidth = width;
    c.stroke();
  }

  private inSight(p: Place): boolean {
    const y = this.v.y(ringOf(p));
    return y > -4 && y - 2 * this.v.ringPx < this.v.height + 4;
  }

  private selected(): void {
    const { c, e, v } = this;
    c.fillStyle = "rgba(11,110,110,.16)";
    if (e.selection.size > MANY) {
      this.selectedBands();
      return;
    }
    for (const p of e.selection) {
      if (!this.inSight(p)) continue;
      this.outline(p);
      if (v.unit < 60) c.fill();
    }
    this.edge(e.selection, this.inks.accent);
    this.edge(this.held.covers, this.inks.accent);
  }

  /** A selection of very many units as bands, one for each run along a ring. */
  private selectedBands(): void {
    const { c, e, v } = this;
    if (this.bandsOf !== e.selection) {
      this.bandsOf = e.selection;
      this.bands = runsIn(e.selection);
    }
    c.fillStyle = "rgba(11,110,110,.3)";
    const back = v.midX + v.turnPx / 2;
    for (const [first, n] of this.bands) {
      const ring = e.m.rings[ringOf(first)];
      const y = v.y(ringOf(first) + 1.5);
      if (!ring || y > v.height || y + v.ringPx < 0) continue;
      const last = Math.min(unitOf(first) + n, ring.n) - 1;
      const wide = (ring.left(last) + ring.width(last) - ring.left(unitOf(first))) * v.turnPx;
      const x = v.x(ring.middle(unitOf(first))) - (ring.width(unitOf(first)) * v.turnPx) / 2;
      const here = Math.min(wide, Math.max(0, back - x));
      c.fillRect(x, y, here, v.ringPx);
      if (wide > here) c.fillRect(back - v.turnPx, y, wide - here, v.ringPx);
    }
  }
  private bandsOf: ReadonlySet<Place> | null = null;
  private bands: [first: Place, n: number][] = [];

  /** Draws the edge of an area: what has no other unit of it beyond. */
  private edge(area: ReadonlySet<Place>, colour: string): void {
    const { c } = this;
    if (!area.size) return;
    c.beginPath();
    for (const p of area) if (this.inSight(p)) this.border(p, area);
    c.lineJoin = "round";
    c.strokeStyle = this.inks.card;
    c.lineWidth = 4;
    c.stroke();
    c.strokeStyle = colour;
    c.lineWidth = 2;
    c.stroke();
  }

  private border(p: Place, area: ReadonlySet<Place>): void {
    const { c, e, v } = this;
    const ring = e.m.rings[ringOf(p)];
    if (!ring) return;
    const t = ring.middle(unitOf(p));
    const wide = ring.width(unitOf(p));
    const x = v.x(t);
    const w = (wide * v.turnPx) / 2;
    const y = v.y(ringOf(p) + 1);
    for (const sx of [-1, 1]) {
      for (const sy of [-1, 1]) {
        const beyond = unitUnder(e.m, { turn: t + (sx * wide * 0.6) / 2, high: ringOf(p) + 1 + sy * 0.6 });
        if (beyond >= 0 && area.has(beyond)) continue;
        c.moveTo(x + sx * w, y);
        c.lineTo(x, y - sy * v.ringPx);
      }
    }
  }

  private hovered(): void {
    const { e } = this;
    if (e.hover < 0 || e.drawing || this.v.unit < 5) return;
    const shown = e.tool === "pick" || e.tool === "select" ? [e.hover] : images(e.m, e.hover, e.symmetry, moves(e.symmetry));
    for (const p of shown) this.ringed(p, this.inks.accent, 1.5);
  }

  private ghosts(): void {
    const { c } = this;
    c.save();
    c.setLineDash([3, 3]);
    c.strokeStyle = this.inks.ink;
    c.lineWidth = 1.5;
    for (const p of this.held.ghost) {
      this.outline(p);
      c.stroke();
    }
    c.restore();
  }

  private focused(): void {
    const { e } = this;
    const here = document.activeElement;
    const byKey = here?.getAttribute("role") === "gridcell" && here.matches(":focus-visible");
    if (!byKey && !this.showsFocus.any()) return;
    this.ringed(e.focus, this.inks.accent, 3);
    if (e.anchor >= 0) this.ringed(e.anchor, this.inks.ink, 2);
  }

  private others(): void {
    const { c, e, v } = this;
    for (const person of this.people) {
      const r = e.m.ringIndex(person.ring);
      if (r < 0 || person.unit < 0 || person.unit >= e.m.rings[r].n) continue;
      const p = placeOf(r, person.unit);
      const tint = TINTS[person.tint % TINTS.length];
      this.ringed(p, tint, 2.5);
      const name = person.name || say("someone");
      c.font = `700 12px ${FONT}`;
      const w = c.measureText(name).width + 12;
      const x = Math.min(v.width - w - 4, v.x(e.m.rings[r].middle(person.unit)) + 6);
      const y = Math.max(2, v.y(r + 2) - 20);
      c.fillStyle = tint;
      c.beginPath();
      c.roundRect(x, y, w, 20, 6);
      c.fill();
      c.fillStyle = "#fff";
      c.textAlign = "left";
      c.textBaseline = "middle";
      c.fillText(name, x + 6, y + 10.5);
    }
  }

  /** Numbers of the units, counted from the seam as the building text counts them. */
  private unitNumbers(): void {
    const { c, v } = this;
    if (v.unit < 16) return;
    c.font = `700 ${Math.min(13, Math.round(v.unit * 0.42))}px ${FONT}`;
    c.textAlign = "center";
    c.textBaseline = "middle";
    c.lineWidth = 3;
    c.strokeStyle = "rgba(255,253,248,.85)";
    c.fillStyle = this.inks.ink;
    this.eachInSight((p, x, y) => {
      const text = String(unitOf(p) + 1);
      c.strokeText(text, x, y);
      c.fillText(text, x, y);
    });
  }

  /** From every unit a line to each point that it takes; points left free as open dots. */
  private takenPoints(): void {
    const { c, e, v } = this;
    if (v.unit < 12) return;
    c.lineWidth = 1.5;
    this.eachInSight((p, x, y) => {
      const r = ringOf(p);
      const footing = e.m.footing(r);
      for (const point of e.m.pointsOf(r, unitOf(p))) {
        const px = v.x(footing.turn(point));
        if (Math.abs(px - x) > v.unit * 4) continue; // on the other edge of the figure
        const py = v.y(r + 0.62);
        c.strokeStyle = "rgba(255,253,248,.9)";
        c.lineWidth = 2.5;
        c.beginPath();
        c.moveTo(x, y + v.ringPx * 0.2);
        c.lineTo(px, py);
        c.stroke();
        c.strokeStyle = this.inks.accent;
        c.lineWidth = 1;
        c.stroke();
        this.dot(px, py, this.inks.accent);
      }
    });
    for (let r = 0; r < e.m.rings.length; r++) {
      for (const point of e.m.freePoints(r)) this.dot(v.x(e.m.footing(r).turn(point)), v.y(r + 0.62), this.inks.card);
    }
  }

  private dot(x: number, y: number, fill: string): void {
    const { c } = this;
    c.beginPath();
    c.arc(x, y, Math.min(2.5, Math.max(1.2, this.v.unit * 0.09)), 0, 7);
    c.fillStyle = fill;
    c.fill();
    c.strokeStyle = this.inks.accent;
    c.lineWidth = 1.25;
    c.stroke();
  }

  private eachInSight(visit: (p: Place, x: number, y: number) => void): void {
    const { e, v } = this;
    e.m.rings.forEach((ring, r) => {
      const y = v.y(r + 1);
      if (y < -10 || y > v.height + 10) return;
      for (let u = 0; u < ring.n; u++) {
        const x = v.x(ring.middle(u));
        if (x > RULER && x < v.width) visit(placeOf(r, u), x, y);
      }
    });
  }

  /** How far a mark of an extra reaches from its middle. */
  get markSize(): number {
    return Math.max(5, Math.min(12, this.v.unit * 0.38));
  }

  /** The extra at a pixel of the stage, if any: its place, its piece, and if whole, its tucked units too. */
  extraAt(x: number, y: number, whole = false): Extra | null {
    const reach = Math.max(14, this.markSize + 4);
    const { m } = this.e;
    for (const look of [...m.looks].reverse()) {
      const extra = m.extras.find((each) => each.key === look.key);
      const at = extra && this.markAt(extra);
      if (!at) continue;
      const on = [(x - at.x) / this.v.unit, (at.y - y) / this.v.unit] as const;
      const hit = () => (whole || isPiece(look)) && flatCorners(look).some((facet) => within(facet.at, ...on));
      if (Math.hypot(at.x - x, at.y - y) <= reach || hit()) return extra;
    }
    return null;
  }

  private markAt(extra: Seat): Pixel | null {
    const r = this.e.m.ringIndex(extra.ring);
    if (r < 0) return null;
    return { x: this.v.x(turnOf(this.e.m.rings[r], extra.at)), y: this.v.y(r + 1) };
  }

  /** Extras at their places, glued pieces first. */
  private extras(): void {
    const { e, v } = this;
    if (!e.m.looks.length) return;
    const byKey = new Map(e.m.extras.map((x) => [x.key, x]));
    const { held, carried } = this;
    const brought = new Map(held.extras.map((b) => [b.extra.key, b.seat]));
    for (const look of e.m.looks) {
      const x = byKey.get(look.key);
      if (!x) continue;
      const seat = brought.get(x.key);
      const here = seat && held.lifts ? null : carried?.extra.key === x.key ? carried.at : this.markAt(x);
      for (const at of [here, seat ? this.markAt(seat) : null]) {
        if (at && at.y > -v.height && at.y < 2 * v.height)
          this.extra(look, e.m.colours[e.m.indexOfColour(x.colour ?? "")]?.hex ?? CARD, at);
      }
    }
  }

  private extra(look: Look, hex: string, at: Pixel): void {
    const { c, v } = this;
    const facets = flatCorners(look);
    const scale = Math.max(v.unit, SEEN / reachOf(facets));
    const around = (facet: { at: [number, number][] }) => {
      trace(
        c,
        facet.at.map(([x, y]) => [at.x + x * scale, at.y - y * scale]),
      );
      c.closePath();
    };
    // A leaf seen edge-on is only a line: tucked units are lined with their own paper, and with a thin rim around it.
    const tucked = facets.some((facet) => facet.leaf !== 0);
    const thin = Math.min(1.5, 0.5 + v.unit * 0.04);
    const line = tucked ? bandOf(v.unit) : thin;
    c.lineJoin = "round";
    c.beginPath();
    for (const facet of facets) around(facet);
    c.strokeStyle = tucked ? edgeOn(hex) : this.inks.card;
    c.lineWidth = tucked ? line + thin : Math.min(3.5, 1.5 + v.unit * 0.08);
    c.stroke();
    c.strokeStyle = edgeOn(hex);
    c.lineWidth = line;
    for (const facet of facets) {
      c.beginPath();
      around(facet);
      c.globalAlpha = facet.leaf ? SEE_THROUGH : 1;
      c.fillStyle = leafFill(hex, facet.leaf);
      if (tucked) c.strokeStyle = c.fillStyle;
      c.fill();
      c.globalAlpha = 1;
      c.stroke();
    }
  }

  // ---------- where parts grow ----------

  /** Over the points that a part takes a line and its name, and under a part's own first row what it stands on. */
  private growths(): void {
    const { e, v } = this;
    this.doors = [];
    e.m.rings.forEach((ring, r) => {
      const high = v.y(r + 2);
      if (high < -20 || high > v.height + 20) return;
      for (const g of e.m.growing(r)) {
        const offering = e.m.offering(r);
        const from = v.x(offering.turn(g.first % offering.offered));
        let to = v.x(offering.turn((g.first + g.points - 1) % offering.offered));
        if (to < from) to += v.turnPx;
        const room = e.m.upon(r) < 0 ? Infinity : to - from + v.unit / 2;
        for (const by of to > v.midX + v.turnPx / 2 ? [0, -v.turnPx] : [0]) this.door(from + by, to + by, high - 3, room, g.part);
      }
      for (const part of e.m.setOn(r)) {
        const x = v.x(part.set?.centred ? e.m.frontTurn : turnOf(ring, part.set?.at ?? 0));
        this.door(x - v.unit / 2, x + v.unit / 2, high - 3, e.m.upon(r) < 0 ? Infinity : v.unit, part);
      }
    });
    this.standsOn();
  }

  /** Lines that lead to another part when they are pressed. */
  private doors: { left: number; right: number; top: number; bottom: number; part: number }[] = [];

  /** room is how wide its name may be: no wider than the opening that the part grows in. */
  private door(from: number, to: number, y: number, room: number, part: Part): void {
    const { c, v } = this;
    c.strokeStyle = this.inks.card;
    c.lineCap = "round";
    for (const [colour, width] of [
      [this.inks.card, 6],
      [this.inks.accent, 3],
    ] as const) {
      c.strokeStyle = colour;
      c.lineWidth = width;
      c.beginPath();
      c.moveTo(from - 3, y);
      c.lineTo(to + 3, y);
      c.stroke();
    }
    c.font = `700 12px ${FONT}`;
    c.textAlign = "center";
    c.textBaseline = "bottom";
    const middle = (from + to) / 2;
    const name = this.fitting(part.name, room - 8);
    const wide = name ? c.measureText(name).width / 2 + 4 : 0;
    c.fillStyle = this.inks.card;
    c.fillRect(middle - wide, y - 20, 2 * wide, 15);
    c.fillStyle = this.inks.accent;
    c.fillText(name, middle, y - 5);
    const left = Math.min(from - 4, middle - wide, middle - 12);
    const right = Math.max(to + 4, middle + wide, middle + 12);
    // In an opening the hand meets the line from below, where no unit is.
    const low = room < Infinity ? v.ringPx : 4;
    if (right > RULER && left < v.width)
      this.doors.push({ left: Math.max(left, RULER), right, top: y - 22, bottom: y + low, part: part.id });
  }

  /** As much of a name as there is room for; nothing where that is too little to be read. */
  private fitting(name: string, room: number): string {
    if (this.c.measureText(name).width <= room) return name;
    const letters = [...name];
    while (letters.length && this.c.measureText(`${letters.join("")}…`).width > room) letters.pop();
    return letters.length > 2 ? `${letters.join("").trimEnd()}…` : "";
  }

  /** The points and the row that the part in view stands on. */
  private standsOn(): void {
    const { c, e, v } = this;
    const { part } = e.m;
    const on = part?.on ?? part?.set?.on;
    const ring = e.m.rings[0];
    if (!part || !on || !ring) return;
    const foot = e.m.footing(0);
    if (foot.grows && ring.open)
      for (let u = 0; u < ring.n; u++) for (const p of e.m.pointsOf(0, u)) this.dot(v.x(foot.turn(p)), v.y(0.35) + 4, this.inks.card);
    const says = say(part.on ? "parts.grows_here" : "parts.set_here", { Ring: e.m.numberOf(on), Part: e.m.partName(on) });
    const y = v.y(0) + 10;
    c.font = `700 12px ${FONT}`;
    c.textAlign = "center";
    c.textBaseline = "top";
    const middle = Math.max(v.x(e.m.frontTurn), RULER + c.measureText(says).width / 2 + 6);
    const wide = c.measureText(says).width / 2;
    c.fillStyle = this.inks.accent;
    c.fillText(says, middle, y);
    const carrier = e.m.parts[e.m.partOf(on)];
    if (carrier) this.doors.push({ left: middle - wide - 6, right: middle + wide + 6, top: y - 6, bottom: y + 20, part: carrier.id });
  }

  /** The part that a pixel leads to, −1 where none: a unit that is there comes first, so that all can be painted. */
  doorAt(x: number, y: number): number {
    if (unitUnder(this.e.m, this.v.spot(x, y), 1) >= 0) return -1;
    for (const d of this.doors) if (x >= d.left && x <= d.right && y >= d.top && y <= d.bottom) return d.part;
    return -1;
  }

  // ---------- ruler and compass ----------

  /** Ring numbers, with the count where it changes. */
  private ruler(): void {
    const { c, e, v } = this;
    c.fillStyle = this.inks.ground;
    c.fillRect(0, 0, RULER, v.height);
    c.fillStyle = this.inks.line;
    c.fillRect(RULER - 1, 0, 1, v.height);
    const every = v.ringPx >= 13 ? 1 : v.ringPx >= 6 ? 2 : v.ringPx >= 2.6 ? 5 : v.ringPx >= 1.3 ? 10 : 50;
    const misfit = new Set(this.misfits);
    c.textBaseline = "middle";
    const focusRing = ringOf(e.focus);
    e.m.rings.forEach((ring, r) => {
      const y = v.y(r + 1);
      if (y < 4 || y > v.height - 4) return;
      if (misfit.has(r)) {
        c.fillStyle = this.inks.warning;
        c.fillRect(RULER - 4, y - v.ringPx / 2, 3, Math.max(1, v.ringPx - 1));
      }
      if ((r + 1) % every !== 0 && !(r === 0 && every < 5)) return;
      const here = r === focusRing;
      c.textAlign = "right";
      c.font = `${here ? 700 : 400} ${Math.min(12, Math.max(9, v.ringPx * 0.72))}px ${FONT}`;
      c.fillStyle = here ? this.inks.accent : this.inks.ink;
      c.fillText(String(r + 1), RULER - 7, y);
      if (this.lengths && v.ringPx >= 9) {
        c.textAlign = "left";
        c.font = `400 9.5px ${FONT}`;
        c.fillStyle = this.inks.muted;
        c.fillText(this.lengths[r] ?? "", 2, y);
        return;
      }
      const changes = ring.n !== e.m.footing(r).units;
      if (changes && v.ringPx >= 9) {
        c.textAlign = "left";
        c.font = `400 9.5px ${FONT}`;
        c.fillStyle = this.inks.muted;
        c.fillText(`×${ring.n}`, 2, y);
      }
    });
  }

  /** Where front, right, back and left are, along the lower edge. */
  private compass(): void {
    const { c, v, e } = this;
    const y = v.height - 9;
    c.fillStyle = this.inks.ground;
    c.fillRect(RULER, v.height - 19, v.width - RULER, 19);
    c.font = `400 12px ${FONT}`;
    c.textAlign = "center";
    c.textBaseline = "middle";
    if (e.m.rings[0]?.open) {
      c.fillStyle = this.inks.accent;
      c.font = `700 12px ${FONT}`;
      c.fillText(say("parts.middle"), v.x(e.m.frontTurn), y);
      return;
    }
    (["front", "right", "back", "left"] as const).forEach((name, i) => {
      const turn = e.m.frontTurn + i / 4;
      const off = half(turn - v.centre);
      const draw = (x: number) => {
        if (x < RULER + 14 || x > v.width - 14) return;
        c.fillStyle = i === 0 ? this.inks.accent : this.inks.muted;
        c.font = `${i === 0 ? 700 : 400} 12px ${FONT}`;
        c.fillText(say(`side.${name}`), x, y);
        c.fillRect(x - 0.5, v.height - 19, 1, 4);
      };
      draw(v.midX + off * v.turnPx);
      if (Math.abs(Math.abs(off) - 0.5) < 0.02) draw(v.midX - off * v.turnPx);
    });
  }
}

/** How far an extra reaches from its place, in pitches. */
function reachOf(facets: { at: [number, number][] }[]): number {
  return Math.max(0.01, ...facets.flatMap((facet) => facet.at.map(([x, y]) => Math.hypot(x, y))));
}

/** Runs of neighbouring units in a set of places: the first unit and how many. */
function runsIn(places: ReadonlySet<Place>): [first: Place, n: number][] {
  const out: [Place, number][] = [];
  for (const p of Int32Array.from(places).sort()) {
    const last = out[out.length - 1];
    if (last && last[0] + last[1] === p) last[1]++;
    else out.push([p, 1]);
  }
  return out;
}
