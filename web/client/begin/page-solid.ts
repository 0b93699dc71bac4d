// The page of a solid: what is changed is asked for at once, and what comes is put in place of what was there. The figure stands in
// 3D with the solid over it, where this browser can draw it.
import { el } from "../base/dom";
import { say } from "../base/words";
import type { SolidView } from "./solid-view";

/** Waits so long for more changes before it asks, ms. */
const CALM = 300;

const form = document.querySelector<HTMLFormElement>("#solid-form");
const box = document.querySelector<HTMLElement>("#solid-view");
if (form && box) start(form, box);

/** Says beside the fields what the page that came says there, and nothing else any more. */
function mark(form: HTMLFormElement, page: Document): void {
  for (const old of form.querySelectorAll(".wrong, .notice")) old.remove();
  for (const field of form.querySelectorAll<HTMLElement>("input[id], select[id]")) {
    const fresh = page.getElementById(field.id);
    for (const name of ["aria-invalid", "aria-describedby"]) {
      const value = fresh?.getAttribute(name) ?? null;
      if (value === null) field.removeAttribute(name);
      else field.setAttribute(name, value);
    }
    const wrong = page.getElementById(`${field.id}-wrong`);
    if (wrong) field.closest(".field")?.append(document.adoptNode(wrong));
  }
}

function start(form: HTMLFormElement, box: HTMLElement): void {
  let asked: AbortController | null = null;
  let view: SolidView | null = null;
  let waits = 0;

  const result = () => document.querySelector<HTMLElement>("#solid-result");
  const show = () => {
    const { query = "", papers = "" } = result()?.dataset ?? {};
    if (!view) return;
    box.hidden = papers === ""; // there is no figure to show, and the one before is not of these settings
    if (papers) void view.show(query, papers.split(" "));
  };

  async function ask(): Promise<void> {
    asked?.abort();
    asked = new AbortController();
    const { signal } = asked;
    // The button that is not pressed sends nothing; limbs belong to the form though they stand elsewhere.
    const query = new URLSearchParams([...new FormData(form)].map(([name, value]) => [name, String(value)]));
    const address = `${form.action}?${query}`;
    result()?.setAttribute("aria-busy", "true");
    try {
      const res = await fetch(address, { signal });
      const page = new DOMParser().parseFromString(await res.text(), "text/html");
      const next = page.querySelector<HTMLElement>("#solid-result");
      if (signal.aborted) return;
      if (!next) throw new Error(String(res.status));
      const open = result()?.querySelector("details")?.open;
      const focused =
        document.activeElement instanceof HTMLInputElement && document.activeElement.name === "limb" ? document.activeElement.value : null;
      const details = next.querySelector("details");
      if (details && open) details.open = true;
      result()?.replaceWith(document.adoptNode(next));
      mark(form, page);
      if (focused !== null)
        result()
          ?.querySelector<HTMLInputElement>(`input[name=limb][value="${CSS.escape(focused)}"]`)
          ?.focus();
      history.replaceState(null, "", address);
      show();
    } catch {
      if (!signal.aborted) result()?.replaceChildren(el("p", { class: "notice warning" }, say("solid.lost")));
    }
  }

  const changed = () => {
    clearTimeout(waits);
    waits = window.setTimeout(() => void ask(), CALM);
  };
  form.addEventListener("input", changed);
  document.addEventListener("input", (e) => {
    if (e.target instanceof HTMLInputElement && e.target.form === form && !form.contains(e.target)) changed();
  });

  if (!("WebGL2RenderingContext" in window)) return;
  void import("./solid-view").then(({ SolidView }) => {
    try {
      box.hidden = false;
      view = new SolidView(box);
      show();
    } catch {
      box.hidden = true; // it draws nothing in 3D
    }
  });
}
