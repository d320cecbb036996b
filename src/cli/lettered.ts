/** Characters of a page that no font here has: drawn as boxes, and told. */
import type { Lettering } from "../picture/lettering.ts";
import type { Page } from "../picture/page/page.ts";
import type { Report } from "../plan/report.ts";
import type { Problem } from "../problem.ts";

/** One caution for all of them, or nothing. */
export function lettered(pages: readonly Page[], lettering: Lettering): Problem[] {
  const missing = new Set<string>();
  for (const { items } of pages)
    for (const item of items)
      if (item.kind === "text")
        for (const character of lettering.missing(item.words, item.weight)) missing.add(character);
  if (missing.size === 0) return [];
  const shown = [...missing].slice(0, 8).join(" ");
  const more = missing.size > 8 ? ` and ${missing.size - 8} more` : "";
  return [
    {
      code: "character-missing",
      severity: "caution",
      message: `no font here has ${shown}${more}: boxes stand in on the pages`,
      hint: "give a font that has them with --fonts",
    },
  ];
}

/** The report with what only its pages know; a caution makes what was ready one. */
export const withProblems = (report: Report, problems: readonly Problem[]): Report => ({
  ...report,
  verdict: report.verdict === "ready" && problems.length > 0 ? "caution" : report.verdict,
  reasons: [...report.reasons, ...problems.map(({ where: _, ...rest }) => rest)],
});
