/**
 * The station sheet on one page, A4 or Letter: the largest setting that fits, and never more than the page. Where the
 * index of many turns has no room there it has a page of its own, for it is never shortened.
 */
import type { Lettering } from "../lettering.ts";
import { type Box, beside, linesBox, RISE, stacked } from "../page/boxes.ts";
import { frame, line, text } from "../page/items.ts";
import { type Page, papers } from "../page/page.ts";
import { inPlace, type Print, rowBox, type Setting, sectionBox, THICK, wordsBox } from "./blocks.ts";
import { qrPath } from "./qr.ts";
import type { Block, Section, Sheet } from "./types.ts";

const MARGIN = 10;
const BETWEEN = 6;
const CODE = 29;
/** No text is smaller (mm): 6.8 pt, still read at arm's length (our own choice). */
export const LEAST_SIZE = 2.4;

/** More reasons than these are counted. */
const MOST_REASONS = 8;

/** From roomy to tight, with what to do about each reason as long as there is room for it. */
const whole: readonly Setting[] = [
  { size: 3, lead: 1.4, gap: 1.6, mostLines: 12, mostReasons: 6 },
  { size: 2.9, lead: 1.35, gap: 1.3, mostLines: 12, mostReasons: 5 },
  { size: 2.75, lead: 1.32, gap: 1.1, mostLines: 12, mostReasons: 4 },
  { size: 2.6, lead: 1.3, gap: 1, mostLines: 12, mostReasons: 4 },
  { size: 2.5, lead: 1.28, gap: 0.8, mostLines: 12, mostReasons: 3 },
  { size: LEAST_SIZE, lead: 1.24, gap: 0.6, mostLines: 12, mostReasons: 3 },
  { size: LEAST_SIZE, lead: 1.18, gap: 0.4, mostLines: 12, mostReasons: 2 },
];
function tight(
  lead: number,
  gap: number,
  {
    mostLines,
    mostReasons,
    ...shortened
  }: { mostLines: number; mostReasons: number } & NonNullable<Setting["shortened"]>,
): Setting {
  return {
    size: LEAST_SIZE,
    lead,
    gap,
    mostLines,
    mostReasons,
    drawing: false,
    spare: false,
    shortened,
  };
}
const roomy: readonly Setting[] = whole.map((set) => ({ ...set, mostReasons: MOST_REASONS, hints: true }));
const settings: readonly Setting[] = [
  // Tables that can be done without go first, then the drawing.
  ...roomy,
  ...roomy.map((set) => ({ ...set, spare: false })),
  ...roomy.map((set) => ({ ...set, drawing: false })),
  ...roomy.map((set) => ({ ...set, spare: false, drawing: false })),
  ...whole.map((set) => ({ ...set, mostReasons: MOST_REASONS, spare: false })),
  ...whole.map((set) => ({ ...set, spare: false })),
  ...whole.map((set) => ({ ...set, spare: false, drawing: false })),
  // From here on parts are left out, and the head says where they are.
  tight(1.2, 0.5, { mostLines: 10, mostReasons: 2, headLines: 2, rows: 12 }),
  tight(1.16, 0.35, { mostLines: 7, mostReasons: 1, headLines: 1, rows: 12 }),
  tight(1.12, 0.3, { mostLines: 7, mostReasons: 1, headLines: 1, rows: 6 }),
  tight(1.1, 0.2, { mostLines: 5, mostReasons: 1, headLines: 1, rows: 4 }),
  tight(1.1, 0.2, { mostLines: 4, mostReasons: 1, headLines: 1, rows: 3 }),
];

/** Throws where even the tightest setting does not fit: what a job may hold is bounded so that it does. */
export function sheetPages(sheet: Sheet, letters: Lettering): Page[] {
  const whole = (print: Print, width: number): Box[] => [
    headBox(print, sheet, width),
    ...bodyBoxes(print, sheet.sections, width),
  ];
  const one = laidOut(sheet, letters, whole, "");
  if (one) return [one];
  const own = sheet.sections.findIndex(hasIndex);
  const sections = sheet.sections.map((section, i) => (i === own ? awayOf(section) : section));
  const pages = [
    laidOut(
      sheet,
      letters,
      (print, width) => [headBox(print, sheet, width), ...bodyBoxes(print, sections, width)],
      "page 1 of 2",
    ),
    laidOut(
      sheet,
      letters,
      (print, width) => [
        nextHead(print, sheet, width),
        sectionBox(print, own + 1, sheet.sections[own]!, width),
      ],
      "page 2 of 2",
    ),
  ];
  return pages.map((page) => {
    if (!page) throw new Error("the station sheet does not fit on its page");
    return page;
  });
}

