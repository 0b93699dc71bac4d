// What the server refuses is said beside the field it is about.
import { el } from "../../base/dom";
import type { Refusal } from "../../wire/types";

/** What is wrong, and if it is known where and what would be right: the server refused it, or this page did. */
export type Wrong = Pick<Refusal, "what"> & Partial<Refusal>;

/**
 * Shows a refusal beside its field, or takes an earlier one away (null); tells whether something is
 * refused. ids names the field of each place of the refusal ("extra.units"); what fits none goes to other.
 */
export function refuseBeside(form: HTMLElement, refused: Wrong | null, ids: Record<string, string>, other: string): boolean {
  for (const old of form.querySelectorAll(".wrong")) old.remove();
  for (const field of form.querySelectorAll("[aria-invalid]")) {
    field.removeAttribute("aria-invalid");
    describe(field, "", `${field.id}-wrong`);
  }
  if (!refused) return false;
  const id = ids[refused.where ?? ""] ?? other;
  const field = form.querySelector(`#${CSS.escape(id)}`);
  const wrong = el("span", { class: "wrong", id: `${id}-wrong` }, refused.fix ? `${refused.what} ${refused.fix}` : refused.what);
  if (!field) {
    form.append(wrong);
    return true;
  }
  field.setAttribute("aria-invalid", "true");
  describe(field, `${id}-wrong`, "");
  (field.closest(".field") ?? field.parentElement ?? form).append(wrong);
  return true;
}

/** Adds or takes away the name of a sentence that describes a field. */
function describe(field: Element, add: string, remove: string): void {
  const ids = new Set((field.getAttribute("aria-describedby") ?? "").split(" ").filter(Boolean));
  if (add) ids.add(add);
  ids.delete(remove);
  if (ids.size) field.setAttribute("aria-describedby", [...ids].join(" "));
  else field.removeAttribute("aria-describedby");
}
