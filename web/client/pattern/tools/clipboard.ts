// What was copied, and blocks that are cut out, moved and flipped.
import { byFinger } from "../../base/dom";
import type { Notes } from "../../base/notes";
import { say } from "../../base/words";
import type { Stage } from "../grid/stage";
import { type Block, blockOf, extrasOn, ground, middlePlace, turnedOver, turnedOverExtras } from "../model/blocks";
import type { Place } from "../model/model";
import type { Editor } from "./editor";
import type { Placing } from "./placing";

export class Clipboard {
  private copied: Block | null = null;

  constructor(
    private readonly e: Editor,
    private readonly stage: Stage,
    private readonly placing: Placing,
    private readonly notes: Notes,
  ) {}

  get empty(): boolean {
    return !this.copied;
  }

  /** What is selected, else the unit in focus. */
  private get meant(): Place[] {
    return this.e.selection.size ? [...this.e.selection] : [this.e.focus];
  }

  copy(): void {
    const places = this.meant;
    this.copied = blockOf(this.e.m, places);
    this.notes.show(say(byFinger() ? "block.copied.touch" : "block.copied", { Count: places.length }));
  }

  copyAndHold(): void {
    const places = this.meant;
    this.copied = blockOf(this.e.m, places);
    this.paste(middlePlace(this.e.m, places));
  }

  cut(): void {
    const { e } = this;
    if (!e.selection.size || !e.mayDraw()) return;
    this.copied = blockOf(e.m, e.selection);
    const count = e.selection.size;
    e.draft(ground(e.m, e.selection));
    e.commit(extrasOn(e.m, e.selection).map((x) => ({ do: "remove_extra", key: x.key })));
    this.notes.show(say(byFinger() ? "block.was_cut.touch" : "block.was_cut", { Count: count }));
    e.select([]);
  }

  paste(at: Place): void {
    if (!this.copied || !this.e.mayDraw()) return;
    this.e.select([]);
    this.placing.takeBlock(this.copied, "paste", at);
    this.stage.focusGrid();
  }

  /** Takes up what is selected, to be put down elsewhere. */
  move(): void {
    const { e } = this;
    const places = [...e.selection];
    const block = blockOf(e.m, places);
    if (!block || !e.mayDraw()) return;
    e.select([]);
    this.placing.takeBlock(block, "move", middlePlace(e.m, places), places);
    this.stage.focusGrid();
  }

  flip(): void {
    const { e } = this;
    if (!e.draft(turnedOver(e.m, e.selection))) return;
    e.commit(turnedOverExtras(e.m, e.selection).map(({ extra, seat }) => ({ do: "edit_extra", extra: { ...extra, ...seat } })));
    e.tell("paint");
  }
}
