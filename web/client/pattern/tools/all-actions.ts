// The list of all actions that are possible now, made of the table of actions: found by typing, chosen by key or touch. It
// is the editable combobox with a listbox of the WAI-ARIA Authoring Practices: the field keeps the keyboard, and what
// Enter would do is its active descendant.
import { byFinger, el, set } from "../../base/dom";
import { icon } from "../../base/icons";
import { showDialog } from "../../base/popover";
import { capital, say } from "../../base/words";
import { type Action, type Actions, keyText, type Where } from "../actions/action";

/** What the list says of an action. */
interface Entry {
  action: Action;
  label: string;
  key: string;
  /** "on" for one that is on now. */
  state: string;
}

/** Opens the list; what is chosen is done at the place that it was asked for, once the list is gone. */
export function showAllActions(actions: Actions, at: Where): void {
  const entries = actions.listed(at).map((a) => entryOf(actions, a, at));
  let chosen: Action | null = null;
  const options = new Map<HTMLElement, Action>();
  const list = el("ul", { id: "all-actions", class: "all-actions", role: "listbox", "aria-label": say("all") });
  const none = el("p", { class: "hint", role: "status" });
  const field = el("input", {
    type: "search",
    role: "combobox",
    "aria-label": say("all.find"),
    placeholder: say("all.find"),
    "aria-autocomplete": "list",
    "aria-expanded": "true",
    "aria-controls": "all-actions",
    autocomplete: "off",
    spellcheck: "false",
    autofocus: !byFinger(), // in focus it would bring up a finger's keyboard over the list
  });
  const choose = (action: Action | undefined) => {
    if (!action) return;
    chosen = action;
    dialog.close();
  };
  const here = () => list.querySelector<HTMLElement>("[aria-selected=true]");
  const mark = (option: Element | null | undefined) => {
    here()?.setAttribute("aria-selected", "false");
    set(field, { "aria-activedescendant": option?.id });
    option?.setAttribute("aria-selected", "true");
    option?.scrollIntoView({ block: "nearest" });
  };
  const show = () => {
    options.clear();
    for (const entry of entries.filter((each) => fits(each, field.value))) options.set(optionOf(entry), entry.action);
    list.replaceChildren(...options.keys());
    none.textContent = options.size ? "" : say("all.none");
    mark(list.firstElementChild);
  };
  field.addEventListener("input", show);
  field.addEventListener("keydown", (ev) => {
    const option = here();
    const to: Record<string, (() => void) | undefined> = {
      ArrowDown: () => mark(option?.nextElementSibling ?? list.firstElementChild),
      ArrowUp: () => mark(option?.previousElementSibling ?? list.lastElementChild),
      Enter: () => choose(option ? options.get(option) : undefined),
    };
    if (!to[ev.key]) return;
    ev.preventDefault();
    to[ev.key]?.();
  });
  list.addEventListener("pointerdown", (ev) => ev.pointerType === "mouse" && ev.preventDefault()); // the field keeps the keyboard
  list.addEventListener("click", (ev) => {
    const option = ev.target instanceof Element ? ev.target.closest<HTMLElement>("[role=option]") : null;
    if (option) choose(options.get(option));
  });
  const dialog = showDialog(say("all"), el("div", { class: "find-action" }, field, none, list), () => {
    if (chosen) actions.run(chosen.name, at);
  });
  show();
}

function entryOf(actions: Actions, a: Action, at: Where): Entry {
  const of = actions.belongs(a, at);
  const label = actions.label(a, at);
  return {
    action: a,
    label: of ? `${of}: ${label}` : capital(label),
    key: a.key ? keyText(a.key) : "",
    state: (a.checked?.(at) ?? a.ticked?.(at)) ? say("all.on") : "",
  };
}

/** Whether every word that was typed stands in what the list says. */
function fits({ label, key }: Entry, typed: string): boolean {
  const text = `${label} ${key}`.toLowerCase();
  return typed
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word));
}

function optionOf({ action, label, key, state }: Entry): HTMLElement {
  return el(
    "li",
    {
      id: `all-${action.name}`,
      role: "option",
      "aria-selected": "false",
      "aria-keyshortcuts": key ? key.replace("Ctrl ", "Control+") : undefined,
    },
    action.icon ? icon(action.icon) : el("span", { class: "icon" }),
    el("span", { class: "menu-label" }, label, state ? el("span", { class: "state" }, ` ${state}`) : null),
    key ? el("kbd", { "aria-hidden": "true" }, key) : null,
  );
}
