/**
 * The shorthands `font` and `font-variant` as their longhands: CSS Fonts 4, “Shorthand font property” and “Overall
 * shorthand for font rendering”.
 */
import { parseLength } from "../units.ts";
import { parseFamilies } from "./fontvalues.ts";

export type Longhands = Readonly<Record<string, string>>;

const wide = /^(inherit|initial|unset|revert)$/i;
const namedSize = /^(xx-small|x-small|small|medium|large|x-large|xx-large|xxx-large|larger|smaller)$/;
const angle = /^[+-]?(\d+\.?\d*|\.\d+)(deg|grad|rad|turn)(\s+|$)/i;
/** To the closing quote, or to the end where there is none. */
const quoted = /"(?:\\.|[^"\\])*\\?("|$)|'(?:\\.|[^'\\])*\\?('|$)/gs;
const lineHeight = /^\/\s*(normal|\+?(\d+\.?\d*|\.\d+)(%|[a-z]+)?)(?![\w.%-])\s*/i;

const variants = {
  "font-variant-caps": /^(normal|(all-)?(small|petite)-caps|unicase|titling-caps)$/,
  "font-variant-ligatures":
    /^(normal|none|(no-)?(common|discretionary|historical)-ligatures|(no-)?contextual)$/,
  "font-variant-numeric":
    /^(normal|(lining|oldstyle|proportional|tabular)-nums|(diagonal|stacked)-fractions|ordinal|slashed-zero)$/,
  "font-variant-east-asian":
    /^(normal|jis(78|83|90|04)|simplified|traditional|(full|proportional)-width|ruby)$/,
  "font-variant-position": /^(normal|sub|super)$/,
  "font-variant-alternates":
    /^(normal|historical-forms|(stylistic|styleset|character-variant|swash|ornaments|annotation)\(.*\))$/,
  "font-variant-emoji": /^(normal|text|emoji|unicode)$/,
};
const variantNames = Object.keys(variants) as (keyof typeof variants)[];

/** What `font` sets besides size and family. The mark `font` says whether a value was met that is not read. */
const initial: Longhands = {
  font: "normal",
  "font-style": "normal",
  "font-weight": "normal",
  "font-stretch": "normal",
  "font-variant": "normal",
  ...Object.fromEntries(variantNames.map((name) => [name, "normal"])),
  "font-size-adjust": "none",
  "font-kerning": "auto",
  "font-feature-settings": "normal",
  "font-variation-settings": "normal",
};

const all = (value: string): Longhands => ({
  ...Object.fromEntries(Object.keys(initial).map((name) => [name, value])),
  "font-size": value,
  "font-family": value,
});

/** The words before the size: each property at most once. */
const leading: readonly (readonly [string, (word: string) => boolean])[] = [
  ["font-style", (word) => word === "italic" || word === "oblique"],
  ["font-variant-caps", (word) => word === "small-caps"],
  [
    "font-weight",
    (word) => /^(bold|bolder|lighter)$/.test(word) || (/^[\d.]+$/.test(word) && +word >= 1 && +word <= 1000),
  ],
  ["font-stretch", (word) => /^(((ultra|extra|semi)-)?(condensed|expanded))$/.test(word)],
];

function isSize(word: string): boolean {
  if (namedSize.test(word)) return true;
  const length = parseLength(word);
  return length !== null && length.value >= 0 && (length.unit !== "" || length.value === 0);
}

/**
 * The longhands that a `font` value sets; what it leaves out gets its initial value. A value that is none, or one
 * that only a browser can know (the fonts of the system's own parts, functions), sets `font` itself and nothing
 * else, so that it can be reported.
 */
export function expandFont(value: string): Longhands {
  let rest = value.trim();
  if (wide.test(rest)) return all(rest.toLowerCase());
  const set: Record<string, string> = { ...initial };
  const met = new Set<string>();
  for (;;) {
    // A bracket after the word makes it a function.
    const [whole, found] = /^([^\s/,"'()]+)(?![^\s/,"'()]|\()\s*/.exec(rest) ?? [];
    if (whole === undefined) return { font: value };
    rest = rest.slice(whole.length);
    const word = found.toLowerCase();
    if (word === "normal") continue;
    const [property] = leading.find(([name, fits]) => !met.has(name) && fits(word)) ?? [];
    if (property !== undefined) {
      met.add(property);
      set[property] = word;
      if (word === "oblique") rest = rest.replace(angle, "");
      continue;
    }
    const family = rest.replace(lineHeight, "");
    const bare = family.replace(quoted, (_, double, single) => (double || single ? "" : "("));
    // Brackets and slashes outside quotes are no part of a name.
    const isList = !/^,/.test(family) && !/[/()"']/.test(bare) && parseFamilies(family).length > 0;
    if (!isSize(word) || !isList) return { font: value };
    return { ...set, "font-size": word, "font-family": family };
  }
}

/** The longhands of a `font-variant` value; none where it is not one. */
export function expandVariant(value: string): Longhands {
  const text = value.trim().toLowerCase();
  const every = (word: string): Longhands =>
    Object.fromEntries(["font-variant", ...variantNames].map((name) => [name, word]));
  if (text === "normal" || wide.test(text)) return every(text);
  if (text === "none") return { ...every("normal"), "font-variant-ligatures": "none" };
  const set: Record<string, string[]> = {};
  for (const [word] of text.matchAll(/[^\s(]+(\([^()]*\))?/g)) {
    const name = variantNames.find((n) => word !== "normal" && word !== "none" && variants[n].test(word));
    if (!name) return {};
    set[name] = [...(set[name] ?? []), word];
  }
  const joined = Object.fromEntries(Object.entries(set).map(([name, words]) => [name, words.join(" ")]));
  return text === "" ? {} : { ...every("normal"), ...joined };
}

/** A declaration as those it stands for: shorthands of fonts expanded, `font-width` under its older name. */
export function longhandsOf(property: string, value: string): Longhands {
  if (property === "font") return value.trim() === "" ? {} : expandFont(value);
  if (property === "font-variant") return expandVariant(value);
  return { [property === "font-width" ? "font-stretch" : property]: value };
}
