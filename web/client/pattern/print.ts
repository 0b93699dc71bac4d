// What the pattern page prints: the figure's pattern, drawn by the server on pages to print, and none of the
// editor. It is asked for when the print begins, so that it is the figure as it stands; the request has to be
// answered before the browser goes on, and only a synchronous one is.
import { say } from "../base/words";

function fetchPages(base: string): Element[] {
  const ask = new XMLHttpRequest();
  ask.open("GET", `${base}/pattern`, false);
  ask.send();
  if (ask.status !== 200) throw new Error(String(ask.status));
  const page = new DOMParser().parseFromString(ask.responseText, "text/html");
  return [...(page.getElementById("pattern-pages")?.children ?? [])];
}

/** Fills the place of the pages while the page is printed. */
export function printPattern(base: string, pages: HTMLElement): void {
  addEventListener("beforeprint", () => {
    try {
      pages.replaceChildren(...fetchPages(base));
    } catch {
      const why = document.createElement("p");
      why.className = "notice";
      why.textContent = say("print.unreachable");
      pages.replaceChildren(why);
    }
  });
  addEventListener("afterprint", () => pages.replaceChildren());
}
