// The table of actions: what buttons, menus, keys and the list of keys are made of.
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { test } from "node:test";
import { type Action, Actions, helpLine, keysOf, keyText } from "../pattern/actions/action";
import { allActions } from "../pattern/actions/all";
import type { Desk } from "../pattern/actions/desk";
import { Editor } from "../pattern/tools/editor";
import { catalogue } from "./catalogue";
import { model, tube } from "./figures";

const page = { getElementById: (id: string) => (id === "words" ? { textContent: JSON.stringify(catalogue()) } : null) };
Object.assign(globalThis, { document: page });

/** What was done, as the names of the methods that were called. */
const done: string[] = [];

/** A part of the editor that notes what is done to it. */
function part(name: string, known: Record<string, unknown> = {}): never {
  return new Proxy(known, {
    get: (of, key) => (key in of ? of[String(key)] : () => done.push(`${name}.${String(key)}`)),
  }) as never;
}

/** Everything an action can work on; nothing is selected, held, copied or done yet. */
function desk(power = "edit"): Desk {
  const m = model(tube(12, 4));
  const e = new Editor(m, part("sync"), power);
  e.choosePaper(m.colours[0].id);
  return {
    e,
    stage: part("stage"),
    placing: part("placing", { held: null, pending: false, other: -1, stamped: false }),
    clipboard: part("clipboard", { empty: true }),
    walk: part("walk", { trail: false }),
    marks: part("marks", { shows: () => false }),
    heights: part("heights", { unit: null }),
    menus: part("menus", { somethingOpen: false }),
    dock: part("dock"),
    panel: part("panel"),
    papers: part("papers"),
    rings: part("rings"),
    extras: part("extras"),
    parts: part("parts"),
    notes: part("notes"),
    history: { can_undo: false, can_redo: false },
    dialogs: { help: () => done.push("help"), about: () => done.push("about"), all: () => done.push("all") },
  };
}

const at = { place: 0, rings: [1], x: 0, y: 0 };
const table = allActions(desk());
const key = (name: string, held: Partial<Record<"ctrlKey" | "altKey" | "shiftKey", boolean>> = {}) => ({
  key: name,
  ctrlKey: false,
  metaKey: false,
  altKey: false,
  shiftKey: false,
  ...held,
});
const plain = (a: Partial<Action> & { name: string }): Action => ({ label: () => a.name, run: () => done.push(a.name), ...a });

test("no key stands twice in one situation, and no name twice", () => {
  assert.doesNotThrow(() => new Actions(table, true, () => undefined));
  const twice = [plain({ name: "a", key: "M" }), plain({ name: "b", key: "X", also: ["M"] })];
  assert.throws(() => new Actions(twice, true, () => undefined), /a and b have one key, grid: M/);
  assert.throws(() => new Actions([plain({ name: "a" }), plain({ name: "a" })], true, () => undefined), /two actions are called a/);
  const apart = [plain({ name: "a", key: "M" }), plain({ name: "b", key: "M", situation: "page" })];
  assert.doesNotThrow(() => new Actions(apart, true, () => undefined));
});

test("every action has a label of the catalogue", (t) => {
  const missing = t.mock.method(console, "error", () => undefined);
  const actions = new Actions(table, true, () => undefined);
  for (const a of table) assert.match(actions.label(a, at), /\p{L}/u, a.name);
  assert.deepEqual(
    missing.mock.calls.map((c) => c.arguments),
    [],
  );
});

test("the list of keys names the key of every action that has one", () => {
  const lines = new Actions(table, true, () => undefined).help();
  for (const a of table) {
    if (!a.key) continue;
    assert.ok(a.help, `${a.name} has the key ${a.key} and no line in the list of keys`);
    const { group, line: says } = helpLine(a.help);
    const line = lines.find((l) => l.group === group && l.line === says);
    const shown = a.keys ?? keyText(a.key);
    for (const word of shown.split(" ")) assert.ok(line?.keys.includes(word), `${a.name}: ${word} in '${line?.keys}'`);
  }
});

// The lines as makers have learned them.
test("the list of keys reads as it always did", () => {
  const lines = new Actions(table, true, () => undefined).help().filter((l) => l.group !== "help.tools");
  assert.deepEqual(
    lines.map((l) => l.keys),
    [
      ...["← →", "↑ ↓", "Alt ↑ ↓", "Home End", "Page ↑ ↓", "Ctrl Home / End", "Shift + arrows", "D"],
      ...["Space", "1 – 9", "M", "B", "K", "Ctrl Z", "Ctrl Y"],
      ...["Ctrl C", "Ctrl X", "Ctrl V", "Ctrl A", "Delete", "E", "T", "Esc", "Q"],
      ...[", .", "+ −", "0", "[ ]", "H", "N", "J", "C", "A", "?"],
    ],
  );
});

test("an action that is off does nothing, by key or by name, and says why where it has a reason", () => {
  const said: string[] = [];
  const off = [plain({ name: "quiet", key: "M", off: () => true }), plain({ name: "told", key: "N", off: () => "not now" })];
  const actions = new Actions(off, true, (why) => said.push(why));
  done.length = 0;
  for (const name of ["quiet", "told"]) assert.equal(actions.run(name, at), false);
  const press = (name: string) => actions.press(key(name), ["grid"], () => at);
  assert.equal(press("m"), false);
  assert.equal(press("n"), true, "a key that was answered with a reason is the page's, not the browser's");
  assert.deepEqual(done, []);
  assert.deepEqual(said, ["not now", "not now"]);
});

