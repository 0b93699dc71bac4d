// Where a figure begins: a picture that is chosen is made smaller before it is sent, so that any photo can be.
import { small } from "../pattern/laying/send";

for (const form of document.querySelectorAll<HTMLFormElement>("form[data-shrink]")) {
  const input = form.querySelector<HTMLInputElement>("input[type=file]");
  input?.addEventListener("change", async () => {
    const file = input.files?.[0];
    if (!file) return;
    try {
      const [image, packed] = await small(file);
      image.close();
      if (packed.size >= file.size) return;
      const files = new DataTransfer();
      files.items.add(new File([packed], file.name, { type: packed.type }));
      input.files = files.files;
    } catch {
      // no picture that this browser knows: the server says what is wrong with it
    }
  });
}
