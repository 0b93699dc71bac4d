// What the page says: to screen readers through the live region, to everybody through a short note at
// the lower edge, and a banner while the connection is gone.

import type { Status } from "../pattern/sync/sync";
import { el } from "./dom";
import { icon } from "./icons";
import { say } from "./words";

export class Notes {
  readonly live = el("div", { class: "seen-by-readers", role: "status", "aria-live": "polite", id: "live" });
  readonly banner = el("div", { class: "banner", role: "status", hidden: true });
  readonly stack = el("div", { class: "notes" });
  private timer = 0;

  /** Says a sentence to screen readers only. */
  say(text: string): void {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => (this.live.textContent = text), 60);
  }

  /** Shows a sentence for a while, with something to do about it if given. Said again, it takes its own place. */
  show(text: string, fix = "", kind: "plain" | "fault" = "plain", action?: { label: string; do: () => void }): void {
    const note = el(
      "div",
      { class: `note ${kind}`, role: kind === "fault" ? "alert" : "status" },
      el("p", {}, text, fix ? el("span", { class: "fix" }, ` ${fix}`) : null),
    );
    const shut = () => note.remove();
    if (action) {
      const act = () => {
        shut();
        action.do();
      };
      note.append(el("button", { type: "button", class: "quiet", onclick: act }, action.label));
    }
    note.append(el("button", { type: "button", class: "quiet round", "aria-label": say("close"), onclick: shut }, icon("close")));
    const others = [...this.stack.children].filter((n) => n.querySelector("p")?.textContent !== note.querySelector("p")!.textContent);
    this.stack.replaceChildren(...others.slice(-2), note);
    setTimeout(shut, Math.max(6000, text.length * 90 + fix.length * 90));
  }

  /** Takes away what was said of a step that has been taken back since. */
  clear(): void {
    for (const note of this.stack.querySelectorAll(".note:not(.fault)")) note.remove();
  }

  /** Takes a sentence away that is no longer so. */
  unsay(text: string): void {
    for (const note of this.stack.querySelectorAll(".note")) if (note.querySelector("p")?.textContent === text) note.remove();
  }

  /** Takes away what was refused: something has been done since. */
  clearFaults(): void {
    for (const note of this.stack.querySelectorAll(".note.fault")) note.remove();
  }

  /** Shows a short explanation for a moment; a new one takes the place of the last. */
  hint(text: string): void {
    this.stack.querySelector(".note.hint-note")?.remove();
    const note = el("div", { class: "note hint-note", role: "status" }, el("p", {}, text));
    this.stack.append(note);
    setTimeout(() => note.remove(), 4500);
  }

  /** Says, for good, that the address opens the figure no longer. */
  showGone(waiting: number): void {
    this.gone = true;
    this.banner.textContent = waiting ? say("gone.waiting", { Count: waiting }) : say("gone");
    this.banner.hidden = false;
  }
  private gone = false;

  status(s: Status): void {
    if (this.gone) return;
    if (s.online) {
      this.banner.hidden = true;
      return;
    }
    const reason = s.full ? "full" : "offline";
    const waiting = s.waiting ? say(`${reason}.${s.kept ? "waiting" : "unkept"}`, { Count: s.waiting }) : say(reason);
    const text = s.unseen ? `${waiting} ${say("offline.unseen", { Count: s.unseen })}` : waiting;
    if (this.banner.textContent !== text) this.banner.textContent = text;
    this.banner.hidden = false;
  }
}
