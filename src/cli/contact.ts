/** `proof` of a folder: a contact sheet of all its drawings, with the same options for each. */
import { readdirSync } from "node:fs";
import { basename, join, resolve } from "node:path";
import { type ContactEntry, contactPages } from "../picture/proof/contactpage.ts";
import { cautionWords, stopWords } from "../picture/proof/words.ts";
import { type Report, reportOf } from "../plan/report.ts";
import type { Plan, Verdict } from "../plan/types.ts";
import { JobError, type Problem, ProblemsError } from "../problem.ts";
import { ask } from "./ask.ts";
import { isFolder, type Output, writeAll } from "./files.ts";
import { fontFilesOf } from "./fonts.ts";
import { lettered } from "./lettered.ts";
import { writePdf } from "./pdf.ts";
import { pagePng } from "./png.ts";
import { json, run } from "./prepare.ts";
import { imagesOf, type ProofAsked } from "./proof.ts";
import { row } from "./rows.ts";
import { type EncodedShot, shotsOf } from "./shots.ts";
import { problemRows } from "./summary.ts";
import { today } from "./today.ts";
import { lettering } from "./typefaces.ts";

/** Longer side of a thumbnail (px), and px per mm of the pages' pictures. */
const SIDE = 640;
const PX_PER_MM = 8;

/** One drawing of the folder. */
interface Tried {
  readonly file: string;
  readonly plan: Plan | null;
  readonly shot: EncodedShot | null;
  readonly error: JobError | null;
}

/** Throws the first drawing's error where not one could be drawn. */
export async function contactSheet(
  folder: string,
  options: Record<string, unknown>,
  asked: ProofAsked,
): Promise<number> {
  if (asked.withIdeal) {
    const what = "--with-ideal goes with one drawing, not with a folder";
    throw new JobError("ideal-of-folder", what, "leave it out, or give one SVG file");
  }
  const files = readdirSync(folder)
    .filter((name) => /\.svgz?$/i.test(name))
    .sort();
  if (files.length === 0)
    throw new JobError(
      "folder-without-artwork",
      `${folder} holds no SVG file`,
      "give a folder of SVG files, or one file",
    );
  const tried: Tried[] = [];
  for (const file of files) tried.push(await tryOne(folder, file, options, tried.length));
  const known = tried.find((one) => one.plan)?.plan;
  if (!known) throw tried[0]!.error;
  const { order, ink } = known.job;
  const letters = lettering(fontFilesOf(ink.fonts));
  const name = basename(resolve(folder));
  const date = order.date ?? today();
  const head = { name: order.name ?? name, customer: order.customer ?? null, date };
  const pages = contactPages(tried.map(entryOf), head, letters, asked.paper);
  const images = imagesOf(tried.flatMap(({ shot }) => (shot ? [shot] : [])));
  const outputs: Output[] = [
    {
      name: `${name}.contact.pdf`,
      data: await writePdf(pages, { images, lettering: letters, title: `${head.name}: contact sheet`, date }),
    },
  ];
  for (const [i, page] of pages.entries()) {
    const end = pages.length === 1 ? "" : `-${i + 1}`;
    outputs.push({
      name: `${name}.contact${end}.png`,
      data: await pagePng(page, images, letters, PX_PER_MM),
    });
  }
  writeAll(asked.folder, outputs, stale(asked.folder, `${name}.contact`, outputs));
  const told = lettered(pages, letters);
  process.stdout.write(
    options.json === true
      ? json({ drawings: tried.map(answerOf), reasons: told })
      : summary(tried, told, outputs, asked.folder),
  );
  return tried.every(({ plan }) => plan && plan.verdict !== "stop") ? 0 : 3;
}

async function tryOne(
  folder: string,
  file: string,
  options: Record<string, unknown>,
  number: number,
): Promise<Tried> {
  try {
    const { plan, progress } = await run(ask(join(folder, file), options));
    progress.stop();
    const { predicted } = await shotsOf(plan, SIDE, false, 1);
    return { file, plan, shot: { ...predicted[0]!, name: `drawing-${number + 1}` }, error: null };
  } catch (error) {
    if (!(error instanceof JobError)) throw error;
    return { file, plan: null, shot: null, error };
  }
}

const sizeOf = ({ ink: { box } }: Plan): string =>
  `${(box.maxX - box.minX).toFixed(1)} × ${(box.maxY - box.minY).toFixed(1)} mm`;
const grave = (plan: Plan): string | null => stopWords(plan)?.reasons[0] ?? cautionWords(plan)[0] ?? null;

function entryOf({ file, plan, shot, error }: Tried): ContactEntry {
  const said = plan && grave(plan);
  return {
    title: file,
    image: shot,
    words: plan ? [sizeOf(plan), said ?? plan.verdict] : [],
    problem: error ? messageOf(file, error) : null,
  };
}

/** What stands in the way, and how much more does; the folder's path is nothing for a customer. */
function messageOf(file: string, error: JobError): string {
  const more = error instanceof ProblemsError ? error.problems.length - 1 : 0;
  const { message } = error.problem;
  const path = message.indexOf(`${file}: `);
  const said = path >= 0 ? message.slice(path + file.length + 2) : message;
  return `${said}${more > 0 ? `, and ${more} more` : ""}`;
}

interface Answer {
  readonly file: string;
  readonly verdict: Verdict | null;
  readonly problem: string | null;
  readonly report: Report | null;
}
const answerOf = ({ file, plan, error }: Tried): Answer => ({
  file,
  verdict: plan?.verdict ?? null,
  problem: error ? messageOf(file, error) : null,
  report: plan && reportOf(plan),
});

/** Pages of an earlier run that this one does not have would show another's drawings. */
function stale(folder: string, name: string, outputs: readonly Output[]): string[] {
  const made = new Set(outputs.map((output) => output.name));
  const before = isFolder(folder) ? readdirSync(folder) : [];
  return before.filter(
    (file) => file.startsWith(name) && /^(-\d+)?\.png$/.test(file.slice(name.length)) && !made.has(file),
  );
}

function summary(
  tried: readonly Tried[],
  told: readonly Problem[],
  outputs: readonly Output[],
  folder: string,
): string {
  const wide = tried.reduce((w, { file }) => Math.max(w, file.length), 0);
  const lines = tried.map(({ file, plan, error }) => {
    const said = plan && grave(plan);
    const what = plan
      ? `${plan.verdict}, ${sizeOf(plan)}${said ? `: ${said}` : ""}`
      : `not read: ${messageOf(file, error!)}`;
    return `  ${file.padEnd(wide)}  ${what}`;
  });
  const written = outputs.map(({ name }, i) => row(i === 0 ? "files" : "", `${folder}/${name}`));
  return `${[...lines, ...problemRows(told), ...written].join("\n")}\n`;
}
