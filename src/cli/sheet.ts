/** `sheet`: job and artwork in; the marks, the alignment line and the station sheet as PDF and HTML out. */
import { basename, extname, join } from "node:path";
import type { Lettering } from "../picture/lettering.ts";
import { marksSvg } from "../picture/marks.ts";
import type { Page, Paper } from "../picture/page/page.ts";
import { alignSvg } from "../picture/sheet/align.ts";
import { sheetContent } from "../picture/sheet/content.ts";
import { sheetHtml } from "../picture/sheet/sheethtml.ts";
import { sheetPage } from "../picture/sheet/sheetpage.ts";
import type { Sheet, SheetFacts } from "../picture/sheet/types.ts";
import { type Report, reportOf } from "../plan/report.ts";
import type { Problem } from "../problem.ts";
import type { Asked } from "./ask.ts";
import { sha256, writeAll } from "./files.ts";
import { fontFilesOf } from "./fonts.ts";
import { lettered, withProblems } from "./lettered.ts";
import { writePdf } from "./pdf.ts";
import { exitCode, fileEntries, json, type KindOutput, run } from "./prepare.ts";
import { careRows, row } from "./rows.ts";
import { problemRows } from "./summary.ts";
import { today } from "./today.ts";
import { lettering } from "./typefaces.ts";

export async function sheet(asked: Asked, folder: string, paper: Paper): Promise<number> {
  const { plan, progress } = await run(asked);
  const title = basename(asked.artPath);
  const name = basename(asked.artPath, extname(asked.artPath));
  progress.step("writing the marks");
  const marks = marksSvg(plan);
  const facts: SheetFacts = {
    title,
    marks: `${name}.warped.svg`,
    align: `${name}.align.svg`,
    html: `${name}.sheet.html`,
    sha256: sha256(marks),
    date: asked.job.order.date ?? today(),
    paper,
  };
  progress.step("laying out the sheet");
  const content = sheetContent(plan, facts);
  const letters = lettering(fontFilesOf(asked.job.ink.fonts));
  const page = sheetPage(content, letters);
  const pdf = await pdfOf(content, page, letters);
  const outputs: KindOutput[] = [
    { kind: "warped", name: facts.marks, data: marks },
    { kind: "alignment", name: facts.align, data: alignSvg(plan) },
    { kind: "sheet", name: `${name}.sheet.pdf`, data: pdf },
    { kind: "sheet", name: facts.html, data: sheetHtml(content) },
  ];
  progress.step("writing the files");
  writeAll(folder, outputs);
  progress.stop();
  const report = withProblems(reportOf(plan, fileEntries(outputs)), lettered([page], letters));
  process.stdout.write(asked.asJson ? json(report) : said(report, folder));
  return exitCode(plan);
}

function pdfOf({ name, facts }: Sheet, page: Page, letters: Lettering): Promise<Buffer> {
  return writePdf([page], {
    images: new Map(),
    lettering: letters,
    title: `${name}: station sheet`,
    subject: `${facts.marks}, SHA-256 ${facts.sha256}`,
    date: facts.date,
  });
}

/** What was written and what to do with it; the sheet itself says the rest. */
function said(report: Report, folder: string): string {
  const { verdict, reasons, focus, files, head } = report;
  const [marks, align, ...sheets] = files.map((file) => join(folder, file.path));
  const note = verdict === "stop" ? "do not mark it as it is; " : "";
  const lines = [
    verdict.toUpperCase(),
    row("head", `lens reference ${focus.lensToCrownMm.toFixed(1)} mm above the crown line`),
    ...problemRows(reasons as readonly Problem[]),
    row("load", `${note}${marks}`),
    row("align", `${align}, with the visible pointer alone`),
    ...sheets.map((path, i) => row(i === 0 ? "sheet" : "", path)),
    ...careRows(head.wavelengthNm),
  ];
  return `${lines.join("\n")}\n`;
}
