/** Tables as people save them: encodings, separators, quotes, decimal commas, remarks, rows of nothing but separators. */
import { JobError } from "../problem.ts";
import { encodingOf } from "./encoding.ts";
import { readInput } from "./files.ts";
import { kindOf } from "./magic.ts";

export interface TableFile {
  /** What is asked for, for messages. */
  readonly what: string;
  /** Of the error for what is no text. */
  readonly code: string;
  /** What to save it as. */
  readonly expected: string;
  readonly mostBytes: number;
  tooLong(): JobError;
}

/** Throws JobError for what is no text. */
export function textOfTable(path: string, { what, code, expected, mostBytes, tooLong }: TableFile): string {
  const bytes = readInput(path, what);
  const kind = kindOf(bytes);
  // A workbook is a ZIP archive.
  if (kind) throw new JobError(code, `${path} is ${kind.name}, not a table of text`, expected);
  if (bytes.length > mostBytes) throw tooLong();
  const { label } = encodingOf(bytes);
  const text = label.startsWith("utf-16") ? new TextDecoder(label).decode(bytes) : utf8(bytes);
  if (text.includes("\0")) {
    throw new JobError(code, `${path} holds zero bytes: it is binary data`, expected);
  }
  return text;
}

/** What is no UTF-8 matters only in remarks; in a number it is refused there. */
const utf8 = (bytes: Uint8Array): string => new TextDecoder().decode(bytes);

export interface Line {
  readonly text: string;
  /** In the file, from 1. */
  readonly line: number;
}

/** Without remarks and empty rows; spreadsheets write rows of nothing but separators. */
export const linesOf = (text: string): Line[] =>
  text
    .split(/\r\n|\n|\r/)
    .map((one, i) => ({ text: one, line: i + 1 }))
    .filter((one) => !/^["\s,;]*(#|$)/.test(one.text));

export const separatorOf = (head: string): string =>
  head.includes("\t") ? "\t" : head.includes(";") ? ";" : ",";

/** Inside quotes a separator separates nothing (RFC 4180, but for line breaks in them). */
export function cellsOf(text: string, separator: string): string[] {
  const cells: string[] = [];
  let [from, quoted] = [0, false];
  for (let i = 0; i <= text.length; i++) {
    if (text[i] === '"') quoted = !quoted;
    if (i < text.length && (quoted || text[i] !== separator)) continue;
    cells.push(unquoted(text.slice(from, i)));
    from = i + 1;
  }
  return cells;
}

const unquoted = (cell: string): string =>
  cell
    .trim()
    .replace(/^"(.*)"$/, "$1")
    .trim();

/** One point, or one comma where that may be; null for anything else, and for what is too large for a number. */
export function numberOf(cell: string, comma: boolean): number | null {
  const plain = comma && !cell.includes(".") ? cell.replace(",", ".") : cell;
  if (!/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain)) return null;
  const value = Number(plain);
  return Number.isFinite(value) ? value : null;
}
