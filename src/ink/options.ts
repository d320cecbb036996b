/** What is asked of the ink. */
import type { Rgba } from "../artwork/types.ts";

export interface Pixels {
  readonly width: number;
  readonly height: number;
  /** Four bytes a pixel, not premultiplied, rows from the top. */
  readonly rgba: Uint8Array;
}

export interface InkOptions {
  /** Which paint is ink: below the limit over a white page, above it over a black one, or all that is seen. */
  readonly from: "dark" | "light" | "any";
  /** Relative luminance that parts dark from light, 0…1. */
  readonly below: number;
  /** Where not empty, just these colours (8 bits a channel, as seen over white) are ink, whatever `from` says. */
  readonly colours: readonly Rgba[];
  readonly strokes: "outline" | "centre-line";
  /** Shapes stay apart and may overlap; otherwise what overlaps is one. */
  readonly keepShapes: boolean;
  /** Bitmaps are traced; otherwise each is a problem. */
  readonly trace: boolean;
  /** Codes of problems that are let pass as cautions. */
  readonly allow: readonly string[];
  /** Largest distance of a stroke's outline from the true one, mm on the page. */
  readonly toleranceMm: number;
  /** Unpacks a bitmap, or says why it cannot. */
  readonly decode: ((bytes: Uint8Array, type: string) => Promise<Pixels | { reason: string }>) | null;
}

export const inkDefaults: InkOptions = {
  from: "dark",
  /** Half of the light of white: our own choice. */
  below: 0.5,
  colours: [],
  strokes: "outline",
  keepShapes: false,
  trace: false,
  allow: [],
  /** A quarter of the curves' own tolerance. */
  toleranceMm: 0.0005,
  decode: null,
};
