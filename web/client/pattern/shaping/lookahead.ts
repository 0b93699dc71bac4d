// A look ahead: what an edit would do, worked out by the server, without doing it.

import { answer } from "../../wire/door";
import { type Edit, PLAIN_TAKES, type Trial, type TryAsk } from "../../wire/types";
import type { Ring } from "../model/ring";

/** Asks what an edit would do; null when there is no answer (no connection). */
export async function tryEdit(base: string, edit: Edit, signal?: AbortSignal): Promise<Trial | null> {
  try {
    const res = await fetch(`${base}/try`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ edit } satisfies TryAsk),
      signal,
    });
    return res.ok ? await answer("Trial", res) : null;
  } catch {
    return null;
  }
}

/** How many units of a ring take one, two, three, four points: index 0 for one. */
export function takesOf(ring: Ring): [number, number, number, number] {
  const out: [number, number, number, number] = [0, 0, 0, 0];
  for (let u = 0; u < ring.n; u++) out[(ring.takes ? ring.takes[u] : PLAIN_TAKES) - 1]++;
  return out;
}

/** Points that a ring leaves free. */
export function freeOf(ring: Ring): number {
  return ring.free ? ring.free.reduce((sum, k) => sum + k, 0) : 0;
}
