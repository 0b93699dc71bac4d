// Tools, painting, symmetry, sides, colours, and taking it back.
import { say } from "../../base/words";
import { ringOf } from "../model/model";
import { COLOUR } from "../model/ring";
import { SIDE_CHOICES, TOOLS, type Tool } from "../tools/editor";
import type { Action, Where } from "./action";
import type { Desk } from "./desk";

const TOOL_KEYS: Record<Tool, string> = {
  unit: "U",
  run: "R",
  lean: "L",
  patch: "P",
  frame: "F",
  ring: "G",
  flood: "O",
  swap: "W",
  pick: "I",
  select: "S",
};

export function toolActions({ e, menus }: Desk): Action[] {
  return [
    ...TOOLS.map(
      (tool): Action => ({
        name: `tool.${tool}`,
        label: `tool.${tool}`,
        of: "help.tools",
        icon: tool,
        key: TOOL_KEYS[tool],
        help: tool,
        checked: () => e.tool === tool,
        run: () => e.take(tool),
      }),
    ),
    { name: "flood.menu", label: "tool.flood", icon: "flood", unlisted: true, paints: true, run: ({ x, y }) => menus.flood(x, y) },
    ...(["touching", "ring"] as const).map(
      (within): Action => ({
        name: `flood.${within}`,
        label: `flood.${within}`,
        of: "tool.flood",
        paints: true,
        checked: () => e.floodWithin === within,
        run: () => e.fillWithin(within),
      }),
    ),
  ];
}

export function paintActions(desk: Desk): Action[] {
  const { e, stage, menus, papers, notes, history, placing } = desk;
  const inLine = () => e.inLine;
  const colourAt = (at: Where) => ({ Name: e.m.colours[e.m.cell(at.place) & COLOUR]?.name ?? "" });
  return [
    {
      name: "press",
      label: "help.paint.press",
      key: "Space",
      also: ["Enter"],
      help: "help.paint.press",
      unlisted: true,
      run: () => {
        e.press();
        notes.say(stage.whereabouts);
      },
    },
    {
      name: "paper.number",
      label: "help.paint.paper",
      key: "1",
      also: ["2", "3", "4", "5", "6", "7", "8", "9"],
      help: "help.paint.paper",
      keys: "1 – 9",
      unlisted: true,
      run: (_, pressed) => e.choosePaper(e.m.colours[Number(pressed?.key) - 1]?.id ?? ""),
    },
    { name: "symmetry.menu", label: "symmetry", icon: "mirror", unlisted: true, paints: true, run: ({ x, y }) => menus.symmetry(x, y) },
    {
      name: "symmetry.mirror",
      label: "symmetry.mirror",
      of: "symmetry",
      key: "M",
      help: "help.paint.mirror",
      ticked: () => e.symmetry.mirror,
      run: () => e.setSymmetry({ mirror: !e.symmetry.mirror }),
    },
    {
      name: "symmetry.back",
      label: "symmetry.back",
      of: "symmetry",
      key: "B",
      help: "help.paint.back",
      off: inLine,
      ticked: () => e.symmetry.back,
      run: () => e.setSymmetry({ back: !e.symmetry.back }),
    },
    {
      name: "symmetry.next",
      label: "help.paint.repeat",
      key: "K",
      help: "help.paint.repeat",
      unlisted: true,
      off: inLine,
      run: () => e.setSymmetry({ repeat: (e.symmetry.repeat % 6) + 1 }),
    },
    ...[1, 2, 3, 4, 5, 6].map(
      (repeat): Action => ({
        name: `symmetry.repeat_${repeat}`,
        label: () => say("symmetry.repeat", { Count: repeat }),
        of: "symmetry",
        off: () => repeat > 1 && inLine(),
        checked: () => e.symmetry.repeat === repeat,
        run: () => e.setSymmetry({ repeat }),
      }),
    ),
    { name: "side.menu", label: "side", icon: "side", unlisted: true, paints: true, run: ({ x, y }) => menus.side(x, y) },
    ...SIDE_CHOICES.map(
      (side): Action => ({
        name: `side.${side}`,
        label: `side.${side}`,
        of: "side",
        checked: () => e.side === side,
        run: () => e.chooseSide(side),
      }),
    ),
    {
      name: "undo",
      label: "undo",
      icon: "undo",
      key: "Ctrl Z",
      situation: "page",
      help: "help.paint.undo",
      paints: true,
      off: () => !history.can_undo && !placing.pending && say("no_undo"),
      run: () => e.undo(),
    },
    {
      name: "redo",
      label: "redo",
      icon: "redo",
      key: "Ctrl Y",
      also: ["Ctrl Shift Z"],
      situation: "page",
      help: "help.paint.redo",
      paints: true,
      off: () => !history.can_redo && say("no_redo"),
      run: () => e.redo(),
    },
    {
      name: "paper.add",
      label: "paper.add",
      icon: "plus",
      paints: true,
      off: () => e.noMoreColours,
      run: ({ x, y }) => papers.addCard(x, y),
    },
    {
      name: "paper.edit",
      label: () => say("paper.change", { Name: e.m.colours[e.m.indexOfColour(e.paper)]?.name ?? "" }),
      icon: "pencil",
      paints: true,
      run: ({ x, y }) => papers.card(e.paper, x, y),
    },
    { name: "unit.pick", label: (at) => say("menu.pick", colourAt(at)), icon: "pick", run: (at) => e.pick(at.place) },
    {
      name: "unit.flood",
      label: "menu.flood",
      icon: "flood",
      paints: true,
      run: (at) => e.paintPlaces(e.touched("flood", at.place)),
    },
    {
      name: "unit.ring",
      label: (at) => say("menu.ring", { Ring: ringOf(at.place) + 1 }),
      icon: "ring",
      paints: true,
      run: (at) => e.paintPlaces(e.touched("ring", at.place)),
    },
    {
      name: "unit.swap",
      label: (at) => say("menu.swap", colourAt(at)),
      icon: "swap",
      paints: true,
      run: (at) => e.paintPlaces(e.touched("swap", at.place)),
    },
    {
      name: "unit.turn",
      label: (at) => say(e.isShort(at.place) ? "menu.long" : "menu.short"),
      icon: "side",
      paints: true,
      run: (at) => e.turnSide(at.place),
    },
  ];
}
