/** Blocks of the sheet as boxes: how high each is at a width, and its items once it has its place. All mm. */
import type { Lettering, Weight } from "../lettering.ts";
import type { PageItem } from "../page/page.ts";
import { schematicItems, schematicSize } from "./schematic.ts";
import type { Block, Row, SchematicWords, Section } from "./types.ts";

export interface Box {
  readonly height: number;
  items(x: number, y: number): PageItem[];
}

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
  /** False where the schematic is left to the HTML. */
  readonly drawing?: boolean;
  /** Where parts are left out: the most lines of what the head names, the most rows of a table; no schematic. */
  readonly shortened?: { readonly headLines: number; readonly rows: number };
}

export interface Print {
  readonly letters: Lettering;
  readonly set: Setting;
  readonly schematic: SchematicWords;
}

const RULE = 0.15;
/** Baseline of the first line below the top, in ems: a capital and a little air. */
const RISE = 0.85;
/** Room for a name before its value, in ems. */
const NAME = 7.6;
/** Side of a box to tick, in ems. */
const TICK = 0.8;

const stroke = (x1: number, y1: number, x2: number, y2: number, width = RULE): PageItem => ({
  kind: "line",
  x1,
  y1,
  x2,
  y2,
  width,
});
export const frame = (x: number, y: number, w: number, h: number, width = RULE): PageItem => ({
  kind: "path",
  d: `M${num(x)} ${num(y)}h${num(w)}v${num(h)}h${num(-w)}z`,
  fill: "none",
  stroke: "#000000",
  width,
});
const num = (v: number): string => String(Math.round(v * 1000) / 1000 + 0);

/** Boxes below each other, so far apart. */
export function stacked(boxes: readonly Box[], gap: number): Box {
  const height = boxes.reduce((sum, b) => sum + b.height, 0) + gap * Math.max(0, boxes.length - 1);
  return {
    height,
    items(x, y) {
      let top = y;
      return boxes.flatMap((box) => {
        const placed = box.items(x, top);
        top += box.height + gap;
        return placed;
      });
    },
  };
}

/** A word that is wider than the room (a file's name) in pieces that fill it. */
function pieces({ letters, set: { size } }: Print, word: string, width: number, weight: Weight): string[] {
  if (letters.width(word, size, weight) <= width) return [word];
  const list: string[] = [];
  let piece = "";
  for (const letter of word) {
    if (piece !== "" && letters.width(piece + letter, size, weight) > width) {
      list.push(piece);
      piece = "";
    }
    piece += letter;
  }
  return [...list, piece];
}

/** Words in as many lines as they need, at most the setting's. */
export function wordsBox(print: Print, words: string, width: number, weight: Weight = "regular"): Box {
  const { size, lead, mostLines } = print.set;
  const broken = words
    .split(" ")
    .flatMap((word) => pieces(print, word, width, weight))
    .join(" ");
  const lines = print.letters.lines(broken, width, size, weight, mostLines);
  return {
    height: lines.length * size * lead,
    items: (x, y) =>
      lines.map((line, i) => ({
        kind: "text",
        words: line,
        x,
        y: y + size * (RISE + i * lead),
        size,
        weight,
      })),
  };
}

export function rowBox(print: Print, row: Row, width: number): Box {
  const { size, lead } = print.set;
  const { letters } = print;
  const indent = NAME * size;
  const name = letters.lines(row.name, indent - 0.4 * size, size, "regular", 2);
  const value =
    row.value === null
      ? blankBox(print, row.after ?? "", width - indent)
      : wordsBox(print, row.value, width - indent, row.strong ? "bold" : "regular");
  return {
    height: Math.max(value.height, name.length * size * lead),
    items: (x, y) => [
      ...name.map(
        (words, i): PageItem => ({
          kind: "text",
          words,
          x,
          y: y + size * (RISE + i * lead),
          size,
          fill: "#444444",
        }),
      ),
      ...value.items(x + indent, y),
    ],
  };
}

/** A line to write on, and what follows it. */
function blankBox({ letters, set: { size, lead } }: Print, after: string, width: number): Box {
  const said = letters.fitted(after, width * 0.75, size);
  const line = after === "" ? width : Math.min(8 * size, width - letters.width(said, size) - size);
  return {
    height: size * lead,
    items: (x, y) => [
      stroke(x, y + size * (RISE + 0.15), x + line, y + size * (RISE + 0.15)),
      ...(said === ""
        ? []
        : [{ kind: "text", words: said, x: x + line + 0.5 * size, y: y + size * RISE, size } as const]),
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
    items: (x, y) => [frame(x, y + size * (RISE + 0.06) - side, side, side), ...words.items(x + indent, y)],
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
  const line = size * lead + 0.3 * size;
  const cells = [head, ...rows];
  const height = cells.length * line;
  return {
    height,
    items(x, y) {
      const lefts = widths.map((_, i) => x + scale * widths.slice(0, i).reduce((a, b) => a + b, 0));
      return [
        ...cells.flatMap((row, j) =>
          row.flatMap((said, i): PageItem[] => {
            const weight = j === 0 ? "bold" : "regular";
            const words = letters.fitted(said, widths[i]! * scale - 2 * pad, size, weight);
            const place = { x: lefts[i]! + pad, y: y + j * line + size * (RISE + 0.2) };
            return words === "" ? [] : [{ kind: "text", words, ...place, size, weight }];
          }),
        ),
        ...Array.from({ length: cells.length + 1 }, (_, j) =>
          stroke(x, y + j * line, x + width, y + j * line),
        ),
        ...[...lefts, x + width].map((left) => stroke(left, y, left, y + height)),
      ];
    },
  };
}

/** As many rows as the setting allows, and in the last one how many more there are. */
function fewer({ set }: Print, rows: readonly (readonly string[])[]): (readonly string[])[] {
  const most = set.shortened?.rows ?? rows.length;
  if (rows.length <= most) return [...rows];
  const told = rows.slice(0, most - 1);
  return [...told, rows[0]!.map((_, i) => (i === 0 ? `+ ${rows.length - told.length}` : "…"))];
}

function blockBox(print: Print, block: Block, width: number): Box {
  if (block.kind === "words") return wordsBox(print, block.words, width, block.strong ? "bold" : "regular");
  if (block.kind === "table") return tableBox(print, block.head, fewer(print, block.rows), width);
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

/** A section: a rule, its title, its blocks. */
export function sectionBox(print: Print, number: number, section: Section, width: number): Box {
  const { size, lead, gap } = print.set;
  const title = size * 1.25;
  const top = title * 1.45;
  const blocks = section.blocks.filter(
    ({ kind }) => kind !== "schematic" || (print.set.drawing !== false && !print.set.shortened),
  );
  const body = stacked(
    blocks.map((block) => blockBox(print, block, width)),
    0.5 * gap * size,
  );
  return {
    height: top + body.height + 0.1 * lead,
    items: (x, y) => [
      stroke(x, y, x + width, y, 0.35),
      { kind: "text", words: `${number}  ${section.title}`, x, y: y + title, size: title, weight: "bold" },
      ...body.items(x, y + top),
    ],
  };
}
