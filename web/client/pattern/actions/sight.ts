// What is in sight, and how: zoom, signs, numbers, points, heights, the list of keys.
import { say } from "../../base/words";
import type { Action } from "./action";
import type { Desk } from "./desk";

export function sightActions({ e, stage, marks, heights, dock, menus, dialogs }: Desk): Action[] {
  const help = (line: () => string, keys?: string) => ({ group: "help.look" as const, line, keys });
  const zoom = () => say("help.look.zoom");
  const turn = () => say("help.look.turn");
  return [
    { name: "zoom.in", label: () => say("zoom.in"), icon: "plus", key: "+", also: ["="], help: help(zoom), run: () => stage.zoom(1.3) },
    { name: "zoom.out", label: () => say("zoom.out"), icon: "minus", key: "-", help: help(zoom), run: () => stage.zoom(1 / 1.3) },
    {
      name: "zoom.fit",
      label: () => say("zoom.fit"),
      icon: "fit",
      key: "0",
      help: help(() => say("help.look.fit")),
      run: () => stage.fit(),
    },
    { name: "turn.left", label: turn, key: "[", help: help(turn), run: () => stage.pan(80, 0) },
    { name: "turn.right", label: turn, key: "]", help: help(turn), run: () => stage.pan(-80, 0) },
    {
      name: "marks.signs",
      label: () => say("look.signs"),
      key: "H",
      help: help(() => say("help.look.signs")),
      ticked: () => marks.shows("signs"),
      run: () => marks.toggle("signs"),
    },
    {
      name: "marks.numbers",
      label: () => say("look.numbers"),
      key: "N",
      help: help(() => say("help.look.numbers")),
      ticked: () => marks.shows("numbers"),
      run: () => marks.toggle("numbers"),
    },
    {
      name: "marks.points",
      label: () => say("look.points"),
      key: "J",
      help: help(() => say("help.look.points")),
      ticked: () => marks.shows("points"),
      run: () => marks.toggle("points"),
    },
    { name: "heights.mm", label: () => say("look.lengths"), ticked: () => heights.unit === "mm", run: () => heights.toggle("mm") },
    {
      name: "heights.inches",
      label: () => say("look.inches"),
      ticked: () => heights.unit === "inches",
      run: () => heights.toggle("inches"),
    },
    {
      name: "colours",
      label: () => say("help.look.colours"),
      key: "C",
      help: help(() => say("help.look.colours")),
      run: () => dock.focusPaper(),
    },
    { name: "more", label: () => say("more"), icon: "more", run: ({ x, y }) => menus.more(x, y) },
    { name: "about", label: () => say("about"), icon: "pencil", paints: true, off: () => !e.m.rings.length, run: () => dialogs.about() },
    {
      name: "help",
      label: () => say("help"),
      icon: "help",
      key: "?",
      situation: "page",
      help: help(() => say("help.look.help")),
      run: () => dialogs.help(),
    },
  ];
}
