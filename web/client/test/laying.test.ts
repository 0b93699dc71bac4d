// A picture that is laid over the grid: nothing of it becomes a step before it is taken, and no answer counts that comes too late.
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { mock, test } from "node:test";
import { Laying } from "../pattern/laying/laying";
import { dab, Model, placeOf } from "../pattern/model/model";
import { Editor } from "../pattern/tools/editor";
import { samples } from "../wire/samples";
import type { Ask, PictureAsk, PictureTrial, StateWire } from "../wire/types";
import { catalogue } from "./catalogue";
import { event } from "./figures";

const nothing = () => undefined;
Object.assign(globalThis, {
  window: globalThis,
  document: { getElementById: () => ({ textContent: JSON.stringify(catalogue()) }) },
  addEventListener: nothing,
  createImageBitmap: (file: { ready?: Promise<void> } & Blob) =>
    Promise.resolve(file.ready).then(() => ({ width: 3, height: 2, of: file, close: nothing })),
  OffscreenCanvas: class {
    image: { of?: Blob } = {};
    getContext = () => ({ drawImage: (image: { of: Blob }) => (this.image = image) });
    convertToBlob = async () => new Blob([this.image.of!], { type: "image/png" });
  },
});

/** Lets everything happen that waits for nothing but an answer. */
const settle = async () => {
  for (let i = 0; i < 20; i++) await new Promise((done) => setImmediate(done));
};

/** A swan of Go's own: body, wings, neck and head; and the steps that are made of it. */
function swan(): { e: Editor; m: Model; steps: Ask[] } {
  const m = new Model();
  m.load(structuredClone(samples.StateWire.find((s) => s.title === "Swan")) as StateWire);
  const steps: Ask[] = [];
  const e = new Editor(m, { step: (edit: Ask) => steps.push(edit) } as never, "edit");
  e.choosePaper(m.colours[1].id);
  return { e, m, steps };
}

const neck = (m: Model) => m.parts.find((p) => p.name === "Neck")!.id;

/** A server that keeps pictures under their own text and paints the first unit of the part's first ring; hold lets it wait, status fail. */
function server(m: Model) {
  const asks: PictureAsk[] = [];
  const at = { hold: Promise.resolve(), status: 200, after: "" };
  const fetched = mock.method(globalThis, "fetch", async (url: string, init: RequestInit) => {
    if (url.endsWith("/picture")) return Response.json({ picture: await (init.body as Blob).text(), width: 3, height: 2 });
    const ask = JSON.parse(String(init.body)) as PictureAsk;
    asks.push(ask);
    const { status, after } = at;
    const ring = m.rings[0].id;
    await at.hold;
    if (status === 0) throw new TypeError("no connection");
    if (status !== 200) return new Response("", { status, headers: { "Retry-After": after } });
    const lay = ask.fit ? { ...ask.lay, width: 8, height: 3 } : ask.lay;
    const paint = [{ ring, at: 0, n: 1, colour: m.colours[1].id }];
    const trial: PictureTrial = { rev: 1, lay, around: 12, rise: 1, paint, covered: 1, mean: 0, greatest: 0, bound: 0, proven: true };
    return Response.json(trial);
  });
  return { asks, at, end: () => fetched.mock.restore() };
}

const picture = (text: string, ready?: Promise<void>) => Object.assign(new Blob([text]), { ready });

test("what is only shown ahead never becomes a step, whatever is done meanwhile, until it is kept: then one", () => {
  const { e, m, steps } = swan();
  const heard: string[] = [];
  e.hindered.add((why) => heard.push(why));
  const at = placeOf(1, 3);
  const before = m.cell(at);
  const ahead = () => e.showAhead(new Map([[at, dab(1)]]));
  ahead();
  assert.notEqual(m.cell(at), before);
  e.commit();
  e.take("ring");
  e.press();
  e.walk(placeOf(0, 5), true);
  e.paintPlaces([placeOf(0, 2)]);
  e.begin({ turn: 0.2, high: 1 }, 20);
  e.moveTo([{ turn: 0.4, high: 1 }]);
  e.end();
  assert.deepEqual(heard, Array(4).fill("A picture lies over the pattern. Take it or leave it first, then paint."));
  assert.notEqual(m.cell(at), before, "and what is shown stays");
  e.undo();
  assert.deepEqual(steps.splice(0), [{ do: "undo" }]);
  e.lookAt(neck(m));
  e.lookAt(m.parts[0].id);
  assert.equal(m.cell(at), before, "another part in view takes it away");
  assert.deepEqual(steps, []);
  ahead();
  assert.equal(e.keepAhead(), true);
  assert.equal(steps.length, 1);
  assert.equal(e.busy, "");
  e.paintPlaces([placeOf(0, 2)]);
  assert.equal(steps.length, 2, "hands may draw again");
});

test("a stroke that a picture comes over is kept as its own step", () => {
  const { e, m, steps } = swan();
  e.take("ring");
  e.begin({ turn: 0.2, high: 1 }, 20);
  e.showAhead(new Map([[placeOf(1, 3), dab(1)]]));
  assert.equal(steps.length, 1);
  e.endAhead();
  e.end();
  assert.equal(steps.length, 1);
  assert.equal(m.draftSize, 0);
});

