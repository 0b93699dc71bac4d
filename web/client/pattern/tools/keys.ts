// Keys of the editor: which one means what stands in the table of actions. Letters work while the grid has the focus, so
// that no other control loses one.
import type { Actions, KeyEvent, Situation, Where } from "../actions/action";
import type { Stage } from "../grid/stage";

/** Listens to keys; at says what they are about, holds whether something is held over the grid. */
export function listenToKeys(actions: Actions, stage: Stage, at: () => Where, holds: () => boolean): void {
  const press = (ev: KeyboardEvent & KeyEvent, situations: Situation[]) => {
    if (!actions.press(ev, situations, at)) return;
    ev.preventDefault();
    ev.stopPropagation();
  };
  stage.cells.root.addEventListener("keydown", (ev) => press(ev, holds() ? ["holding", "grid"] : ["grid"]));
  // Wherever the focus is, except while something is typed.
  document.addEventListener("keydown", (ev) => {
    if (ev.target instanceof HTMLElement && ev.target.closest("input, textarea, select, dialog")) return;
    press(ev, ["page"]);
  });
}
