/** What `proof` says of itself: the verdict, what the picture assumes, where the files are. */
import { join } from "node:path";
import { turnsFact } from "../picture/proof/shapewords.ts";
import { stopWords } from "../picture/proof/words.ts";
import { processShown } from "../picture/render/reveal.ts";
import type { Assumed } from "../picture/render/scene.ts";
import { downTenth, percent } from "../plan/figures.ts";
import { FADE } from "../plan/fits.ts";
import { middleWords } from "../plan/process/label.ts";
import type { Report } from "../plan/report.ts";
import type { Plan } from "../plan/types.ts";
import { widthWords } from "../plan/vesselsaid.ts";
import type { Problem } from "../problem.ts";
import { row } from "./rows.ts";
import { problemRows } from "./summary.ts";

export function proofSummary(plan: Plan, report: Report, notes: readonly Assumed[], folder: string): string {
  const { artwork, reach, vessel } = report;
  const wide = widthWords[vessel.fidelity];
  const stop = stopWords(plan);
  const turns = turnsFact(plan);
  const lines = [
    report.verdict.toUpperCase(),
    row(
      "size",
      `${artwork.widthMm.toFixed(1)} mm ${wide}, ${artwork.heightMm.toFixed(1)} mm along; the reach is ${downTenth(reach.aroundMm)} mm`,
    ),
    ...(turns === null ? [] : [row("turns", turns)]),
    row("picture", removalWords(plan, report)),
    ...notes.map(({ words, option }) => row("assumed", `${words}${option ? `; give ${option}` : ""}`)),
    ...problemRows(report.reasons as readonly Problem[]),
    ...(stop ? [row("", stop.head)] : []),
    ...report.files.map(({ path }, i) => row(i === 0 ? "files" : "", join(folder, path))),
  ];
  return `${lines.join("\n")}\n`;
}

const removalWords = (plan: Plan, { calibration, falloff: { ratio } }: Report): string =>
  processShown(plan)
    ? `ink as ${middleWords(plan.job)} predict, ${calibration?.coating ? `calibrated ${calibration.date}` : "uncalibrated"}`
    : `no settings with a coating: ink fades where it gets less than ${percent(FADE)} of the strongest's fluence (the weakest gets ${percent(ratio)})`;