test("of pictures that are chosen quickly the last is laid under its own name, and none after it was left", async () => {
  const { e, m } = swan();
  const { asks, at, end } = server(m);
  try {
    const laying = new Laying(e, "");
    laying.show(true);
    let read = nothing as () => void;
    const slow = laying.open(picture("heron", new Promise((done) => (read = () => done()))));
    const quick = laying.open(picture("puffin"));
    await quick;
    read();
    await slow;
    await settle();
    assert.deepEqual(new Set(asks.map((a) => a.picture)), new Set(["puffin"]));
    assert.equal(laying.ready, true);
    let gull = nothing as () => void;
    at.hold = new Promise((done) => (gull = () => done()));
    await laying.open(picture("gull"));
    await settle();
    let crane = nothing as () => void;
    at.hold = new Promise((done) => (crane = () => done()));
    await laying.open(picture("crane"));
    gull();
    await settle();
    assert.equal(asks[asks.length - 1].picture, "crane");
    assert.equal(laying.trial, null, "what comes of the gull is nothing to the crane");
    crane();
    await settle();
    assert.equal(laying.ready, true);
    const left = laying.open(picture("owl"));
    laying.end();
    await left;
    await settle();
    assert.deepEqual([laying.lay, laying.image, e.busy, m.draftSize], [null, null, "", 0]);
  } finally {
    end();
  }
});

test("a part that is looked at while the picture is hidden is asked for before it can be taken", async () => {
  const { e, m, steps } = swan();
  const { asks, at, end } = server(m);
  try {
    const laying = new Laying(e, "");
    laying.show(true);
    await laying.open(picture("puffin"));
    await settle();
    laying.put({ x: 2 });
    await settle();
    laying.show(false);
    assert.equal(m.draftSize, 0);
    const asked = asks.length;
    e.lookAt(neck(m));
    e.tell("figure");
    assert.equal(asks.length, asked, "nothing is asked while it is hidden");
    let answer = nothing as () => void;
    at.hold = new Promise((done) => (answer = () => done()));
    laying.show(true);
    await settle();
    assert.equal(asks[asked].lay.part, neck(m));
    assert.equal(laying.ready, false);
    laying.take();
    assert.notEqual(laying.lay, null, "what cannot be taken yet is not let go");
    answer();
    await settle();
    e.lookAt(m.parts[0].id);
    await settle();
    assert.equal(laying.lay?.x, 2, "the first part has it where it lay");
    e.lookAt(neck(m));
    await settle();
    laying.take();
    assert.deepEqual(steps, [{ do: "paint", runs: [{ ring: m.rings[0].id, at: 0, n: 1, colour: m.colours[1].id }] }]);
    assert.equal(laying.lay, null);
  } finally {
    end();
  }
});

test("a picture that changes nothing is not let go without a word", async () => {
  const { e, m, steps } = swan();
  const { end } = server(m);
  try {
    const laying = new Laying(e, "");
    laying.show(true);
    await laying.open(picture("puffin"));
    await settle();
    m.receive(event(m.rev + 1, "b", 1, { paint: [{ ring: m.rings[0].id, at: 0, n: 1, colour: 1 }] }), "a");
    laying.take();
    assert.deepEqual(steps, []);
    assert.equal(laying.wrong, "The units have these colours already: there is nothing to take.");
    assert.notEqual(laying.lay, null);
  } finally {
    end();
  }
});

// RFC 6585, 4: 429 may say by Retry-After how many seconds to wait before asking again.
test("what got no answer is asked again by itself, ever more seldom, and not before the server wants it", async () => {
  const { e, m } = swan();
  const { asks, at, end } = server(m);
  let now = 0;
  const clock = mock.method(performance, "now", () => now);
  mock.timers.enable({ apis: ["setTimeout"] });
  const later = async (seconds: number) => {
    for (let s = 0; s < seconds; s++) {
      now += 1000;
      mock.timers.tick(1000);
      await settle();
    }
  };
  try {
    const laying = new Laying(e, "");
    laying.show(true);
    at.status = 0;
    await laying.open(picture("puffin"));
    await settle();
    assert.equal(asks.length, 1);
    assert.notEqual(laying.wrong, "");
    await later(60);
    assert.ok(asks.length > 4 && asks.length < 10, `${asks.length} times in a minute`);
    at.status = 200;
    await later(15);
    assert.deepEqual([laying.ready, laying.wrong], [true, ""]);
    Object.assign(at, { status: 429, after: "9" });
    const before = asks.length;
    for (let x = 0; x < 8; x++) {
      laying.put({ x });
      await later(1);
    }
    assert.equal(asks.length, before + 1, "the hand goes on, the questions wait");
    at.status = 200;
    await later(2);
    assert.deepEqual([laying.ready, laying.lay?.x], [true, 7]);
  } finally {
    mock.timers.reset();
    clock.mock.restore();
    end();
  }
});

test("only the editor's hands write a draft", () => {
  const files = ["pattern", "stand"].flatMap((dir) =>
    readdirSync(`web/client/${dir}`, { recursive: true, encoding: "utf8" }).map((name) => join("web/client", dir, name)),
  );
  const writers = files.filter((f) => f.endsWith(".ts") && /\.(setDraft|addDraft|dropDraft|clearDraft)\(/.test(readFileSync(f, "utf8")));
  assert.deepEqual(writers.sort(), ["web/client/pattern/model/model.ts", "web/client/pattern/tools/editor.ts"]);
});
