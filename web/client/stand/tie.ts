// What ties the 3D view to the editor of the figure.
import { el } from "../base/dom";
import { Marks } from "../base/marks";
import { type Plain, say } from "../base/words";
import { imagesOf } from "../pattern/model/symmetry";
import type { Editor } from "../pattern/tools/editor";
import type { Brush } from "./mount";

/** A brush that paints as the editor's hand does, with its paper and its symmetry. */
export function brushOf(editor: Editor): Brush {
  return {
    get paper() {
      return editor.paper;
    },
    choose: (id) => editor.choosePaper(id),
    touch: (at) => {
      if (!editor.mayDraw()) return;
      const unit = editor.m.painted(at);
      editor.lookAtRow(unit.row);
      const place = editor.m.placeAt(unit);
      if (place < 0) return;
      editor.draftMore(imagesOf(editor.m, [place], editor.symmetry));
      editor.tell("paint");
    },
    lift: () => editor.commit(),
    drop: () => editor.cancel(),
    undo: () => editor.undo(),
    redo: () => editor.redo(),
  };
}

/** Shows the server's still drawing in place of the 3D view, with signs where they are switched on, and says why. */
export function showStill(root: HTMLElement, still: string, alt: string, why: Plain): void {
  root.classList.add("flat");
  const picture = new Marks().shows("signs") ? `${still}${still.includes("?") ? "&" : "?"}signs` : still;
  root.replaceChildren(el("p", { class: "notice", role: "status" }, say(why)), el("img", { src: picture, alt, class: "stand-still" }));
}
