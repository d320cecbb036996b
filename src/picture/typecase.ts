/**
 * The fonts that text is set from, in their order: a letter and its marks come from the first font that has them all.
 * A font is read and unpacked only when a character is not found in those before it.
 */
import openBidi, { type Bidi } from "bidi-js";
import { create, type Font } from "fontkit";
import { withOwnCharacters } from "../script/glyphs.ts";

export type Weight = "regular" | "bold";

/** The bytes of one font (WOFF2, WOFF, TrueType, OpenType; no collection), or what reads them. */
export type FontSource = Uint8Array | (() => Uint8Array);

export interface FontBytes {
  readonly regular: readonly FontSource[];
  readonly bold: readonly FontSource[];
}

export class Typecase {
  /** The Unicode Bidirectional Algorithm (UAX 9). */
  readonly bidi: Bidi;
  readonly #sources: FontBytes;
  readonly #fonts: Record<Weight, Font[]> = { regular: [], bold: [] };

  constructor(sources: FontBytes) {
    this.#sources = sources;
    // Its types are written for bundlers: at run time the factory itself is the default export.
    this.bidi = (openBidi as unknown as () => Bidi)();
  }

  /**
   * The first font that has all the characters; else the first that has the first of them; null if none has.
   * Throws what fontkit or the file system throws for a font that cannot be read.
   */
  fontFor(characters: string, weight: Weight): Font | null {
    const wanted = [...characters].map((c) => c.codePointAt(0)!);
    let second: Font | null = null;
    for (let i = 0; i < this.#sources[weight].length; i++) {
      const font = this.#font(i, weight);
      if (!font.hasGlyphForCodePoint(wanted[0]!)) continue;
      if (wanted.every((codePoint) => font.hasGlyphForCodePoint(codePoint))) return font;
      second ??= font;
    }
    return second;
  }

  #font(i: number, weight: Weight): Font {
    const fonts = this.#fonts[weight];
    let font = fonts[i];
    if (!font) {
      const source = this.#sources[weight][i]!;
      fonts[i] = font = withOwnCharacters(create(typeof source === "function" ? source() : source));
    }
    return font;
  }
}
