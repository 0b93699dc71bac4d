// What was done, newest first: each step by its name, with a picture of how the figure then was. Any
// earlier version can be brought back, as a new step, so nothing is lost by it.
import { calm, el } from "../../base/dom";
import { say } from "../../base/words";
import { answer } from "../../wire/door";
import type { HistoryList, HistoryStep } from "../../wire/types";
import type { Editor } from "../tools/editor";
import type { Part } from "./panel";

export class History implements Part {
  readonly name = "history" as const;
  readonly root = el("div", { class: "history" });
  private readonly list = el("ol", { class: "bare history-list" });
  private readonly more = el("button", { type: "button", class: "wide-button", hidden: true }, say("history.more"));
  private rev = -1;
  private shown: HistoryStep[] = [];
  private readonly later: () => void;

  constructor(
    private readonly e: Editor,
    private readonly base: string,
  ) {
    this.root.append(el("p", { class: "hint" }, say("history.how")), this.list, this.more);
    this.later = calm(() => void this.fetch(), 600);
    this.more.addEventListener("click", () => void this.fetchMore());
  }

  update(): void {
    if (this.rev !== this.e.m.rev) this.later();
  }

  private async ask(query = ""): Promise<HistoryList> {
    const res = await fetch(`${this.base}/history${query}`, { headers: { Accept: "application/json" } });
    if (!res.ok) throw new Error(String(res.status));
    return answer("HistoryList", res);
  }

  private async fetch(): Promise<void> {
    this.rev = this.e.m.rev;
    try {
      const { steps, more } = await this.ask();
      this.shown = steps;
      this.show(more);
    } catch {
      this.list.replaceChildren(el("li", { class: "hint" }, say("history.unreachable")));
    }
  }

  private async fetchMore(): Promise<void> {
    const last = this.shown[this.shown.length - 1];
    try {
      const { steps, more } = await this.ask(`?before=${last.rev}`);
      this.shown.push(...steps);
      this.show(more);
    } catch {
      this.more.hidden = true;
    }
  }

  private show(more: boolean): void {
    const rows = this.shown.map((s, i) => this.row(s, i === 0));
    if (!more) rows.push(this.beginning(!rows.length));
    this.list.replaceChildren(...rows);
    this.more.hidden = !more;
  }

  /** The figure before its first step. */
  private beginning(newest: boolean): HTMLElement {
    return this.line(0, say("history.beginning"), "", newest, "history-step");
  }

  private row(s: HistoryStep, newest: boolean): HTMLElement {
    const time = new Date(s.at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
    const by = s.own ? say("history.me") : s.name || say("someone");
    return this.line(s.rev, s.label, `${by} · ${time}`, newest, s.undone ? "history-step undone" : "history-step");
  }

  private line(rev: number, label: string, about: string, newest: boolean, kind: string): HTMLElement {
    const picture = el("img", { src: `${this.base}/at/${rev}.svg`, alt: "", loading: "lazy", width: 56, height: 56 });
    const words = el("div", { class: "history-words" }, el("span", {}, label), about ? el("span", { class: "hint" }, about) : null);
    const row = el("li", { class: kind }, picture, words);
    if (newest) row.append(el("span", { class: "hint" }, say("history.now")));
    else if (this.e.canPaint) {
      const name = say("history.restore.label", { Step: label });
      row.append(
        el(
          "button",
          { type: "button", class: "quiet", "aria-label": name, onclick: () => this.e.step({ do: "restore", rev }) },
          say("history.restore"),
        ),
      );
    }
    return row;
  }
}