const hasIndex = ({ blocks }: Section): boolean =>
  blocks.some((block) => block.kind === "table" && block.kept === true);

/** What stands on the first page for a section that has the second one. */
const awayOf = (section: Section): Section => ({
  ...section,
  blocks: [
    {
      kind: "words",
      words:
        "On the second page: each turn's index angle, what it loads and where. Nothing is marked without it.",
      strong: true,
    },
  ],
});

/** In the largest setting that fits; null where none does. `which`: said of one page of several. */
function laidOut(
  sheet: Sheet,
  letters: Lettering,
  boxes: (print: Print, width: number) => readonly Box[],
  which: string,
): Page | null {
  const { widthMm, heightMm } = papers[sheet.facts.paper];
  const width = widthMm - 2 * MARGIN;
  for (const set of settings) {
    const print: Print = { letters, set, schematic: sheet.schematic };
    const body = stacked(boxes(print, width), set.gap * set.size);
    const foot = footBox(print, sheet, width, which);
    if (body.height + foot.height + set.size > heightMm - 2 * MARGIN) continue;
    const items = [...body.items(MARGIN, MARGIN), ...foot.items(MARGIN, heightMm - MARGIN - foot.height)];
    return { widthMm, heightMm, items };
  }
  return null;
}

/** The second page's: the job's name and the verdict. */
function nextHead({ letters }: Print, sheet: Sheet, width: number): Box {
  const { words } = sheet.verdict;
  const room = width - letters.width(words, 4, "bold") - 6;
  return {
    height: 12,
    items: (x, y) => [
      text("STATION SHEET", x, y + 2.6, 3.2, { weight: "bold" }),
      text(letters.fitted(sheet.name, room, 5, "bold"), x, y + 9, 5, { weight: "bold" }),
      text(words, x + width, y + 9, 4, { weight: "bold", anchor: "end" }),
    ],
  };
}

/** Job's name, what it is, verdict; the code at the right. */
function headBox(print: Print, sheet: Sheet, width: number): Box {
  const { letters, set } = print;
  const room = width - CODE - BETWEEN;
  const lines = letters.lines(sheet.name, room, 6, "bold", Math.min(2, set.shortened?.headLines ?? 2));
  const name = linesBox(lines, 6, { weight: "bold", lead: 1.25 });
  const half = (room - BETWEEN) / 2;
  const short: Print = { ...print, set: { ...set, mostLines: set.shortened?.headLines ?? 3 } };
  const kind = "STATION SHEET";
  const beyond = set.shortened ? `shortened; all of it is in ${sheet.facts.html}` : "";
  const after = letters.width(kind, 3.2, "bold") + 3;
  const rows = sheet.head.map((row) => rowBox(short, row, half));
  // Side by side in pairs, each as high as the higher.
  const pairs = rows.flatMap((_, i) => (i % 2 === 0 ? [beside(rows.slice(i, i + 2), half + BETWEEN)] : []));
  const list = stacked(pairs, 0);
  const top = 4 + name.height;
  const left = top + list.height;
  const verdict = verdictBox(print, sheet, width);
  // Below the code's light edge, which its reader needs.
  const said = CODE - 2 + RISE * LEAST_SIZE + 0.2;
  const high = Math.max(left, said) + 1.5;
  return {
    height: high + verdict.height,
    items: (x, y) => [
      text(kind, x, y + 2.6, 3.2, { weight: "bold" }),
      ...(beyond === ""
        ? []
        : [text(letters.fitted(beyond, room - after, LEAST_SIZE), x + after, y + 2.6, LEAST_SIZE)]),
      ...name.items(x, y + 4.4),
      ...list.items(x, y + top),
      { kind: "path", d: qrPath(sheet.code, x + width - CODE, y - 2, CODE), fill: "#000000" },
      text(sheet.codeWords, x + width - CODE / 2, y + said, LEAST_SIZE, { anchor: "middle" }),
      ...verdict.items(x, y + high),
    ],
  };
}

