// Moving the focus from unit to unit by keys.
import type { Action } from "./action";
import type { Desk } from "./desk";

const WAYS = [
  { name: "left", arrow: "ArrowLeft", dx: -1, dy: 0 },
  { name: "right", arrow: "ArrowRight", dx: 1, dy: 0 },
  { name: "up", arrow: "ArrowUp", dx: 0, dy: 1 },
  { name: "down", arrow: "ArrowDown", dx: 0, dy: -1 },
] as const;

/** Keys that move the focus are the hand itself: a list can't stand for them. */
export function walkActions(desk: Desk): Action[] {
  return [...moves(desk).map((a) => ({ ...a, unlisted: true })), trailOn(desk)];
}

function moves({ walk }: Desk): Action[] {
  const along = "help.walk.along";
  const across = "help.walk.across";
  const lean = "help.walk.lean";
  const ends = "help.walk.ends";
  const five = "help.walk.five";
  const top = "help.walk.top";
  const trail = "help.walk.trail";
  return [
    ...WAYS.map(
      ({ name, arrow, dx, dy }): Action => ({
        name: `walk.${name}`,
        label: dy ? across : along,
        key: arrow,
        also: dy ? [] : [`Alt ${arrow}`],
        help: dy ? across : along,
        run: (_, pressed) => walk.step(dx, dy, pressed?.shift),
      }),
    ),
    ...WAYS.filter(({ dy }) => dy).map(
      ({ name, arrow, dy }): Action => ({
        name: `lean.${name}`,
        label: lean,
        key: `Alt ${arrow}`,
        help: lean,
        run: (_, pressed) => walk.lean(dy, pressed?.shift),
      }),
    ),
    { name: "walk.first", label: ends, key: "Home", help: ends, run: (_, pressed) => walk.toEnd("first", pressed?.shift) },
    { name: "walk.last", label: ends, key: "End", help: ends, run: (_, pressed) => walk.toEnd("last", pressed?.shift) },
    { name: "walk.five_up", label: five, key: "PageUp", help: five, run: (_, pressed) => walk.rings(5, pressed?.shift) },
    { name: "walk.five_down", label: five, key: "PageDown", help: five, run: (_, pressed) => walk.rings(-5, pressed?.shift) },
    {
      name: "walk.top",
      label: top,
      key: "Ctrl Home",
      help: top,
      keys: "Ctrl Home / End",
      run: (_, pressed) => walk.toRing("top", pressed?.shift),
    },
    {
      name: "walk.bottom",
      label: top,
      key: "Ctrl End",
      help: top,
      keys: "Ctrl Home / End",
      run: (_, pressed) => walk.toRing("bottom", pressed?.shift),
    },
    ...WAYS.map(
      ({ name, arrow, dx, dy }): Action => ({
        name: `trail.${name}`,
        label: trail,
        key: `Shift ${arrow}`,
        help: trail,
        keys: "Shift + arrows",
        run: () => walk.step(dx, dy, true),
      }),
    ),
  ];
}

function trailOn({ walk }: Desk): Action {
  return {
    name: "trail.on",
    label: "help.walk.trail",
    key: "D",
    help: "help.walk.trail_on",
    paints: true,
    ticked: () => walk.trail,
    run: () => walk.setTrail(!walk.trail),
  };
}
