/** Values of font properties: families, weights, widths, features, axis settings (CSS Fonts 4). */
import { parseLength } from "../units.ts";
import type { Family } from "./textstyle.ts";

const generics: ReadonlySet<string> = new Set(
  (
    "serif sans-serif monospace cursive fantasy system-ui math fangsong ui-serif ui-sans-serif ui-monospace " +
    "ui-rounded emoji"
  ).split(" "),
);

/** CSS escapes: up to six hexadecimal digits and a blank, or the character itself. */
const unescaped = (text: string): string =>
  text.replace(/\\([0-9a-f]{1,6})\s?|\\(.)/gis, (_, hex: string | undefined, plain: string) =>
    hex === undefined ? plain : String.fromCodePoint(Math.min(Number.parseInt(hex, 16), 0x10ffff)),
  );

/** A `font-family` list. Quoted names are never generic. */
export function parseFamilies(text: string): Family[] {
  const families: Family[] = [];
  for (const m of text.matchAll(/\s*(?:"((?:\\.|[^"\\])*)"|'((?:\\.|[^'\\])*)'|([^,]+))\s*(?:,|$)/gs)) {
    const quoted = m[1] ?? m[2];
    const name = unescaped(quoted ?? m[3])
      .replace(/\s+/g, " ")
      .trim();
    if (name === "") continue;
    families.push({ name, generic: quoted === undefined && generics.has(name.toLowerCase()) });
  }
  return families;
}

/** CSS Fonts 4, 2.2.1, table of relative weights. */
export function weightOf(text: string | undefined, inherited: number): number {
  switch (text) {
    case undefined:
      return inherited;
    case "normal":
      return 400;
    case "bold":
      return 700;
    case "bolder":
      return inherited < 350 ? 400 : inherited < 550 ? 700 : Math.max(900, inherited);
    case "lighter":
      return inherited < 100 ? inherited : inherited < 550 ? 100 : inherited < 750 ? 400 : 700;
    default: {
      const value = Number(text);
      return value >= 1 && value <= 1000 ? value : inherited;
    }
  }
}

const widths: Readonly<Record<string, number>> = {
  "ultra-condensed": 50,
  "extra-condensed": 62.5,
  condensed: 75,
  "semi-condensed": 87.5,
  normal: 100,
  "semi-expanded": 112.5,
  expanded: 125,
  "extra-expanded": 150,
  "ultra-expanded": 200,
};

/** In percent. */
export function stretchOf(text: string | undefined, inherited: number): number {
  if (text === undefined) return inherited;
  const named = widths[text];
  if (named !== undefined) return named;
  const length = parseLength(text);
  return length?.unit === "%" && length.value >= 0 ? length.value : inherited;
}

/** `"wght" 650, "wdth" 90`. */
export function parseSettings(text: string): Record<string, number> {
  const settings: Record<string, number> = {};
  for (const m of text.matchAll(/["'](.{4})["']\s+([+-]?[\d.]+)/g)) settings[m[1]] = Number(m[2]);
  return settings;
}

/** `"liga" 0, "ss01"`: on without a value. */
export function parseFeatures(text: string): Record<string, boolean> {
  const features: Record<string, boolean> = {};
  for (const m of text.matchAll(/["'](.{4})["']\s*(on|off|\d+)?/g)) {
    features[m[1]] = m[2] !== "off" && m[2] !== "0";
  }
  return features;
}
