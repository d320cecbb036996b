/** The proof's facts as rows of a label and its value, in one column or two. */
import type { Lettering } from "../lettering.ts";
import type { PageItem } from "../page/page.ts";
import { QUIET } from "../parts.ts";
import { type Block, frame, paragraph, stacked, text } from "./pageparts.ts";
import type { Fact } from "./words.ts";

const SIZE = 2.8;
const LABEL = 23;
const BETWEEN = 6;
const SWATCH = { width: 8, height: 4.6 };

/** All facts under each other; each value on up to four lines. */
export function factColumn(
  facts: readonly Fact[],
  lettering: Lettering,
  x: number,
  y: number,
  width: number,
): Block {
  return stacked(
    y,
    0.5,
    facts.map((fact) => (at: number) => factRow(fact, lettering, x, at, width)),
  );
}

function factRow(fact: Fact, lettering: Lettering, x: number, y: number, width: number): Block {
  const indent = LABEL + (fact.swatch ? SWATCH.width + 1.6 : 0);
  const value = paragraph(lettering, fact.value, { x: x + indent, y, room: width - indent }, SIZE, {
    most: 4,
  });
  const items: PageItem[] = [
    text(fact.label, x, y + 0.8 * SIZE, SIZE, { fill: QUIET }),
    ...(fact.swatch ? [frame({ x: x + LABEL, y: y - 0.4, ...SWATCH }, 0.2, fact.swatch)] : []),
    ...value.items,
  ];
  return { items, height: Math.max(value.height, fact.swatch ? SWATCH.height : 0) };
}

/** The facts in two columns, parted where the taller one is shortest. */
export function factColumns(
  facts: readonly Fact[],
  lettering: Lettering,
  x: number,
  y: number,
  width: number,
): Block {
  const room = (width - BETWEEN) / 2;
  const parted = facts.map((_, n) => {
    const left = factColumn(facts.slice(0, n), lettering, x, y, room);
    const right = factColumn(facts.slice(n), lettering, x + room + BETWEEN, y, room);
    return { items: [...left.items, ...right.items], height: Math.max(left.height, right.height) };
  });
  return parted.reduce((best, next) => (next.height < best.height ? next : best));
}
