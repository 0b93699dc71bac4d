// A picture on its way to the server: made small enough, and sent as a file.
import { answer } from "../../wire/door";
import { MAX_PICTURE_PIXELS } from "../../wire/types";

/** Reads a file as a picture of no more pixels than may be sent, and packs that as a file; throws where it is no picture. */
export async function small(file: Blob): Promise<[ImageBitmap, Blob]> {
  const whole = await createImageBitmap(file);
  const by = Math.sqrt(Math.min(1, MAX_PICTURE_PIXELS / (whole.width * whole.height)));
  const [w, h] = [whole.width, whole.height].map((side) => Math.max(1, Math.floor(side * by)));
  const image = by < 1 ? await createImageBitmap(whole, { resizeWidth: w, resizeHeight: h, resizeQuality: "high" }) : whole;
  return [image, await packed(image)];
}

/** Sends a picture for a figure; what it is called there, or what is wrong with it. Throws without a connection. */
export async function sendPicture(base: string, file: Blob): Promise<{ name: string } | { wrong: string }> {
  const headers = { Accept: "application/json", "Content-Type": file.type };
  const res = await fetch(`${base}/picture`, { method: "POST", headers, body: file });
  if (res.ok) return { name: (await answer("PictureKept", res)).picture };
  const problem = await answer("Problem", res);
  return { wrong: [problem.what, problem.fix].filter(Boolean).join(" ") };
}

/** The picture as a file: with clear parts a PNG, else a JPEG where that is smaller. */
async function packed(image: ImageBitmap): Promise<Blob> {
  const canvas = new OffscreenCanvas(image.width, image.height);
  const c = canvas.getContext("2d")!;
  c.drawImage(image, 0, 0);
  const png = await canvas.convertToBlob({ type: "image/png" });
  if (png.size < PNG_BYTES) return png;
  const { data } = c.getImageData(0, 0, image.width, image.height);
  for (let i = 3; i < data.length; i += 4) if (data[i] < 255) return canvas.convertToBlob({ type: "image/webp", quality: QUALITY });
  return canvas.convertToBlob({ type: "image/jpeg", quality: QUALITY });
}

/** A PNG of so many bytes is sent as it is. */
const PNG_BYTES = 1_500_000;
const QUALITY = 0.95;
