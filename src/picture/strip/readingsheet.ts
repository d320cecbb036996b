/**
 * The reading sheet: what the operator takes to the laser and to the loupe, and writes the readings on. A page, and a second one
 * for the table where many marks need it.
 */
import type { Strip } from "../../plan/strip/types.ts";
import { cautions, cleaning } from "../cautions.ts";
import type { Lettering } from "../lettering.ts";
import { type Box, linesBox, paragraph, stacked } from "../page/boxes.ts";
import { line, text } from "../page/items.ts";
import { type Page, type Paper, papers } from "../page/page.ts";
import { stripDrawing } from "./sheetdrawing.ts";
import { looksBox } from "./sheetlooks.ts";
import { tableBox } from "./sheettable.ts";
import { placeWords } from "./stripsvg.ts";

export interface ReadingFacts {
  /** To load, one for each lens height. */
  readonly files: readonly string[];
  /** YYYY-MM-DD. */
  readonly date: string;
  readonly paper: Paper;
  /** Of each mark: lens reference above the crown line, or above a coupon's middle (mm). */
  readonly lensToCrownMm: readonly number[];
  /** The form's file. */
  readonly form: string;
}

const MARGIN = 11;
const SIZE = 2.7;
const SMALL = 2.4;
const GAP = 2.2;

export function readingSheet(strip: Strip, facts: ReadingFacts, letters: Lettering): Page[] {
  const { widthMm, heightMm } = papers[facts.paper];
  const width = widthMm - 2 * MARGIN;
  const room = heightMm - 2 * MARGIN - 5;
  const first = [
    headBox(strip, facts, letters, width),
    careBox(strip, letters, width),
    stepsBox(strip, facts, letters, width),
  ];
  const reading = [
    section(
      strip.ladder === "squares" ? "What is marked" : "What is on the strip",
      stripDrawing(strip, letters, width),
      width,
    ),
    section("What to look for", looksBox(strip, letters, width), width),
  ];
  const table = section("Readings", tableBox(strip, facts, letters, width), width);
  const all = stacked([...first, ...reading, table], GAP);
  const pages =
    all.height <= room
      ? [all]
      : [stacked([...first, ...reading], GAP), stacked([nextBox(strip, letters, width), table], GAP)];
  return pages.map((body, i) => ({
    widthMm,
    heightMm,
    items: [
      ...body.items(MARGIN, MARGIN),
      text(
        `${pages.length > 1 ? `page ${i + 1} of ${pages.length}; ` : ""}a test mark for a spare vessel or coupon; local codes, the laser safety officer and the makers' data go first`,
        MARGIN,
        heightMm - MARGIN,
        SMALL,
      ),
    ],
  }));
}

export function section(title: string, body: Box, width: number): Box {
  return {
    height: body.height + 5.4,
    items: (x, y) => [
      line(x, y, x + width, y, 0.35),
      text(title, x, y + 3.8, SIZE + 0.3, { weight: "bold" }),
      ...body.items(x, y + 5.4),
    ],
  };
}

function headBox(
  { name, job, ladder, ...strip }: Strip,
  facts: ReadingFacts,
  letters: Lettering,
  width: number,
): Box {
  const whole = { name, job, ladder, ...strip };
  const says = [
    `For ${placeWords(whole)}; lens ${job.lens.id}, source ${job.source.id}${job.coating ? `, coating ${job.coating.id}` : ""}.`,
    `Load: ${loadWords(facts.files)}.`,
  ];
  const body = stacked(
    says.map((words) => paragraph(letters, words, width, SIZE, { most: 3 })),
    0.4,
  );
  return {
    height: 10.5 + body.height,
    items: (x, y) => [
      text("READING SHEET", x, y + 2.6, 3.2, { weight: "bold" }),
      text(facts.date, x + width, y + 2.6, SIZE, { anchor: "end" }),
      text(letters.fitted(name, width, 5, "bold"), x, y + 8.4, 5, { weight: "bold" }),
      ...body.items(x, y + 10.5),
    ],
  };
}

/** So many files by name, more of them by the first and the last. */
const NAMED = 4;
const loadWords = (files: readonly string[]): string =>
  files.length <= NAMED
    ? files.join(", ")
    : `${files[0]} to ${files.at(-1)}, ${files.length} files, one for each lens height`;

const nextBox = ({ name }: Strip, letters: Lettering, width: number): Box => ({
  height: 10.5,
  items: (x, y) => [
    text("READING SHEET", x, y + 2.6, 3.2, { weight: "bold" }),
    text(letters.fitted(name, width, 5, "bold"), x, y + 8.4, 5, { weight: "bold" }),
  ],
});

function careBox({ job }: Strip, letters: Lettering, width: number): Box {
  const words = cautions(job.source.wavelengthNm).join(" ");
  return section("Take care", paragraph(letters, words, width, SMALL, { most: 8 }), width);
}

function stepsBox(strip: Strip, facts: ReadingFacts, letters: Lettering, width: number): Box {
  const steps = stepsOf(strip, facts);
  const indent = 5;
  const each = steps.map((words, i): Box => {
    const body = paragraph(letters, words, width - indent, SIZE, { most: 4 });
    const number = linesBox([`${i + 1}.`], SIZE);
    return { height: body.height, items: (x, y) => [...number.items(x, y), ...body.items(x + indent, y)] };
  });
  return section("What to do", stacked(each, 0.4), width);
}

function stepsOf({ ladder, tiltDeg }: Strip, { form, files }: ReadingFacts): string[] {
  const heights = files.length > 1 ? " Set the height anew for each file." : "";
  const load = "Load the file without moving it: (0, 0) is the optical axis.";
  const end = [
    `Let it cool. ${cleaning[0]} ${cleaning[1]}`,
    "Read it under a loupe in slanting light, and write what you see into the boxes.",
    `Copy the readings into ${form}, then run: fallaway fit ${form} --out DIR`,
  ];
  if (ladder === "squares") {
    return [
      "Lay a flat plate that marks easily (anodised aluminium, say) level under the lens, its middle on the optical axis.",
      `Set the lens reference above the plate as the table says.${heights}`,
      `${load} Mark it as one line, with whatever shows at that height: out of focus the line is wide and weak.`,
      "Measure the square's sides along the bed's x and y from middle to middle of the lines, to 0.1 mm.",
      end[2]!,
    ];
  }
  const lay =
    ladder === "ramp"
      ? `Prop up a flat coupon with the same coat, tilted by ${tiltDeg} degrees, its right end down, its middle on the optical axis.`
      : "Lay a spare vessel with the same coat in its jig, the crown line under the optical axis and the placement point on it.";
  return [
    lay,
    `Set the lens reference above ${ladder === "ramp" ? "the coupon's middle" : "the crown line"} as the table says.${heights}`,
    `${load} Mark each group with the settings of its row; the bars' numbers are in one of the groups. Change nothing else from row to row.`,
    ...(ladder === "ramp"
      ? ["Measure how high the coupon's surface lies over the bed at its first and at its last bar."]
      : []),
    ...end,
  ];
}
