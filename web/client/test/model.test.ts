import assert from "node:assert/strict";
import { test } from "node:test";
import { dab, Model, placeOf, unseen } from "../pattern/model/model";
import { SHORT } from "../pattern/model/ring";
import type { Ask, Change, Edit, Extra, Step, StepEvent } from "../wire/types";
import { COLOURS, chance, event, looks, model, state, tube } from "./figures";

const paint = (ring: number, at: number, n: number, colour: string): Edit => ({ do: "paint", runs: [{ ring, at, n, colour }] });

/** A server that applies paint in the order it arrives and tells everybody. */
class Server {
  rev = 1;
  log: StepEvent[] = [];
  answered = new Map<string, number>();

  take(client: string, seq: number, edit: Ask): void {
    if (this.answered.has(`${client} ${seq}`)) return;
    assert.ok(edit.do === "paint");
    const { runs } = edit;
    const change: Change = {
      paint: runs.map((r) => ({ ring: r.ring, at: r.at, n: r.n, colour: COLOURS.findIndex((c) => c.id === r.colour) })),
    };
    this.log.push(event(++this.rev, client, seq, change));
    this.answered.set(`${client} ${seq}`, this.rev);
  }
}

test("a stroke is shown at once and stays when it comes back", () => {
  const m = model(tube(12, 3));
  m.push({ seq: 1, edit: paint(2, 3, 4, "soot") });
  assert.deepEqual(Array.from(m.rings[1].shown), [0, 0, 0, 1, 1, 1, 1, 0, 0, 0, 0, 0]);
  assert.equal(m.unitsOf(1), 4);
  const server = new Server();
  server.take("me", 1, paint(2, 3, 4, "soot"));
  assert.ok(m.receive(server.log[0], "me"));
  assert.equal(m.pending.length, 0);
  assert.deepEqual(m.rings[1].kept, m.rings[1].shown);
});

test("a step that is told twice changes nothing the second time", () => {
  const m = model(tube(12, 3));
  const server = new Server();
  server.take("other", 1, paint(1, 0, 2, "brick"));
  server.take("other", 2, paint(1, 0, 1, "soot"));
  for (const e of server.log) assert.ok(m.receive(e, "me"));
  const before = looks(m);
  assert.ok(!m.receive(server.log[0], "me"));
  assert.equal(looks(m), before);
});

test("a refused stroke goes, and what others painted under it shows", () => {
  const m = model(tube(12, 3));
  m.push({ seq: 1, edit: paint(1, 0, 6, "soot") });
  m.push({ seq: 2, edit: paint(1, 2, 1, "honey") });
  const server = new Server();
  server.take("other", 1, paint(1, 4, 4, "brick"));
  m.receive(server.log[0], "me");
  assert.deepEqual(Array.from(m.rings[0].shown).slice(0, 8), [1, 1, 3, 1, 1, 1, 2, 2]);
  m.refuse(1);
  assert.deepEqual(Array.from(m.rings[0].shown).slice(0, 8), [0, 0, 3, 0, 2, 2, 2, 2]);
});

test("a step that the state has already does not stay on top of later ones", () => {
  // The answer was lost and the page loaded anew: the state at revision 2 has the step, which is sent again.
  const server = new Server();
  server.take("me", 1, paint(1, 0, 2, "soot"));
  const m = model(
    tube(12, 3, (r, u) => (r === 0 && u < 2 ? 1 : 0)),
    0,
    server.rev,
  );
  m.push({ seq: 1, edit: paint(1, 0, 2, "soot") });
  server.take("me", 1, paint(1, 0, 2, "soot"));
  m.accepted(1, server.answered.get("me 1")!);
  assert.equal(m.pending.length, 0);
  server.take("other", 1, paint(1, 1, 1, "brick"));
  assert.ok(m.receive(server.log[1], "me"));
  assert.deepEqual(Array.from(m.rings[0].shown).slice(0, 3), [1, 2, 0]);
});

test("an accepted step that was not told yet stays shown", () => {
  const m = model(tube(12, 3));
  m.push({ seq: 1, edit: paint(1, 0, 1, "soot") });
  m.accepted(1, m.rev + 1);
  assert.equal(m.rings[0].shown[0], 1);
  assert.equal(m.pending.length, 1);
});

