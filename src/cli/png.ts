/** A picture's raster and overlay → one PNG. */
import sharp, { type OverlayOptions } from "sharp";
import type { HeatmapParts } from "../picture/heatmap.ts";
import type { Lettering } from "../picture/lettering.ts";
import type { Page, PageImage } from "../picture/page/page.ts";
import { pageSvg } from "../picture/page/pagesvg.ts";

/** Lays the overlay over the raster and encodes both; the same parts give the same bytes. */
export function layeredPng(parts: Omit<HeatmapParts, "view">): Promise<Buffer> {
  const { width, height, field, overlay } = parts;
  sharp.cache(false);
  return sharp(field, { raw: { width, height, channels: 4 } })
    .composite([{ input: Buffer.from(overlay), unlimited: true, left: 0, top: 0 }])
    .removeAlpha()
    .png({ palette: false, compressionLevel: 9 })
    .toBuffer();
}

/** A drawing sized in px → PNG. */
export function drawingPng(svg: string): Promise<Buffer> {
  sharp.cache(false);
  return sharp(Buffer.from(svg), { unlimited: true }).removeAlpha().png({ compressionLevel: 9 }).toBuffer();
}

/**
 * A page on white, its images under all the rest. An image of just the px of its place is taken as it is. Throws Error
 * for an image that was not given.
 */
export async function pagePng(
  page: Page,
  images: ReadonlyMap<string, Buffer>,
  lettering: Lettering,
  pxPerMm: number,
): Promise<Buffer> {
  sharp.cache(false);
  const width = Math.round(page.widthMm * pxPerMm);
  const height = Math.round(page.heightMm * pxPerMm);
  const placed: OverlayOptions[] = [];
  for (const item of page.items) {
    if (item.kind === "image") placed.push(await inPlace(item, images, pxPerMm));
  }
  const overlay = Buffer.from(pageSvg(page, lettering, pxPerMm));
  return sharp({ create: { width, height, channels: 3, background: "#ffffff" } })
    .composite([...placed, { input: overlay, unlimited: true, left: 0, top: 0 }])
    .removeAlpha()
    .png({ palette: false, compressionLevel: 9 })
    .toBuffer();
}

async function inPlace(
  { name, x, y, width, height }: PageImage,
  images: ReadonlyMap<string, Buffer>,
  pxPerMm: number,
): Promise<OverlayOptions> {
  const bytes = images.get(name);
  if (!bytes) throw new Error(`a page shows the image “${name}”, which was not given`);
  const [left, top, right, bottom] = [x, y, x + width, y + height].map((mm) => Math.round(mm * pxPerMm));
  const size = { width: Math.max(1, right! - left!), height: Math.max(1, bottom! - top!) };
  const { width: wide, height: tall } = await sharp(bytes).metadata();
  if (wide === size.width && tall === size.height) return { input: bytes, left: left!, top: top! };
  const input = await sharp(bytes)
    .resize({ ...size, fit: "fill", kernel: "lanczos3" })
    .png()
    .toBuffer();
  return { input, left: left!, top: top! };
}
