/** `fit`: readings of strips in; what they tell of machine, coat and lay out, and a calibration for jobs to name. */
import { basename } from "node:path";
import { z } from "zod";
import { checkTogether } from "../dialin/contradictions.ts";
import { dialIn } from "../dialin/dialin.ts";
import { checkReadings } from "../dialin/readings.ts";
import type { DialIn } from "../dialin/types.ts";
import { readJobFile, resolveJob } from "../job/resolve.ts";
import { readStripFile } from "../job/stripfile.ts";
import { fitPage } from "../picture/strip/fitplot.ts";
import type { ReadStrip, Strip } from "../plan/strip/types.ts";
import { JobError } from "../problem.ts";
import { calibrationOf, machineOf } from "./calibrationof.ts";
import { checkFolder, type Output, readInput, writeAll } from "./files.ts";
import { keepForeign } from "./fitkeep.ts";
import { fitLines } from "./fitrows.ts";
import { parsedJson } from "./json.ts";
import { pagePng } from "./png.ts";
import { loadProfiles } from "./profiles.ts";
import { type RawRow, readReadings } from "./readingsfile.ts";
import { setOf } from "./readingsform.ts";
import { today } from "./today.ts";
import { lettering } from "./typefaces.ts";

/** px per mm of the plot's picture. */
const PX_PER_MM = 6;

export async function fitReadings(
  paths: readonly string[],
  options: Record<string, unknown>,
): Promise<number> {
  const folder = options.out as string | undefined;
  const date = dateOf(options.date);
  if (folder !== undefined) checkFolder(folder);
  const strips = stripsOf(paths, options.strip as readonly string[] | undefined);
  const found = dialIn(strips);
  const job = strips[0]!.strip.job;
  const machine = String(options.machine ?? machineOf(job)).slice(0, 200);
  const calibration = calibrationOf(found, machine, date);
  const name = strips.length === 1 ? strips[0]!.strip.name : nameOf(paths[0]!);
  const answer = jsonOf(found);
  const files: Output[] = [];
  if (folder !== undefined) {
    const letters = lettering();
    const page = fitPage(found, name, letters);
    files.push(
      { name: `${name}.fit.json`, data: `${JSON.stringify(answer, null, 2)}\n` },
      { name: `${name}.fit.png`, data: await pagePng(page, new Map(), letters, PX_PER_MM) },
    );
    if (calibration)
      files.push({ name: `${name}.calibration.json`, data: `${JSON.stringify(calibration, null, 2)}\n` });
    keepForeign(folder, name, files);
    writeAll(folder, files);
  }
  if (options.json === true)
    process.stdout.write(
      `${JSON.stringify({ ...answer, files: files.map((file) => file.name) }, null, 2)}\n`,
    );
  else process.stdout.write(fitLines(found, calibration, folder, files));
  return 0;
}

/** Strips made before any calibration first: what is known before the readings is theirs. */
function stripsOf(paths: readonly string[], named: readonly string[] | undefined): ReadStrip[] {
  if (named !== undefined && named.length !== paths.length) {
    throw new JobError(
      "strip-missing",
      `${named.length} strips are named for ${paths.length} forms`,
      "name one strip for each form, in the same order, or none",
    );
  }
  const read = paths.map((path, i) => readStrip(path, named?.[i]));
  const [first, ...others] = read as [ReadStrip, ...ReadStrip[]];
  for (const { strip } of others) alike(first.strip, strip);
  const names = read.map(({ strip }) => strip.name);
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined)
    throw new JobError(
      "strip-twice",
      `two of the strips are called ${twice}`,
      "give each --name of its own when it is made",
    );
  return [...read.filter(({ strip }) => !strip.calibrated), ...read.filter(({ strip }) => strip.calibrated)];
}

function readStrip(path: string, stripPath: string | undefined): ReadStrip {
  const file = readReadings(path, stripPath);
  const strip = stripIn(file.stripPath);
  try {
    for (const row of file.rows) checkSet(strip, row);
    const readings = checkReadings(strip, file.rows);
    checkTogether({ strip, readings });
    return { strip, readings };
  } catch (error) {
    if (!(error instanceof JobError)) throw error;
    const { code, message, hint } = error.problem;
    throw new JobError(code, `${path}: ${message}`, hint);
  }
}

export function stripIn(path: string): Strip {
  const text = readInput(path, "a strip, as fallaway strip writes it").toString("utf8");
  const value = parsedJson(text, path, "strip-json", "put back the file that fallaway strip wrote");
  const { job, ...rest } = readStripFile(value, path);
  return { ...rest, job: resolveJob(readJobFile(job, path), {}, loadProfiles(), path) };
}

/** What the form says was set is what the strip says. */
function checkSet(strip: Strip, { row, mark: number, set }: RawRow): void {
  const mark = strip.marks.find((one) => one.number === number);
  if (!mark) return;
  for (const [column, value] of Object.entries(set)) {
    const was = setOf(strip, mark, column as keyof typeof set);
    // Spreadsheets round.
    if (Math.abs(value - was) <= 5e-3 * Math.max(1, Math.abs(was))) continue;
    throw new JobError(
      "reading-wrong",
      `row ${row}: mark ${number} has ${column} ${value}, and the strip was made with ${was}`,
      "the form belongs to another strip, or the settings were changed: make a strip of the settings that were used",
    );
  }
}

const parts = ["lens", "source", "coating", "metal"] as const;
function alike({ job: one }: Strip, { job: other, name }: Strip): void {
  const part = parts.find(
    (group) => one[group]?.id !== other[group]?.id && !(group === "coating" && !other.coating),
  );
  if (!part) return;
  throw new JobError(
    "fit-foreign",
    `the strip ${name} is of another ${part} than the first: ${other[part]?.id ?? "none"}, not ${one[part]?.id ?? "none"}`,
    "fit strips of one machine, one coating and one metal together",
  );
}

const nameOf = (path: string): string => basename(path).replace(/(\.readings)?\.[^.]+$/, "");

const day = z.iso.date();
function dateOf(asked: unknown): string {
  if (asked === undefined) return today();
  if (day.safeParse(asked).success) return String(asked);
  throw new JobError(
    "option-value",
    `--date cannot be "${String(asked).slice(0, 40)}"`,
    "give a day of the form YYYY-MM-DD",
  );
}

/** As numbers, rounded to what is meant. */
function jsonOf({ estimates, unresolved, suggestions, residuals, rms, problems }: DialIn) {
  const six = (v: number): number => Number(v.toPrecision(6));
  return {
    estimates: Object.fromEntries(
      Object.entries(estimates).map(([name, { value, low, high, unit }]) => [
        name,
        { value: tidy(value), low: tidy(low), high: high === null ? null : tidy(high), unit },
      ]),
    ),
    unresolved,
    residuals: residuals.map((r) => ({
      ...r,
      predicted: r.predicted === "none" ? r.predicted : six(r.predicted),
      off: tidy(r.off),
    })),
    rms: tidy(rms),
    suggestions,
    problems,
  };
}

/** Six digits, and 0 for what is as good as that. */
const tidy = (v: number): number => (Math.abs(v) < 1e-9 ? 0 : Number(v.toPrecision(6)));
