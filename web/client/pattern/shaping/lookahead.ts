// A look ahead: what an edit would do, worked out by the server, without doing it.
import { Model } from "../model/model";
import { Ring } from "../model/ring";
import type { Change, Edit, Refusal, Totals } from "../wire";

export interface Trial {
  rev: number;
  change?: Change;
  refused?: Refusal;
  remarks?: string[];
  totals?: Totals;
}

/** Asks what an edit would do; null when there is no answer (no connection). */
export async function tryEdit(base: string, edit: Edit, signal?: AbortSignal): Promise<Trial | null> {
  try {
    const res = await fetch(`${base}/try`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ edit }),
      signal,
    });
    return res.ok ? ((await res.json()) as Trial) : null;
  } catch {
    return null;
  }
}

/** The figure as it would be after a change: a model to be looked at only. */
export function changed(m: Model, c: Change): Model {
  const out = new Model();
  out.colours = m.colours;
  out.frontTurn = c.front_turn ?? m.frontTurn;
  const byID = new Map(m.rings.map((r) => [r.id, r]));
  for (const w of c.rings ?? []) byID.set(w.id, new Ring(w));
  const ids = c.order ?? m.rings.map((r) => r.id);
  out.rings = ids.map((id) => byID.get(id)).filter((r): r is Ring => !!r);
  out.extras = c.extras ?? m.extras;
  out.looks = c.looks ?? m.looks;
  out.restructured();
  return out;
}

/** How many units of a ring take one, two, three, four points: index 0 for one. */
export function takesOf(ring: Ring): [number, number, number, number] {
  const out: [number, number, number, number] = [0, 0, 0, 0];
  for (let u = 0; u < ring.n; u++) out[(ring.takes ? ring.takes[u] : 2) - 1]++;
  return out;
}

/** Points that a ring leaves free. */
export function freeOf(ring: Ring): number {
  return ring.free ? ring.free.reduce((sum, k) => sum + k, 0) : 0;
}
