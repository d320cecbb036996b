/** What `proof` says of itself: the verdict, what the picture assumes, where the files are. */
import type { Assumed } from "../picture/render/scene.ts";
import { downTenth, percent } from "../plan/figures.ts";
import type { Report } from "../plan/report.ts";
import type { Plan } from "../plan/types.ts";
import type { Problem } from "../problem.ts";
import { row } from "./rows.ts";
import { problemRows } from "./summary.ts";

export function proofSummary(plan: Plan, report: Report, notes: readonly Assumed[], folder: string): string {
  const { artwork, reach, falloff } = report;
  const lines = [
    report.verdict.toUpperCase(),
    row(
      "size",
      `${artwork.widthMm.toFixed(1)} mm around, ${artwork.heightMm.toFixed(1)} mm along; the reach is ${downTenth(reach.aroundMm)} mm`,
    ),
    row("picture", removalWords(plan, falloff.ratio)),
    ...notes.map(({ words, option }) => row("assumed", `${words}${option ? `; give ${option}` : ""}`)),
    ...problemRows(report.reasons as readonly Problem[]),
    ...(report.verdict === "stop"
      ? [row("", "not for approval: what lies beyond the limits cannot be marked as it is")]
      : []),
    ...report.files.map(({ path }, i) => row(i === 0 ? "files" : "", `${folder}/${path}`)),
  ];
  return `${lines.join("\n")}\n`;
}

const removalWords = ({ job, forecast }: Plan, ratio: number): string =>
  job.coating && forecast
    ? "ink as the profiles' middle figures predict, uncalibrated"
    : `no settings with a coating: ink fades where it gets less than half of the strongest's fluence (the weakest gets ${percent(ratio)})`;
