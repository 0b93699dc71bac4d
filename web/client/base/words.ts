// The page's sentences. They stand in the catalogue (client.* keys) and come with the page as JSON. Their
// keys and values are a type made of the catalogue, so the compiler sees to it that both are whole.
import type { Sentences } from "./sentences";

/** A sentence of the catalogue, without "client." */
export type Key = keyof Sentences;

/** A sentence that needs no values. */
export type Plain = { [K in Key]: [Sentences[K]] extends [never] ? K : never }[Key];

/** The values that a sentence needs; of several sentences, all that any of them needs. */
type Values<K extends Key> = [Sentences[K]] extends [never] ? [] : [values: Record<Sentences[K], string | number>];

type Forms = Record<string, string>;
let catalogue: Record<string, Forms> | null = null;

function forms(key: string): Forms | undefined {
  if (!catalogue) {
    const holder = typeof document === "undefined" ? null : document.getElementById("words");
    catalogue = holder ? (JSON.parse(holder.textContent || "{}") as Record<string, Forms>) : {};
  }
  return catalogue[`client.${key}`];
}

const plural = new Intl.PluralRules("en");

/**
 * Says a sentence of the catalogue; {{.Name}} is filled in, Count chooses singular or plural. What is
 * missing all the same (a page that is older than its script) is told to the console, never shown as a key.
 */
export function say<K extends Key>(key: K, ...[values]: Values<K>): string {
  return sentence(key, (values ?? {}) as Record<string, string | number>);
}

function sentence(key: string, values: Record<string, string | number>): string {
  const f = forms(key);
  if (!f) {
    console.error(`the page has no sentence client.${key}`);
    return key === "missing" ? "…" : sentence("missing", {});
  }
  const form = "Count" in values ? plural.select(Number(values.Count)) : "other";
  const text = f[form] ?? f.other;
  return text.replace(/\{\{\s*\.(\w+)\s*\}\}/g, (_, name: string) => String(values[name] ?? "…"));
}

/** A sentence with a large first letter. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
