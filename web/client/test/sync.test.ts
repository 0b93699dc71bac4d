import assert from "node:assert/strict";
import { mock, test } from "node:test";
import { Queue } from "../pattern/sync/queue";
import { Sync } from "../pattern/sync/sync";
import type { Edit, EditsAsk, History } from "../wire/types";
import { Memory } from "./memory";

const edit = (n: number): Edit => ({ do: "set_title", title: `t${n}` });

/** Lets everything happen that waits for nothing but an answer. */
const settle = async () => {
  for (let i = 0; i < 50; i++) await Promise.resolve();
};

// RFC 6585, 4: 429 may say by Retry-After how many seconds to wait before asking again (RFC 9110, 10.2.3).
test("steps wait as long as the server asks, all of them, and go in their order", async () => {
  mock.timers.enable({ apis: ["setTimeout", "Date"] });
  let now = 0;
  const clock = mock.method(performance, "now", () => now);
  const later = async (ms: number) => {
    now += ms;
    mock.timers.tick(ms);
    await settle();
  };
  Object.assign(globalThis, { window: globalThis });
  let rest = true;
  const posts: number[][] = [];
  const taken: number[] = [];
  const fetched = mock.method(globalThis, "fetch", async (_: unknown, init?: RequestInit) => {
    const ask = JSON.parse(String(init?.body)) as EditsAsk;
    const seqs = ask.steps.map((s) => s.seq);
    posts.push(seqs);
    if (rest) return new Response("", { status: 429, headers: { "Retry-After": "7" } });
    taken.push(...seqs);
    const history: History = { can_undo: true, can_redo: false };
    return Response.json({ rev: taken.length, results: seqs.map((seq) => ({ seq, rev: seq })), history });
  });
  let waiting = 0;
  let online = true;
  let refused = 0;
  const queue = new Queue("/e/token", new Memory(), new Memory());
  const sync = new Sync("/e/token", { push() {}, accepted() {}, refuse() {}, count() {}, pending: [] } as never, queue, {
    changed() {},
    refused: () => refused++,
    people() {},
    history() {},
    status: (s) => {
      waiting = s.waiting;
      online = s.online;
    },
  });
  try {
    sync.step(edit(1));
    await settle();
    assert.deepEqual(posts, [[1]]);
    for (let n = 2; n <= 5; n++) {
      await later(1000);
      sync.step(edit(n)); // the maker paints on meanwhile
      await settle();
    }
    assert.deepEqual(posts, [[1]], "nothing is sent before its time, whatever is drawn");
    assert.equal(waiting, 5);
    assert.equal(online, true, "a pause is no lost connection");
    await later(2900);
    assert.equal(posts.length, 1);
    await later(200);
    assert.deepEqual(posts, [[1], [1, 2, 3, 4, 5]], "asked again when the time was over");
    rest = false;
    await later(7100);
    assert.deepEqual(taken, [1, 2, 3, 4, 5], "each once, in the order in which they were made");
    assert.equal(waiting, 0);
    assert.equal(refused, 0);
    sync.step(edit(6));
    await settle();
    assert.deepEqual(taken, [1, 2, 3, 4, 5, 6], "and painting goes on at once");
  } finally {
    fetched.mock.restore();
    clock.mock.restore();
    mock.timers.reset();
  }
});
