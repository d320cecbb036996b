/** Errors as lines on standard error, and the exit code they stand for. */
import { JobError, type Problem, ProblemsError } from "../problem.ts";
import { byKind, placeOf } from "./places.ts";

export function tell(error: unknown): number {
  if (error instanceof ProblemsError && error.problems.length > 1) {
    const { problems } = error;
    process.stderr.write(
      `fallaway: ${error.file}${problems.length} things stand in the way, nothing was written\n`,
    );
    for (const { list, more } of byKind(problems)) {
      for (const problem of list) process.stderr.write(`  ${problem.code}: ${lineOf(problem)}\n`);
      if (more > 0) process.stderr.write(`  ${list[0]?.code}: and ${more} more like it\n`);
    }
    const codes = [...new Set(problems.map((p) => p.code))];
    process.stderr.write(`  mend them in the artwork, or let them pass with --allow ${codes.join(" ")}\n`);
    return 2;
  }
  if (error instanceof JobError) {
    process.stderr.write(
      `fallaway: ${error instanceof ProblemsError ? error.file : ""}${lineOf(error.problem)}${allowHint(error)}\n`,
    );
    return 2;
  }
  const text = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  process.stderr.write(`fallaway: internal error, nothing was written: ${oneLine(text)}\n`);
  return 1;
}

const allowHint = (error: JobError): string =>
  error instanceof ProblemsError ? `; or let it pass with --allow ${error.problem.code}` : "";

const lineOf = (problem: Problem): string =>
  `${oneLine(problem.message)}${placeOf(problem)}: ${oneLine(problem.hint)}`;

const oneLine = (text: string): string => text.replace(/\s*\n\s*/g, " ");
