/** Embedding levels of a text's characters and the visual order of its clusters: UAX 9 by bidi-js. */
import type { Bidi } from "bidi-js";
import type { Character, Characters } from "./characters.ts";

const maybeRtl =
  /[\u0590-\u08ff\u200f\u202b\u202e\u2067\ufb1d-\ufdff\ufe70-\ufeff\u{10800}-\u{10fff}\u{1e800}-\u{1efff}]/u;

/** One level per character: even runs to the right, odd to the left. */
export function levelsOf(characters: Characters, rtl: boolean, bidi: Bidi): Uint8Array {
  const { list, controls } = characters;
  const levels = new Uint8Array(list.length);
  let text = "";
  const starts: number[] = [];
  let next = 0;
  list.forEach((c, i) => {
    for (; next < controls.length && controls[next].at <= i; next++) text += controls[next].text;
    starts.push(text.length);
    text += c.text;
  });
  if (!rtl && !maybeRtl.test(text)) return levels;
  const found = bidi.getEmbeddingLevels(text, rtl ? "rtl" : "ltr").levels;
  starts.forEach((at, i) => {
    levels[i] = found[at];
  });
  return levels;
}

/** The character, or what it turns into where text runs to the left. */
export const mirrored = (text: string, level: number, bidi: Bidi): string =>
  level % 2 === 1 ? (bidi.getMirroredCharacter(text) ?? text) : text;

/** Blanks at the end of a chunk go with the whole text's direction (rule L1). */
export function settleEnd(
  list: readonly Character[],
  levels: Uint8Array,
  from: number,
  to: number,
  base: number,
): void {
  for (let i = to - 1; i >= from && /\p{White_Space}/u.test(list[i].text); i--) levels[i] = base;
}

/** Items in visual order, left to right (rule L2). */
export function visualOrder<T extends { readonly level: number }>(logical: readonly T[]): T[] {
  const order = [...logical];
  const levels = order.map((item) => item.level);
  const highest = levels.reduce((a, b) => Math.max(a, b), 0);
  for (let level = highest; level > 0; level--) {
    for (let i = 0; i < order.length; i++) {
      if (order[i].level < level) continue;
      let end = i + 1;
      while (end < order.length && order[end].level >= level) end++;
      order.splice(i, end - i, ...order.slice(i, end).reverse());
      i = end;
    }
  }
  return order;
}
