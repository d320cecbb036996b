/** `proof` of one artwork: pictures of the vessel and the pages that the customer signs. */
import { basename, extname } from "node:path";
import { orderName } from "../picture/jobwords.ts";
import type { Paper } from "../picture/page/page.ts";
import { type ProofSubject, proofPages, viewsSheet } from "../picture/proof/proofpage.ts";
import { reportOf } from "../plan/report.ts";
import type { Asked } from "./ask.ts";
import { writeAll } from "./files.ts";
import { fontFilesOf } from "./fonts.ts";
import { lettered, withProblems } from "./lettered.ts";
import { writePdf } from "./pdf.ts";
import { pagePng } from "./png.ts";
import { exitCode, fileEntries, json, type KindOutput, run } from "./prepare.ts";
import { proofSummary } from "./proofsummary.ts";
import { type EncodedShot, shotsOf } from "./shots.ts";
import { today } from "./today.ts";
import { lettering } from "./typefaces.ts";

/** Longer side of a picture (px). */
const SIDE = 1600;
/** The sheet of pictures is laid out by their px; what a mm of it is makes no odds. */
const PX_PER_MM = 10;

export interface ProofAsked {
  readonly folder: string;
  readonly paper: Paper;
  /** The ideal mark beside the predicted one. */
  readonly withIdeal: boolean;
}

export async function proof(asked: Asked, { folder, paper, withIdeal }: ProofAsked): Promise<number> {
  const { plan, progress } = await run(asked);
  const title = basename(asked.artPath);
  const name = basename(asked.artPath, extname(asked.artPath));
  progress.step("drawing the vessel");
  const { predicted, ideal, notes } = await shotsOf(plan, SIDE, withIdeal);
  const letters = lettering(fontFilesOf(asked.job.ink.fonts));
  const date = asked.job.order.date ?? today();
  const subject: ProofSubject = {
    plan,
    title,
    date,
    predicted,
    ideal,
    notes: notes.map(({ words }) => words),
    paper,
  };
  const images = imagesOf([...predicted, ...(ideal ?? [])]);
  progress.step("laying out the pages");
  const png = await pagePng(viewsSheet(subject, letters, PX_PER_MM), images, letters, PX_PER_MM);
  const pages = proofPages(subject, letters);
  const pdf = await writePdf(pages, {
    images,
    lettering: letters,
    title: `${orderName(plan, title)}: proof`,
    date,
  });
  const outputs: KindOutput[] = [
    { kind: "proof", name: `${name}.proof.png`, data: png },
    { kind: "proof", name: `${name}.proof.pdf`, data: pdf },
  ];
  progress.step("writing the files");
  const written = writeAll(folder, outputs);
  progress.stop();
  const report = withProblems(reportOf(plan, fileEntries(outputs, written)), lettered(pages, letters));
  process.stdout.write(asked.asJson ? json(report) : proofSummary(plan, report, notes, folder));
  return exitCode(plan);
}

export const imagesOf = (shots: readonly EncodedShot[]): Map<string, Buffer> =>
  new Map(shots.map(({ name, png }) => [name, png]));