test("undo and redo say why there is nothing to take back", () => {
  const d = desk();
  const actions = new Actions(allActions(d), true, () => undefined);
  for (const name of ["undo", "redo"]) assert.match(String(actions.why(actions.get(name), at)), /step of yours/);
});

test("every action of the editor that is off does nothing", () => {
  const d = desk();
  const steps: unknown[] = [];
  d.e.step = (edit) => steps.push(edit);
  const actions = new Actions(allActions(d), true, () => undefined);
  const nowhere = { ...at, rings: [] };
  const off = actions.list.filter((a) => actions.why(a, nowhere));
  const names = off.map((a) => a.name);
  for (const name of ["undo", "redo", "cut", "paste", "block.fill", "ring.remove", "place.put", "escape"])
    assert.ok(names.includes(name), name);
  done.length = 0;
  for (const a of off) {
    actions.run(a.name, nowhere);
    for (const k of keysOf(a)) {
      const words = k.split(" ");
      const name = words.pop() ?? "";
      const held = { ctrlKey: words.includes("Ctrl"), altKey: words.includes("Alt"), shiftKey: words.includes("Shift") };
      actions.press(key(name === "Space" ? " " : name, held), [a.situation ?? "grid"], () => nowhere);
    }
  }
  assert.deepEqual(done, []);
  assert.deepEqual(steps, []);
});

test("who may only look is offered nothing that paints", () => {
  const d = desk("view");
  const actions = new Actions(allActions(d), false, () => undefined);
  for (const a of actions.list.filter((each) => each.paints)) {
    assert.equal(actions.possible(a.name, at), false, a.name);
    assert.equal(actions.run(a.name, at), false, a.name);
  }
  assert.ok(actions.possible("unit.pick", at));
});

test("a key means what it means in the nearest situation, with Shift or without", () => {
  const ways: string[] = [];
  const note = (name: string, keys: string, situation?: Action["situation"]): Action =>
    plain({ name, key: keys, situation, run: (_, pressed) => ways.push(`${name}${pressed?.shift ? " shifted" : ""}`) });
  const actions = new Actions(
    [
      note("put", "Space", "holding"),
      note("paint", "Space"),
      note("mirror", "M"),
      note("redo", "Ctrl Shift Z", "page"),
      note("undo", "Ctrl Z", "page"),
    ],
    true,
    () => undefined,
  );
  const where = () => at;
  assert.ok(actions.press(key(" "), ["holding", "grid"], where));
  assert.ok(actions.press(key(" "), ["grid"], where));
  assert.ok(actions.press(key("M", { shiftKey: true }), ["grid"], where));
  assert.ok(!actions.press(key("m", { altKey: true }), ["grid"], where));
  assert.ok(!actions.press(key("m", { ctrlKey: true }), ["grid"], where));
  assert.ok(actions.press(key("Z", { ctrlKey: true, shiftKey: true }), ["page"], where));
  assert.ok(actions.press(key("z", { ctrlKey: true }), ["page"], where));
  assert.deepEqual(ways, ["put", "paint", "mirror shifted", "redo shifted", "undo"]);
});

test("while nothing is held over the grid, nothing can be done with what is held", () => {
  const actions = new Actions(allActions(desk()), true, () => undefined);
  for (const a of actions.list.filter((each) => each.name.startsWith("place."))) assert.equal(actions.possible(a.name, at), false, a.name);
});

test("the list of all actions shows what can be done now, each by words of its own", () => {
  const d = desk();
  const actions = new Actions(allActions(d), true, () => undefined);
  const named = () => actions.listed(at).map((a) => `${actions.belongs(a, at)}: ${actions.label(a, at)}`);
  for (const a of actions.listed(at)) assert.ok(actions.possible(a.name, at), a.name);
  assert.ok(named().includes("Ring 1: Remove"));
  assert.ok(named().includes("Symmetry: Mirror about the front line"));
  assert.ok(!named().includes(": Undo"), "nothing to undo yet");
  assert.ok(!named().includes("Selection: Move"), "nothing selected");
  d.e.selectAll();
  assert.ok(named().includes("Selection: Move"));
  assert.deepEqual(
    named().filter((name, i, all) => all.indexOf(name) !== i),
    [],
  );
});

test("who may only look finds nothing that paints in the list of all actions", () => {
  const actions = new Actions(allActions(desk("view")), false, () => undefined);
  assert.deepEqual(
    actions.listed(at).filter((a) => a.paints),
    [],
  );
  assert.ok(actions.listed(at).some((a) => a.name === "zoom.fit"));
});

// What has no key and stands neither in the list of all actions nor by its name in a menu, bar or button is out of reach.
test("every action can be reached", () => {
  const files = readdirSync("web/client/pattern", { recursive: true, encoding: "utf8" });
  const parts = files.filter((name) => name.endsWith(".ts") && !name.startsWith("actions"));
  const text = parts.map((name) => readFileSync(`web/client/pattern/${name}`, "utf8")).join("");
  for (const a of table) assert.ok(a.key || !a.unlisted || text.includes(`"${a.name}"`), a.name);
});
