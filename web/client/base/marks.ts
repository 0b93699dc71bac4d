// What a maker wants to see on the units (signs, numbers, points), kept in the browser for every figure and page.

const KEY = "tuckring:look";

/** The looks that are on. */
export function recallLook(): Set<string> {
  try {
    return new Set((window.localStorage.getItem(KEY) ?? "").split(" ").filter(Boolean));
  } catch {
    return new Set(); // storage forbidden: nothing is on until it is switched on
  }
}

/** Keeps the looks that are on; where storage is full or forbidden they are forgotten, nothing else. */
export function keepLook(on: Iterable<string>): void {
  try {
    window.localStorage.setItem(KEY, [...on].join(" "));
  } catch {
    // forgotten
  }
}
