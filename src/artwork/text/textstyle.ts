/** The text properties of an element, computed when there is text: fonts, spacing, baselines, direction. */
import type { Own } from "../cascade.ts";
import type { Lineage } from "../style.ts";
import { parseLength, userUnits } from "../units.ts";
import type { Slant } from "./face.ts";
import type { FeatureParts, Features } from "./features.ts";
import { featuresOf, kerningOf, ligaturesOf, noFeatures, sameFeatures, settingsOf } from "./features.ts";
import { parseFamilies, parseSettings, stretchOf, weightOf } from "./fontvalues.ts";

export type Anchor = "start" | "middle" | "end";

export interface Family {
  readonly name: string;
  /** serif, sans-serif, …: no font by itself. */
  readonly generic: boolean;
}

export interface TextStyle {
  readonly families: readonly Family[];
  readonly weight: number;
  readonly slant: Slant;
  readonly stretch: number;
  readonly settings: Readonly<Record<string, number>>;
  readonly features: Features;
  /** What `features` is made of. */
  readonly featureParts: FeatureParts;
  readonly smallCaps: boolean;
  /** In user units. */
  readonly letterSpacing: number;
  readonly wordSpacing: number;
  readonly anchor: Anchor;
  readonly rtl: boolean;
  readonly vertical: boolean;
  readonly dominantBaseline: string;
  readonly preserve: boolean;
  readonly transform: string;
  /** Not inherited: the element's own. */
  readonly alignmentBaseline: string;
  readonly baselineShift: string;
  readonly decoration: readonly Decoration[];
  readonly unicodeBidi: string;
  /** Properties that change the text and are not applied. */
  readonly unapplied: readonly string[];
}

export type Decoration = "underline" | "overline" | "line-through";
const decorations: readonly Decoration[] = ["underline", "overline", "line-through"];

export const initialTextStyle: TextStyle = {
  families: [],
  weight: 400,
  slant: "normal",
  stretch: 100,
  settings: {},
  features: {},
  featureParts: noFeatures,
  smallCaps: false,
  letterSpacing: 0,
  wordSpacing: 0,
  anchor: "start",
  rtl: false,
  vertical: false,
  dominantBaseline: "auto",
  preserve: false,
  transform: "none",
  alignmentBaseline: "auto",
  baselineShift: "baseline",
  decoration: [],
  unicodeBidi: "normal",
  unapplied: [],
};

const unappliedProperties = [
  // Said only where its value is not read.
  "font",
  "font-size-adjust",
  "font-variant-position",
  "font-variant-numeric",
  "font-variant-east-asian",
  "font-variant-alternates",
  "inline-size",
  "shape-inside",
];
const unset = /^(none|normal|auto|0|)$/;

/** The style of the innermost element of a lineage, through all the elements around it. */
export function textStyleOf(lineage: Lineage | null): TextStyle {
  const chain: Lineage[] = [];
  let known = initialTextStyle;
  for (let at = lineage; at; at = at.outer) {
    if (at.memo.text) {
      known = at.memo.text;
      break;
    }
    chain.push(at);
  }
  for (let i = chain.length - 1; i >= 0; i--) {
    known = inherit(known, chain[i]);
    chain[i].memo.text = known;
  }
  return known;
}

