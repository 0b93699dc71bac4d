// What can be done in the editor, each thing declared once as a value. Buttons, menus, keys and the list of keys are made
// of the one table in all.ts and run what they show through Actions, which alone decides whether it may be done now.
import type { IconName } from "../../base/icons";
import { type Plain, say } from "../../base/words";
import type { Extra } from "../../wire/types";
import type { Place } from "../model/model";
import type { Tool } from "../tools/editor";

/** What an action is about: a unit, rings by identity, and where on the page it was asked for. */
export interface Where {
  place: Place;
  rings: readonly number[];
  x: number;
  y: number;
  extra?: Extra;
}

/** The key that asked, where one did. */
export interface Pressed {
  key: string;
  shift: boolean;
}

/** Where a key means something: while something is held over the grid, with the focus in the grid, anywhere on the page. */
export type Situation = "holding" | "grid" | "page";

/** Groups of the list of keys, by their sentences. */
export const GROUPS = ["help.tools", "help.walk", "help.paint", "help.block", "help.look"] as const;
export type Group = (typeof GROUPS)[number];

/** A line of the list of keys; the name of a tool stands for what the tool does. */
export type Help = Extract<Plain, `${Group}.${string}`> | Tool;

export interface Action {
  readonly name: string;
  /** As buttons, menus and screen readers say it. */
  readonly label: Plain | ((at: Where) => string);
  /** What it belongs to, said before its label where it stands away from the others: in the list of all actions. */
  readonly of?: Plain | ((at: Where) => string);
  readonly icon?: IconName;
  /** The key as "Ctrl Z": modifiers in the order Ctrl, Alt, Shift, then the key as the browser names it, letters large. */
  readonly key?: string;
  /** Other keys that do the same; lists of keys name only the first. */
  readonly also?: readonly string[];
  /** Where its keys work; in the grid unless something else is said. */
  readonly situation?: Situation;
  /** Its line in the list of keys, under the group that its name begins with; actions with the same line share one. */
  readonly help?: Help;
  /** Its keys as that list names them, where it is not just the key. */
  readonly keys?: string;
  /** Not in the list of all actions: it moves the hand, opens what that list shows anyway, or says less than another. */
  readonly unlisted?: boolean;
  /** Only for those who may paint; others are not even shown it. */
  readonly paints?: boolean;
  /** Why it is not possible now: a sentence, or true where that is plain to see. */
  readonly off?: (at: Where) => string | boolean;
  /** Whether it is the one of several that is on. */
  readonly checked?: (at: Where) => boolean;
  /** Whether it is on, for one that stands alone. */
  readonly ticked?: (at: Where) => boolean;
  /** Stands out in its bar. */
  readonly main?: boolean;
  readonly run: (at: Where, pressed?: Pressed) => void;
}

/** A line of the list of keys. */
export interface HelpLine {
  group: Group;
  keys: string;
  line: string;
}

const NOWHERE: Where = { place: 0, rings: [], x: 0, y: 0 };

export class Actions {
  private readonly byName = new Map<string, Action>();
  private readonly byKey = new Map<string, Action>();

  /** refused hears why an action was not possible. Throws where two actions have one name, or one key in one situation. */
  constructor(
    readonly list: readonly Action[],
    private readonly canPaint: boolean,
    private readonly refused: (why: string) => void,
  ) {
    for (const a of list) {
      if (this.byName.has(a.name)) throw new Error(`two actions are called ${a.name}`);
      this.byName.set(a.name, a);
      for (const key of keysOf(a)) {
        const there = `${a.situation ?? "grid"}: ${key}`;
        if (this.byKey.has(there)) throw new Error(`${this.byKey.get(there)?.name} and ${a.name} have one key, ${there}`);
        this.byKey.set(there, a);
      }
    }
  }

  /** The action of a name; throws where there is none. */
  get(name: string): Action {
    const a = this.byName.get(name);
    if (!a) throw new Error(`no action is called ${name}`);
    return a;
  }

  /** What people read of it. */
  label(a: Action, at: Where = NOWHERE): string {
    return typeof a.label === "string" ? say(a.label) : a.label(at);
  }

  /** What it belongs to, where that must be said; "" elsewhere. */
  belongs(a: Action, at: Where): string {
    return !a.of ? "" : typeof a.of === "string" ? say(a.of) : a.of(at);
  }

