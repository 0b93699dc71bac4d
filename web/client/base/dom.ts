// Small helpers to build the page's controls.

type Child = Node | string | null | undefined | false;
type Props = Record<string, unknown>;

/** Makes an element. Keys that start with "on" are listeners, "class" and others attributes. */
export function el<K extends keyof HTMLElementTagNameMap>(tag: K, props: Props = {}, ...children: Child[]): HTMLElementTagNameMap[K] {
  const node = document.createElement(tag);
  set(node, props);
  for (const c of children) if (c !== null && c !== undefined && c !== false) node.append(c);
  return node;
}

export function set(node: Element, props: Props): void {
  for (const [key, value] of Object.entries(props)) {
    if (value === undefined || value === null || value === false) node.removeAttribute(key);
    else if (key.startsWith("on") && typeof value === "function") node.addEventListener(key.slice(2), value as EventListener);
    else node.setAttribute(key, value === true ? "" : String(value));
  }
}

/** Attributes of a button that stays in its place when it can do nothing now, and says why; "" is no reason. */
export function offWhen(why: string): Props {
  return { "aria-disabled": why ? "true" : undefined, "aria-description": why || undefined, ...(why ? { title: why } : {}) };
}

/** Whether a finger is the hand here, so that sentences name no keys. */
export const byFinger = (): boolean => matchMedia("(pointer: coarse)").matches;

/** An id that no other page has: 128 random bits. Works without a secure context too. */
export function newID(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}

/** Runs fn at most once every ms, the last call always. */
export function calm(fn: () => void, ms: number): () => void {
  let timer = 0;
  let last = 0;
  return () => {
    if (timer) return;
    const wait = Math.max(0, last + ms - performance.now());
    timer = window.setTimeout(() => {
      timer = 0;
      last = performance.now();
      fn();
    }, wait);
  };
}

/**
 * Calls fn when a button is pressed. A finger counts when it lifts where it went down: the click that
 * should follow is lost when it comes within some milliseconds of a stroke, and quick hands do that.
 */
export function onPress(button: HTMLElement, fn: () => void): void {
  let down: { x: number; y: number } | null = null;
  let lifted = -1000;
  button.addEventListener("pointerdown", (ev) => (down = ev.pointerType === "mouse" ? null : { x: ev.clientX, y: ev.clientY }));
  button.addEventListener("pointercancel", () => (down = null));
  button.addEventListener("pointerup", (ev) => {
    const still = down && Math.hypot(ev.clientX - down.x, ev.clientY - down.y) < 10;
    down = null;
    if (!still) return;
    lifted = ev.timeStamp;
    keepClick(ev, button);
    fn();
  });
  button.addEventListener("click", (ev) => {
    if (ev.timeStamp - lifted > 700) fn();
  });
}

/** The click that follows a finger's lift is of what was pressed: it means nothing to what may lie there by then. */
function keepClick(lift: PointerEvent, pressed: HTMLElement): void {
  const hear = (ev: MouseEvent) => {
    done();
    const here = Math.hypot(ev.clientX - lift.clientX, ev.clientY - lift.clientY) < 10;
    if (!here || (ev.target instanceof Node && pressed.contains(ev.target))) return;
    ev.preventDefault();
    ev.stopImmediatePropagation();
  };
  const done = () => {
    removeEventListener("click", hear, true);
    removeEventListener("pointerdown", done, true);
  };
  addEventListener("click", hear, true);
  addEventListener("pointerdown", done, true);
  setTimeout(done, 700);
}

/**
 * Calls shown and hidden whenever the page comes to the front or goes behind another tab. A browser opens
 * only six connections to one host (HTTP/1.1), so a page behind must not hold one open.
 */
export function whileShown(shown: () => void, hidden: () => void): void {
  document.addEventListener("visibilitychange", () => (document.hidden ? hidden() : shown()));
}
