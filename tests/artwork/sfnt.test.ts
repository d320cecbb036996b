/** A packed font written out plain: its glyphs stand where the packed one has them. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { create, type Font } from "fontkit";
import { expect, it } from "vitest";
import { unpackFont } from "../../src/artwork/text/sfnt.ts";

interface Measured {
  readonly cbox: { readonly minX: number; readonly maxX: number };
  readonly bbox: { readonly minX: number; readonly maxX: number };
}

// OpenType 1.9, "glyf" and "hmtx": the glyph's first point is moved to the side bearing from the box's left edge, so
// that a box that is wrong moves the glyph. fontkit's `cbox` is the box in the file, `bbox` that of the outline.
it.each([
  ["noto-sans", "greek"],
  ["noto-sans", "latin-ext"],
  ["noto-sans-thai", "thai"],
  ["noto-sans-devanagari", "devanagari"],
])("%s, %s: every glyph's box holds its outline", (family, script) => {
  const { resolve } = createRequire(import.meta.url);
  const path = resolve(`@fontsource/${family}/files/${family}-${script}-400-normal.woff2`);
  const packed = create(readFileSync(path)) as Font;
  const plain = create(unpackFont(packed)) as Font;
  let composed = 0;
  const all = packed._transformedGlyphs ?? [];
  for (let id = 0; id < all.length; id++) {
    const glyph = plain.getGlyph(id) as unknown as Measured;
    const { cbox, bbox } = glyph;
    if (!Number.isFinite(bbox.minX)) continue;
    if (all[id]!.components) composed++;
    // Points off the curve may reach a little further than the curve.
    expect(cbox.minX - bbox.minX, `glyph ${id}`).toBeLessThan(1);
    expect(bbox.minX - cbox.minX, `glyph ${id}`).toBeLessThan(60);
    expect(bbox.maxX - cbox.maxX, `glyph ${id}`).toBeLessThan(1);
  }
  expect(composed).toBeGreaterThan(3);
});
