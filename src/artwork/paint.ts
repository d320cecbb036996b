/** Paint values and colours: CSS Color 4 into sRGB, relative luminance by IEC 61966-2-1 and WCAG 2. */
import culori from "culori/require";
import type { Rgba } from "./types.ts";
import { parseUrl } from "./url.ts";

const { converter, parse } = culori;
const toRgb = converter("rgb");
const clamp = (v: number | undefined): number => Math.min(1, Math.max(0, v ?? 0));

/** No colour is written longer than this: the parser's time grows with the square of the length. */
const longest = 128;

/** A CSS colour, or null for what is none. Out-of-gamut colours are cut to sRGB. */
export function parseColour(text: string): Rgba | null {
  const plain = withoutProfile(text.trim());
  if (plain.length > longest) return null;
  const colour = toRgb(parsed(plain));
  if (!colour) return null;
  return { r: clamp(colour.r), g: clamp(colour.g), b: clamp(colour.b), a: clamp(colour.alpha ?? 1) };
}

/** SVG 1.1 lets an icc-color() follow the sRGB colour. */
function withoutProfile(text: string): string {
  const at = text.search(/icc-color\(/i);
  return at > 0 && text.indexOf(")", at) === text.length - 1 ? text.slice(0, at).trim() : text;
}

/** culori 4.0.2 throws a TypeError on some texts that are no colours, such as `calc(1px+2%)`. */
function parsed(text: string): ReturnType<typeof parse> {
  try {
    return parse(text);
  } catch (error) {
    if (error instanceof TypeError) return undefined;
    throw error;
  }
}

const linear = (c: number): number => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);

/** Relative luminance of a colour composited over a grey page (0 black, 1 white; blended in sRGB), 0…1. */
export function luminanceOver({ r, g, b, a }: Rgba, page: number): number {
  const over = (c: number): number => linear((1 - a) * page + c * a);
  return 0.2126 * over(r) + 0.7152 * over(g) + 0.0722 * over(b);
}

export interface PaintValue {
  readonly kind: "none" | "current" | "colour" | "context" | "unknown";
  /** Set for `url(#…)`: the kind and colour are then the fallback, `none` without one. */
  readonly url: string | null;
  readonly colour: Rgba | null;
}

/** Splits a fill or stroke value into its reference, if any, and its colour. */
export function parsePaint(text: string): PaintValue {
  const reference = parseUrl(text);
  const url = reference?.url ?? null;
  const rest = reference?.rest ?? text.trim();
  const lower = rest.toLowerCase();
  if (lower === "none" || (rest === "" && reference)) return { kind: "none", url, colour: null };
  if (lower === "currentcolor") return { kind: "current", url, colour: null };
  if (lower === "context-fill" || lower === "context-stroke") return { kind: "context", url, colour: null };
  const colour = parseColour(rest);
  return { kind: colour ? "colour" : "unknown", url, colour };
}
