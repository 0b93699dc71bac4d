// Loaded on every page. Pages work without it; it adds small comforts:
// a [data-copy] button copies the value of the field it names, and a [data-confirm]-free form
// never asks twice (putting away can be undone, so there is nothing to confirm).

/** Copies the field's value and says so on the button for two seconds. */
async function copy(button: HTMLButtonElement): Promise<void> {
  const field = document.getElementById(button.dataset.copy ?? "") as HTMLInputElement | null;
  if (!field) return;
  try {
    await navigator.clipboard.writeText(field.value);
  } catch {
    field.select();
    return;
  }
  const said = button.textContent;
  button.textContent = button.dataset.done ?? said;
  setTimeout(() => (button.textContent = said), 2000);
}

for (const button of document.querySelectorAll<HTMLButtonElement>("button[data-copy]")) {
  button.hidden = false;
  button.addEventListener("click", () => void copy(button));
}
