/** Blocks of the sheet as boxes: how high each is at a width, and its items once it has its place. All mm. */
import type { Lettering, Weight } from "../lettering.ts";
import { type Box, linesBox, paragraph, RISE, stacked } from "../page/boxes.ts";
import { frame, line, text } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { schematicItems, schematicSize } from "./schematic.ts";
import type { Block, Row, SchematicWords, Section } from "./types.ts";

/** How large and how tight the sheet is set. */
export interface Setting {
  /** Em height of the text. */
  readonly size: number;
  /** From baseline to baseline, in ems. */
  readonly lead: number;
  /** Between blocks, and before a section's title, in ems. */
  readonly gap: number;
  /** The most lines that one value or paragraph may take, and the most reasons told. */
  readonly mostLines: number;
  readonly mostReasons: number;
  /** True where each reason says what to do about it. */
  readonly hints?: boolean;
  /** False where the schematic, and tables that can be done without, are left to the HTML. */
  readonly drawing?: boolean;
  readonly spare?: boolean;
  /** Where parts are left out: the most lines of what the head names, the most rows of a table that is not kept. */
  readonly shortened?: { readonly headLines: number; readonly rows: number };
}

export interface Print {
  readonly letters: Lettering;
  readonly set: Setting;
  readonly schematic: SchematicWords;
}

/** Width of a rule, and of that above a section. */
const RULE = 0.15;
export const THICK = 0.35;
/** A name before its value: its colour, and the room for it in ems. */
const NAMED = "#444444";
const NAME = 7.6;
/** Side of a box to tick, in ems. */
const TICK = 0.8;

/** Words in as many lines as they need, at most the setting's. */
export const wordsBox = (
  { letters, set: { size, lead, mostLines } }: Print,
  words: string,
  width: number,
  weight: Weight = "regular",
): Box => paragraph(letters, words, width, size, { weight, lead, most: mostLines });

export function rowBox(print: Print, row: Row, width: number): Box {
  const { size, lead } = print.set;
  const { letters } = print;
  const indent = NAME * size;
  const lines = letters.lines(row.name, indent - 0.4 * size, size, "regular", 2);
  const name = linesBox(lines, size, { lead, fill: NAMED });
  const value =
    row.value === null
      ? blankBox(print, row.after ?? "", width - indent)
      : wordsBox(print, row.value, width - indent, row.strong ? "bold" : "regular");
  return {
    height: Math.max(value.height, name.height),
    items: (x, y) => [...name.items(x, y), ...value.items(x + indent, y)],
  };
}

/** A line to write on, and what follows it. */
function blankBox({ letters, set: { size, lead } }: Print, after: string, width: number): Box {
  const said = letters.fitted(after, width * 0.75, size);
  const long = after === "" ? width : Math.min(8 * size, width - letters.width(said, size) - size);
  return {
    height: size * lead,
    items: (x, y) => [
      line(x, y + size * (RISE + 0.15), x + long, y + size * (RISE + 0.15), RULE),
      ...(said === "" ? [] : [text(said, x + long + 0.5 * size, y + size * RISE, size)]),
    ],
  };
}

function stepBox(print: Print, step: string, width: number): Box {
  const { size, lead } = print.set;
  const indent = 1.5 * size;
  const words = wordsBox(print, step, width - indent);
  const side = TICK * size;
  return {
    height: words.height + 0.15 * size * lead,
    items: (x, y) => [
      frame({ x, y: y + size * (RISE + 0.06) - side, width: side, height: side }, RULE),
      ...words.items(x + indent, y),
    ],
  };
}

