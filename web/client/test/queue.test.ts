import assert from "node:assert/strict";
import { test } from "node:test";
import { Queue } from "../pattern/sync/queue";
import { batch } from "../pattern/sync/sync";
import type { Edit, Step } from "../wire/types";
import { Memory } from "./memory";

const edit = (n: number): Edit => ({ do: "set_title", title: `t${n}` });

test("a reload takes up the same client and the same steps", () => {
  const local = new Memory();
  const session = new Memory();
  const first = new Queue("/d/x", local, session);
  first.add(edit(1));
  first.add(edit(2));
  first.done(1);
  first.leave();
  const second = new Queue("/d/x", local, session);
  assert.equal(second.client, first.client);
  assert.deepEqual(second.steps, [{ seq: 2, edit: edit(2) }]);
  assert.equal(second.add(edit(3)).seq, 3);
});

test("numbers go on after a reload even when nothing waited", () => {
  const local = new Memory();
  const session = new Memory();
  const first = new Queue("/d/x", local, session);
  first.add(edit(1));
  first.done(1);
  first.leave();
  assert.equal(new Queue("/d/x", local, session).add(edit(2)).seq, 2);
});

test("a copied tab gets a client of its own and leaves the steps to the first", () => {
  const local = new Memory();
  const session = new Memory();
  const first = new Queue("/d/x", local, session);
  first.add(edit(1));
  const copy = new Queue("/d/x", local, session);
  assert.notEqual(copy.client, first.client);
  assert.deepEqual(copy.steps, []);
});

test("steps of a page that was closed are taken over by the next page, once", () => {
  const local = new Memory();
  let now = 1_000_000;
  const closed = new Queue("/d/x", local, new Memory(), () => now);
  closed.add(edit(1));
  now += 60_000; // the browser crashed: nobody said good-bye
  const next = new Queue("/d/x", local, new Memory(), () => now);
  assert.equal(next.client, closed.client);
  assert.equal(next.steps.length, 1);
  const third = new Queue("/d/x", local, new Memory(), () => now);
  assert.notEqual(third.client, closed.client);
  assert.equal(third.steps.length, 0);
});

test("steps of another figure are left alone", () => {
  const local = new Memory();
  const one = new Queue("/d/x", local, new Memory());
  one.add(edit(1));
  one.leave();
  assert.equal(new Queue("/d/y", local, new Memory()).steps.length, 0);
});

test("full storage loses no step, but says that a reload would", () => {
  const local = new Memory();
  const queue = new Queue("/d/x", local, new Memory());
  local.full = true;
  queue.add(edit(1));
  assert.equal(queue.steps.length, 1);
  assert.equal(queue.kept, false);
});

test("renumbering keeps the order and starts where the server expects", () => {
  const queue = new Queue("/d/x", new Memory(), new Memory());
  for (let i = 1; i <= 3; i++) queue.add(edit(i));
  queue.done(1);
  assert.deepEqual(queue.renumber(7), [
    { seq: 7, edit: edit(2) },
    { seq: 8, edit: edit(3) },
  ]);
  assert.equal(queue.add(edit(4)).seq, 9);
});

test("steps go out in order, at most a hundred or a mebibyte together", () => {
  const many = Array.from({ length: 250 }, (_, i) => ({ seq: i + 1, edit: edit(i) }));
  assert.deepEqual(
    batch(many).map((s) => s.seq),
    Array.from({ length: 100 }, (_, i) => i + 1),
  );
  const big = [1, 2, 3].map((seq): Step => ({ seq, edit: { do: "set_title", title: "x".repeat(600_000) } }));
  assert.equal(batch(big).length, 1);
});

test("a kept step that this program does not have is let go of and counted, so that it can be told", () => {
  const local = new Memory();
  const session = new Memory();
  const first = new Queue("/d/x", local, session);
  first.add(edit(1));
  first.leave();
  const key = `tuckring:step:/d/x:${first.client}:`;
  local.setItem(`${key}2`, '{"do":"dance"}');
  local.setItem(`${key}3`, '{"do":"set_title"');
  const second = new Queue("/d/x", local, session);
  assert.deepEqual(second.steps, [{ seq: 1, edit: edit(1) }]);
  assert.equal(second.unread, 2);
  assert.equal(local.getItem(`${key}2`), null);
  assert.equal(new Queue("/d/y", local, session).unread, 0);
});
