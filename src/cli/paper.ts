/** The paper asked for. */
import { type Paper, papers } from "../picture/page/page.ts";
import { JobError } from "../problem.ts";

const usual: Paper = "a4";

/** A4 where none is asked for; throws JobError `paper-unknown`. */
export function paperOf(given: unknown): Paper {
  if (given === undefined) return usual;
  const name = String(given).toLowerCase();
  if (Object.hasOwn(papers, name)) return name as Paper;
  throw new JobError(
    "paper-unknown",
    `--paper cannot be "${given}"`,
    `give ${Object.keys(papers).join(" or ")}`,
  );
}
