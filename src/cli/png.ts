/** A picture's raster and overlay → one PNG. */
import sharp from "sharp";
import type { HeatmapParts } from "../picture/heatmap.ts";

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
