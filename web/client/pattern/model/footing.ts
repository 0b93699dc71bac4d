// What a row of units stands on. Whatever reads, shows or walks a figure asks the footing of a row, so that rows which
// stand otherwise need only another footing (Go's figure.Footing says the same).
import { PLAIN_TAKES } from "../../wire/types";
import { mod } from "./mod";
import type { Ring } from "./ring";

/**
 * The table, or the row below and the points that it offers. Points are numbered 0 … offered − 1 to the right: left and
 * right point of unit 0, of unit 1, …. Those of a closed ring lie in a circle, so that numbers outside count on around it; those
 * of an open row lie in a line.
 */
export class Footing {
  /** ring: the row below, from 0 in the part in view; −1 on the table, where there is no row, and where it is of another part. */
  constructor(
    readonly ring: number,
    readonly row: Ring | null,
    /** The row is the first of a part that grows: it takes some of the points, and no balance binds it. */
    readonly grows = false,
    /** The row below as people count, in its part; 0 on the table. */
    readonly number = ring + 1,
  ) {}

  /** Whether the row takes no points: it stands on the table. */
  get onTable(): boolean {
    return this.row === null;
  }

  /** How many units the row below has. */
  get units(): number {
    return this.row?.n ?? 0;
  }

  /** How many points the row below offers: two of each unit. */
  get offered(): number {
    return 2 * this.units;
  }

  /** Which unit of the row below a point belongs to, and whether it is that unit's right one. */
  owner(point: number): { unit: number; right: boolean } {
    return { unit: point >> 1, right: (point & 1) === 1 };
  }

  /** Where a point stands, in turns: in the middle of its half of the unit's arc. */
  turn(point: number): number {
    if (!this.row) return 0;
    const { unit, right } = this.owner(point);
    return this.row.left(unit) + this.row.width(unit) * (right ? 0.75 : 0.25);
  }

  /** The points that a unit of a ring standing here takes; none on the table. */
  pointsOf(ring: Ring, unit: number): number[] {
    if (this.onTable) return [];
    const first = ring.firstPoint(unit);
    return Array.from({ length: takes(ring, unit) }, (_, k) => mod(first + k, this.offered));
  }

  /** The units of the row below whose points a unit of a ring standing here takes. */
  unitsUnder(ring: Ring, unit: number): number[] {
    const out: number[] = [];
    for (const p of this.pointsOf(ring, unit)) if (out[out.length - 1] !== p >> 1) out.push(p >> 1);
    return out;
  }

  /** For each point the unit of a ring standing here that takes it, −1 where it is left free. */
  takenBy(ring: Ring): Int32Array {
    const out = new Int32Array(this.offered).fill(-1);
    if (this.onTable) return out;
    for (let u = 0; u < ring.n; u++) {
      const first = ring.firstPoint(u);
      for (let k = 0; k < takes(ring, u); k++) out[mod(first + k, this.offered)] = u;
    }
    return out;
  }
}

/** Points that a unit takes where its ring takes any. */
function takes(ring: Ring, unit: number): number {
  return ring.takes ? ring.takes[unit] : PLAIN_TAKES;
}
