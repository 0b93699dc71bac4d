// The report's pages: a button that prints, and the stopwatch for ten units. Both are comforts; the
// pages work without them.

for (const button of document.querySelectorAll<HTMLButtonElement>("button[data-print]")) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}

const timed = 10; // units, as pace.TimedUnits
const enough = 3; // the fewest that a learning curve is fitted to

/** Seconds as the form takes them, to a tenth. */
function inTenths(ms: number): string {
  return String(Math.round(ms / 100) / 10);
}

function startStopwatch(box: HTMLElement): void {
  const field = document.getElementById("stopwatch") as HTMLInputElement | null;
  const pace = document.getElementById("pace") as HTMLSelectElement | null;
  const main = box.querySelector<HTMLButtonElement>(".stopwatch-main");
  const stop = box.querySelector<HTMLButtonElement>(".stopwatch-stop");
  const clock = box.querySelector<HTMLOutputElement>(".stopwatch-time");
  const said = box.querySelector<HTMLElement>(".stopwatch-said");
  if (!field || !pace || !main || !stop || !clock || !said) return;

  let laps: number[] = []; // ms of each finished unit
  let began = 0; // of the unit at hand; 0 while the watch stands
  let ticking = 0;

  const tick = (): void => {
    clock.textContent = `${Math.floor((performance.now() - began) / 1000)} s`;
  };
  const rest = (): void => {
    clearInterval(ticking);
    began = 0;
    stop.hidden = true;
    main.textContent = box.dataset.again ?? "";
  };
  const finish = (): void => {
    rest();
    if (laps.length < enough) return;
    field.value = laps.map(inTenths).join(" ");
    pace.value = "stopwatch";
    said.textContent = box.dataset.filled ?? "";
  };

  main.textContent = box.dataset.start ?? "";
  main.addEventListener("click", () => {
    const now = performance.now();
    if (began === 0) {
      laps = [];
      ticking = window.setInterval(tick, 250);
      main.textContent = box.dataset.done ?? "";
    } else {
      laps.push(now - began);
    }
    began = now;
    tick();
    said.textContent = (box.dataset.state ?? "").replace("{n}", String(laps.length));
    stop.hidden = laps.length < enough;
    if (laps.length === timed) finish();
  });
  stop.addEventListener("click", finish);
  box.hidden = false;
}

const box = document.getElementById("stopwatch-timer");
if (box) startStopwatch(box);
