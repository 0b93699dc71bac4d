// The field in which a colour's sign is chosen: what is free, and what another colour has only by itself.
import { el } from "../../base/dom";
import { say } from "../../base/words";
import { ALL_SIGNS, type Colour } from "../../wire/types";
import type { Model } from "../model/model";

/** Signs that may be offered to a colour: free ones, and those that another would make way for. */
export function signsFor(all: string, colours: readonly Colour[], id: string): { free: string[]; lent: Colour[] } {
  const others = colours.filter((c) => c.id !== id && c.sign);
  const taken = new Set(others.map((c) => c.sign));
  return { free: [...all].filter((sign) => !taken.has(sign)), lent: others.filter((c) => !c.own_sign) };
}

/** A list to choose from; its value is "" while the sign is to come by itself. */
export function signField(m: Model, c: Colour): HTMLSelectElement {
  const { free, lent } = signsFor(ALL_SIGNS, m.colours, c.id);
  const field = el(
    "select",
    { id: "paper-sign", class: "sign-field" },
    el("option", { value: "" }, c.own_sign || !c.sign ? say("paper.sign.auto") : say("paper.sign.auto_now", { Sign: c.sign })),
    el("optgroup", { label: say("paper.sign.free") }, ...free.map((sign) => el("option", { value: sign }, sign))),
    lent.length
      ? el(
          "optgroup",
          { label: say("paper.sign.lent") },
          ...lent.map((other) => el("option", { value: other.sign }, `${other.sign} · ${other.name}`)),
        )
      : null,
  );
  field.value = c.own_sign ? c.sign : "";
  return field;
}
