// Who else has the figure open: their faces in the page's head, their names, and where this hand is for them.
import { calm, el } from "../../base/dom";
import { icon } from "../../base/icons";
import type { Notes } from "../../base/notes";
import { closeCard, showCard } from "../../base/popover";
import { kept } from "../../base/storage";
import { say } from "../../base/words";
import { MAX_PERSON_NAME, type Person } from "../../wire/types";
import { TINTS } from "../grid/overlay";
import type { Stage } from "../grid/stage";
import { ringOf, unitOf } from "../model/model";
import { roundButton } from "./buttons";
import type { Editor } from "./editor";

/** So often a page that stays open says where it is. */
const HERE_MS = 8000;

export class People {
  readonly button: HTMLButtonElement;
  private others: Person[] = [];
  private askedName = false;
  private opened = false;

  constructor(
    private readonly e: Editor,
    private readonly stage: Stage,
    private readonly notes: Notes,
  ) {
    this.button = roundButton("person", say("people"), () => this.card());
    this.button.hidden = true;
    e.on(
      "focus",
      calm(() => this.here(), 120),
    );
    setInterval(() => document.visibilityState === "visible" && this.here(), HERE_MS);
  }

  /** The figure is there: from now on the others hear where this hand is. */
  open(): void {
    this.opened = true;
  }

  show(list: Person[]): void {
    const { e, button } = this;
    this.others = list.filter((p) => p.client !== e.sync.queue.client);
    this.stage.overlay.showPeople(this.others);
    button.hidden = !this.others.length;
    const names = this.names();
    button.setAttribute("aria-label", say("people.here", { Names: names, Count: this.others.length }));
    button.title = names;
    button.replaceChildren(...this.others.slice(0, 3).map(face));
    button.classList.toggle("faces", this.others.length > 1);
    if (this.others.length && !e.sync.name && !this.askedName && this.opened) this.askName(names);
    this.stage.wanted();
  }

  private askName(names: string): void {
    this.askedName = true;
    const action = { label: say("people.say_name"), do: () => this.card() };
    this.notes.show(say("people.new", { Names: names, Count: this.others.length }), "", "plain", action);
  }

  /** "Mira, Ole, 2 others" */
  private names(): string {
    const named = this.others.filter((p) => p.name).map((p) => p.name);
    const rest = this.others.length - named.length;
    return [...named, ...(rest ? [say(named.length ? "people.others" : "people.only_others", { Count: rest })] : [])].join(", ");
  }

  private card(): void {
    const { sync } = this.e;
    const box = this.button.getBoundingClientRect();
    const name = el("input", { type: "text", value: sync.name, maxlength: MAX_PERSON_NAME, id: "my-name", autocomplete: "nickname" });
    const form = el(
      "form",
      { class: "paper-card" },
      el("p", { class: "pop-title" }, say("people")),
      el("ul", { class: "bare" }, ...this.others.map((p) => el("li", { class: "person" }, face(p), p.name || say("someone")))),
      el(
        "div",
        { class: "field" },
        el("label", { for: "my-name" }, say("people.my_name")),
        name,
        el("span", { class: "hint" }, say("people.my_name.hint")),
      ),
      el("button", { class: "main", type: "submit" }, say("people.save")),
    );
    form.addEventListener("submit", (ev) => {
      ev.preventDefault();
      sync.call(name.value.trim());
      kept("localStorage")?.setItem("tuckring:name", sync.name);
      closeCard(true);
      this.here();
    });
    showCard(form, box.left + 22, box.bottom + 8, say("people"));
  }

  private here(): void {
    const { e } = this;
    const ring = e.m.rings[ringOf(e.focus)];
    if (ring && this.opened) e.sync.here(ring.id, unitOf(e.focus));
  }
}

function face(p: Person): HTMLElement {
  const out = el("span", { class: "face", "aria-hidden": "true" }, p.name ? [...p.name][0].toUpperCase() : icon("person"));
  out.style.backgroundColor = TINTS[p.tint % TINTS.length];
  return out;
}
