// The one door through which what the server says comes in. Nothing is taken on trust: every value is held against
// the shape that Go gives it (types.ts), so that behind the door its type is true. What does not fit is refused with
// the place where it does not; fields that this page does not know yet are let pass.
import { EVENTS, type Events, SHAPES, type Shape, type Wire } from "./types";

/** What came in does not have the shape that this page knows: the page may be older than the program. */
export class WireError extends Error {}

/** Reads a value that was parsed already; throws a WireError. */
export function taken<N extends keyof Wire>(name: N, value: unknown): Wire[N] {
  if (isA(name, value)) return value;
  throw new WireError(wrong({ of: name }, value, name));
}

/** Reads JSON text; throws a WireError, or a SyntaxError when it is none. */
export function read<N extends keyof Wire>(name: N, text: string): Wire[N] {
  return taken(name, JSON.parse(text));
}

/** Reads a JSON list; throws like read. */
export function readList<N extends keyof Wire>(name: N, text: string): Wire[N][] {
  const list: unknown = JSON.parse(text);
  if (!Array.isArray(list)) throw new WireError(`${name}[] is ${typeof list}`);
  return list.map((value) => taken(name, value));
}

/** Reads the JSON of an answer, whatever its status; throws like read. */
export async function answer<N extends keyof Wire>(name: N, res: Response): Promise<Wire[N]> {
  return read(name, await res.text());
}

/** Reads what an event carries; throws like read. */
export function told<N extends keyof Events>(event: N, text: string): Events[N] {
  const value: unknown = JSON.parse(text);
  if (carries(event, value)) return value;
  throw new WireError(wrong(EVENTS[event], value, event));
}

function isA<N extends keyof Wire>(name: N, value: unknown): value is Wire[N] {
  return wrong(SHAPES[name], value, name) === "";
}

function carries<N extends keyof Events>(event: N, value: unknown): value is Events[N] {
  return wrong(EVENTS[event], value, event) === "";
}

type Fields = Readonly<Record<string, unknown>>;

const isObject = (value: unknown): value is Fields => typeof value === "object" && value !== null && !Array.isArray(value);

/** What is wrong with a value at a place, "" when it has the shape. */
function wrong(shape: Shape, value: unknown, at: string): string {
  if (typeof shape === "string") return typeof value === shape ? "" : `${at} is ${named(value)}, not a ${shape}`;
  if ("of" in shape) return wrong(SHAPES[shape.of], value, at);
  if ("one" in shape)
    return typeof value === "string" && shape.one.includes(value) ? "" : `${at} is ${named(value)}, not ${shape.one.join(", ")}`;
  if ("list" in shape) return Array.isArray(value) ? wrongItem(shape.list, value, at) : `${at} is ${named(value)}, not a list`;
  if ("tuple" in shape)
    return Array.isArray(value) && value.length === shape.n ? wrongItem(shape.tuple, value, at) : `${at} is no list of ${shape.n}`;
  if (!isObject(value)) return `${at} is ${named(value)}, not an object`;
  if ("kinds" in shape) return wrongKind(shape.kinds, value, at);
  return wrongField(shape.fields, shape.may, value, at);
}

function wrongItem(shape: Shape, list: readonly unknown[], at: string): string {
  if (shape === "number" && list.every((v) => typeof v === "number")) return ""; // long lists of numbers, quickly
  for (let i = 0; i < list.length; i++) {
    const fault = wrong(shape, list[i], `${at}[${i}]`);
    if (fault) return fault;
  }
  return "";
}

function wrongKind(kinds: Readonly<Record<string, keyof Wire>>, value: Fields, at: string): string {
  const { do: kind } = value;
  if (typeof kind !== "string" || !Object.hasOwn(kinds, kind)) return `${at}.do is ${named(kind)}, which this page does not know`;
  return wrong(SHAPES[kinds[kind]], value, at);
}

function wrongField(fields: Readonly<Record<string, Shape>>, may: Readonly<Record<string, Shape>>, value: Fields, at: string): string {
  for (const name in fields) {
    const fault = name in value ? wrong(fields[name], value[name], `${at}.${name}`) : `${at}.${name} is missing`;
    if (fault) return fault;
  }
  for (const name in may) {
    const fault = name in value ? wrong(may[name], value[name], `${at}.${name}`) : "";
    if (fault) return fault;
  }
  return "";
}

function named(value: unknown): string {
  return typeof value === "object" || typeof value === "function"
    ? value === null
      ? "null"
      : typeof value
    : (JSON.stringify(value) ?? "missing");
}
