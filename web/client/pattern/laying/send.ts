// A picture on its way to the server: made small enough, and sent as a file.
import { say } from "../../base/words";
import { answer } from "../../wire/door";
import { MAX_PICTURE_PIXELS } from "../../wire/types";

/** Reads a file as a picture of no more pixels than may be sent, and packs that as a file; throws where it is no picture. */
export async function small(file: Blob): Promise<[ImageBitmap, Blob]> {
  const whole = await createImageBitmap(file);
  const by = Math.sqrt(Math.min(1, MAX_PICTURE_PIXELS / (whole.width * whole.height)));
  const [w, h] = [whole.width, whole.height].map((side) => Math.max(1, Math.floor(side * by)));
  if (by === 1) return [whole, await packed(whole)];
  const image = await createImageBitmap(whole, { resizeWidth: w, resizeHeight: h, resizeQuality: "high" });
  whole.close();
  return [image, await packed(image)];
}

/** Sends a picture for a figure: what it is called there, or what is wrong with it. Throws without a connection. */
export async function sendPicture(base: string, file: Blob, signal?: AbortSignal): Promise<{ name: string } | Nothing> {
  const headers = { Accept: "application/json", "Content-Type": file.type };
  const res = await fetch(`${base}/picture`, { method: "POST", headers, body: file, signal });
  return res.ok ? { name: (await answer("PictureKept", res)).picture } : problemIn(res);
}

/** Nothing came of a question: what is wrong, and whether it may be asked again as it was, after so many ms where the server says so. */
export interface Nothing {
  wrong: string;
  again: boolean;
  after?: number;
}

const TOO_MUCH = 429;
/** Answers that may be others a moment later (RFC 9110, 15.5.9 and 15.6). */
const forNow = (status: number) => status === 408 || status >= 500;

/** What an answer says that is none. RFC 6585, 4: 429 may say how many seconds to wait. */
export async function problemIn(res: Response): Promise<Nothing> {
  const after = 1000 * (Number(res.headers.get("Retry-After")) || 0);
  if (res.status === TOO_MUCH) return { wrong: say("laying.too_much"), again: true, after };
  if (forNow(res.status)) return { wrong: say("laying.asks_again"), again: true, after };
  const problem = await answer("Problem", res);
  return { wrong: [problem.what, problem.fix].filter(Boolean).join(" "), again: false };
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
