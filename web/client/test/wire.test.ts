// What Go writes (samples.ts, made by Go itself) has the types and shapes that the page takes it to have; the compiler
// holds samples.ts against the types. And what Go would not write is refused, by the compiler and by the door.
import assert from "node:assert/strict";
import { test } from "node:test";
import { read, readList, taken, told, WireError } from "../wire/door";
import { events, samples } from "../wire/samples";
import { type Ask, type Edit, EVENTS, type Events, SHAPES, type Told, type Wire } from "../wire/types";

const names = Object.keys(SHAPES).filter((name): name is keyof Wire => name in samples);
const eventNames = Object.keys(EVENTS).filter((name): name is keyof Events => name in events);

test("the door takes every value of every type that Go writes, as it is", () => {
  assert.ok(names.length > 60);
  for (const name of names) {
    assert.ok(samples[name].length >= 1, name);
    for (const value of samples[name]) assert.deepEqual(read(name, JSON.stringify(value)), JSON.parse(JSON.stringify(value)));
  }
});

test("the door takes every event that Go tells, as it is", () => {
  assert.deepEqual(eventNames, ["alive", "history", "people", "resync", "step", "totals"]);
  for (const name of eventNames) for (const data of events[name]) assert.deepEqual(told(name, JSON.stringify(data)), data);
});

test("the door refuses a value that lacks any one of its fields, or has null or another kind of value there", () => {
  let tried = 0;
  for (const name of names) {
    const shape = SHAPES[name];
    if (typeof shape === "string" || !("fields" in shape)) continue;
    const [value] = samples[name];
    for (const field of Object.keys(shape.fields)) {
      const { [field]: _, ...rest } = Object(value);
      assert.throws(() => taken(name, rest), new WireError(`${name}.${field} is missing`));
      assert.throws(() => taken(name, { ...rest, [field]: null }), WireError, `${name}.${field} null`);
      assert.throws(() => taken(name, { ...rest, [field]: [[{}]] }), WireError, `${name}.${field} of another kind`);
      tried++;
    }
  }
  assert.ok(tried > 100);
});

test("the door says where a value is wrong, however deep", () => {
  const [state] = samples.StateWire;
  const bent = { ...state, rings: [{ ...state.rings[0], free: [[1, "two"]] }] };
  assert.throws(() => taken("StateWire", bent), new WireError('StateWire.rings[0].free[0][1] is "two", not a number'));
  assert.throws(
    () => read("Edit", '{"do":"batch","edits":[{"do":"dance"}]}'),
    new WireError('Edit.edits[0].do is "dance", which this page does not know'),
  );
  assert.throws(() => read("ExtraKind", '"sewn"'), new WireError('ExtraKind is "sewn", not tucked, glued'));
  assert.throws(() => readList("ReadyPaper", "{}"), WireError);
  assert.throws(() => told("people", '[{"client":"a"}]'), new WireError("people[0].name is missing"));
});

test("the door knows no edit that only the log holds, nor one by the name of what every object has", () => {
  for (const kind of ["splice", "become", "constructor", "toString", "__proto__", ""])
    assert.throws(() => taken("Ask", JSON.parse(`{"do":${JSON.stringify(kind)}}`)), WireError, kind);
});

test("the door lets pass what a later program may add", () => {
  assert.deepEqual(read("History", '{"can_undo":true,"can_redo":false,"can_dance":true}').can_undo, true);
});

// Each line is refused by the compiler; one that it took would be an error of its own.
export function refused(): unknown[] {
  const edits: Edit[] = [
    // @ts-expect-error no such kind
    { do: "dance" },
    // @ts-expect-error only the log holds it
    { do: "become", document: "", keys: {} },
    // @ts-expect-error an ask of the log, no edit
    { do: "undo" },
    // @ts-expect-error without its rings
    { do: "remove_rings" },
    // @ts-expect-error a field of another edit
    { do: "set_title", title: "Puffin", front: 1 },
    // @ts-expect-error a number is a number
    { do: "set_front", front: "1" },
    // @ts-expect-error not a side
    { do: "paint", runs: [{ ring: 1, at: 0, n: 1, side: "left" }] },
    // @ts-expect-error however deep in a batch
    { do: "batch", edits: [{ do: "batch", edits: [{ do: "dance" }] }] },
  ];
  // @ts-expect-error which revision?
  const ask: Ask = { do: "restore" };
  // @ts-expect-error no such event
  const event: Told = { event: "weather", data: {} };
  // @ts-expect-error what another event carries
  const other: Told = { event: "history", data: [] };
  return [edits, ask, event, other];
}
