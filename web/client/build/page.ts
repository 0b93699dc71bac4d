// The build sheet: keeps which rings are ticked off in this browser, by the identity of the ring, so that
// ticks stay with their ring when rings are added below. Without scripts the boxes still tick.

const sheet = document.querySelector<HTMLElement>("[data-build]");

function startTicks(sheet: HTMLElement): void {
  const key = `tuckring.build.${sheet.dataset.build ?? ""}`;
  const boxes = [...sheet.querySelectorAll<HTMLInputElement>("input[data-tick]")];
  const progress = sheet.querySelector<HTMLElement>("[data-progress]");
  const clear = sheet.querySelector<HTMLButtonElement>("[data-clear]");

  const kept = (): Set<string> => {
    try {
      return new Set(JSON.parse(localStorage.getItem(key) ?? "[]") as string[]);
    } catch {
      return new Set();
    }
  };
  const show = (): void => {
    const done = boxes.filter((b) => b.checked).length;
    if (clear) clear.hidden = done === 0;
    if (!progress) return;
    progress.hidden = false;
    progress.textContent = (progress.dataset.progress ?? "").replace("{done}", String(done));
  };
  const keep = (): void => {
    const done = boxes.filter((b) => b.checked).map((b) => b.dataset.tick ?? "");
    try {
      localStorage.setItem(key, JSON.stringify(done));
    } catch {
      // A browser that keeps nothing: the ticks last as long as the page.
    }
    show();
  };

  const done = kept();
  for (const b of boxes) {
    if (done.has(b.dataset.tick ?? "")) b.checked = true;
    b.addEventListener("change", keep);
  }
  clear?.addEventListener("click", () => {
    for (const b of boxes) b.checked = false;
    keep();
  });
  show();
}

if (sheet) startTicks(sheet);
