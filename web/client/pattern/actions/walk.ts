// Moving the focus from unit to unit by keys.
import { say } from "../../base/words";
import type { Action } from "./action";
import type { Desk } from "./desk";

const WAYS = [
  { name: "left", arrow: "ArrowLeft", dx: -1, dy: 0 },
  { name: "right", arrow: "ArrowRight", dx: 1, dy: 0 },
  { name: "up", arrow: "ArrowUp", dx: 0, dy: 1 },
  { name: "down", arrow: "ArrowDown", dx: 0, dy: -1 },
] as const;

export function walkActions({ walk }: Desk): Action[] {
  const along = () => say("help.walk.along");
  const across = () => say("help.walk.across");
  const lean = () => say("help.walk.lean");
  const ends = () => say("help.walk.ends");
  const five = () => say("help.walk.five");
  const top = () => say("help.walk.top");
  const trail = () => say("help.walk.trail");
  const help = (line: () => string, keys?: string) => ({ group: "help.walk" as const, line, keys });
  return [
    ...WAYS.map(
      ({ name, arrow, dx, dy }): Action => ({
        name: `walk.${name}`,
        label: dy ? across : along,
        key: arrow,
        also: dy ? [] : [`Alt ${arrow}`],
        help: help(dy ? across : along),
        run: (_, pressed) => walk.step(dx, dy, pressed?.shift),
      }),
    ),
    ...WAYS.filter(({ dy }) => dy).map(
      ({ name, arrow, dy }): Action => ({
        name: `lean.${name}`,
        label: lean,
        key: `Alt ${arrow}`,
        help: help(lean),
        run: (_, pressed) => walk.lean(dy, pressed?.shift),
      }),
    ),
    { name: "walk.first", label: ends, key: "Home", help: help(ends), run: (_, pressed) => walk.toEnd("first", pressed?.shift) },
    { name: "walk.last", label: ends, key: "End", help: help(ends), run: (_, pressed) => walk.toEnd("last", pressed?.shift) },
    { name: "walk.five_up", label: five, key: "PageUp", help: help(five), run: (_, pressed) => walk.rings(5, pressed?.shift) },
    { name: "walk.five_down", label: five, key: "PageDown", help: help(five), run: (_, pressed) => walk.rings(-5, pressed?.shift) },
    {
      name: "walk.top",
      label: top,
      key: "Ctrl Home",
      help: help(top, "Ctrl Home / End"),
      run: (_, pressed) => walk.toRing("top", pressed?.shift),
    },
    {
      name: "walk.bottom",
      label: top,
      key: "Ctrl End",
      help: help(top, "Ctrl Home / End"),
      run: (_, pressed) => walk.toRing("bottom", pressed?.shift),
    },
    ...WAYS.map(
      ({ name, arrow, dx, dy }): Action => ({
        name: `trail.${name}`,
        label: trail,
        key: `Shift ${arrow}`,
        help: help(trail, "Shift + arrows"),
        run: () => walk.step(dx, dy, true),
      }),
    ),
    {
      name: "trail.on",
      label: () => say("help.walk.trail_on"),
      key: "D",
      help: help(() => say("help.walk.trail_on")),
      run: () => walk.setTrail(!walk.trail),
    },
  ];
}
