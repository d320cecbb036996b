/**
 * Readings as a file: the form filled in (CSV, see readingsform.ts), or JSON:
 *
 *   { "strip": "settings.strip.json", "readings": [{ "mark": 1, "firstClear": 12, "lastClear": 70, "firstGap": "none", … }] }
 *
 * or that list alone. The strip is the file of the same name beside it, unless another is named.
 */
import { existsSync } from "node:fs";
import { dirname, resolve } from "node:path";
import type { RawReading } from "../dialin/readings.ts";
import { nearest } from "../job/nearest.ts";
import { JobError } from "../problem.ts";
import { parsedJson } from "./json.ts";
import { type ReadColumn, readColumns, type SetColumn, setColumns } from "./readingsform.ts";
import { cellsOf, type Line, linesOf, numberOf, separatorOf, textOfTable } from "./tabletext.ts";

export type RawRow = RawReading & { readonly set: Partial<Record<SetColumn, number>> };

export interface ReadingsFile {
  readonly path: string;
  readonly stripPath: string;
  readonly rows: readonly RawRow[];
}

const MOST_BYTES = 1 << 20;
const expected = "save the form that fallaway strip wrote as CSV, with its own columns";

/** `stripPath`: the strip's file where it is named. Throws JobError, naming file and row. */
export function readReadings(path: string, stripPath?: string): ReadingsFile {
  const text = textOfTable(path, {
    what: "a form of readings",
    code: "readings-not-text",
    expected,
    mostBytes: MOST_BYTES,
    tooLong: () => new JobError("readings-long", `${path} holds more than 1 MB`, expected),
  });
  if (!/^\s*[[{]/.test(text))
    return { path, stripPath: stripPath ?? beside(path), rows: tableRows(text, path) };
  const { strip, rows } = jsonRows(text, path);
  return {
    path,
    stripPath: stripPath ?? (strip === undefined ? beside(path) : resolve(dirname(path), strip)),
    rows,
  };
}

/** NAME.readings.csv → NAME.strip.json */
function beside(path: string): string {
  const strip = path.replace(/(\.readings)?\.(csv|json|txt)$/i, ".strip.json");
  if (strip !== path && existsSync(strip)) return strip;
  throw new JobError(
    "strip-missing",
    `${path}: the strip that it is read from is not beside it (${strip === path ? "NAME.strip.json" : strip})`,
    "put the file that fallaway strip wrote there, or name it with --strip",
  );
}

const keyOf = (column: string): string =>
  column.replace(/_(.)/g, (_, letter: string) => letter.toUpperCase());
const keys = new Map<string, ReadColumn | SetColumn | "mark">(
  ["mark" as const, ...setColumns, ...readColumns].map((column) => [keyOf(column), column]),
);
const isSet = (column: string): column is SetColumn => (setColumns as readonly string[]).includes(column);

function tableRows(text: string, path: string): RawRow[] {
  const [head, ...rest] = linesOf(text.replace(/^\uFEFF/, ""));
  if (!head) throw new JobError("readings-empty", `${path} holds no readings`, expected);
  const separator = separatorOf(head.text);
  const columns = cellsOf(head.text, separator).map((cell) => cell.toLowerCase());
  while (columns.at(-1) === "") columns.pop();
  const known = ["mark", ...setColumns, ...readColumns];
  for (const column of columns) checkColumn(column, known, columns, path, head.line);
  if (!columns.includes("mark"))
    throw new JobError("readings-columns", `${path}: no column is called mark`, expected, {
      line: head.line,
    });
  return rest.map((line, i) => tableRow(line, i + 1, columns, separator, path));
}

function checkColumn(
  column: string,
  known: readonly string[],
  columns: readonly string[],
  path: string,
  line: number,
): void {
  const bad = (message: string, hint: string): never => {
    throw new JobError("readings-columns", `${path}: ${message}`, hint, { line });
  };
  if (!known.includes(column)) {
    const near = nearest(column, known);
    bad(
      `the column “${column.slice(0, 40)}” is not known`,
      near.length > 0 ? `did you mean ${near.join(" or ")}?` : `known: ${known.join(", ")}`,
    );
  }
  if (columns.indexOf(column) !== columns.lastIndexOf(column))
    bad(`two columns are called ${column}`, "keep one of the two");
}

function tableRow(
  { text, line }: Line,
  row: number,
  columns: readonly string[],
  separator: string,
  path: string,
): RawRow {
  const cells = cellsOf(text, separator);
  while (cells.length > columns.length && cells.at(-1) === "") cells.pop();
  if (cells.length > columns.length) {
    throw new JobError(
      "readings-cells",
      `${path}: row ${row} has ${cells.length} cells under ${columns.length} names`,
      separator === ","
        ? "write decimals with a point, or put semicolons between the cells"
        : "give each row as many cells as there are names",
      { line },
    );
  }
  const values = columns.flatMap((column, i): [string, unknown][] => {
    const cell = cells[i] ?? "";
    if (cell === "") return [];
    // Among commas a decimal comma stands in quotes.
    return [[column, numberOf(cell, true) ?? cell]];
  });
  return rowOf(Object.fromEntries(values), row, path, line);
}

/** `values` by column. */
function rowOf(values: Record<string, unknown>, row: number, path: string, line?: number): RawRow {
  const where = line === undefined ? undefined : { line };
  const bad = (column: string, hint: string): never => {
    const found = String(values[column]).slice(0, 40);
    const name = line === undefined ? keyOf(column) : column;
    throw new JobError("reading-number", `${path}: row ${row}: ${name} is “${found}”`, hint, where);
  };
  const set: Partial<Record<SetColumn, number>> = {};
  const read: Record<string, number | "none"> = {};
  for (const [column, value] of Object.entries(values)) {
    if (value === undefined || value === null || value === "") continue;
    const bars = /^(first|last)_/.test(column);
    if (typeof value === "number" && Number.isFinite(value)) {
      if ((bars || column === "mark") && !Number.isInteger(value))
        bad(column, "write the whole number of a bar or a mark");
      if (isSet(column)) set[column] = value;
      else if (column !== "mark") read[keyOf(column)] = value;
      continue;
    }
    if (bars && typeof value === "string" && value.trim().toLowerCase() === "none")
      read[keyOf(column)] = "none";
    else {
      const quotes = line === undefined ? " without quotes" : "";
      bad(
        column,
        bars
          ? `write a bar's number${quotes}, none, or nothing`
          : `write a plain number${quotes}, or nothing`,
      );
    }
  }
  if (typeof values.mark !== "number")
    throw new JobError(
      "reading-number",
      `${path}: row ${row} does not say its mark`,
      "write the mark's number",
      where,
    );
  return { row, mark: values.mark, set, ...read };
}

function jsonRows(text: string, path: string): { strip?: string; rows: RawRow[] } {
  const value = parsedJson(
    text,
    path,
    "readings-json",
    "mend it at the place named, or fill in the form (CSV)",
  );
  const whole = isObject(value) ? value : { readings: value };
  const { strip, readings } = whole;
  if (!Array.isArray(readings) || (strip !== undefined && typeof strip !== "string")) {
    throw new JobError(
      "readings-json",
      `${path} is no list of readings`,
      'write { "strip": "NAME.strip.json", "readings": [{ "mark": 1, "firstClear": 12, "lastClear": 70 }] }',
    );
  }
  const rows = readings.map((item: unknown, i) => {
    if (!isObject(item))
      throw new JobError(
        "readings-json",
        `${path}: row ${i + 1} is no object`,
        'write each as { "mark": 1, "firstClear": 12, … }',
      );
    const values = Object.entries(item).map(([key, cell]): [string, unknown] => {
      const column = keys.get(key);
      if (column) return [column, cell];
      const near = nearest(key, [...keys.keys()]);
      throw new JobError(
        "readings-columns",
        `${path}: row ${i + 1} has the unknown key "${key.slice(0, 40)}"`,
        near.length > 0 ? `did you mean ${near.join(" or ")}?` : `known: ${[...keys.keys()].join(", ")}`,
      );
    });
    return rowOf(Object.fromEntries(values), i + 1, path);
  });
  return { ...(strip === undefined ? {} : { strip }), rows };
}

const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);
