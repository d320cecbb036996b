/** What the proof's pages share: their margin, and text fitted into a cell. All mm. */
import type { Lettering } from "../lettering.ts";
import { linesBox, wrapped } from "../page/boxes.ts";
import type { Area, Style } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";

/** Free paper around everything: what desk printers leave blank is less. */
export const MARGIN = 12;
/** From one baseline to the next in a cell, in ems. */
const TIGHT = 1.2;

/** Text in the largest of the sizes with which all of it goes into the area; the smallest may end in an ellipsis. */
export function fittedText(
  lettering: Lettering,
  words: string,
  area: Area,
  sizes: readonly number[],
  style: Style = {},
): PageItem[] {
  let items: PageItem[] = [];
  for (const size of sizes) {
    const most = Math.max(1, Math.floor(area.height / (TIGHT * size)));
    const lines = wrapped(lettering, words, area.width, size, style.weight ?? "regular", most);
    items = linesBox(lines, size, { ...style, lead: TIGHT }).items(area.x, area.y);
    const cut = lines.at(-1)?.endsWith("…") && !words.trimEnd().endsWith("…");
    if (!cut) break;
  }
  return items;
}
