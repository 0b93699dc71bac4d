// The page of the standing figure: connects to the figure, and loads the 3D view if this browser can
// draw it; else the server's still drawing is shown, and it says why.
import { el } from "../base/dom";
import { Notes } from "../base/notes";
import { kept } from "../base/storage";
import { say } from "../base/words";
import { Model } from "../pattern/model/model";
import { Queue } from "../pattern/sync/queue";
import { Sync } from "../pattern/sync/sync";
import { Editor } from "../pattern/tools/editor";
import type { History } from "../wire/types";
import type { Stand } from "./mount";
import { brushOf, showStill } from "./tie";

async function start(root: HTMLElement): Promise<void> {
  const { base = "", power = "view", picture = "", file = "", alt = "" } = root.dataset;
  if (!("WebGL2RenderingContext" in window)) return showStill(root, picture, alt, "stand.no_3d");
  const places = fetch(`${base}/stand.bin`);
  const model = new Model();
  let view: Stand | null = null;
  let history: History = { can_undo: false, can_redo: false };
  const said = document.getElementById("stand-said");
  const tell = (text: string) => said?.replaceChildren(text);
  const notes = new Notes();
  root.before(notes.banner);
  const sync = new Sync(base, model, new Queue(base, kept("localStorage"), kept("sessionStorage")), {
    changed: () => {
      editor.settlePaper();
      view?.changed();
    },
    remark: tell,
    refused: (r) => tell([r.what, r.fix].filter(Boolean).join(" ")),
    people: () => undefined,
    history: (p) => {
      history = p;
      view?.history(p.can_undo, p.can_redo);
    },
    status: (s) => {
      notes.status(s);
      if (!editor.canPaint && !s.online) notes.banner.textContent = say("stand.offline");
    },
  });
  const editor = new Editor(model, sync, power);
  const ready = sync.start();
  const { mountStand, NoDepth } = await import("./mount");
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
    view.history(history.can_undo, history.can_redo);
    await ready;
  } catch (e) {
    showStill(root, picture, alt, e instanceof NoDepth ? "stand.no_3d" : "stand.failed");
  }
}

const root = document.getElementById("stand");
if (root) void start(root);
