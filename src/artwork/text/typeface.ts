/** One face at one setting of its axes: shaping, outlines and metrics, by fontkit. */
import type { Font, PathCommand } from "fontkit";
import { withOwnCharacters } from "../../script/glyphs.ts";
import { reading } from "./brokenfont.ts";

/** A glyph in visual order; lengths in ems, y up. */
export interface ShapedGlyph {
  readonly id: number;
  readonly codePoints: readonly number[];
  readonly advance: number;
  readonly x: number;
  readonly y: number;
}

/** In ems, y up from the alphabetic baseline. */
export interface Metrics {
  readonly ascent: number;
  /** Negative below the baseline. */
  readonly descent: number;
  readonly xHeight: number;
  readonly subscript: number;
  readonly superscript: number;
  /** Top edge and thickness: OpenType "post" and "OS/2". */
  readonly underline: { readonly top: number; readonly thickness: number };
  readonly strikeout: { readonly top: number; readonly thickness: number };
}

export class Typeface {
  readonly label: string;
  readonly metrics: Metrics;
  readonly #font: Font;
  readonly #file: string;
  readonly #outlines = new Map<number, readonly PathCommand[]>();

  /** All that reads the font throws BrokenFont where its tables are broken. */
  constructor(font: Font, label: string, file: string) {
    this.label = label;
    this.#file = file;
    this.#font = withOwnCharacters(font);
    this.metrics = metricsOf(font);
  }

  get perEm(): number {
    return 1 / this.#font.unitsPerEm;
  }

  has(codePoint: number): boolean {
    return reading(this.#file, () => this.#font.hasGlyphForCodePoint(codePoint));
  }

  /** Whether the font has an OpenType feature. */
  offers(feature: string): boolean {
    return reading(this.#file, () => this.#font.availableFeatures.includes(feature));
  }

  /** Shapes a run of one script and one direction; the glyphs come in visual order, left to right. */
  shape(text: string, features: Readonly<Record<string, boolean>>, rtl: boolean): ShapedGlyph[] {
    const direction = rtl ? "rtl" : "ltr";
    const run = reading(this.#file, () =>
      this.#font.layout(text, { ...features }, undefined, undefined, direction),
    );
    const { perEm } = this;
    return run.glyphs.map((glyph, i) => {
      const { xAdvance, xOffset, yOffset } = run.positions[i];
      const { id, codePoints } = glyph;
      return { id, codePoints, advance: xAdvance * perEm, x: xOffset * perEm, y: yOffset * perEm };
    });
  }

  /** Font units, y up; empty for blanks and for glyphs that are pictures. */
  outline(id: number): readonly PathCommand[] {
    let commands = this.#outlines.get(id);
    if (!commands) {
      commands = reading(this.#file, () => this.#font.getGlyph(id)?.path.commands ?? []);
      this.#outlines.set(id, commands);
    }
    return commands;
  }
}

/** What a font leaves out falls back to the usual shares of the em (CSS Inline 3, appendix A; common practice). */
function metricsOf(font: Font): Metrics {
  const perEm = 1 / font.unitsPerEm;
  const or = (read: () => number | undefined, fallback: number): number => {
    try {
      const value = read();
      return value !== undefined && Number.isFinite(value) && value !== 0 ? value * perEm : fallback;
    } catch {
      // The table is not there, or not to be read.
      return fallback;
    }
  };
  const thickness = or(() => font.underlineThickness, 0.05);
  const xHeight = or(() => font.xHeight, 0.5);
  return {
    ascent: or(() => font.ascent, 0.8),
    descent: or(() => font.descent, -0.2),
    xHeight,
    subscript: or(() => font["OS/2"]?.ySubscriptYOffset, 0.2),
    superscript: or(() => font["OS/2"]?.ySuperscriptYOffset, 0.4),
    underline: { top: or(() => font.underlinePosition, -0.1), thickness },
    strikeout: {
      top: or(() => font["OS/2"]?.yStrikeoutPosition, xHeight / 2 + thickness / 2),
      thickness: or(() => font["OS/2"]?.yStrikeoutSize, thickness),
    },
  };
}
