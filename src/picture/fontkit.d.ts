/** The few parts of fontkit that are used: its published types lean on Node's, which these rooms must not see. */
declare module "fontkit" {
  export interface PathCommand {
    readonly command: "moveTo" | "lineTo" | "quadraticCurveTo" | "bezierCurveTo" | "closePath";
    readonly args: readonly number[];
  }
  export interface Glyph {
    readonly id: number;
    /** The characters it stands for; kept from the first time the glyph was met. */
    readonly codePoints: readonly number[];
    readonly path: { readonly commands: readonly PathCommand[] };
    readonly advanceWidth: number;
    readonly bbox: BBox;
  }
  /** Font units; not finite for a glyph without an outline. */
  export interface BBox {
    readonly minX: number;
    readonly minY: number;
    readonly maxX: number;
    readonly maxY: number;
  }
  /** The glyphs of a font that are used, by their new numbers. */
  export interface Subset {
    readonly glyphs: number[];
    /** New numbers by old ones. */
    readonly mapping: Record<number, number>;
    /** Of a font of the kind "CFF". */
    readonly cff?: object;
    includeGlyph(id: number): number;
    encode(): Uint8Array;
    /** While it is being encoded, of a font with the table "glyf": the file as it grows. */
    readonly glyf: Uint8Array[];
    readonly loca: { readonly offsets: number[] };
    readonly hmtx: { readonly metrics: { readonly advance: number; readonly bearing: number }[] };
    offset: number;
    _addGlyph(id: number): number;
  }
  export interface Font {
    readonly type: "TTF" | "WOFF" | "WOFF2";
    readonly unitsPerEm: number;
    readonly postscriptName: string | null;
    readonly bbox: BBox;
    readonly capHeight: number;
    readonly italicAngle: number;
    readonly maxp: {
      maxCompositePoints: number;
      maxCompositeContours: number;
      maxComponentElements: number;
      maxComponentDepth: number;
    };
    createSubset(): Subset;
    readonly ascent: number;
    readonly descent: number;
    readonly xHeight: number;
    readonly underlinePosition: number;
    readonly underlineThickness: number;
    readonly availableFeatures: readonly string[];
    readonly name?: { readonly records: Readonly<Record<string, Readonly<Record<string, string>>>> };
    readonly head: { readonly macStyle: { readonly bold: boolean; readonly italic: boolean } };
    readonly "OS/2"?: {
      readonly usWeightClass: number;
      readonly usWidthClass: number;
      readonly fsSelection: { readonly italic: boolean; readonly oblique: boolean };
      readonly ySubscriptYOffset: number;
      readonly ySuperscriptYOffset: number;
      readonly yStrikeoutSize: number;
      readonly yStrikeoutPosition: number;
    };
    readonly fvar?: {
      readonly axis: readonly {
        readonly axisTag: string;
        readonly minValue: number;
        readonly defaultValue: number;
        readonly maxValue: number;
      }[];
    };
    /** Axis values in the order of `fvar`; null for the default instance. To be set before anything is read. */
    variationCoords: number[] | null;
    readonly directory: {
      readonly tables: Readonly<
        Record<string, { readonly length: number; readonly transformed?: boolean } | undefined>
      >;
    };
    /** The file's bytes with `pos` at the table; unpacked where the file is packed. */
    _getTableStream(tag: string): { readonly buffer: Uint8Array; readonly pos: number } | null;
    /** Of a WOFF2 file, once a glyph's path was read. */
    readonly _transformedGlyphs?: readonly PackedGlyph[];
    hasGlyphForCodePoint(codePoint: number): boolean;
    getGlyph(id: number, codePoints?: readonly number[]): Glyph | null;
    layout(
      text: string,
      features?: Record<string, boolean>,
      script?: string,
      language?: string,
      direction?: "ltr" | "rtl",
    ): {
      readonly glyphs: readonly Glyph[];
      readonly positions: readonly {
        readonly xAdvance: number;
        readonly xOffset: number;
        readonly yOffset: number;
      }[];
    };
  }
  export interface PackedGlyph {
    readonly numberOfContours: number;
    readonly points?: readonly {
      readonly onCurve: boolean;
      readonly endContour?: boolean;
      readonly x: number;
      readonly y: number;
    }[];
    readonly components?: readonly {
      readonly glyphID: number;
      readonly dx: number;
      readonly dy: number;
      readonly scaleX: number;
      readonly scaleY: number;
      readonly scale01: number;
      readonly scale10: number;
    }[];
  }
  export interface Collection {
    readonly fonts: readonly Font[];
  }
  export function create(bytes: Uint8Array): Font;
}
