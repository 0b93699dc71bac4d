// What can be done with rings: those chosen in the list, or the one whose menu is open.
import { say } from "../../base/words";
import { placeOf } from "../model/model";
import type { Action, Where } from "./action";
import type { Desk } from "./desk";

export function ringActions({ e, panel, rings }: Desk): Action[] {
  const inLine = () => e.inLine;
  const none = (at: Where) => !at.rings.length;
  const indexes = (at: Where) => at.rings.map((id) => e.m.ringIndex(id)).filter((r) => r >= 0);
  const highest = (at: Where) => Math.max(-1, ...indexes(at));
  const ids = (at: Where) =>
    indexes(at)
      .sort((a, b) => a - b)
      .map((r) => e.m.rings[r].id);
  const insert = (above: number) => e.step({ do: "insert_ring", above: above < 0 ? 0 : e.m.rings[above].id, colour: e.paper });
  const turn = (at: Where, by: number) => e.step({ do: "turn", rings: ids(at), by });
  const actions: Action[] = [
    {
      name: "ring.fill",
      label: "menu.fill_ring",
      icon: "fill",
      paints: true,
      off: none,
      run: (at) => e.paintPlaces(e.touched("ring", placeOf(highest(at), 0))),
    },
    { name: "ring.above", label: "menu.insert_above", icon: "up", paints: true, off: none, run: (at) => insert(highest(at)) },
    {
      name: "ring.below",
      label: "menu.insert_below",
      icon: "down",
      paints: true,
      off: (at) => none(at) || (highest(at) === 0 && !!e.m.part && e.m.part !== e.m.parts[0]),
      run: (at) => insert(e.m.footing(highest(at)).ring),
    },
    {
      name: "ring.insert",
      label: "rings.insert",
      icon: "plus",
      paints: true,
      run: (at) => insert(at.rings.length ? highest(at) : e.m.rings.length - 1),
    },
    {
      name: "ring.duplicate",
      label: "rings.duplicate",
      icon: "copy",
      paints: true,
      off: none,
      run: (at) => e.step({ do: "duplicate_rings", rings: ids(at) }),
    },
    { name: "ring.up", label: "rings.up", icon: "up", paints: true, off: none, run: (at) => rings.move(ids(at), 1) },
    { name: "ring.down", label: "rings.down", icon: "down", paints: true, off: none, run: (at) => rings.move(ids(at), -1) },
    { name: "ring.count", label: "rings.count", icon: "ring", paints: true, off: none, run: (at) => rings.countDialog(ids(at)) },
    {
      name: "ring.turn_left",
      label: "rings.turn_left",
      icon: "around_left",
      paints: true,
      off: (at) => none(at) || inLine(),
      run: (at) => turn(at, -1),
    },
    {
      name: "ring.turn_right",
      label: "rings.turn_right",
      icon: "around_right",
      paints: true,
      off: (at) => none(at) || inLine(),
      run: (at) => turn(at, 1),
    },
    {
      name: "ring.note",
      label: "rings.note",
      icon: "pencil",
      paints: true,
      off: none,
      run: (at) => rings.noteDialog(highest(at)),
    },
    {
      name: "ring.remove",
      label: "rings.remove",
      icon: "bin",
      paints: true,
      off: (at) => none(at) || e.m.rings.length < 2,
      run: (at) => e.step({ do: "remove_rings", rings: ids(at) }),
    },
    {
      name: "ring.show",
      label: (at) => say("menu.ring_row", { Ring: highest(at) + 1 }),
      icon: "rings",
      off: none,
      run: (at) => {
        panel.reach("rings");
        rings.choose(highest(at), false, false);
      },
    },
  ];
  return actions.map((a) => ({ of: (at) => (none(at) ? "" : say("all.ring", { Ring: highest(at) + 1 })), ...a }));
}
