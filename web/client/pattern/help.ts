// The sheet of keys, opened by '?'.
import { HAND_KEYS } from "./dock";
import { el } from "./dom";
import { HANDS } from "./editor";
import { showDialog } from "./popover";
import { say } from "./words";

/** Keys by group; each names a sentence help.KEY. */
const GROUPS: [group: string, rows: [keys: string, what: string][]][] = [
  ["walk", [["← →", "along"], ["↑ ↓", "across"], ["Alt ↑ ↓", "lean"], ["Home End", "ends"], ["Page ↑ ↓", "five"], ["Ctrl Home / End", "top"], ["Shift + arrows", "trail"], ["D", "trail_on"]]],
  ["paint", [["Space", "press"], ["1 – 9", "paper"], ["M", "mirror"], ["B", "back"], ["K", "repeat"], ["Ctrl Z", "undo"], ["Ctrl Y", "redo"]]],
  ["block", [["Ctrl C", "copy"], ["Ctrl X", "cut"], ["Ctrl V", "paste"], ["Ctrl A", "all"], ["Delete", "fill"], ["E", "menu"], ["T", "ring_menu"], ["Esc", "escape"]]],
  ["look", [["+ −", "zoom"], ["0", "fit"], ["[ ]", "turn"], ["H", "signs"], ["N", "numbers"], ["J", "points"], ["C", "colours"], ["?", "help"]]],
];

export function showHelp(): void {
  const part = (title: string, rows: [string, string][]) =>
    el("section", {}, el("h3", {}, title), el("dl", { class: "keys" }, ...rows.flatMap(([keys, what]) => [el("dt", {}, el("kbd", {}, keys)), el("dd", {}, what)])));
  const hands = HANDS.map((h): [string, string] => [HAND_KEYS[h].toUpperCase(), `${say("hand." + h)}: ${say(`hand.${h}.does`)}`]);
  const groups = GROUPS.map(([g, rows]) => part(say("help." + g), rows.map(([k, w]) => [k, say(`help.${g}.${w}`)])));
  const content = el("div", {}, el("p", {}, say("help.intro")), el("div", { class: "help" }, part(say("help.hands"), hands), ...groups), el("p", {}, say("help.pointer")));
  showDialog(say("help"), content);
}
