// A small card that opens where the hand is, and goes away when the hand goes elsewhere.
import { byFinger, el } from "./dom";
import { type IconName, icon } from "./icons";
import { say } from "./words";

export interface Choice {
  /** What it does, as people read it. */
  label: string;
  icon?: IconName;
  dot?: string;
  key?: string;
  off?: boolean;
  /** Says which of several is on; undefined for plain actions. */
  checked?: boolean;
  /** Says whether a choice that stands alone is on. */
  ticked?: boolean;
  do: () => void;
}

/** What Tab can reach in a card. */
const REACHED = "button, input, select, textarea, a[href]";

/** Whether a finger or button is down, until all that its lifting brings has come. */
let held = false;
/** Whether the press that was on when a card opened has not been followed by another. */
let foreign = false;

if (typeof document !== "undefined") {
  const press = () => {
    held = true;
    foreign = false;
  };
  const lift = () => {
    held = false;
  };
  addEventListener("pointerdown", press, true);
  for (const t of ["pointerup", "pointercancel"]) addEventListener(t, () => setTimeout(lift), true);
}

let open: { card: HTMLElement; back: HTMLElement | null; done?: () => void } | null = null;

/**
 * Opens a card with any content at a place of the window; it is kept inside the window. As the dialog of the
 * WAI-ARIA Authoring Practices it keeps the keyboard within until it closes.
 */
export function showCard(content: HTMLElement, x: number, y: number, label: string, done?: () => void): void {
  const card = el("div", { class: "pop", role: "dialog", "aria-modal": "true", "aria-label": label, tabindex: -1 }, content);
  card.addEventListener("keydown", (ev) => keepWithin(ev, card));
  pop(card, x, y, done);
}

function pop(card: HTMLElement, x: number, y: number, done?: () => void): void {
  closeCard();
  open = { card, back: document.activeElement as HTMLElement | null, done };
  document.body.append(card);
  foreign = held;
  // Lifting the finger under which a card opened chooses nothing of it; keys and readers click without a count.
  const ofFinger = (ev: MouseEvent) => {
    if (!foreign || ev.detail === 0) return;
    ev.preventDefault();
    ev.stopPropagation();
  };
  card.addEventListener("click", ofFinger, true);
  place(card, x, y);
  card.addEventListener("keydown", (ev) => {
    if (ev.key !== "Escape") return;
    ev.stopPropagation();
    closeCard(true);
  });
  // A field in focus would bring up a finger's keyboard over the card.
  const first = card.querySelector<HTMLElement>(REACHED);
  const field = first instanceof HTMLInputElement && byFinger();
  (first && !field ? first : card).focus({ preventScroll: true });
  setTimeout(() => addEventListener("pointerdown", outside, true));
}

/** Leads Tab from the last thing of a card to the first, and back. */
function keepWithin(ev: KeyboardEvent, card: HTMLElement): void {
  if (ev.key !== "Tab") return;
  const reached = [...card.querySelectorAll<HTMLElement>(REACHED)].filter(
    (e) => e.tabIndex >= 0 && !e.matches(":disabled") && e.offsetParent !== null,
  );
  const last = reached[reached.length - 1];
  const here = document.activeElement;
  if (last && here !== (ev.shiftKey ? reached[0] : last) && here !== card) return;
  ev.preventDefault();
  (ev.shiftKey ? last : reached[0])?.focus();
}

/** A finger hides so much around its middle, in px. */
const FINGER_PX = 28;
/** Lower than this a menu that scrolls is no use. */
const LOWEST_PX = 150;

function place(card: HTMLElement, x: number, y: number): void {
  if (held && besideFinger(card, x, y)) return;
  const box = card.getBoundingClientRect();
  const left = Math.max(8, Math.min(x - box.width / 2, innerWidth - box.width - 8));
  const above = y - box.height - 14;
  const top = above >= 8 ? above : Math.min(y + 14, innerHeight - box.height - 8);
  card.style.left = `${left}px`;
  card.style.top = `${Math.max(8, top)}px`;
}

