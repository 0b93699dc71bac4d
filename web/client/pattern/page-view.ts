// The page of a figure for those who look: it stays up to date while the maker paints. Without scripts
// the page shows the figure as it was when it was opened.
import { whileShown } from "../base/dom";

/** Waits until the maker's hand rests before it draws anew. */
const CALM_MS = 700;

function watch(view: HTMLElement): void {
  const { base } = view.dataset;
  let rev = view.dataset.rev;
  let events: EventSource | null = null;
  let timer = 0;
  const later = (): void => {
    clearTimeout(timer);
    timer = window.setTimeout(() => void refresh(view), CALM_MS);
  };
  const listen = (): void => {
    if (document.hidden) return;
    events = new EventSource(`${base}/events?since=${rev}`);
    events.addEventListener("step", (e) => {
      rev = e.lastEventId;
      later();
    });
    events.addEventListener("resync", later);
  };
  const release = (): void => events?.close();
  listen();
  whileShown(listen, release);
  addEventListener("pagehide", release);
}

/** Fetches the page anew and takes what it shows, picture and counts, keeping the place on the page. */
async function refresh(view: HTMLElement): Promise<void> {
  const answer = await fetch(location.href, { headers: { Accept: "text/html" } });
  if (!answer.ok) return location.reload(); // the link was taken back: the server says so
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("#view");
  if (fresh) view.replaceChildren(...fresh.children);
}

const view = document.getElementById("view");
if (view) watch(view);