test("all pages end alike, whatever order steps and answers come in", () => {
  for (let seed = 1; seed <= 60; seed++) {
    const any = chance(seed);
    const server = new Server();
    const pages = ["a", "b", "c"].map((client) => ({
      client,
      m: model(tube(10, 4)),
      heard: 0,
      seq: 0,
      out: [] as Step[],
    }));
    for (let i = 0; i < 120; i++) {
      const page = pages[any(3)];
      if (any(3) === 0) {
        const at = any(8);
        const step = { seq: ++page.seq, edit: paint(1 + any(4), at, 1 + any(10 - at), COLOURS[any(4)].id) };
        page.m.push(step);
        page.out.push(step);
      } else if (any(2) && page.out.length) {
        server.take(page.client, page.out[0].seq, page.out[0].edit);
        if (any(3)) page.out.shift(); // else the answer was lost: it is sent again
      } else if (page.heard < server.log.length) page.m.receive(server.log[page.heard++], page.client);
    }
    for (const page of pages) for (const s of page.out) server.take(page.client, s.seq, s.edit);
    for (const page of pages) while (page.heard < server.log.length) page.m.receive(server.log[page.heard++], page.client);
    assert.equal(looks(pages[1].m), looks(pages[0].m), `seed ${seed}`);
    assert.equal(looks(pages[2].m), looks(pages[0].m), `seed ${seed}`);
    for (const { m } of pages) assertCounts(m);
  }
});

function assertCounts(m: Model): void {
  const counts = m.colours.map(() => 0);
  for (const r of m.rings) for (const cell of r.shown) counts[cell & 63]++;
  assert.deepEqual(
    m.colours.map((_, i) => m.unitsOf(i)),
    counts,
  );
}

// Tucked units are cut from paper too (common practice): a finial of 2 soot units makes 4 painted ones 6; glued
// pieces are no units.
test("units tucked in count with their colour, glued pieces do not", () => {
  const m = new Model();
  const s = state(tube(12, 3, (r, u) => (r === 1 && u < 4 ? 1 : 0)));
  s.extras = [
    { key: 1, kind: "tucked", name: "finial", colour: "soot", units: 2, ring: 3, at: 0 },
    { key: 2, kind: "tucked", name: "flag", colour: "honey", units: 3, ring: 3, at: 4 },
    { key: 3, kind: "glued", name: "lamp", colour: "honey", diameter_mm: 16, ring: 2, at: 0 },
  ];
  m.load(s);
  assert.deepEqual(
    m.colours.map((_, i) => m.unitsOf(i)),
    [32, 6, 0, 3],
  );
});

test("undo of a stroke that waits shows at once, redo brings it back", () => {
  const m = model(tube(12, 2));
  const blank = looks(m);
  m.push({ seq: 1, edit: paint(1, 0, 3, "soot") });
  const painted = looks(m);
  m.push({ seq: 2, edit: { do: "undo" } });
  assert.equal(looks(m), blank);
  m.push({ seq: 3, edit: { do: "redo" } });
  assert.equal(looks(m), painted);
});

test("a draft is a look ahead: taken away it leaves no trace", () => {
  const m = model(tube(12, 3, (r, u) => (r + u) % 3));
  const before = looks(m);
  m.addDraft(placeOf(1, 1), dab(3));
  m.addDraft(placeOf(1, 2), dab(255, 1));
  m.addDraft(placeOf(1, 2), dab(2));
  assert.notEqual(looks(m), before);
  m.clearDraft();
  assert.equal(looks(m), before);
  assertCounts(m);
});

test("a draft stays on top of what others do meanwhile", () => {
  const m = model(tube(12, 2));
  m.addDraft(placeOf(0, 1), dab(3));
  const server = new Server();
  server.take("other", 1, paint(1, 0, 4, "brick"));
  m.receive(server.log[0], "me");
  assert.deepEqual(Array.from(m.rings[0].shown).slice(0, 5), [2, 3, 2, 2, 0]);
  m.clearDraft();
  assert.deepEqual(Array.from(m.rings[0].shown).slice(0, 5), [2, 2, 2, 2, 0]);
});

