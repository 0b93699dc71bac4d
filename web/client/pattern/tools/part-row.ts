// The row of the parts between the grid and the tools: one press goes to a part. A figure of one part has none.
import { el, onPress } from "../../base/dom";
import { say } from "../../base/words";
import type { Editor } from "./editor";

export class PartRow {
  readonly root = el("div", { class: "part-row", role: "group", "aria-label": say("parts.row"), hidden: true });
  private says = "";

  constructor(private readonly e: Editor) {
    e.on("part", () => this.update());
    e.on("figure", () => this.update());
  }

  update(): void {
    const { m } = this.e;
    const says = JSON.stringify([m.parts.map((p) => [p.id, p.name, p.twin]), m.part?.id]);
    if (says === this.says) return;
    this.says = says;
    this.root.hidden = !m.parts.length;
    const focused = this.root.contains(document.activeElement);
    this.root.replaceChildren(
      ...m.parts
        .filter((p) => !p.twin)
        .map((part) => {
          const here = part.id === m.part?.id;
          const twin = m.parts.find((p) => p.twin === part.id);
          const name = twin ? say("parts.both", { Part: part.name, Twin: twin.name }) : part.name;
          const b = el("button", { type: "button", class: "part-chip", dir: "auto", "aria-pressed": String(here) }, name);
          onPress(b, () => this.e.lookAt(part.id));
          return b;
        }),
    );
    const here = this.root.querySelector<HTMLElement>("[aria-pressed=true]");
    if (focused) here?.focus({ preventScroll: true });
    here?.scrollIntoView?.({ block: "nearest", inline: "nearest" });
  }
}
