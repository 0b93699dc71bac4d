// Papers of the figure: their names, values and order, and what to do with one that is not wanted any
// more.

import { el, offWhen, set } from "../../base/dom";
import { icon } from "../../base/icons";
import { inkOn } from "../../base/ink";
import type { Notes } from "../../base/notes";
import { closeCard, dot, showCard, showDialog } from "../../base/popover";
import { say } from "../../base/words";
import { readList } from "../../wire/door";
import { type Colour, MAX_NAME } from "../../wire/types";
import { photoDialog } from "../dialogs/photo-dialog";
import { signField } from "../dialogs/sign";
import type { Editor } from "../tools/editor";
import type { Part } from "./panel";

export class Papers implements Part {
  readonly name = "papers" as const;
  readonly root = el("div", { class: "paper-list" });
  private readonly list = el("ol", { class: "bare" });

  private readonly add = el(
    "button",
    { type: "button", class: "wide-button", onclick: (ev: MouseEvent) => this.addCard(ev.clientX, ev.clientY) },
    icon("plus"),
    say("paper.add"),
  );

  constructor(
    private readonly e: Editor,
    private readonly base: string,
    private readonly notes: Notes,
  ) {
    this.root.append(this.list);
    if (e.canPaint) this.root.append(this.add);
  }

  update(): void {
    const { m } = this.e;
    this.list.replaceChildren(...m.colours.map((c, i) => this.row(c, i)));
    set(this.add, { title: undefined, ...offWhen(this.e.noMoreColours) });
  }

  private row(c: Colour, i: number): HTMLElement {
    const { m } = this.e;
    const face = el("span", { class: "paper-face small", "aria-hidden": "true" }, c.sign);
    face.style.backgroundColor = c.hex;
    face.style.color = inkOn(c.hex);
    const open = el(
      "button",
      { type: "button", class: "row-button", title: say("paper.change", { Name: c.name }) },
      face,
      el("span", { class: "grow" }, c.name),
      el("span", { class: "count" }, String(m.unitsOf(i))),
    );
    open.addEventListener("click", (ev) =>
      this.card(c.id, ev.clientX || open.getBoundingClientRect().x + 60, ev.clientY || open.getBoundingClientRect().y),
    );
    return el("li", {}, open);
  }

  // ---------- cards ----------

  /** What can be done with one paper, opened where it was pressed. */
  card(id: string, x: number, y: number): void {
    const { e } = this;
    const i = e.m.indexOfColour(id);
    const c = e.m.colours[i];
    if (!c || !e.canPaint) return;
    const name = el("input", { type: "text", value: c.name, maxlength: MAX_NAME, id: "paper-name" });
    const hex = el("input", { type: "color", value: c.hex, id: "paper-hex" });
    const text = this.hexField(hex);
    const sign = signField(e.m, c);
    const chosen = c.own_sign ? c.sign : "";
    const save = () => {
      const changed = { name: name.value.trim() || c.name, hex: hex.value };
      closeCard(true);
      const resigned = sign.value !== chosen;
      if (changed.name !== c.name || changed.hex !== c.hex || resigned)
        e.step({ do: "edit_colour", id, ...changed, ...(resigned ? { sign: sign.value } : {}) });
    };
    const content = el(
      "form",
      { class: "paper-card" },
      el("label", { class: "field" }, el("span", { class: "label" }, say("paper.name")), name),
      el(
        "div",
        { class: "field" },
        el("label", { class: "label", for: "paper-hex" }, say("paper.hex")),
        el("div", { class: "hex-row" }, hex, text),
      ),
      el("div", { class: "field" }, el("label", { class: "label", for: "paper-sign" }, say("paper.sign")), sign),
      el(
        "div",
        { class: "card-actions" },
        this.moveButton("up", i, -1),
        this.moveButton("down", i, 1),
        this.removeButton(c, i),
        el("button", { class: "main", type: "submit" }, say("paper.save")),
      ),
    );
    content.addEventListener("submit", (ev) => {
      ev.preventDefault();
      save();
    });
    showCard(content, x, y, say("paper.change", { Name: c.name }));
  }

  private hexField(hex: HTMLInputElement): HTMLInputElement {
    const text = el("input", {
      type: "text",
      value: hex.value,
      maxlength: 7,
      "aria-label": say("paper.hex.text"),
      class: "hex",
      spellcheck: "false",
    });
    hex.addEventListener("input", () => (text.value = hex.value));
    text.addEventListener("input", () => {
      const v = text.value.trim().toLowerCase();
      const good = /^#[0-9a-f]{6}$/.test(v);
      text.setAttribute("aria-invalid", String(!good && v.length >= 7));
      if (good) hex.value = v;
    });
    return text;
  }

