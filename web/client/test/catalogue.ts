// The sentences of the page, for tests of what it says.
import { readdirSync, readFileSync } from "node:fs";

/** The catalogue as the page carries it, read from the catalogue's own files. */
export function catalogue(): Record<string, Record<string, string>> {
  const out: Record<string, Record<string, string>> = {};
  for (const file of readdirSync("internal/words/en").filter((name) => name.startsWith("client"))) {
    for (const [, key, value] of readFileSync(`internal/words/en/${file}`, "utf8").matchAll(/^"(client\.[^"]+)" = (.+)$/gm)) {
      const forms = [...value.matchAll(/(one|other) = "((?:[^"\\]|\\.)*)"/g)].map(([, form, text]) => [form, text]);
      out[key] = forms.length ? Object.fromEntries(forms) : { other: JSON.parse(value) };
    }
  }
  return out;
}