/** Puts a card where the finger that is still down covers none of it: above, below or beside; false where no room is. */
function besideFinger(card: HTMLElement, x: number, y: number): boolean {
  const { width, height } = card.getBoundingClientRect();
  const [above, below] = [y - FINGER_PX - 8, innerHeight - y - FINGER_PX - 8];
  const within = (at: number, size: number, most: number) => Math.max(8, Math.min(at, most - size - 8));
  const put = (left: number, top: number, high = height) => {
    Object.assign(card.style, { left: `${left}px`, top: `${top}px`, maxHeight: high < height ? `${high}px` : "" });
    return true;
  };
  const middle = within(x - width / 2, width, innerWidth);
  if (height <= above) return put(middle, y - FINGER_PX - height);
  if (height <= below) return put(middle, y + FINGER_PX);
  if (height <= innerHeight - 16 && x + FINGER_PX + width + 8 <= innerWidth)
    return put(x + FINGER_PX, within(y - height / 2, height, innerHeight));
  if (height <= innerHeight - 16 && x - FINGER_PX - width >= 8)
    return put(x - FINGER_PX - width, within(y - height / 2, height, innerHeight));
  const most = Math.max(above, below);
  if (most < LOWEST_PX) return false;
  return put(middle, above >= below ? 8 : y + FINGER_PX, most);
}

function outside(ev: Event): void {
  if (open && ev.target instanceof Node && open.card.contains(ev.target)) return;
  closeCard();
}

/** Closes the open card; back returns the focus to where it was. */
export function closeCard(back = false): void {
  if (!open) return;
  const was = open;
  open = null;
  removeEventListener("pointerdown", outside, true);
  was.card.remove();
  was.done?.();
  if (back && was.back?.isConnected) was.back.focus({ preventScroll: true });
}

export const cardIsOpen = (): boolean => open !== null;

/** Opens a menu of choices. As in the menu of the WAI-ARIA Authoring Practices, Tab closes it and goes on from where it was opened. */
export function showMenu(title: string, choices: Choice[], x: number, y: number): void {
  const list = el("div", { class: "menu", role: "menu", "aria-label": title });
  for (const c of choices) {
    const item = el(
      "button",
      {
        type: "button",
        role: c.ticked !== undefined ? "menuitemcheckbox" : c.checked !== undefined ? "menuitemradio" : "menuitem",
        "aria-checked": c.ticked === undefined && c.checked === undefined ? undefined : String(c.ticked ?? c.checked),
        "aria-disabled": c.off ? "true" : undefined,
        "aria-keyshortcuts": c.key?.replace("Ctrl ", "Control+"),
        tabindex: -1,
        onclick: () => {
          if (c.off) return;
          closeCard(true);
          c.do();
        },
      },
      c.icon ? icon(c.icon) : null,
      el("span", { class: "menu-label" }, c.label),
      c.key ? el("kbd", { "aria-hidden": "true" }, c.key) : null,
    );
    if (c.dot) item.prepend(dot(c.dot));
    list.append(item);
  }
  list.addEventListener("keydown", (ev) => (ev.key === "Tab" ? closeCard(true) : walk(ev, list)));
  pop(el("div", { class: "pop", role: "dialog", "aria-label": title, tabindex: -1 }, el("p", { class: "pop-title" }, title), list), x, y);
}

/** A dot of a paper's colour. */
export function dot(hex: string): HTMLElement {
  const dot = el("span", { class: "dot", "aria-hidden": "true" });
  dot.style.backgroundColor = hex;
  return dot;
}

function walk(ev: KeyboardEvent, list: HTMLElement): void {
  const items = [...list.querySelectorAll<HTMLElement>("button")];
  const at = items.indexOf(document.activeElement as HTMLElement);
  const to = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: items.length - 1 }[ev.key];
  if (to === undefined) return;
  ev.preventDefault();
  items[(to + items.length) % items.length].focus();
}

/** Opens a dialog over the page; gives it back so that it can be closed. */
export function showDialog(title: string, content: HTMLElement, done?: () => void): HTMLDialogElement {
  closeCard();
  const heading = el("h2", { id: "dialog-title" }, title);
  const shut = el(
    "button",
    { type: "button", class: "quiet round", "aria-label": say("close"), onclick: () => dialog.close() },
    icon("close"),
  );
  const dialog = el(
    "dialog",
    { class: "sheet", "aria-labelledby": "dialog-title" },
    el("div", { class: "sheet-head" }, heading, shut),
    content,
  );
  dialog.addEventListener("click", (ev) => ev.target === dialog && dialog.close());
  dialog.addEventListener("close", () => {
    dialog.remove();
    done?.();
  });
  dialog.addEventListener("keydown", (ev) => ev.stopPropagation());
  document.body.append(dialog);
  dialog.showModal();
  return dialog;
}
