// The sheet of keys, opened by '?'.

import { el } from "../../base/dom";
import { showDialog } from "../../base/popover";
import { type Plain, say } from "../../base/words";
import { TOOL_KEYS } from "./dock";
import { TOOLS } from "./editor";

/** Keys by group; group and key are named by their sentences. */
const GROUPS: [group: Plain, rows: [keys: string, what: Plain][]][] = [
  [
    "help.walk",
    [
      ["← →", "help.walk.along"],
      ["↑ ↓", "help.walk.across"],
      ["Alt ↑ ↓", "help.walk.lean"],
      ["Home End", "help.walk.ends"],
      ["Page ↑ ↓", "help.walk.five"],
      ["Ctrl Home / End", "help.walk.top"],
      ["Shift + arrows", "help.walk.trail"],
      ["D", "help.walk.trail_on"],
    ],
  ],
  [
    "help.paint",
    [
      ["Space", "help.paint.press"],
      ["1 – 9", "help.paint.paper"],
      ["M", "help.paint.mirror"],
      ["B", "help.paint.back"],
      ["K", "help.paint.repeat"],
      ["Ctrl Z", "help.paint.undo"],
      ["Ctrl Y", "help.paint.redo"],
    ],
  ],
  [
    "help.block",
    [
      ["Ctrl C", "help.block.copy"],
      ["Ctrl X", "help.block.cut"],
      ["Ctrl V", "help.block.paste"],
      ["Ctrl A", "help.block.all"],
      ["Delete", "help.block.fill"],
      ["E", "help.block.menu"],
      ["T", "help.block.ring_menu"],
      ["Esc", "help.block.escape"],
    ],
  ],
  [
    "help.look",
    [
      ["+ −", "help.look.zoom"],
      ["0", "help.look.fit"],
      ["[ ]", "help.look.turn"],
      ["H", "help.look.signs"],
      ["N", "help.look.numbers"],
      ["J", "help.look.points"],
      ["C", "help.look.colours"],
      ["?", "help.look.help"],
    ],
  ],
];

export function showHelp(): void {
  const part = (title: string, rows: [string, string][]) =>
    el(
      "section",
      {},
      el("h3", {}, title),
      el("dl", { class: "keys" }, ...rows.flatMap(([keys, what]) => [el("dt", {}, el("kbd", {}, keys)), el("dd", {}, what)])),
    );
  const tools = TOOLS.map((h): [string, string] => [TOOL_KEYS[h].toUpperCase(), `${say(`tool.${h}`)}: ${say(`tool.${h}.does`)}`]);
  const groups = GROUPS.map(([g, rows]) =>
    part(
      say(g),
      rows.map(([k, w]) => [k, say(w)]),
    ),
  );
  const content = el(
    "div",
    {},
    el("p", {}, say("help.intro")),
    el("div", { class: "help" }, part(say("help.tools"), tools), ...groups),
    el("p", {}, say("help.pointer")),
  );
  showDialog(say("help"), content);
}