  private moveButton(name: "up" | "down", i: number, by: number): HTMLElement {
    const { e } = this;
    const to = i + by;
    const label = say(name === "up" ? "paper.earlier" : "paper.later");
    const b = el(
      "button",
      {
        type: "button",
        class: "round quiet turned",
        "aria-label": label,
        title: label,
        "aria-disabled": to < 0 || to >= e.m.colours.length ? "true" : undefined,
      },
      icon(name),
    );
    b.addEventListener("click", () => {
      if (b.getAttribute("aria-disabled")) return;
      const ids = e.m.colours.map((c) => c.id);
      [ids[i], ids[to]] = [ids[to], ids[i]];
      closeCard(true);
      e.step({ do: "order_colours", ids });
    });
    return b;
  }

  private removeButton(c: Colour, i: number): HTMLElement {
    const { e } = this;
    const label = say("paper.remove");
    const b = el(
      "button",
      {
        type: "button",
        class: "round quiet",
        "aria-label": label,
        title: label,
        "aria-disabled": e.m.colours.length < 2 ? "true" : undefined,
      },
      icon("bin"),
    );
    b.addEventListener("click", () => {
      if (b.getAttribute("aria-disabled")) return;
      closeCard(true);
      if (e.m.unitsOf(i) === 0 && !e.m.extras.some((x) => x.colour === c.id)) e.step({ do: "remove_colour", id: c.id });
      else this.replaceDialog(c, i);
    });
    return b;
  }

  /** A paper in use goes only when another takes its place; that is also how two become one. */
  private replaceDialog(c: Colour, i: number): void {
    const { e } = this;
    const list = el("div", { class: "choices" });
    for (const other of e.m.colours) {
      if (other.id === c.id) continue;
      const b = el("button", { type: "button", class: "row-button" }, dot(other.hex), el("span", { class: "grow" }, other.name));
      b.addEventListener("click", () => {
        dialog.close();
        e.step({ do: "remove_colour", id: c.id, replace: other.id });
        if (e.paper === c.id) e.choosePaper(other.id);
      });
      list.append(b);
    }
    const dialog = showDialog(
      say("paper.replace.title", { Name: c.name }),
      el("div", {}, el("p", {}, say("paper.replace", { Count: e.m.unitsOf(i), Name: c.name })), list),
    );
  }

  /** Ready papers that the figure does not have yet, and one of the maker's own. */
  addCard(x: number, y: number): void {
    const { e } = this;
    if (e.noMoreColours) {
      this.notes.show(e.noMoreColours);
      return;
    }
    const have = new Set(e.m.colours.map((c) => c.hex.toLowerCase()));
    const ready = readList("ReadyPaper", document.getElementById("ready-papers")?.textContent ?? "[]").filter((r) => !have.has(r.hex));
    const shelf = el("div", { class: "ready-shelf" });
    for (const r of ready) {
      const b = el("button", { type: "button", class: "ready-paper", title: r.name, "aria-label": r.name });
      b.style.backgroundColor = r.hex;
      b.addEventListener("click", () => {
        closeCard(true);
        e.addPaper(r.name, r.hex);
      });
      shelf.append(b);
    }
    const name = el("input", { type: "text", maxlength: MAX_NAME, id: "own-name" });
    const hex = el("input", { type: "color", value: "#5b8c6e", id: "own-hex", "aria-label": say("paper.hex") });
    const own = el(
      "form",
      { class: "own" },
      el("label", { class: "label", for: "own-name" }, say("paper.own")),
      el("div", { class: "hex-row" }, hex, name, el("button", { class: "main", type: "submit" }, say("paper.add.own"))),
    );
    own.addEventListener("submit", (ev) => {
      ev.preventDefault();
      closeCard(true);
      e.addPaper(name.value.trim() || hex.value, hex.value);
    });
    const photo = el("button", { type: "button", class: "quiet" }, icon("picture"), say("photo.open"));
    photo.addEventListener("click", () => {
      closeCard(true);
      photoDialog(e, this.base);
    });
    showCard(
      el("div", { class: "paper-card" }, ready.length ? el("p", { class: "pop-title" }, say("paper.ready")) : null, shelf, own, photo),
      x,
      y,
      say("paper.add"),
    );
  }
}
