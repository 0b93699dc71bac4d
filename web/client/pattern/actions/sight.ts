// What is in sight, and how: zoom, signs, numbers, points, heights, the list of keys.
import type { Action } from "./action";
import type { Desk } from "./desk";

export function sightActions({ e, stage, marks, heights, dock, menus, dialogs }: Desk): Action[] {
  const zoom = "help.look.zoom";
  const turn = "help.look.turn";
  return [
    { name: "zoom.in", label: "zoom.in", icon: "plus", key: "+", also: ["="], help: zoom, run: () => stage.zoom(1.3) },
    { name: "zoom.out", label: "zoom.out", icon: "minus", key: "-", help: zoom, run: () => stage.zoom(1 / 1.3) },
    {
      name: "zoom.fit",
      label: "zoom.fit",
      icon: "fit",
      key: "0",
      help: "help.look.fit",
      run: () => stage.fit(),
    },
    { name: "turn.left", label: "all.turn_right", key: "[", help: turn, run: () => stage.pan(80, 0) },
    { name: "turn.right", label: "all.turn_left", key: "]", help: turn, run: () => stage.pan(-80, 0) },
    {
      name: "marks.signs",
      label: "look.signs",
      key: "H",
      help: "help.look.signs",
      ticked: () => marks.shows("signs"),
      run: () => marks.toggle("signs"),
    },
    {
      name: "marks.numbers",
      label: "look.numbers",
      key: "N",
      help: "help.look.numbers",
      ticked: () => marks.shows("numbers"),
      run: () => marks.toggle("numbers"),
    },
    {
      name: "marks.points",
      label: "look.points",
      key: "J",
      help: "help.look.points",
      ticked: () => marks.shows("points"),
      run: () => marks.toggle("points"),
    },
    { name: "heights.mm", label: "look.lengths", ticked: () => heights.unit === "mm", run: () => heights.toggle("mm") },
    {
      name: "heights.inches",
      label: "look.inches",
      ticked: () => heights.unit === "inches",
      run: () => heights.toggle("inches"),
    },
    {
      name: "colours",
      label: "help.look.colours",
      key: "C",
      help: "help.look.colours",
      run: () => dock.focusPaper(),
    },
    { name: "more", label: "more", icon: "more", unlisted: true, run: ({ x, y }) => menus.more(x, y) },
    { name: "about", label: "about", icon: "pencil", paints: true, off: () => !e.m.rings.length, run: () => dialogs.about() },
    {
      name: "all",
      label: "all",
      icon: "find",
      key: "A",
      help: "help.look.all",
      unlisted: true,
      run: (at) => dialogs.all(at),
    },
    {
      name: "help",
      label: "help",
      icon: "help",
      key: "?",
      situation: "page",
      help: "help.look.help",
      run: () => dialogs.help(),
    },
  ];
}
