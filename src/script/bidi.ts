/** Mixed directions in one line of text: levels and visual order of UAX 9, by bidi-js. */
import type { Bidi } from "bidi-js";

const maybeRtl =
  /[\u0590-\u08ff\u200f\u202b\u202e\u2067\ufb1d-\ufdff\ufe70-\ufeff\u{10800}-\u{10fff}\u{1e800}-\u{1efff}]/u;

/**
 * One level per UTF-16 unit: even runs to the right, odd to the left. Null where all of it runs to the right.
 * `auto` takes the direction of the first letter that has one (rules P2 and P3).
 */
export function textLevels(text: string, base: "ltr" | "rtl" | "auto", bidi: Bidi): Uint8Array | null {
  if (base !== "rtl" && !maybeRtl.test(text)) return null;
  return bidi.getEmbeddingLevels(text, base === "auto" ? undefined : base).levels;
}

/** The character, or what it turns into where text runs to the left. */
export const mirrored = (text: string, level: number, bidi: Bidi): string =>
  level % 2 === 1 ? (bidi.getMirroredCharacter(text) ?? text) : text;

/** Items in visual order, left to right (rule L2). */
export function visualOrder<T extends { readonly level: number }>(logical: readonly T[]): T[] {
  const order = [...logical];
  const levels = order.map((item) => item.level);
  const highest = levels.reduce((a, b) => Math.max(a, b), 0);
  for (let level = highest; level > 0; level--) {
    for (let i = 0; i < order.length; i++) {
      if (order[i]!.level < level) continue;
      let end = i + 1;
      while (end < order.length && order[end]!.level >= level) end++;
      order.splice(i, end - i, ...order.slice(i, end).reverse());
      i = end;
    }
  }
  return order;
}
