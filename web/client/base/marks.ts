// What a maker wants to see on the units (signs, numbers, points), kept in the browser for every figure and page.
import { Listeners } from "./listeners";

const MARKS = ["signs", "numbers", "points"] as const;
export type Mark = (typeof MARKS)[number];

const KEY = "tuckring:look";

export class Marks {
  readonly changed = new Listeners<[mark: Mark]>();
  private readonly on: Set<Mark>;

  /** Those that were on last, on whatever figure and page. */
  constructor() {
    const kept = recalled();
    this.on = new Set(MARKS.filter((m) => kept.includes(m)));
  }

  shows(mark: Mark): boolean {
    return this.on.has(mark);
  }

  show(mark: Mark, on: boolean): void {
    if (this.on.has(mark) === on) return;
    if (on) this.on.add(mark);
    else this.on.delete(mark);
    keep(MARKS.filter((m) => this.on.has(m)));
    this.changed.tell(mark);
  }

  toggle(mark: Mark): void {
    this.show(mark, !this.shows(mark));
  }
}

function recalled(): string[] {
  try {
    return (window.localStorage.getItem(KEY) ?? "").split(" ");
  } catch {
    return []; // storage forbidden: nothing is on until it is switched on
  }
}

/** Where storage is full or forbidden they are forgotten, nothing else. */
function keep(on: Mark[]): void {
  try {
    window.localStorage.setItem(KEY, on.join(" "));
  } catch {
    // forgotten
  }
}
