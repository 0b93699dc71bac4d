// The list of keys, opened by '?', made of the table of actions.
import { el } from "../../base/dom";
import { showDialog } from "../../base/popover";
import { say } from "../../base/words";
import { type Actions, GROUPS } from "../actions/action";

export function showHelp(actions: Actions): void {
  const lines = actions.help();
  const part = (group: (typeof GROUPS)[number]) =>
    el(
      "section",
      {},
      el("h3", {}, say(group)),
      el(
        "dl",
        { class: "keys" },
        ...lines.filter((l) => l.group === group).flatMap((l) => [el("dt", {}, el("kbd", {}, l.keys)), el("dd", {}, l.line)]),
      ),
    );
  const content = el(
    "div",
    {},
    el("p", {}, say("help.intro")),
    el("div", { class: "help" }, ...GROUPS.map(part)),
    el("p", {}, say("help.pointer")),
  );
  showDialog(say("help"), content);
}
