/** The heat map's raster and overlay → one PNG. */
import sharp from "sharp";
import type { HeatmapParts } from "../picture/heatmap.ts";

/** Lays the overlay over the raster and encodes both; the same parts give the same bytes. */
export function heatmapPng(parts: HeatmapParts): Promise<Buffer> {
  const { width, height, field, overlay } = parts;
  sharp.cache(false);
  return sharp(field, { raw: { width, height, channels: 4 } })
    .composite([{ input: Buffer.from(overlay), unlimited: true, left: 0, top: 0 }])
    .removeAlpha()
    .png({ palette: false, compressionLevel: 9 })
    .toBuffer();
}
