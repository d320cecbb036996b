/** `sheet`: job and artwork in; the marks of every turn, the alignment line and the station sheet as PDF and HTML out. */
import { readFileSync } from "node:fs";
import { basename, extname, join } from "node:path";
import type { Job, JobFile } from "../job/job.ts";
import { jobFileOf } from "../job/written.ts";
import { bandsSvg } from "../picture/bandssvg.ts";
import { fillDxf } from "../picture/filldxf.ts";
import { fillSvg } from "../picture/fillsvg.ts";
import type { Lettering } from "../picture/lettering.ts";
import { marksSvg } from "../picture/marks.ts";
import type { Page, Paper } from "../picture/page/page.ts";
import { alignSvg } from "../picture/sheet/align.ts";
import { sheetContent } from "../picture/sheet/content.ts";
import { sheetHtml } from "../picture/sheet/sheethtml.ts";
import { sheetPages } from "../picture/sheet/sheetpage.ts";
import { fileList, type Sheet, type SheetFacts } from "../picture/sheet/types.ts";
import { loadedOf } from "../plan/fill/loaded.ts";
import { planOf } from "../plan/plan.ts";
import { type Report, reportOf } from "../plan/report.ts";
import type { Plan } from "../plan/types.ts";
import type { Problem } from "../problem.ts";
import type { Asked } from "./ask.ts";
import { keepOthers, namesOf, sha256, sha256OfText, writeAll } from "./files.ts";
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
  const marks = marksOf(plan, name);
  const facts: SheetFacts = {
    title,
    ...told(marks, name),
    align: `${name}.align.svg`,
    html: `${name}.sheet.html`,
    date: asked.job.order.date ?? today(),
    paper,
  };
  progress.step("laying out the sheet");
  const content = sheetContent(plan, facts);
  const letters = lettering(fontFilesOf(asked.job.ink.fonts));
  const pages = sheetPages(content, letters);
  const pdf = await pdfOf(content, pages, letters);
  const outputs: KindOutput[] = [
    ...marks,
    ...dxfOf(plan, name),
    { kind: "alignment", name: facts.align, data: alignSvg(plan) },
    { kind: "sheet", name: `${name}.sheet.pdf`, data: pdf },
    { kind: "sheet", name: facts.html, data: sheetHtml(content) },
  ];
  progress.step("writing the files");
  keepOthers(folder, name, outputs);
  const written = writeAll(folder, outputs, staleMarks(folder, name, asked.job, outputs));
  progress.stop();
  const files = reportOf(
    plan,
    fileEntries(outputs, written),
    marks.map((file) => [file.name]),
  );
  const report = withProblems(files, lettered(pages, letters));
  process.stdout.write(
    asked.asJson
      ? json(report)
      : said(report, folder, asked.job.fill?.files === "each" && plan.fill !== null),
  );
  return exitCode(plan);
}

/** What one turn loads, and its hash. */
type Marks = KindOutput & { readonly sha256: string };

/** One file a turn: the lines where they are laid, the outlines in bands where those are asked for, else the outlines. */
const marksOf = (plan: Plan, name: string): Marks[] =>
  plan.turns.map((turn) => {
    const own = planOf(plan, turn);
    const laid = loadedOf(plan);
    const part = plan.turns.length > 1 ? `${name}.turn-${turn.index}` : name;
    const fill = plan.fill?.turns[turn.index - 1];
    // Gone through twice, for the hash and for the file, and never held as a whole.
    const text = (): Iterable<string> => {
      if (fill && laid === "fill") return fillSvg(own, fill, null);
      return [fill?.bands && laid === "bands" ? bandsSvg(own, fill.bands, plan.fill!) : marksSvg(own)];
    };
    return { kind: laid, name: `${part}.${laid}.svg`, data: text(), sha256: sha256OfText(text()) };
  });

