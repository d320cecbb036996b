/** The proof's facts as rows of a label and its value, in one column or two. */
import type { Lettering } from "../lettering.ts";
import { type Box, beside, paragraph, RISE, stacked } from "../page/boxes.ts";
import { frame, text } from "../page/items.ts";
import { QUIET } from "../parts.ts";
import type { Fact } from "./words.ts";

const SIZE = 2.8;
const LABEL = 23;
const BETWEEN = 6;
const SWATCH = { width: 8, height: 4.6 };

/** All facts under each other; each value on up to four lines. */
export const factColumn = (facts: readonly Fact[], lettering: Lettering, width: number): Box =>
  stacked(
    facts.map((fact) => factRow(fact, lettering, width)),
    0.5,
  );

function factRow({ label, value, swatch }: Fact, lettering: Lettering, width: number): Box {
  const indent = LABEL + (swatch ? SWATCH.width + 1.6 : 0);
  const words = paragraph(lettering, value, width - indent, SIZE, { most: 4 });
  return {
    height: Math.max(words.height, swatch ? SWATCH.height : 0),
    items: (x, y) => [
      text(label, x, y + RISE * SIZE, SIZE, { fill: QUIET }),
      ...(swatch ? [frame({ x: x + LABEL, y: y - 0.4, ...SWATCH }, 0.2, swatch)] : []),
      ...words.items(x + indent, y),
    ],
  };
}

/** The facts in two columns, parted where the taller one is shortest. */
export function factColumns(facts: readonly Fact[], lettering: Lettering, width: number): Box {
  const room = (width - BETWEEN) / 2;
  const parted = facts.map((_, n) =>
    beside(
      [facts.slice(0, n), facts.slice(n)].map((part) => factColumn(part, lettering, room)),
      room + BETWEEN,
    ),
  );
  return parted.reduce((best, next) => (next.height < best.height ? next : best));
}
