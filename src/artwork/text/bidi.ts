/** Embedding levels of a text element's characters (UAX 9). */
import type { Bidi } from "bidi-js";
import { textLevels } from "../../script/bidi.ts";
import type { Character, Characters } from "./characters.ts";

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
  const found = textLevels(text, rtl ? "rtl" : "ltr", bidi);
  if (!found) return levels;
  starts.forEach((at, i) => {
    levels[i] = found[at];
  });
  return levels;
}

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
