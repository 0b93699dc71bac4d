// Buttons that are made of actions.
import { el, offWhen, onPress, set } from "../../base/dom";
import { type IconName, icon } from "../../base/icons";
import type { Action, Actions, Where } from "../actions/action";

/** A round button with an icon; one that is off does nothing. */
export function roundButton(name: IconName, label: string, act: () => void): HTMLButtonElement {
  const b = el("button", { type: "button", class: "round", "aria-label": label, title: label }, icon(name));
  onPress(b, () => b.getAttribute("aria-disabled") !== "true" && act());
  return b;
}

/** Where a button's menu opens: at the middle of its upper or lower edge. */
export function besideButton(b: HTMLElement, edge: "top" | "bottom"): { x: number; y: number } {
  const box = b.getBoundingClientRect();
  return { x: box.left + box.width / 2, y: edge === "top" ? box.top : box.bottom + 8 };
}

/** The round button of an action; what it is about is asked when it is pressed. */
export function actionButton(actions: Actions, name: string, at: (b: HTMLElement) => Where): HTMLButtonElement {
  const a = actions.get(name);
  const here = at(document.body);
  const b = el(
    "button",
    { type: "button", class: "round", "aria-label": actions.label(a, here), title: actions.label(a, here) },
    icon(a.icon ?? "more"),
  );
  onPress(b, () => actions.run(name, at(b)));
  return b;
}

/** A button of a bar, with the action's icon and name. */
export function barButton(actions: Actions, a: Action, at: () => Where): HTMLButtonElement {
  const label = actions.label(a, at());
  const b = el(
    "button",
    { type: "button", class: a.main ? "bar-action main" : "bar-action", title: label, "data-name": a.name },
    icon(a.icon ?? "more"),
    el("span", {}, label),
  );
  onPress(b, () => actions.run(a.name, at()));
  return b;
}

/** Shows whether an action can be done now, and why not. */
export function showOff(b: HTMLElement, actions: Actions, name: string, at?: Where): void {
  const why = actions.why(actions.get(name), at);
  if (typeof why === "string" && why) set(b, offWhen(why));
  else b.setAttribute("aria-disabled", String(!!why));
}
