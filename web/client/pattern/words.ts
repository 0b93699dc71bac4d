// The page's sentences. They stand in the catalogue (client.* keys) and come with the page as JSON.

type Forms = Record<string, string>;
let catalogue: Record<string, Forms> | null = null;

function forms(key: string): Forms | undefined {
  if (!catalogue) {
    const holder = typeof document === "undefined" ? null : document.getElementById("words");
    catalogue = holder ? (JSON.parse(holder.textContent || "{}") as Record<string, Forms>) : {};
  }
  return catalogue["client." + key];
}

const plural = new Intl.PluralRules("en");

/** Says a sentence of the catalogue; {{.Name}} is filled in, Count chooses singular or plural. */
export function say(key: string, args: Record<string, string | number> = {}): string {
  const f = forms(key);
  if (!f) return `[client.${key}]`;
  const form = "Count" in args ? plural.select(Number(args.Count)) : "other";
  const text = f[form] ?? f.other ?? Object.values(f)[0];
  return text.replace(/\{\{\s*\.(\w+)\s*\}\}/g, (_, name: string) => String(args[name] ?? ""));
}