test("a draft as an edit: neighbouring units become runs, the seam parts them, units already so are left out", () => {
  const m = model(tube(12, 2, (_, u) => (u === 4 ? 1 : 0)));
  m.setDraft(new Map([11, 0, 1, 3, 4, 5].map((u) => [placeOf(0, u), dab(1)])));
  assert.deepEqual(m.draftEdit(), {
    do: "paint",
    runs: [
      { ring: 1, at: 0, n: 2, colour: "soot" },
      { ring: 1, at: 3, n: 1, colour: "soot" },
      { ring: 1, at: 5, n: 1, colour: "soot" },
      { ring: 1, at: 11, n: 1, colour: "soot" },
    ],
  });
});

test("sides are painted with and without the colour", () => {
  const m = model(tube(12, 2));
  m.push({ seq: 1, edit: { do: "paint", runs: [{ ring: 1, at: 0, n: 2, side: "short" }] } });
  m.push({ seq: 2, edit: paint(1, 1, 2, "soot") });
  assert.deepEqual(Array.from(m.rings[0].shown).slice(0, 4), [SHORT, SHORT | 1, 1, 0]);
});

test("rings that come, go and move keep their units by their identity", () => {
  const m = model(tube(6, 3, (r) => r));
  m.push({ seq: 1, edit: paint(3, 0, 1, "honey") });
  const change: Change = { order: [3, 1, 4], rings: [{ id: 4, start: 1, cells: "BBBBBB", from: 0 }] };
  m.receive(event(2, "x", 1, change), "me");
  assert.deepEqual(
    m.rings.map((r) => r.id),
    [3, 1, 4],
  );
  assert.deepEqual(Array.from(m.rings[0].shown), [3, 2, 2, 2, 2, 2]);
  assertCounts(m);
});

test("a palette in another order keeps every unit's colour", () => {
  const m = model(tube(4, 2, (_, u) => u));
  const colours = [COLOURS[2], COLOURS[0], COLOURS[3], COLOURS[1]];
  m.receive(event(2, "x", 1, { colours }), "me");
  assert.deepEqual(
    Array.from(m.rings[0].shown, (c) => m.colours[c].id),
    ["chalk", "soot", "brick", "honey"],
  );
});

test("a paper that was just added can be painted with before the server has it", () => {
  const m = model(tube(4, 2));
  m.push({ seq: 1, edit: { do: "add_colour", id: "rose", name: "Rose", hex: "#e796aa" } });
  m.push({ seq: 2, edit: paint(1, 0, 1, "rose") });
  assert.equal(m.colours[m.rings[0].shown[0]].id, "rose");
  m.load(state(tube(4, 2), 0, 5));
  assert.equal(m.colours[m.rings[0].shown[0]].id, "rose");
});

test("an extra shows where it was moved to, and goes back when that is refused", () => {
  const m = model(tube(12, 3));
  const eye: Extra = { key: 1, kind: "tucked", name: "Eye", ring: 1, at: 3 };
  m.receive(event(2, "other", 1, { extras: [eye] }), "me");
  m.push({ seq: 1, edit: { do: "edit_extra", extra: { ...eye, ring: 2, at: 4 } } });
  assert.deepEqual([m.extras[0].ring, m.extras[0].at], [2, 4]);
  m.receive(event(3, "other", 2, { extras: [{ ...eye, at: 7 }] }), "me");
  assert.deepEqual([m.extras[0].ring, m.extras[0].at], [2, 4], "what others do comes under it");
  m.refuse(1);
  assert.deepEqual([m.extras[0].ring, m.extras[0].at], [1, 7]);
});

test("steps that only the server can work out are counted until they are back", () => {
  const step = (seq: number, edit: Ask) => ({ seq, edit });
  const insert: Edit = { do: "insert_ring", above: 1, colour: "soot" };
  assert.equal(unseen([step(1, paint(1, 0, 1, "soot")), step(2, insert), step(3, { do: "turn", rings: [1], by: 1 })]), 2);
  assert.equal(unseen([step(1, insert), step(2, { do: "undo" })]), 0, "taken back before anybody saw it");
  assert.equal(unseen([step(1, { do: "undo" }), step(2, paint(1, 0, 1, "soot"))]), 1, "an undo of a step that the server has");
});
