/**
 * A packed bitmap → RGBA of 8 bits in sRGB, turned upright as its EXIF orientation says; the first frame of an
 * animation. Decoded from memory only: nothing inside it is followed to a file or an address.
 */
import sharp from "sharp";
import type { Pixels } from "../ink/options.ts";

/** Most pixels that are decoded. */
const mostPixels = 40e6;

/** First bytes, as the formats' standards give them; `null` stands for any byte. */
const kinds: readonly [string, ...(number | null)[]][] = [
  ["png", 0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a],
  ["jpeg", 0xff, 0xd8, 0xff],
  ["gif", 0x47, 0x49, 0x46, 0x38],
  ["webp", 0x52, 0x49, 0x46, 0x46, null, null, null, null, 0x57, 0x45, 0x42, 0x50],
  ["tiff", 0x49, 0x49, 0x2a, 0x00],
  ["tiff", 0x4d, 0x4d, 0x00, 0x2a],
];

/**
 * PNG, JPEG, GIF, WebP and TIFF, told by their content; `type` is only named where the content is none of them.
 * Never throws: what cannot be decoded comes back as its reason.
 */
export async function decodeImage(bytes: Uint8Array, type: string): Promise<Pixels | { reason: string }> {
  const kind = kinds.find(([, ...start]) => start.every((b, i) => b === null || bytes[i] === b));
  if (!kind) {
    const named = /^[a-z0-9.+/-]{1,60}$/i.test(type) ? ` (${type})` : "";
    return { reason: `the picture${named} is not a png, jpeg, gif, webp or tiff bitmap` };
  }
  try {
    // A view of the bytes, not a copy; a Buffer is never taken for a path.
    const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    sharp.cache(false);
    const options = { failOn: "error", limitInputPixels: mostPixels, pages: 1, autoOrient: true } as const;
    const { data, info } = await sharp(buffer, options)
      .toColourspace("srgb")
      .ensureAlpha()
      .raw({ depth: "uchar" })
      .toBuffer({ resolveWithObject: true });
    if (info.channels !== 4) return { reason: `the ${kind[0]} picture's colours cannot be read` };
    return {
      width: info.width,
      height: info.height,
      rgba: new Uint8Array(data.buffer, data.byteOffset, data.byteLength),
    };
  } catch (error) {
    const tooLarge = error instanceof Error && /pixel limit/i.test(error.message);
    return {
      reason: tooLarge
        ? `the ${kind[0]} picture has more than ${mostPixels / 1e6} million pixels`
        : `the ${kind[0]} picture is damaged and cannot be decoded`,
    };
  }
}
