/** OpenType features that a text's style asks for: CSS Fonts 4, 6 and 7 (which goes before which). */
import { parseFeatures } from "./fontvalues.ts";

/** On or off, by OpenType tag; a feature that is not named is as the font has it. */
export type Features = Readonly<Record<string, boolean>>;

/** What each property says, so that each is inherited and reset by itself. */
export interface FeatureParts {
  readonly kerning: Features;
  readonly ligatures: Features;
  readonly settings: Features;
}

export const noFeatures: FeatureParts = { kerning: {}, ligatures: {}, settings: {} };

/** `font-kerning`. */
export const kerningOf = (text: string): Features => (text === "none" ? { kern: false } : {});

/** `font-variant-ligatures`, or the same words in `font-variant`. */
export function ligaturesOf(text: string): Features {
  const words = text.split(/\s+/);
  const features: Record<string, boolean> = {};
  for (const [word, tags] of [
    ["common-ligatures", ["liga", "clig"]],
    ["discretionary-ligatures", ["dlig"]],
    ["historical-ligatures", ["hlig"]],
    ["contextual", ["calt"]],
  ] as const) {
    const off = words.includes(`no-${word}`) || words.includes("none");
    if (off || words.includes(word)) for (const tag of tags) features[tag] = !off;
  }
  return features;
}

/** `font-feature-settings`. */
export const settingsOf = (text: string): Features => parseFeatures(text);

/** All together: what is set by tag goes last. */
export const featuresOf = ({ kerning, ligatures, settings }: FeatureParts): Features => ({
  ...kerning,
  ...ligatures,
  ...settings,
});

export const sameFeatures = (a: Features, b: Features): boolean => {
  const keys = Object.keys(a);
  return keys.length === Object.keys(b).length && keys.every((key) => a[key] === b[key]);
};