/** The marks' names and hashes; of several the hash is that of their list. */
function told(marks: readonly Marks[], name: string): Pick<SheetFacts, "marks" | "sha256" | "turnFiles"> {
  const files = marks.map((file) => ({ name: file.name, sha256: file.sha256 }));
  const [only] = files;
  if (files.length === 1 && only) return { marks: only.name, sha256: only.sha256 };
  return {
    marks: `${name}.turn-1 to turn-${files.length}.${marks[0]!.kind}.svg`,
    sha256: sha256(fileList(files)),
    turnFiles: files,
  };
}

/** The same lines as DXF, where that is asked for. */
const dxfOf = (plan: Plan, name: string): KindOutput[] =>
  plan.fill?.asked.lines && plan.fill.asked.dxf
    ? plan.fill.turns.map((turn, i) => ({
        kind: "fill",
        name: `${plan.turns.length > 1 ? `${name}.turn-${i + 1}` : name}.fill.dxf`,
        data: fillDxf(planOf(plan, plan.turns[i]!), turn, null),
      }))
    : [];

/** Marks of an earlier run, which loaded by mistake would be another job's; those that `prepare` wrote for this job stay. */
function staleMarks(folder: string, name: string, job: Job, outputs: readonly KindOutput[]): string[] {
  const ours = new Set([...outputs.map((one) => one.name), ...preparedFor(folder, name, job)]);
  return namesOf(folder, name).filter(
    (file) => /\.(warped|bands|fill|fill\.set-\d+)\.(svg|dxf)$/.test(file) && !ours.has(file),
  );
}

/** What `prepare` wrote into the folder for the same job; nothing where it was for another. */
function preparedFor(folder: string, name: string, job: Job): string[] {
  // What the marks come from; the ink's fonts are named from elsewhere.
  const core = ({ artwork: _, order, ink, layer, calibration, ...rest }: JobFile): string =>
    JSON.stringify([rest, typeof calibration === "object" ? { ...calibration, path: "" } : null]);
  const read = (end: string): unknown =>
    JSON.parse(readFileSync(join(folder, `${name}.${end}.json`), "utf8"));
  try {
    if (core(read("job") as JobFile) !== core(jobFileOf(job))) return [];
    return (read("report") as Report).files.map(({ path }) => path);
  } catch {
    return [];
  }
}

function pdfOf({ name, facts, hashOf }: Sheet, pages: readonly Page[], letters: Lettering): Promise<Buffer> {
  return writePdf(pages, {
    images: new Map(),
    lettering: letters,
    title: `${name}: station sheet`,
    subject: `${facts.marks}, ${hashOf} ${facts.sha256}`,
    date: facts.date,
  });
}

/** What was written and what to do with it; the sheet itself says the rest. */
function said(report: Report, folder: string, inOne: boolean): string {
  const { verdict, reasons, focus, files, head, turns } = report;
  const paths = (...kinds: string[]): string[] =>
    files.filter((file) => kinds.includes(file.kind)).map((file) => join(folder, file.path));
  const all = paths("warped", "fill", "bands");
  const [loads, dxf] = [
    all.filter((path) => path.endsWith(".svg")),
    all.filter((path) => path.endsWith(".dxf")),
  ];
  const note = verdict === "stop" ? "do not mark it as it is; " : "";
  const several = turns.length > 1;
  const lines = [
    verdict.toUpperCase(),
    row("head", `lens reference ${focus.lensToCrownMm.toFixed(1)} mm above the crown line`),
    ...problemRows(reasons as readonly Problem[]),
    ...loads.map((path, i) =>
      row(i === 0 ? "load" : "", `${i === 0 ? note : ""}${several ? `turn ${i + 1}: ` : ""}${path}`),
    ),
    ...dxf.map((path, i) => row(i === 0 ? "or" : "", `${note}${path}: the same lines as DXF, y up`)),
    ...(inOne ? [row("fill", "all sets in one file, a group each: a sheet names one file")] : []),
    ...(report.fill?.lines && report.fill.bands
      ? [row("bands", "left out: the sheet is for the lines")]
      : []),
    ...paths("alignment").map((path) => row("align", `${path}, with the visible pointer alone`)),
    ...paths("sheet").map((path, i) => row(i === 0 ? "sheet" : "", path)),
    ...careRows(head.wavelengthNm),
  ];
  return `${lines.join("\n")}\n`;
}
