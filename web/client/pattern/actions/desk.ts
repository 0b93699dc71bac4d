// What actions work on: the parts of the editor, as far as they are needed to do something.
import type { Marks } from "../../base/marks";
import type { Notes } from "../../base/notes";
import type { Extras } from "../dialogs/extra-dialog";
import type { Parts } from "../dialogs/part-dialog";
import type { Stage } from "../grid/stage";
import type { Panel } from "../panels/panel";
import type { Papers } from "../panels/papers";
import type { Rings } from "../panels/rings";
import type { Clipboard } from "../tools/clipboard";
import type { Dock } from "../tools/dock";
import type { Editor } from "../tools/editor";
import type { Heights } from "../tools/heights";
import type { Menus } from "../tools/menus";
import type { Placing } from "../tools/placing";
import type { Walk } from "../tools/walk";
import type { Where } from "./action";

export interface Desk {
  readonly e: Editor;
  readonly stage: Stage;
  readonly placing: Placing;
  readonly clipboard: Clipboard;
  readonly walk: Walk;
  readonly marks: Marks;
  readonly heights: Heights;
  readonly menus: Menus;
  readonly dock: Dock;
  readonly panel: Panel;
  readonly papers: Papers;
  readonly rings: Rings;
  readonly extras: Extras;
  readonly parts: Parts;
  readonly notes: Notes;
  /** What the server says of the steps of this page that can be taken back and done again. */
  readonly history: { can_undo: boolean; can_redo: boolean };
  readonly dialogs: { help(): void; about(): void; all(at: Where): void };
}
