/**
 * One font in a PDF: the subset that is used, and for each code the characters it stands for, so that the text can
 * be searched and copied. ISO 32000-1, 9.7 (composite fonts) and 9.10.3 (ToUnicode).
 *
 * A code is given for each pair of glyph and text. A cluster of several glyphs (a letter with its dots, a syllable
 * whose parts change places) becomes one composite glyph of the subset, and thus one code for the whole of its text.
 */
import { create, type Font, type Subset } from "fontkit";
import { unpackFont } from "../artwork/text/sfnt.ts";
import type { Cluster } from "../picture/setting.ts";
import { CompositeGlyphs } from "./compositeglyphs.ts";

/** What of pdfkit is used. */
export interface Objects {
  ref(data: object): Reference;
}
export interface Reference {
  readonly data: Record<string, unknown>;
  end(chunk?: Uint8Array | string): void;
}

/** A glyph to be shown; ems from the start of the line, y up. */
export interface Shown {
  readonly code: number;
  readonly x: number;
  readonly y: number;
  /** What it goes on by itself. */
  readonly width: number;
}

/** Told by a glyph whose characters another has told, where no composite can be made: not seen, passed over. */
const NOTHING = "\u200b";

/** Whether a font can be cut down to what is used: it has outlines of one of the two kinds that fontkit writes. */
export const canEmbed = (font: Font): boolean =>
  Boolean(font.directory.tables.glyf ?? font.directory.tables["CFF "]);

export class PdfFont {
  readonly name: string;
  readonly reference: Reference;
  readonly #objects: Objects;
  readonly #font: Font;
  readonly #subset: Subset;
  readonly #codes = new Map<string, number>();
  readonly #texts: string[] = [""];
  /** By code, in thousandths of the em. */
  readonly #widths: number[];
  /** None in a font of the kind "CFF", whose glyphs cannot be put together. */
  readonly #composites: CompositeGlyphs | null;
  readonly #tag: string;

  /** `index` counts the document's fonts from 0. */
  constructor(objects: Objects, font: Font, index: number) {
    this.#objects = objects;
    // A packed font cannot be cut down: its outlines stand nowhere in the file. And what is changed here is our own.
    this.#font = create(unpackFont(font));
    this.#subset = this.#font.createSubset();
    this.#composites = this.#subset.cff ? null : new CompositeGlyphs(this.#font, this.#subset);
    this.#widths = [this.#widthOf(0) * 1000];
    this.name = `F${index + 1}`;
    this.reference = objects.ref({});
    this.#tag = [...index.toString(26).padStart(6, "0")]
      .map((digit) => String.fromCharCode(65 + Number.parseInt(digit, 26)))
      .join("");
  }

  /** The cluster's glyphs, left to right; the codes tell the whole of its text. */
  codes(cluster: Cluster): Shown[] {
    const { glyphs, x, advance, text } = cluster;
    const alone = glyphs.length === 1 && glyphs[0]!.y === 0;
    if (this.#composites && !alone) {
      const code = this.#given(this.#composites.idOf(cluster), text, advance);
      return [{ code, x, y: 0, width: advance }];
    }
    return glyphs.map((glyph, i) => {
      const width = this.#widthOf(glyph.id);
      const code = this.#given(glyph.id, i === 0 ? text : NOTHING, width);
      return { code, x: glyph.x, y: glyph.y, width };
    });
  }

  /** Writes the font. */
  end(): void {
    const { postscriptName } = this.#font;
    const name = `${this.#tag}+${(postscriptName ?? "Font").replace(/[^!-~]|[()<>[\]{}/%#]/g, "_")}`;
    const cff = this.#subset.cff !== undefined;
    const descendant = this.#objects.ref({
      Type: "Font",
      Subtype: cff ? "CIDFontType0" : "CIDFontType2",
      BaseFont: name,
      CIDSystemInfo: { Registry: new String("Adobe"), Ordering: new String("Identity"), Supplement: 0 },
      FontDescriptor: this.#descriptor(name, cff),
      W: [0, this.#widths],
      ...(cff ? {} : { CIDToGIDMap: "Identity" }),
    });
    descendant.end();
    const toUnicode = this.#objects.ref({});
    toUnicode.end(toUnicodeMap(this.#texts));
    Object.assign(this.reference.data, {
      Type: "Font",
      Subtype: "Type0",
      BaseFont: name,
      Encoding: "Identity-H",
      DescendantFonts: [descendant],
      ToUnicode: toUnicode,
    });
    this.reference.end();
  }

  #descriptor(name: string, cff: boolean): Reference {
    const { bbox, unitsPerEm, ascent, descent, capHeight, xHeight, italicAngle } = this.#font;
    const scale = 1000 / unitsPerEm;
    const file = this.#objects.ref(cff ? { Subtype: "CIDFontType0C" } : {});
    file.end(this.#subset.encode());
    const descriptor = this.#objects.ref({
      Type: "FontDescriptor",
      FontName: name,
      // Symbolic: its characters are not those of the standard Latin set.
      Flags: 4,
      FontBBox: [bbox.minX, bbox.minY, bbox.maxX, bbox.maxY].map((v) => v * scale),
      ItalicAngle: italicAngle || 0,
      Ascent: ascent * scale,
      Descent: descent * scale,
      CapHeight: (capHeight || ascent) * scale,
      XHeight: (xHeight || 0) * scale,
      // Unknown.
      StemV: 0,
      [cff ? "FontFile3" : "FontFile2"]: file,
    });
    descriptor.end();
    return descriptor;
  }

  #widthOf(id: number): number {
    return (this.#font.getGlyph(id)?.advanceWidth ?? 0) / this.#font.unitsPerEm;
  }

  #given(id: number, text: string, width: number): number {
    const key = `${id} ${text}`;
    let code = this.#codes.get(key);
    if (code === undefined) {
      code = this.#subset.glyphs.push(id) - 1;
      this.#subset.mapping[id] ??= code;
      this.#codes.set(key, code);
      this.#texts[code] = text;
      this.#widths[code] = width * 1000;
    }
    return code;
  }
}

/** UTF-16, big endian, as hexadecimal digits. */
const utf16 = (text: string): string =>
  Array.from({ length: text.length }, (_, i) => hex(text.charCodeAt(i))).join("");
/** Two bytes. */
export const hex = (value: number): string => value.toString(16).padStart(4, "0");

/** ISO 32000-1, 9.10.3: at most 100 codes in one block. */
function toUnicodeMap(texts: readonly string[]): string {
  const entries = texts.map((text, code) => `<${hex(code)}> <${utf16(text)}>`).slice(1);
  const blocks: string[] = [];
  for (let i = 0; i < entries.length; i += 100) {
    const block = entries.slice(i, i + 100);
    blocks.push(`${block.length} beginbfchar`, ...block, "endbfchar");
  }
  return [
    "/CIDInit /ProcSet findresource begin",
    "12 dict begin",
    "begincmap",
    "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def",
    "/CMapName /Adobe-Identity-UCS def",
    "/CMapType 2 def",
    "1 begincodespacerange",
    "<0000> <ffff>",
    "endcodespacerange",
    ...blocks,
    "endcmap",
    "CMapName currentdict /CMap defineresource pop",
    "end",
    "end",
  ].join("\n");
}
