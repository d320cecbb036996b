/**
 * What a paint leaves on the metal. Ink: composited over white with its opacities, its relative luminance
 * (IEC 61966-2-1, WCAG 2: 0.2126 R + 0.7152 G + 0.0722 B, linear) is below 0.5.
 */
import culori from "culori/require";

export interface Rgba {
  readonly r: number;
  readonly g: number;
  readonly b: number;
  readonly a: number;
}

/** `ink`: marked. `hides`: takes away the ink below it. Null instead of a tone: nothing is painted. */
export interface Tone {
  readonly ink: boolean;
  readonly hides: boolean;
  readonly luminance: number;
}

const inkLimit = 0.5;

const { converter, parse } = culori;
const toRgb = converter("rgb");
const clamp = (v: number | undefined): number => Math.min(1, Math.max(0, v ?? 0));

/** A CSS colour, or null for what is none. Out-of-gamut colours are cut to sRGB. */
export function parseColour(text: string): Rgba | null {
  // SVG 1.1 lets an icc-color() follow the sRGB colour.
  const colour = toRgb(parse(text.replace(/\s*icc-color\([^)]*\)\s*$/i, "")));
  if (!colour) return null;
  return { r: clamp(colour.r), g: clamp(colour.g), b: clamp(colour.b), a: clamp(colour.alpha ?? 1) };
}

const linear = (c: number): number => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);

/** Relative luminance of a colour composited over white, 0…1; its own alpha counts, times `opacity`. */
export function luminanceOverWhite(colour: Rgba, opacity: number): number {
  const a = colour.a * opacity;
  const over = (c: number): number => linear(1 - a + c * a);
  return 0.2126 * over(colour.r) + 0.7152 * over(colour.g) + 0.0722 * over(colour.b);
}

/**
 * The tone of colours painted together with equal weight (one colour, or a gradient's stops). Dark paint never
 * takes ink away, however thin: blending two dark colours stays dark.
 */
export function toneOf(colours: readonly Rgba[], opacity: number): Tone | null {
  if (opacity <= 0 || colours.every((c) => c.a <= 0)) return null;
  const mean = (f: (c: Rgba) => number): number => colours.reduce((sum, c) => sum + f(c), 0) / colours.length;
  const luminance = mean((c) => luminanceOverWhite(c, opacity));
  const solid = mean((c) => luminanceOverWhite({ ...c, a: 1 }, 1));
  return { ink: luminance < inkLimit, hides: luminance >= inkLimit && solid >= inkLimit, luminance };
}

export interface PaintValue {
  readonly kind: "none" | "current" | "colour" | "context" | "unknown";
  /** Set for `url(#…)`: the kind and colour are then the fallback, `none` without one. */
  readonly url: string | null;
  readonly colour: Rgba | null;
}

const urlPattern = /^url\(\s*(?:"([^"]*)"|'([^']*)'|([^)]*?))\s*\)\s*(.*)$/is;

/** Splits a fill or stroke value into its reference, if any, and its colour. */
export function parsePaint(text: string): PaintValue {
  const match = urlPattern.exec(text);
  const url = match ? (match[1] ?? match[2] ?? match[3]) : null;
  const rest = match ? match[4].trim() : text.trim();
  const lower = rest.toLowerCase();
  if (lower === "none" || (rest === "" && match)) return { kind: "none", url, colour: null };
  if (lower === "currentcolor") return { kind: "current", url, colour: null };
  if (lower === "context-fill" || lower === "context-stroke") return { kind: "context", url, colour: null };
  const colour = parseColour(rest);
  return { kind: colour ? "colour" : "unknown", url, colour };
}
