/**
 * A packed font (WOFF, WOFF2) written out as a plain sfnt file, for variable fonts: fontkit reads variations from
 * plain files only. Tables: OpenType 1.9, "Organization of an OpenType Font", "glyf", "loca".
 */
import type { Font, PackedGlyph } from "fontkit";

class Bytes {
  readonly #list: number[] = [];
  get length(): number {
    return this.#list.length;
  }
  u8(v: number): void {
    this.#list.push(v & 255);
  }
  i16(v: number): void {
    this.#list.push((v >> 8) & 255, v & 255);
  }
  u32(v: number): void {
    this.#list.push(v >>> 24, (v >> 16) & 255, (v >> 8) & 255, v & 255);
  }
  pad(): void {
    while (this.#list.length % 4 !== 0) this.#list.push(0);
  }
  take(): Uint8Array {
    return Uint8Array.from(this.#list);
  }
}

const onCurve = 1;
const words = 1;
const offsets = 2;
const more = 0x20;
const twoByTwo = 0x80;

type Corners = readonly (readonly [number, number])[];

/** A glyph's points, or the corners of its components' boxes in place: what its own box is spanned by. */
function spanned(glyph: PackedGlyph, all: readonly PackedGlyph[], depth = 0): Corners {
  if (glyph.numberOfContours >= 0) return (glyph.points ?? []).map(({ x, y }) => [x, y] as const);
  // Fonts nest a few deep at most; one that nests in itself ends here.
  if (depth > 8) return [];
  return (glyph.components ?? []).flatMap((c) => {
    const part = all[c.glyphID];
    const [x0, y0, x1, y1] = boxOf(part ? spanned(part, all, depth + 1) : []);
    const corners = [
      [x0, y0],
      [x1, y0],
      [x0, y1],
      [x1, y1],
    ] as const;
    return corners.map(
      ([x, y]) => [c.dx + x * c.scaleX + y * c.scale10, c.dy + x * c.scale01 + y * c.scaleY] as const,
    );
  });
}

/** Left, bottom, right, top; all 0 where there is nothing. */
function boxOf(points: Corners): readonly [number, number, number, number] {
  if (points.length === 0) return [0, 0, 0, 0];
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of points) {
    [x0, y0] = [Math.min(x0, x), Math.min(y0, y)];
    [x1, y1] = [Math.max(x1, x), Math.max(y1, y)];
  }
  return [Math.floor(x0), Math.floor(y0), Math.ceil(x1), Math.ceil(y1)];
}

/** Readers of fonts measure the side bearings from the box: a wrong one moves the glyph. */
function writeBox(out: Bytes, glyph: PackedGlyph, all: readonly PackedGlyph[]): void {
  for (const v of boxOf(spanned(glyph, all))) out.i16(v);
}

function writeGlyph(out: Bytes, glyph: PackedGlyph, all: readonly PackedGlyph[]): void {
  if (glyph.numberOfContours === 0) return;
  out.i16(glyph.numberOfContours);
  writeBox(out, glyph, all);
  const { points = [], components = [] } = glyph;
  if (glyph.numberOfContours > 0) {
    points.forEach((p, i) => {
      if (p.endContour) out.i16(i);
    });
    out.i16(0);
    for (const p of points) out.u8(p.onCurve ? onCurve : 0);
    for (const axis of ["x", "y"] as const) {
      let last = 0;
      for (const p of points) {
        out.i16(p[axis] - last);
        last = p[axis];
      }
    }
  } else {
    components.forEach((c, i) => {
      out.i16(words | offsets | twoByTwo | (i < components.length - 1 ? more : 0));
      out.i16(c.glyphID);
      out.i16(c.dx);
      out.i16(c.dy);
      for (const v of [c.scaleX, c.scale01, c.scale10, c.scaleY]) out.i16(Math.round(v * 16384));
    });
  }
  out.pad();
}

function rebuilt(glyphs: readonly PackedGlyph[]): { glyf: Uint8Array; loca: Uint8Array } {
  const glyf = new Bytes();
  const loca = new Bytes();
  for (const glyph of glyphs) {
    loca.u32(glyf.length);
    writeGlyph(glyf, glyph, glyphs);
  }
  loca.u32(glyf.length);
  return { glyf: glyf.take(), loca: loca.take() };
}

/** The whole font as a plain sfnt file. Checksums are left at 0: nothing here reads them. */
export function unpackFont(font: Font): Uint8Array {
  const tables = new Map<string, Uint8Array>();
  const packed = font.directory.tables.glyf?.transformed === true;
  // Reading any table and any glyph unpacks the file.
  void font.head;
  if (packed) void font.getGlyph(0)?.path;
  for (const [tag, entry] of Object.entries(font.directory.tables)) {
    if (!entry || (packed && (tag === "glyf" || tag === "loca"))) continue;
    const stream = font._getTableStream(tag);
    if (stream) tables.set(tag, stream.buffer.slice(stream.pos, stream.pos + entry.length));
  }
  if (packed) {
    const { glyf, loca } = rebuilt(font._transformedGlyphs ?? []);
    tables.set("glyf", glyf).set("loca", loca);
    // indexToLocFormat: long offsets.
    tables.get("head")?.set([0, 1], 50);
  }
  return assemble(tables);
}

function assemble(tables: ReadonlyMap<string, Uint8Array>): Uint8Array {
  const tags = [...tables.keys()].sort();
  const head = new Bytes();
  head.u32(tables.has("CFF ") || tables.has("CFF2") ? 0x4f54544f : 0x00010000);
  head.i16(tags.length);
  const power = 2 ** Math.floor(Math.log2(tags.length));
  for (const v of [power * 16, Math.log2(power), (tags.length - power) * 16]) head.i16(v);
  let at = 12 + 16 * tags.length;
  for (const tag of tags) {
    const size = (tables.get(tag) as Uint8Array).length;
    for (const c of tag) head.u8(c.charCodeAt(0));
    for (const v of [0, at, size]) head.u32(v);
    at += (size + 3) & ~3;
  }
  const file = new Uint8Array(at);
  file.set(head.take());
  at = head.length;
  for (const tag of tags) {
    const bytes = tables.get(tag) as Uint8Array;
    file.set(bytes, at);
    at += (bytes.length + 3) & ~3;
  }
  return file;
}
