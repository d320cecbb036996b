/**
 * `--profile FILE`: measured heights and diameters, as a table (CSV) or as JSON, all mm.
 *
 *   height_mm,diameter_mm        or circumference_mm; below_rim_mm in place of height_mm; commas, semicolons or tabs
 *   12.5,80.2                    between the cells, a decimal comma where they are not commas; # begins a remark
 *
 *   [{ "heightMm": 12.5, "diameterMm": 80.2 }, …]   or circumferenceMm; or { "profile": […] }
 */
import type { Measure } from "../job/job.ts";
import { type MeasureAsked, readMeasures } from "../job/measures.ts";
import { nearest } from "../job/nearest.ts";
import { JobError, type Problem } from "../problem.ts";
import { parsedJson } from "./json.ts";
import { checkCount, MOST_ROWS, readTable } from "./measuretable.ts";
import { textOfTable } from "./tabletext.ts";

const MOST_BYTES = 4 << 20;

export interface MeasuredProfile {
  /** From base to rim. */
  readonly rows: readonly Measure[];
  readonly cautions: readonly Problem[];
  /** The rim's height, where the file gives distances below it: heights then count from the lowest row. */
  readonly rimMm?: number;
}

/** Throws JobError, naming the file and the row, for the first thing that is wrong. */
export function readMeasureFile(path: string): MeasuredProfile {
  const text = textOf(path);
  const asked = /^\s*[[{]/.test(text) ? { rows: readJson(text, path) } : readTable(text, path);
  const { rows, problems } = readMeasures(asked.rows);
  const wrong = problems.find(({ severity }) => severity === "error");
  if (wrong) throw new JobError(wrong.code, `${path}: ${wrong.message}`, wrong.hint, wrong.where);
  const cautions = problems.map((problem) => ({ ...problem, message: `${path}: ${problem.message}` }));
  return { rows, cautions, ...("rimMm" in asked ? { rimMm: asked.rimMm } : {}) };
}

const expected = "save the measurements as CSV with the columns height_mm and diameter_mm";

const textOf = (path: string): string =>
  textOfTable(path, {
    what: "a file of measurements",
    code: "profile-not-text",
    expected,
    mostBytes: MOST_BYTES,
    tooLong: () =>
      new JobError(
        "profile-long",
        `${path} holds more than 4 MB; a profile has at most ${MOST_ROWS} rows`,
        "a row for every half millimetre is more than enough",
      ),
  });

const keys = ["heightMm", "diameterMm", "circumferenceMm"] as const;

function readJson(text: string, path: string): MeasureAsked[] {
  const value = parsedJson(text, path, "profile-json", "mend it at the place named, or give a table as CSV");
  const list = isObject(value) ? value.profile : value;
  if (!Array.isArray(list)) {
    throw new JobError(
      "profile-json",
      `${path} is no list of measurements`,
      'write [{ "heightMm": 12.5, "diameterMm": 80.2 }, …] or { "profile": […] }',
    );
  }
  checkCount(list.length, path);
  return list.map((item: unknown, i) => jsonRow(item, i + 1, path));
}

const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

function jsonRow(item: unknown, row: number, path: string): MeasureAsked {
  if (!isObject(item)) {
    throw new JobError(
      "profile-json",
      `${path}: row ${row} is no object`,
      'write each row as { "heightMm": 12.5, "diameterMm": 80.2 }',
    );
  }
  for (const [key, value] of Object.entries(item)) {
    if (!(keys as readonly string[]).includes(key)) {
      const near = nearest(key, keys);
      throw new JobError(
        "profile-json",
        `${path}: row ${row} has the unknown key "${key.slice(0, 40)}"`,
        near.length > 0
          ? `did you mean ${near.map((k) => `"${k}"`).join(" or ")}?`
          : `known: ${keys.join(", ")}`,
      );
    }
    if (typeof value !== "number") {
      throw new JobError(
        "profile-number",
        `${path}: row ${row}: ${key} is not a number`,
        "write plain numbers in mm, without quotes and units",
      );
    }
  }
  return { ...item, row };
}
