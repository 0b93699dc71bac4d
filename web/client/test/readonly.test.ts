// Nothing outside the model writes to it, nor to what the editor's parts hold. The compiler is the judge: a line that expects an error and has none is itself an
// error of tsc, so each line here fails `make check` as soon as it is allowed.
import { test } from "node:test";
import { Deciders } from "../base/listeners";
import type { Overlay } from "../pattern/grid/overlay";
import type { Model } from "../pattern/model/model";
import type { Editor } from "../pattern/tools/editor";
import { model, state, tube } from "./figures";

/** Never called: what these lines would do is forbidden. */
export function forbidden(m: Model): void {
  // @ts-expect-error the revision comes with steps
  m.rev = 2;
  // @ts-expect-error the title comes with steps
  m.title = "";
  // @ts-expect-error the front line comes with steps
  m.frontTurn = 0.5;
  // @ts-expect-error counts come with Model.count
  m.totals = state(tube(3, 1)).totals;
  // @ts-expect-error waiting steps come with Model.push and Model.wait
  m.pending = [];
  // @ts-expect-error and are not added to one by one
  m.pending.push({ seq: 1, edit: { do: "undo" } });
  // @ts-expect-error rings come with steps
  m.rings = [];
  // @ts-expect-error none is taken away
  m.rings.pop();
  // @ts-expect-error nor replaced
  m.rings[0] = m.rings[1];
  // @ts-expect-error a unit is painted by a step or in a draft
  m.rings[0].shown[0] = 1;
  // @ts-expect-error not many at once either
  m.rings[0].shown.fill(1);
  // @ts-expect-error what the server has changes by its steps only
  m.rings[0].kept[0] = 1;
  // @ts-expect-error how many units a ring has too
  m.rings[0].n = 4;
  // @ts-expect-error an extra is shown elsewhere by Model.moveExtra
  m.extras = [];
  // @ts-expect-error its place is not written to
  m.extras[0].at = 1;
  // @ts-expect-error how extras look comes with steps
  m.looks = [];
  // @ts-expect-error colours come with steps
  m.colours = [];
  // @ts-expect-error each of them too
  m.colours[0].hex = "#000000";
  // @ts-expect-error what was painted is told by Model.painted
  m.dirty = [];
  // @ts-expect-error the same
  m.dirtyAll = false;
  // @ts-expect-error the shape counts by itself
  m.shape++;
}

/** Never called either. */
export function forbiddenToo(e: Editor, over: Overlay): void {
  // @ts-expect-error the focus is set by Editor.setFocus, which tells
  e.focus = 0;
  // @ts-expect-error the selection by Editor.select
  e.selection = new Set();
  // @ts-expect-error and is not added to
  e.selection.add(0);
  // @ts-expect-error the tool by Editor.take
  e.tool = "run";
  // @ts-expect-error the colour in hand by Editor.choosePaper
  e.paper = "";
  // @ts-expect-error the symmetry by Editor.setSymmetry
  e.symmetry.repeat = 2;
  // @ts-expect-error the overlay is told by its methods
  over.lengths = [];
  // @ts-expect-error whoever asks for the focus to be shown is added
  over.showsFocus = new Deciders();
}

test("what the model shows stays when its lists are copied and changed", (t) => {
  const m = model(tube(12, 3));
  const cells = m.rings[0].shown.slice();
  cells.fill(2);
  t.assert.deepEqual(Array.from(m.rings[0].shown), new Array(12).fill(0));
});
