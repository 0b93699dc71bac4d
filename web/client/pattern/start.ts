// Connects the pattern page to its figure and opens the editor as soon as the figure is there.
import { Notes } from "../base/notes";
import { kept } from "../base/storage";
import { say } from "../base/words";
import { App } from "./app";
import { Model } from "./model/model";
import { Queue } from "./sync/queue";
import { Sync } from "./sync/sync";
import { Editor } from "./tools/editor";

/** So often a page that found nobody tries again to fetch its figure. */
const RETRY_MS = 4000;

/** Starts the editor in its shell; data-base is the design's address, data-power what may be done. */
export async function startPattern(shell: HTMLElement): Promise<void> {
  const base = shell.dataset.base ?? "";
  const model = new Model();
  const queue = new Queue(base, kept("localStorage"), kept("sessionStorage"));
  const notes = new Notes();
  let app: App | null = null;
  const sync = new Sync(base, model, queue, {
    changed: (step) => app?.changed(step),
    refused: (why) => {
      editor.awaitNoPart();
      notes.show(why.what || say("refused"), why.fix, "fault");
    },
    taken: () => notes.clearFaults(),
    remark: (text) => notes.show(text),
    gone: () => notes.showGone(queue.steps.length),
    people: (list) => app?.people.show(list),
    history: (h) => app?.showHistory(h),
    status: (s) => app?.status(s),
  });
  sync.call(kept("localStorage")?.getItem("tuckring:name") ?? "");
  const editor = new Editor(model, sync, shell.dataset.power ?? "view");
  app = new App(shell, editor, notes, base);
  while (!(await started(sync))) {
    shell.append(notes.stack);
    notes.show(say("no_state"), say("no_state.fix"), "fault");
    await new Promise((again) => setTimeout(again, RETRY_MS));
  }
  app.open();
}

async function started(sync: Sync): Promise<boolean> {
  try {
    await sync.start();
    return true;
  } catch {
    return false;
  }
}
