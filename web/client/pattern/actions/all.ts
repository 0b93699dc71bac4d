// Every action of the editor. Keys and lines of the list of keys stand in the order in which that list shows them.
import type { Action } from "./action";
import { blockActions } from "./blocks";
import type { Desk } from "./desk";
import { paintActions, toolActions } from "./paint";
import { partActions } from "./parts";
import { ringActions } from "./rings";
import { sightActions } from "./sight";
import { walkActions } from "./walk";

export function allActions(desk: Desk): Action[] {
  return [
    ...toolActions(desk),
    ...walkActions(desk),
    ...paintActions(desk),
    ...blockActions(desk),
    ...ringActions(desk),
    ...partActions(desk),
    ...sightActions(desk),
  ];
}
