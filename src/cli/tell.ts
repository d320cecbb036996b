/** Errors as one line on standard error, and the exit code they stand for. */
import { JobError } from "../problem.ts";

export function tell(error: unknown): number {
  if (error instanceof JobError) {
    const { message, hint, where } = error.problem;
    const place =
      where?.line === undefined
        ? ""
        : ` (line ${where.line}${where.column === undefined ? "" : `, column ${where.column}`})`;
    const known = /\bline \d/.test(message) ? "" : place;
    process.stderr.write(`fallaway: ${oneLine(message)}${known}: ${oneLine(hint)}\n`);
    return 2;
  }
  const text = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  process.stderr.write(`fallaway: internal error, nothing was written: ${oneLine(text)}\n`);
  return 1;
}

const oneLine = (text: string): string => text.replace(/\s*\n\s*/g, " ");