  /** What the list of all actions shows: all that can be done now, in the order of the table. */
  listed(at: Where): Action[] {
    return this.list.filter((a) => !a.unlisted && this.offered(a) && !this.why(a, at));
  }

  /** Whether somebody with this power is shown it at all. */
  offered(a: Action): boolean {
    return this.canPaint || !a.paints;
  }

  /** Why it cannot be done now; "" when it can. */
  why(a: Action, at: Where = NOWHERE): string | true {
    return a.off?.(at) || "";
  }

  possible(name: string, at: Where = NOWHERE): boolean {
    const a = this.get(name);
    return this.offered(a) && !this.why(a, at);
  }

  /** Does it, if it can be done now, and says why where it cannot; false where nothing came of it. */
  run(name: string, at: Where = NOWHERE, pressed?: Pressed): boolean {
    const a = this.get(name);
    if (!this.offered(a)) return false;
    const why = this.why(a, at);
    if (!why) a.run(at, pressed);
    else if (why !== true) this.refused(why);
    return !why;
  }

  /** Does what a key means in the first of the situations in which it means something, or says why not; false where it means nothing now. */
  press(ev: KeyEvent, situations: readonly Situation[], at: () => Where): boolean {
    for (const situation of situations) {
      for (const key of namesOf(ev)) {
        const a = this.byKey.get(`${situation}: ${key}`);
        if (a) return this.run(a.name, at(), { key: ev.key, shift: ev.shiftKey }) || (this.offered(a) && this.why(a, at()) !== true);
      }
    }
    return false;
  }

  /** The list of keys, in the order of the table; actions with one line share it. */
  help(): HelpLine[] {
    const out: { group: Group; line: string; keys: string[] }[] = [];
    for (const a of this.list) {
      if (!a.help) continue;
      const { group, line } = helpLine(a.help);
      const keys = a.keys ?? keyText(a.key ?? "");
      const had = out.find((l) => l.group === group && l.line === line);
      if (!had) out.push({ group, line, keys: [keys] });
      else if (!had.keys.includes(keys)) had.keys.push(keys);
    }
    return out.map((l) => ({ ...l, keys: joined(l.keys) }));
  }
}

export function helpLine(help: Help): { group: Group; line: string } {
  const group = GROUPS.find((g) => help.startsWith(`${g}.`));
  if (group) return { group, line: say(help as Extract<Plain, Help>) };
  const tool = help as Tool;
  return { group: "help.tools", line: `${say(`tool.${tool}`)}: ${say(`tool.${tool}.does`)}` };
}

/** What Actions needs to know of a key that went down. */
export type KeyEvent = Pick<KeyboardEvent, "key" | "ctrlKey" | "metaKey" | "altKey" | "shiftKey">;

export function keysOf(a: Action): string[] {
  return [...(a.key ? [a.key] : []), ...(a.also ?? [])];
}

/** A pressed key as actions name it: with Shift, and without, for characters that Shift makes and where it adds nothing. */
function namesOf(ev: KeyEvent): string[] {
  const key = ev.key === " " ? "Space" : ev.key.length === 1 ? ev.key.toUpperCase() : ev.key;
  const held = `${ev.ctrlKey || ev.metaKey ? "Ctrl " : ""}${ev.altKey ? "Alt " : ""}`;
  return ev.shiftKey ? [`${held}Shift ${key}`, held + key] : [held + key];
}

const SHOWN: Record<string, string> = {
  ArrowLeft: "←",
  ArrowRight: "→",
  ArrowUp: "↑",
  ArrowDown: "↓",
  PageUp: "Page ↑",
  PageDown: "Page ↓",
  Escape: "Esc",
  "-": "−",
};

/** A key as people read it. */
export function keyText(key: string): string {
  const words = key.split(" ");
  const last = words[words.length - 1];
  return [...words.slice(0, -1), SHOWN[last] ?? last].join(" ");
}

/** Several keys of one line, what they begin with in common said once: "Alt ↑ ↓". */
function joined(keys: string[]): string {
  const [first] = keys[0].split(" ");
  const common = keys.length > 1 && keys.every((k) => k.startsWith(`${first} `));
  return common ? [first, ...keys.map((k) => k.slice(first.length + 1))].join(" ") : keys.join(" ");
}
