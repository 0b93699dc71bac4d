// The page of the standing figure: connects to the figure, and loads the 3D view if this browser can
// draw it; else the server's still drawing is shown, and it says why.
import { el } from "../pattern/dom";
import { Editor } from "../pattern/editor";
import { Model } from "../pattern/model";
import { Notes } from "../pattern/notes";
import { Queue } from "../pattern/queue";
import { Sync } from "../pattern/sync";
import type { Past } from "../pattern/wire";
import { say } from "../pattern/words";
import type { Stand } from "../stand/mount";
import { brushOf, showStill } from "../stand/tie";

async function start(root: HTMLElement): Promise<void> {
  const { base = "", power = "view", picture = "", file = "", alt = "" } = root.dataset;
  if (!("WebGL2RenderingContext" in window)) return showStill(root, picture, alt, "stand.no_3d");
  const places = fetch(`${base}/stand.bin`);
  const model = new Model();
  let view: Stand | null = null;
  let past: Past = { can_undo: false, can_redo: false };
  const said = document.getElementById("stand-said");
  const notes = new Notes();
  root.before(notes.banner);
  const sync = new Sync(base, model, new Queue(base, storage("localStorage"), storage("sessionStorage")), {
    changed: () => {
      editor.settlePaper();
      view?.changed();
    },
    remark: (text) => said && (said.textContent = text),
    refused: (r) => said && (said.textContent = [r.what, r.fix].filter(Boolean).join(" ")),
    people: () => undefined,
    past: (p) => {
      past = p;
      view?.past(p.can_undo, p.can_redo);
    },
    status: (s) => {
      notes.status(s);
      if (!editor.canPaint && !s.online) notes.banner.textContent = say("stand.offline");
    },
  });
  const editor = new Editor(model, sync, power);
  const ready = sync.start();
  const { mountStand, NoDepth } = await import("../stand/mount");
  const about = document.getElementById("stand-about");
  try {
    view = mountStand(root, model, {
      base,
      file,
      places,
      ready,
      brush: editor.canPaint ? brushOf(editor) : null,
      about: (sentences) => about?.replaceChildren(...sentences.map((s) => el("li", {}, s))),
      aside: document.querySelector<HTMLElement>(".stand-about"),
    });
    view.past(past.can_undo, past.can_redo);
    await ready;
  } catch (e) {
    showStill(root, picture, alt, e instanceof NoDepth ? "stand.no_3d" : "stand.failed");
  }
}

function storage(kind: "localStorage" | "sessionStorage"): Storage | null {
  try {
    return window[kind];
  } catch {
    return null;
  }
}

const root = document.getElementById("stand");
if (root) void start(root);
