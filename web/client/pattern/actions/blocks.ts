// Blocks: what is selected, copied, held over the grid; and the menus where the hand is.
import { say } from "../../base/words";
import { ringOf } from "../model/model";
import type { Action } from "./action";
import type { Desk } from "./desk";

/** Keys that move what is held. */
const NUDGES = [
  { name: "left", arrow: "ArrowLeft", dx: -1, dy: 0 },
  { name: "right", arrow: "ArrowRight", dx: 1, dy: 0 },
  { name: "up", arrow: "ArrowUp", dx: 0, dy: 1 },
  { name: "down", arrow: "ArrowDown", dx: 0, dy: -1 },
] as const;

export function blockActions(desk: Desk): Action[] {
  const inLine = () => e.inLine;
  const { e, stage, placing, clipboard, menus, panel, extras } = desk;
  const noneSelected = () => !e.selection.size;
  const holding = () => placing.held !== null;
  const pasting = "help.block.paste";
  return [
    {
      name: "copy",
      label: "block.copy",
      icon: "copy",
      key: "Ctrl C",
      help: "help.block.copy",
      run: () => clipboard.copy(),
    },
    {
      name: "cut",
      label: "block.cut",
      paints: true,
      icon: "cut",
      key: "Ctrl X",
      help: "help.block.cut",
      off: noneSelected,
      run: () => clipboard.cut(),
    },
    {
      name: "paste",
      label: "menu.paste",
      icon: "paste",
      key: "Ctrl V",
      help: pasting,
      paints: true,
      off: () => (clipboard.empty ? say("block.nothing") : ""),
      run: (at) => clipboard.paste(at.place),
    },
    {
      name: "select.all",
      label: () => say(e.m.parts.length > 1 ? "menu.select_part" : "menu.select_all"),
      icon: "select",
      key: "Ctrl A",
      help: "help.block.all",
      run: () => e.selectAll(),
    },
    {
      name: "block.fill",
      label: "block.fill",
      of: "all.selection",
      icon: "fill",
      key: "Delete",
      also: ["Backspace"],
      help: "help.block.fill",
      paints: true,
      off: noneSelected,
      run: () => e.paintPlaces([...e.selection]),
    },
    {
      name: "block.move",
      label: "block.move",
      of: "all.selection",
      icon: "move",
      paints: true,
      off: noneSelected,
      run: () => clipboard.move(),
    },
    {
      name: "block.copy",
      label: "block.copy",
      icon: "copy",
      unlisted: true,
      paints: true,
      off: noneSelected,
      run: () => clipboard.copyAndHold(),
    },
    {
      name: "block.flip",
      label: "block.mirror",
      of: "all.selection",
      icon: "mirror",
      paints: true,
      off: noneSelected,
      run: () => clipboard.flip(),
    },
    { name: "select.none", label: "block.done", of: "all.selection", icon: "close", off: noneSelected, run: () => e.select([]) },
    {
      name: "unit.menu",
      label: "help.block.menu",
      key: "E",
      also: ["ContextMenu", "Shift F10"],
      help: "help.block.menu",
      unlisted: true,
      run: (at) => menus.unit(at),
    },
    {
      name: "ring.menu",
      label: (at) => say("menu.ring_actions", { Ring: ringOf(at.place) + 1 }),
      icon: "rings",
      key: "T",
      help: "help.block.ring_menu",
      unlisted: true,
      run: (at) => menus.ring(ringOf(at.place), at.x, at.y),
    },
    {
      name: "place.put",
      label: "block.put",
      icon: "down",
      key: "Space",
      also: ["Enter"],
      situation: "holding",
      help: pasting,
      keys: "Ctrl V",
      main: true,
      off: () => !holding(),
      run: () => {
        placing.put();
        stage.focusGrid();
      },
    },
    ...NUDGES.map(
      ({ name, arrow, dx, dy }): Action => ({
        name: `place.${name}`,
        label: pasting,
        key: arrow,
        also: [`Alt ${arrow}`],
        situation: "holding",
        help: pasting,
        keys: "Ctrl V",
        unlisted: true,
        off: () => !holding(),
        run: () => placing.step(dx, dy),
      }),
    ),
    { name: "place.flip", label: "block.mirror", icon: "mirror", off: () => !holding(), run: () => placing.turnOver() },
    { name: "place.other", label: "block.other", icon: "swap", off: () => !holding() || placing.other < 0, run: () => placing.fallOther() },
    { name: "place.finish", label: "block.done", icon: "close", off: () => !holding() || !placing.stamped, run: () => placing.finish() },
    { name: "place.cancel", label: "block.cancel", icon: "close", off: () => !holding() || placing.stamped, run: () => placing.stop() },
    {
      name: "escape",
      label: "help.block.escape",
      key: "Escape",
      situation: "page",
      help: "help.block.escape",
      unlisted: true,
      off: () => !menus.somethingOpen && !holding() && e.anchor < 0 && !e.drawing && !e.selection.size,
      run: () => {
        if (menus.somethingOpen) menus.close();
        else if (holding()) placing.stop();
        else if (e.anchor >= 0 || e.drawing) e.cancel();
        else e.select([]);
      },
    },
    { name: "stamp", label: "menu.stamp", icon: "stamp", paints: true, run: ({ place, x, y }) => menus.stamps(place, x, y) },
    { name: "units.shape", label: "menu.shape", icon: "units", paints: true, run: () => showUnits() },
    { name: "extra.add", label: "extra.add", icon: "plus", paints: true, run: (at) => extras.add(at.place) },
    {
      name: "extra.change",
      label: ({ extra }) => say("extra.change", { Name: extra?.name ?? "" }),
      icon: "pencil",
      paints: true,
      off: ({ extra }) => !extra,
      run: ({ extra }) => extra && extras.change(extra),
    },
    { name: "front.here", label: "menu.front", icon: "flag", paints: true, off: inLine, run: (at) => e.setFront(e.turnOf(at.place)) },
  ];

  function showUnits(): void {
    e.select([]);
    panel.reach("units");
  }
}
