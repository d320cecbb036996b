/** JSON as a file holds it, with or without a byte order mark; what is none is said in one line. */
import { JobError } from "../problem.ts";

/** Throws JobError `code` with the parser's own words and what to do. */
export function parsedJson(text: string, path: string, code: string, hint: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ""));
  } catch (error) {
    throw new JobError(code, `${path} is not JSON: ${(error as Error).message}`, hint);
  }
}
