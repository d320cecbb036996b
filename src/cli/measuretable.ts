/** A table of measurements as text: the header's names, the separator between the cells, numbers as people type them. */
import type { MeasureAsked } from "../job/measures.ts";
import { nearest } from "../job/nearest.ts";
import { JobError } from "../problem.ts";
import { cellsOf, type Line, linesOf, numberOf, separatorOf } from "./tabletext.ts";

const names = ["height_mm", "below_rim_mm", "diameter_mm", "circumference_mm"] as const;
type Name = (typeof names)[number];

/** No vessel is measured in more. */
export const MOST_ROWS = 5000;

/** Throws JobError for more rows than that, before any is read. */
export function checkCount(count: number, path: string): void {
  if (count <= MOST_ROWS) return;
  throw new JobError(
    "profile-long",
    `${path} has ${count} rows, more than ${MOST_ROWS}`,
    "a row for every half millimetre is more than enough",
  );
}

interface Header {
  readonly separator: string;
  /** What each column is called, as it stands there. */
  readonly columns: readonly string[];
}

/**
 * The rows in their order, numbered from 1. `rimMm`: the rim's height, where the table gives distances below it; heights
 * then count from the lowest row. Throws JobError, naming the file and the row.
 */
export function readTable(text: string, path: string): { rows: MeasureAsked[]; rimMm?: number } {
  const [first, ...rest] = linesOf(text);
  if (first === undefined) {
    throw new JobError("profile-empty", `${path} holds no measurements`, `begin with the line ${sample}`);
  }
  const header = readHeader(first, path);
  checkCount(rest.length, path);
  const rows = rest.map((one, i) => readRow(one, i + 1, header, path));
  if (!header.columns.includes("below_rim_mm")) return { rows: rows.map(({ below: _, ...row }) => row) };
  const rimMm = rows.reduce((most, { below }) => Math.max(most, below ?? 0), 0);
  return {
    rows: rows.map(({ below, ...row }) => ({
      ...row,
      // Without the digits that subtracting leaves behind.
      heightMm: below === undefined ? undefined : Number((rimMm - below).toFixed(9)),
    })),
    rimMm,
  };
}

const sample = "height_mm,diameter_mm";

function readHeader({ text, line }: Line, path: string): Header {
  const separator = separatorOf(text);
  const columns = cellsOf(text, separator).map((cell) => cell.toLowerCase());
  const bad = (message: string, hint: string): JobError =>
    new JobError("profile-header", `${path}: ${message}`, hint, { line });
  const has = (name: Name): boolean => columns.includes(name);
  for (const column of columns) {
    if ((names as readonly string[]).includes(column)) continue;
    if (!/^(height|below|diam|circ)/.test(column)) continue;
    const near = nearest(column, names);
    throw bad(
      `the column “${column.slice(0, 40)}” is not known`,
      near.length > 0
        ? `did you mean ${near.join(" or ")}? all in mm`
        : `known: ${names.join(", ")}, all in mm`,
    );
  }
  for (const name of names) {
    if (columns.indexOf(name) !== columns.lastIndexOf(name))
      throw bad(`two columns are called ${name}`, "keep one of the two");
  }
  if (has("height_mm") && has("below_rim_mm"))
    throw bad("both height_mm and below_rim_mm are given", "keep one of the two");
  if (!has("height_mm") && !has("below_rim_mm"))
    throw bad("no column is called height_mm or below_rim_mm", `begin with a line of names, as ${sample}`);
  if (!has("diameter_mm") && !has("circumference_mm"))
    throw bad(
      "no column is called diameter_mm or circumference_mm",
      `begin with a line of names, as ${sample}`,
    );
  return { separator, columns };
}

type TableRow = MeasureAsked & { readonly below?: number };

function readRow({ text, line }: Line, row: number, { separator, columns }: Header, path: string): TableRow {
  const cells = cellsOf(text, separator);
  while (cells.length > columns.length && cells.at(-1) === "") cells.pop();
  if (cells.length > columns.length) {
    throw new JobError(
      "profile-cells",
      `${path}: row ${row} has ${cells.length} cells under ${columns.length} names`,
      separator === ","
        ? "write decimals with a point, or put semicolons between the cells"
        : "give each row as many cells as the header has names",
      { line },
    );
  }
  const number = (name: Name): number | undefined => {
    const cell = cells[columns.indexOf(name)];
    if (cell === undefined || cell === "") return undefined;
    const value = numberOf(cell, separator !== ",");
    if (value !== null) return value;
    throw new JobError(
      "profile-number",
      `${path}: row ${row}: ${name} “${cell.slice(0, 40)}” is not a number`,
      separator === "," ? "write plain numbers in mm, with a decimal point" : "write plain numbers in mm",
      { line },
    );
  };
  const below = number("below_rim_mm");
  if (below !== undefined && below < 0) {
    throw new JobError(
      "profile-number",
      `${path}: row ${row}: below_rim_mm is ${below}`,
      "measure from the rim down; distances below it are positive",
      { line },
    );
  }
  return {
    row,
    line,
    heightMm: number("height_mm"),
    diameterMm: number("diameter_mm"),
    circumferenceMm: number("circumference_mm"),
    ...(below === undefined ? {} : { below }),
  };
}