function inherit(parent: TextStyle, { own, fontSize }: Lineage): TextStyle {
  const get = reader(own);
  const spacing = (property: string, inherited: number): number => {
    const text = get(property, "normal");
    if (text === undefined) return inherited;
    const length = text === "normal" ? null : parseLength(text);
    return length ? userUnits(length, "x", { width: fontSize, height: fontSize, fontSize }) : 0;
  };
  const families = get("font-family", "");
  const variant = get("font-variant-caps", "normal") ?? get("font-variant", "normal");
  const anchor = get("text-anchor", "start");
  const direction = get("direction", "ltr");
  const mode = get("writing-mode", "horizontal-tb");
  const settings = get("font-variation-settings", "normal");
  return {
    families: families === undefined ? parent.families : parseFamilies(families),
    weight: weightOf(get("font-weight", "normal"), parent.weight),
    slant: slantOf(get("font-style", "normal"), parent.slant),
    stretch: stretchOf(get("font-stretch", "normal") ?? get("font-width", "normal"), parent.stretch),
    settings: settings === undefined ? parent.settings : parseSettings(settings),
    ...featuresFrom(get, parent),
    smallCaps: variant === undefined ? parent.smallCaps : /\b(all-)?(small|petite)-caps\b/.test(variant),
    letterSpacing: spacing("letter-spacing", parent.letterSpacing),
    wordSpacing: spacing("word-spacing", parent.wordSpacing),
    anchor: anchor === "start" || anchor === "middle" || anchor === "end" ? anchor : parent.anchor,
    rtl: direction === undefined ? parent.rtl : direction === "rtl",
    vertical: mode === undefined ? parent.vertical : /^(tb|tb-rl|tb-lr|vertical|sideways)/.test(mode),
    dominantBaseline: get("dominant-baseline", "auto") ?? parent.dominantBaseline,
    preserve: preserveOf(get, parent.preserve),
    transform: get("text-transform", "none") ?? parent.transform,
    alignmentBaseline: get("alignment-baseline", "auto") ?? "auto",
    baselineShift: get("baseline-shift", "baseline") ?? "baseline",
    decoration: decorationOf(get("text-decoration-line", "none") ?? get("text-decoration", "none")),
    unicodeBidi: get("unicode-bidi", "normal") ?? "normal",
    unapplied: unappliedOf(get, parent.unapplied),
  };
}

type Get = (property: string, initial: string) => string | undefined;

/** Own values; `inherit` and its like say nothing, `initial` says the initial value. */
const reader =
  (own: Own): Get =>
  (property, initial) => {
    const value = own.get(property)?.trim();
    if (value === undefined || value === "" || /^(inherit|unset|revert)$/i.test(value)) return undefined;
    return value === "initial" ? initial : value;
  };

function slantOf(text: string | undefined, inherited: Slant): Slant {
  const [word] = text?.split(/\s+/) ?? [];
  return word === "italic" || word === "oblique" || word === "normal" ? word : inherited;
}

/** Equal features stay the same object: text is shaped together across elements that have the same. */
function featuresFrom(get: Get, parent: TextStyle): Pick<TextStyle, "features" | "featureParts"> {
  const kerning = get("font-kerning", "auto");
  const ligatures = get("font-variant-ligatures", "normal") ?? get("font-variant", "normal");
  const settings = get("font-feature-settings", "normal");
  const { featureParts: inherited, features } = parent;
  const featureParts = {
    kerning: kerning === undefined ? inherited.kerning : kerningOf(kerning),
    ligatures: ligatures === undefined ? inherited.ligatures : ligaturesOf(ligatures),
    settings: settings === undefined ? inherited.settings : settingsOf(settings),
  };
  const own = featuresOf(featureParts);
  return { featureParts, features: sameFeatures(own, features) ? features : own };
}

/** `white-space` where it is said, else `xml:space`: SVG 2, 11.4.2 "Legacy 'xml:space'". */
function preserveOf(get: Get, inherited: boolean): boolean {
  const collapse = get("white-space-collapse", "collapse") ?? get("white-space", "normal");
  if (collapse !== undefined) return /^(pre|preserve|preserve-spaces|break-spaces)\b(?!-line)/.test(collapse);
  const space = get("xml:space", "default");
  return space === undefined ? inherited : space === "preserve";
}

const decorationOf = (text: string | undefined): readonly Decoration[] =>
  text === undefined ? [] : decorations.filter((word) => text.split(/\s+/).includes(word));

function unappliedOf(get: Get, inherited: readonly string[]): readonly string[] {
  return unappliedProperties.filter((property) => {
    const value = get(property, "normal");
    return value === undefined ? inherited.includes(property) : !unset.test(value);
  });
}
