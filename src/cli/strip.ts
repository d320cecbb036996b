/** `strip`: a job in; a test mark for the vessel out, with its reading sheet, what stands on it, and the form for the readings. */
import { join } from "node:path";
import type { Job } from "../job/job.ts";
import { jobFileOf } from "../job/written.ts";
import { readingSheet } from "../picture/strip/readingsheet.ts";
import { heightWords, placeWords, type StripFile, stripFiles } from "../picture/strip/stripsvg.ts";
import { heightOf, lensHeights, stripNotes, stripOf } from "../plan/strip/layout.ts";
import type { Ladder, Strip } from "../plan/strip/types.ts";
import { JobError, note, type Problem } from "../problem.ts";
import { askJob } from "./ask.ts";
import { checkFolder, isFolder, type Output, readInput, writeAll } from "./files.ts";
import { paperOf } from "./paper.ts";
import { writePdf } from "./pdf.ts";
import { readingsForm } from "./readingsform.ts";
import { careRows, row, table } from "./rows.ts";
import { stripAsked } from "./stripoptions.ts";
import { problemRows } from "./summary.ts";
import { today } from "./today.ts";
import { lettering } from "./typefaces.ts";

export async function strip(options: Record<string, unknown>): Promise<number> {
  const asked = stripAsked(options);
  const paper = paperOf(options.paper);
  const folder = options.out as string;
  checkFolder(folder);
  const { job, problems } = coated(options, asked.ladder);
  const made = stripOf(job, asked);
  const letters = lettering();
  const marks = stripFiles(made, letters);
  const formName = `${made.name}.readings.csv`;
  const form = readingsForm(made);
  keepReadings(join(folder, formName), form);
  const facts = {
    files: marks.map(({ name }) => name),
    date: job.order.date ?? today(),
    paper,
    lensToCrownMm: lensHeights(made),
    form: formName,
  };
  const pdf = await writePdf(readingSheet(made, facts, letters), {
    images: new Map(),
    lettering: letters,
    title: `${made.name}: reading sheet`,
    date: facts.date,
  });
  const outputs: Output[] = [
    ...marks.map(({ name, svg }) => ({ name, data: svg })),
    { name: `${made.name}.strip.json`, data: stripJson(made) },
    { name: formName, data: form },
    { name: `${made.name}.strip.pdf`, data: pdf },
  ];
  writeAll(folder, outputs);
  const all = [...problems, ...stripNotes(made)];
  const files = outputs.map(({ name }) => name);
  if (options.json === true)
    process.stdout.write(
      `${JSON.stringify({ files, strip: JSON.parse(stripJson(made)), problems: all }, null, 2)}\n`,
    );
  else process.stdout.write(said(made, marks, folder, all));
  return 0;
}

/** Marks are aimed by what is known of the coat: where nobody names one, by what all powder coats have in common. */
function coated(
  options: Record<string, unknown>,
  ladder: Ladder,
): { job: Job; problems: readonly Problem[] } {
  const asked = askJob(options);
  if (asked.job.coating || ladder === "squares") return asked;
  const { job, problems } = askJob({ ...options, coating: "powder-any" });
  const said = note(
    "strip-coating-assumed",
    "no coating is named: the marks are aimed as for powder-any, and the fit begins from it",
    "give --coating where it is known; see: fallaway profiles coatings",
  );
  return { job, problems: [...problems, said] };
}

/** The strip as a file: the job as a job file, one bar a line. */
export function stripJson({ job, bars, ...rest }: Strip): string {
  const unit = 1e4;
  const round = (v: number): number => Math.round(v * unit) / unit + 0;
  const each = bars.map(({ number, atMm, widthMm }) => ({
    number,
    atMm: round(atMm),
    widthMm: round(widthMm),
  }));
  const text = JSON.stringify({ ...rest, bars: each, job: jobFileOf(job) }, null, 2);
  const bar = /\{\s+"number": (\d+),\s+"atMm": (\S+),\s+"widthMm": (\S+)\s+\}/g;
  return `${text.replace(bar, '{ "number": $1, "atMm": $2, "widthMm": $3 }')}\n`;
}

/** A form that somebody has filled in is not written over. Throws JobError. */
function keepReadings(path: string, form: string): void {
  let there: string;
  try {
    there = readInput(path, "a form").toString("utf8");
  } catch {
    return;
  }
  if (isFolder(path) || there.trim() === "" || blank(there) || there === form) return;
  throw new JobError(
    "readings-kept",
    `${path} has readings in it: it belongs to a strip that was marked`,
    "give another --out or --name, or take the file away",
  );
}

/** True where no row says more than was set. */
function blank(text: string): boolean {
  const rows = text.split(/\r\n|\n|\r/).filter((line) => !/^[\s,;]*(#|$)/.test(line));
  const names = (rows[0] ?? "").split(/[,;\t]/).map((name) => name.trim());
  const filled = names.flatMap((name, i) => (/^(first|last)_|^(left|right|x|y)_mm$/.test(name) ? [i] : []));
  return rows.slice(1).every((line) => filled.every((i) => (line.split(/[,;\t]/)[i] ?? "").trim() === ""));
}

function said(
  made: Strip,
  files: readonly StripFile[],
  folder: string,
  problems: readonly Problem[],
): string {
  const { bars, ladder } = made;
  const ends =
    bars.length > 0
      ? `${bars[0]!.atMm} to ${bars.at(-1)!.atMm} mm from ${ladder === "ramp" ? "the coupon's middle" : "the crown line"}`
      : "";
  const rows = [
    ["mark", "power W", "speed mm/s", "focus mm", "file"],
    ...files.flatMap(({ name, marks }) =>
      marks.map((mark) => [
        String(mark.number),
        ladder === "squares" ? "–" : String(mark.settings.powerW),
        ladder === "squares" ? "–" : String(mark.settings.speedMmS),
        String(mark.belowCrownMm),
        name,
      ]),
    ),
  ];
  const lines = [
    `STRIP ${made.name}`,
    row("for", placeWords(made)),
    ...(bars.length > 0
      ? [
          row(
            "bars",
            `${bars.length}, ${ends}; numbers left to right${ladder === "ramp" ? "" : ", the rim up"}`,
          ),
          row("size", `${heightOf(made).toFixed(1)} mm along the vessel`),
        ]
      : [row("square", `${made.sideMm} mm as commanded`)]),
    ...files.map(({ marks }, i) =>
      row(i === 0 ? "head" : "", `${namesOf(marks)}: ${heightWords(made, marks[0]!)}`),
    ),
    ...table(rows, [0, 1, 2, 3]).map((line, i) => row(i === 0 ? "marks" : "", line)),
    ...problemRows(problems),
    row("sheet", join(folder, `${made.name}.strip.pdf`)),
    row("form", join(folder, `${made.name}.readings.csv`)),
    row(
      "next",
      `mark it on a spare vessel, read it, fill in the form, then: fallaway fit ${join(folder, `${made.name}.readings.csv`)} --out ${folder}`,
    ),
    ...careRows(made.job.source.wavelengthNm),
  ];
  return `${lines.join("\n")}\n`;
}

const namesOf = (marks: StripFile["marks"]): string =>
  marks.length === 1 ? `mark ${marks[0]!.number}` : `marks ${marks[0]!.number} to ${marks.at(-1)!.number}`;