/** The verdict in a frame, thick where the marks must not be used, with as many reasons as there is room for. */
function verdictBox(print: Print, sheet: Sheet, width: number): Box {
  const { set } = print;
  const { words, stop, reasons } = sheet.verdict;
  const size = stop ? 6 : 4;
  const pad = stop ? 1.6 : 1.2;
  const told = reasons
    .slice(0, set.mostReasons)
    .map((reason) => (set.hints ? `${reason.words} – ${reason.hint}` : reason.words));
  const more = reasons.length - told.length;
  if (more > 0) told.push(`and ${more} more, and what to do, in ${sheet.facts.html}`);
  else if (!set.hints && told.length > 0) told.push(`what to do about it is in ${sheet.facts.html}`);
  const two: Print = { ...print, set: { ...set, mostLines: set.hints ? 4 : 2 } };
  const list = stacked(
    told.map((one) => wordsBox(two, one, width - 2 * pad - 2, stop ? "bold" : "regular")),
    0,
  );
  const height = 2 * pad + 0.95 * size + (told.length > 0 ? 0.6 + list.height : 0);
  return {
    height,
    items: (x, y) => [
      frame({ x: x + 0.4, y: y + 0.4, width: width - 0.8, height: height - 0.8 }, stop ? 0.8 : 0.3),
      text(words, x + pad + 1, y + pad + 0.8 * size, size, { weight: "bold" }),
      ...list.items(x + pad + 1, y + pad + 0.95 * size + 0.6),
    ],
  };
}

/** Runs of narrow sections in two columns, in their order; wide ones across. */
function bodyBoxes(print: Print, sections: readonly Section[], width: number): Box[] {
  const boxes: Box[] = [];
  let run: { section: Section; number: number }[] = [];
  const end = (): void => {
    if (run.length > 0) boxes.push(columnsBox(print, run, width));
    run = [];
  };
  sections.forEach((told, i) => {
    const placed = { ...told, blocks: told.blocks.map((block) => inPlace(print.set, block)) };
    const section = print.set.shortened ? runOn(placed) : placed;
    if (!section.wide) run.push({ section, number: i + 1 });
    else {
      end();
      boxes.push(sectionBox(print, i + 1, section, width));
    }
  });
  end();
  return boxes;
}

/** Paragraphs that follow each other as one. */
function runOn(section: Section): Section {
  const blocks: Block[] = [];
  for (const block of section.blocks) {
    const last = blocks.at(-1);
    if (block.kind !== "words" || last?.kind !== "words" || last.strong !== block.strong) blocks.push(block);
    else blocks[blocks.length - 1] = { ...last, words: `${last.words} ${block.words}` };
  }
  return { ...section, blocks };
}

function columnsBox(print: Print, run: readonly { section: Section; number: number }[], width: number): Box {
  const half = (width - BETWEEN) / 2;
  const gap = print.set.gap * print.set.size;
  const boxes = run.map(({ section, number }) => sectionBox(print, number, section, half));
  // Broken where the longer column is shortest.
  const tried = boxes.map(
    (_, i) => [stacked(boxes.slice(0, i + 1), gap), stacked(boxes.slice(i + 1), gap)] as const,
  );
  const [left, right] = tried.reduce((best, one) => (longer(one) < longer(best) ? one : best));
  return beside([left, right], half + BETWEEN);
}
const longer = (columns: readonly Box[]): number => Math.max(...columns.map((c) => c.height));

function footBox(print: Print, sheet: Sheet, width: number, which: string): Box {
  const { letters } = print;
  const size = LEAST_SIZE;
  const hash = `${sheet.hashOf} ${sheet.hash}`;
  const room = width - letters.width(hash, size) - 4;
  const marks = which === "" ? sheet.facts.marks : `${which}, ${sheet.facts.marks}`;
  return {
    height: 4,
    items: (x, y) => [
      line(x, y, x + width, y, THICK),
      text(letters.fitted(marks, room, size), x, y + 3.6, size),
      text(hash, x + width, y + 3.6, size, { anchor: "end" }),
    ],
  };
}
