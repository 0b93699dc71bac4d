// What can be done with parts: growing one where the hand is, going from one to the other.
import { say } from "../../base/words";
import { MAX_PARTS } from "../../wire/types";
import type { Action } from "./action";
import type { Desk } from "./desk";

export function partActions({ e, parts, panel }: Desk): Action[] {
  const full = () => e.m.parts.length >= MAX_PARTS;
  const go = (by: number) => {
    const own = e.m.parts.filter((p) => !p.twin);
    const at = own.findIndex((p) => p.id === e.m.part?.id);
    const to = own[(at + by + own.length) % own.length];
    if (to) e.lookAt(to.id);
  };
  const here = (act: (part: NonNullable<typeof e.m.part>) => void) => () => e.m.part && act(e.m.part);
  const fixed = () => !e.m.part || e.m.part === e.m.parts[0];
  const of = () => e.m.part?.name ?? say("parts.of");
  return [
    {
      name: "part.grow",
      label: "part.grow",
      icon: "plus",
      of: "parts.of",
      key: "Q",
      help: "help.block.grow",
      paints: true,
      off: full,
      run: () => parts.grow(),
    },
    { name: "part.set_on", label: "part.set_on", of: "parts.of", paints: true, off: full, run: () => parts.grow("set") },
    {
      name: "part.next",
      label: "part.next",
      of: "parts.of",
      key: ".",
      help: "help.look.part",
      keys: ", .",
      off: () => e.m.parts.length < 2,
      run: () => go(1),
    },
    {
      name: "part.previous",
      label: "part.previous",
      of: "parts.of",
      key: ",",
      help: "help.look.part",
      keys: ", .",
      off: () => e.m.parts.length < 2,
      run: () => go(-1),
    },
    { name: "part.bend", label: "part.bend", of, paints: true, off: fixed, run: here((p) => parts.bend(p)) },
    { name: "part.move", label: "part.move", of, paints: true, off: fixed, run: here((p) => parts.move(p)) },
    {
      name: "part.twin",
      label: "part.twin",
      of,
      paints: true,
      off: () => fixed() || full() || !!e.m.twin,
      run: here((p) => parts.twin(p)),
    },
    { name: "part.rename", label: "part.rename", of, paints: true, off: () => !e.m.part, run: here((p) => parts.rename(p)) },
    { name: "part.off", label: "part.off", of, icon: "bin", paints: true, off: fixed, run: here((p) => parts.takeOff(p)) },
    { name: "parts.show", label: "parts.show", of: "parts.of", run: () => panel.reach("parts") },
    { name: "picture.lay", label: "laying.open", icon: "picture", paints: true, run: () => panel.reach("picture") },
  ];
}