/** Cells in frames; columns as wide as their longest text asks, the spare shared out evenly. */
function tableBox(
  print: Print,
  head: readonly string[],
  rows: readonly (readonly string[])[],
  width: number,
): Box {
  const { letters, set } = print;
  const { size, lead } = set;
  const pad = 0.45 * size;
  const wanted = head.map((_, i) =>
    Math.max(
      ...[head, ...rows].map(
        (row, j) => letters.width(row[i]!, size, j === 0 ? "bold" : "regular") + 2 * pad,
      ),
    ),
  );
  const sum = wanted.reduce((a, b) => a + b, 0);
  // Too wide, the longest column (a file's name) gives way; every text is fitted into its cell.
  const widest = wanted.indexOf(Math.max(...wanted));
  const widths = wanted.map((w, i) =>
    sum <= width
      ? w + (width - sum) / wanted.length
      : i === widest
        ? Math.max(8 * size, w - (sum - width))
        : w,
  );
  const scale = Math.min(1, width / widths.reduce((a, b) => a + b, 0));
  // Boxes to write in stay as high as they are.
  const air = set.shortened && !rows.some((cells) => cells.includes("")) ? 0.12 : 0.3;
  const row = (lead + air) * size;
  const cells = [head, ...rows];
  const height = cells.length * row;
  return {
    height,
    items(x, y) {
      const lefts = widths.map((_, i) => x + scale * widths.slice(0, i).reduce((a, b) => a + b, 0));
      return [
        ...cells.flatMap((told, j) =>
          told.flatMap((said, i): PageItem[] => {
            const weight = j === 0 ? "bold" : "regular";
            const words = letters.fitted(said, widths[i]! * scale - 2 * pad, size, weight);
            const base = y + j * row + size * (RISE + 0.1 + air / 2);
            return words === "" ? [] : [text(words, lefts[i]! + pad, base, size, { weight })];
          }),
        ),
        ...Array.from({ length: cells.length + 1 }, (_, j) =>
          line(x, y + j * row, x + width, y + j * row, RULE),
        ),
        ...[...lefts, x + width].map((left) => line(left, y, left, y + height, RULE)),
      ];
    },
  };
}

/** As many rows as the setting allows, and in the last one how many more there are. */
function fewer(
  { set: { shortened } }: Print,
  { rows, kept }: Extract<Block, { kind: "table" }>,
): (readonly string[])[] {
  const most = (kept ? undefined : shortened?.rows) ?? rows.length;
  if (rows.length <= most) return [...rows];
  const told = rows.slice(0, most - 1);
  return [...told, rows[0]!.map((_, i) => (i === 0 ? `+ ${rows.length - told.length}` : "…"))];
}

function blockBox(print: Print, block: Block, width: number): Box {
  if (block.kind === "words") return wordsBox(print, block.words, width, block.strong ? "bold" : "regular");
  if (block.kind === "table") return tableBox(print, block.head, fewer(print, block), width);
  if (block.kind === "rows") {
    return stacked(
      block.rows.map((row) => rowBox(print, row, width)),
      0,
    );
  }
  if (block.kind === "steps") {
    return stacked(
      block.steps.map((step) => stepBox(print, step, width)),
      0,
    );
  }
  const scale = Math.min(1, width / schematicSize.width);
  return {
    height: schematicSize.height * scale,
    items: (x, y) => schematicItems(print.schematic, x, y, scale),
  };
}

/** A block, or where there is no room for it the words that say where it is. */
export function inPlace({ drawing, spare }: Setting, block: Block): Block {
  const out =
    (block.kind === "schematic" && drawing === false) || (block.kind === "table" && spare === false);
  return out && "instead" in block && block.instead !== undefined
    ? { kind: "words", words: block.instead }
    : block;
}

/** A section: a rule, its title, its blocks. */
export function sectionBox(print: Print, number: number, section: Section, width: number): Box {
  const { size, lead, gap } = print.set;
  const title = size * 1.25;
  const top = title * 1.45;
  const body = stacked(
    section.blocks.map((block) => blockBox(print, block, width)),
    // Words keep off the frame of a table above them.
    Math.max(0.5, 0.5 * gap * size),
  );
  return {
    height: top + body.height + 0.1 * lead,
    items: (x, y) => [
      line(x, y, x + width, y, THICK),
      text(`${number}  ${section.title}`, x, y + title, title, { weight: "bold" }),
      ...body.items(x, y + top),
    ],
  };
}
