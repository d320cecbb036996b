/** Scripts (UAX 24): a run is shaped in one script, characters that all scripts share go with those before them. */

const names =
  "Latin Greek Cyrillic Armenian Hebrew Arabic Syriac Thaana Nko Devanagari Bengali Gurmukhi Gujarati Oriya Tamil " +
  "Telugu Kannada Malayalam Sinhala Thai Lao Tibetan Myanmar Georgian Hangul Ethiopic Cherokee Khmer Mongolian " +
  "Hiragana Katakana Bopomofo Han Tifinagh Javanese Balinese";

/** Cursive scripts: no space can be put between letters that join (CSS Text 3, 8.2.1). */
const joined: ReadonlySet<string> = new Set(["Arabic", "Syriac", "Nko", "Mongolian"]);

const tests = names.split(" ").map((name) => [name, new RegExp(`\\p{Script=${name}}`, "u")] as const);
const shared = /[\p{Script=Common}\p{Script=Inherited}]/u;

/** A script's name; "other" for those not listed; null for characters of no script of their own. */
export function scriptOf(character: string): string | null {
  if (shared.test(character)) return null;
  return tests.find(([, test]) => test.test(character))?.[0] ?? "other";
}

export const isJoined = (script: string | null): boolean => script !== null && joined.has(script);

/** Marks and joiners, which belong to the character before them. */
export const extendsPrevious = (character: string): boolean =>
  /\p{M}|\u200c|\u200d|\p{Variation_Selector}|\p{Emoji_Modifier}/u.test(character);

/** Characters that are not seen, so that a glyph without an outline is right for them. */
export const isUnseen = (character: string): boolean =>
  /[\p{White_Space}\p{Default_Ignorable_Code_Point}\p{Cf}\p{Cc}\u2800]/u.test(character);

/** Format characters, for which no font needs a glyph. */
export const isIgnorable = (character: string): boolean =>
  /[\p{Default_Ignorable_Code_Point}\p{Cf}\p{Cc}]/u.test(character);
