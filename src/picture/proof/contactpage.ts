/** Contact sheets: thumbnails of many drawings in a grid; one that failed keeps its cell, with what was wrong. */
import type { Lettering } from "../lettering.ts";
import { paragraph, stacked, wrapped } from "../page/boxes.ts";
import { type Area, frame, line, text, WIDE } from "../page/items.ts";
import { type Page, type PageItem, type Paper, papers } from "../page/page.ts";
import { QUIET, RULE } from "../parts.ts";
import { MARGIN } from "./pageparts.ts";
import { imageOf, type PlacedView } from "./pageviews.ts";

export interface ContactEntry {
  readonly title: string;
  /** Null where it could not be drawn. */
  readonly image: PlacedView | null;
  /** Size, verdict and the like, a line each. */
  readonly words: readonly string[];
  /** Why there is no image; null where there is one. */
  readonly problem: string | null;
}

export interface ContactHead {
  /** Name of the job or of the folder. */
  readonly name: string;
  readonly customer: string | null;
  /** YYYY-MM-DD. */
  readonly date: string;
}

const COLUMNS = 3;
const ROWS = 4;
const GAP = 4;
const HEAD = 15;
const TITLE = 2.9;
const SMALL = 2.5;
/** Lines below the title, and what all of it takes. */
const LINES = 4;
const TEXT_HEIGHT = 19;

/** As many pages as the entries need, twelve on each; one page that says so where there are none. */
export function contactPages(
  entries: readonly ContactEntry[],
  head: ContactHead,
  lettering: Lettering,
  paper: Paper,
): Page[] {
  const { widthMm, heightMm } = papers[paper];
  const each = COLUMNS * ROWS;
  const of = Math.max(1, Math.ceil(entries.length / each));
  const count = countWords(entries);
  return Array.from({ length: of }, (_, n) => ({
    widthMm,
    heightMm,
    items: [
      ...headItems(head, `${count}  ·  page ${n + 1} of ${of}`, lettering, widthMm - 2 * MARGIN),
      ...entries
        .slice(n * each, (n + 1) * each)
        .flatMap((entry, i) => cellItems(entry, cellArea(i, widthMm, heightMm), lettering)),
    ],
  }));
}

function countWords(entries: readonly ContactEntry[]): string {
  const failed = entries.filter((entry) => entry.image === null).length;
  const all = entries.length === 1 ? "1 drawing" : `${entries.length === 0 ? "no" : entries.length} drawings`;
  return failed > 0 ? `${all}, ${failed} with a problem` : all;
}

function headItems(head: ContactHead, right: string, lettering: Lettering, width: number): PageItem[] {
  const below = `${head.date}  ·  ${right}`;
  const end = lettering.width(below, 3.1);
  return [
    text(lettering.fitted(head.name, width, 5, "bold"), MARGIN, MARGIN + 4, 5, { weight: "bold" }),
    ...(head.customer
      ? [
          text(lettering.fitted(head.customer, width - end - 6, 3.1), MARGIN, MARGIN + 9, 3.1, {
            fill: QUIET,
          }),
        ]
      : []),
    text(below, MARGIN + width, MARGIN + 9, 3.1, { anchor: "end", fill: QUIET }),
    line(MARGIN, MARGIN + 11, MARGIN + width, MARGIN + 11, WIDE),
  ];
}

function cellArea(i: number, widthMm: number, heightMm: number): Area {
  const width = (widthMm - 2 * MARGIN - GAP * (COLUMNS - 1)) / COLUMNS;
  const height = (heightMm - 2 * MARGIN - HEAD - GAP * (ROWS - 1)) / ROWS;
  return {
    x: MARGIN + (i % COLUMNS) * (width + GAP),
    y: MARGIN + HEAD + Math.floor(i / COLUMNS) * (height + GAP),
    width,
    height,
  };
}

function cellItems(entry: ContactEntry, cell: Area, lettering: Lettering): PageItem[] {
  const shown = { ...cell, height: cell.height - TEXT_HEIGHT };
  return [
    { ...frame(cell, 0.2), stroke: RULE },
    ...(entry.image ? [thumbnail(entry.image, shown)] : problemItems(entry.problem ?? "", shown, lettering)),
    ...wordItems(entry, { ...cell, y: cell.y + shown.height, height: TEXT_HEIGHT }, lettering),
  ];
}

/** As large as goes, in the middle. */
function thumbnail(view: PlacedView, area: Area): PageItem {
  const pad = 1.5;
  const scale = Math.min((area.width - 2 * pad) / view.widthPx, (area.height - 2 * pad) / view.heightPx);
  const [width, height] = [view.widthPx * scale, view.heightPx * scale];
  return imageOf(view, {
    x: area.x + (area.width - width) / 2,
    y: area.y + (area.height - height) / 2,
    width,
    height,
  });
}

/** In place of the picture. */
function problemItems(problem: string, area: Area, lettering: Lettering): PageItem[] {
  const room = area.width - 8;
  const words = [
    paragraph(lettering, "not drawn", room, 3.4, { weight: "bold", most: 1 }),
    paragraph(lettering, problem, room, TITLE, { most: 6 }),
  ];
  return [
    frame({ x: area.x + 1.5, y: area.y + 1.5, width: area.width - 3, height: area.height - 3 }, WIDE),
    ...stacked(words, 1).items(area.x + 4, area.y + 4),
  ];
}

/** The title and a line for each word; lines that are left over go to the first that are too long. */
function wordItems({ words, title }: ContactEntry, area: Area, lettering: Lettering): PageItem[] {
  const room = area.width - 4;
  const shown = words.slice(0, LINES);
  let spare = LINES - shown.length;
  const rows = shown.map((one) => {
    const needed = wrapped(lettering, one, room, SMALL, "regular", 1 + spare).length;
    spare -= Math.max(0, needed - 1);
    return paragraph(lettering, one, room, SMALL, { fill: QUIET, most: Math.max(1, needed) });
  });
  const name = paragraph(lettering, title, room, TITLE, { weight: "bold", most: 1 });
  return stacked([name, ...rows], 0.3).items(area.x + 2, area.y + 0.6);
}
