/**
 * Everything that can be wrong with an artwork or a job is data of this one shape, so that the same words
 * reach the screen, the report and a program that reads it.
 *
 * Severity: `error` the job is ill-posed and nothing is written; `stop` files are written but must not be
 * marked as they are; `caution` read before marking; `note` good to know, changes nothing.
 */
export type Severity = "error" | "stop" | "caution" | "note";

/** Place in the artwork: element name, its id when it has one, and line and column (both from 1). */
export interface Where {
  readonly element?: string;
  readonly id?: string;
  readonly line?: number;
  readonly column?: number;
}

export interface Problem {
  readonly code: string;
  readonly severity: Severity;
  readonly message: string;
  readonly where?: Where;
  readonly hint: string;
}

type Said = (code: string, message: string, hint: string) => Problem;
const said =
  (severity: Severity): Said =>
  (code, message, hint) => ({ code, severity, message, hint });
export const caution = said("caution");
export const note = said("note");

/** Thrown where the job or the artwork is ill-posed and nothing can be written. */
export class JobError extends Error {
  readonly problem: Problem;
  constructor(code: string, message: string, hint: string, where?: Where) {
    super(message);
    this.name = "JobError";
    this.problem = { code, severity: "error", message, hint, ...(where ? { where } : {}) };
  }
}

/** Thrown with everything that stands in the way of marking an artwork; its own problem is the first of them. */
export class ProblemsError extends JobError {
  readonly problems: readonly [Problem, ...Problem[]];
  /** "PATH: " where the file's name is known. */
  readonly file: string;
  /** `problems` must not be empty. */
  constructor(problems: readonly [Problem, ...Problem[]], file = "") {
    const [{ code, message, hint, where }] = problems;
    super(code, message, hint, where);
    this.problems = problems;
    this.file = file;
  }
}
