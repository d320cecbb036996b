/** The page's foot: what its patterns mean, and a line of data fields in the manner of ISO 7200. */
import type { Lettering } from "../lettering.ts";
import { frame, line, text, WIDE } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { QUIET } from "../parts.ts";
import { MARGIN } from "../proof/pageparts.ts";
import { patterned, type Shown } from "./patterns.ts";

export interface Field {
  readonly label: string;
  readonly value: string;
  /** Part of the width. */
  readonly share: number;
}

export const FOOT_HEIGHT = 11;
const LABEL = 2.6;
const VALUE = 3.4;
const PAD = 1.8;

/** The block ends at the lower margin. */
export function foot(
  fields: readonly Field[],
  page: { widthMm: number; heightMm: number },
  lettering: Lettering,
): PageItem[] {
  const width = page.widthMm - 2 * MARGIN;
  const top = page.heightMm - MARGIN - FOOT_HEIGHT;
  const whole = fields.reduce((sum, { share }) => sum + share, 0);
  const items: PageItem[] = [frame({ x: MARGIN, y: top, width, height: FOOT_HEIGHT }, WIDE)];
  let x = MARGIN;
  for (const { label, value, share } of fields) {
    const wide = (width * share) / whole;
    if (x > MARGIN) items.push(line(x, top, x, top + FOOT_HEIGHT));
    items.push(
      text(label, x + PAD, top + 3.6, LABEL, { fill: QUIET }),
      text(lettering.fitted(value, wide - 2 * PAD, VALUE), x + PAD, top + 8.6, VALUE),
    );
    x += wide;
  }
  return items;
}

const SWATCH = { width: 9, height: 5 };
const KEY = 3.2;
const APART = 7;

/** One line of swatches with their words, from the left margin; `y` is its upper edge. */
export function key(
  entries: readonly { readonly shown: Shown | null; readonly words: string }[],
  y: number,
  lettering: Lettering,
): PageItem[] {
  let x = MARGIN;
  return entries.flatMap(({ shown, words }) => {
    const { width, height } = SWATCH;
    const area = { x, y, width, height };
    const ring = [
      { x, y },
      { x: x + width, y },
      { x: x + width, y: y + height },
      { x, y: y + height },
    ];
    const at = x + width + 1.8;
    x = at + lettering.width(words, KEY) + APART;
    return [...(shown ? patterned(shown, [ring], []) : []), frame(area, 0.2), text(words, at, y + 3.7, KEY)];
  });
}
