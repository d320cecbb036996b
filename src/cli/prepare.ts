/** `prepare` and `check`: job and artwork in, files or a verdict out. */
import { basename, extname, relative, resolve } from "node:path";
import type { JobFile } from "../job/job.ts";
import { jobFileOf } from "../job/written.ts";
import { marksSvg } from "../picture/marks.ts";
import { planJob, planOf } from "../plan/plan.ts";
import { type FileEntry, type Report, reportOf } from "../plan/report.ts";
import type { Plan } from "../plan/types.ts";
import { named, pageTolerance, readArt } from "./art.ts";
import type { Asked } from "./ask.ts";
import { keepOthers, namesOf, type Output, sha256, type Written, writeAll } from "./files.ts";
import { fillFiles } from "./fillfiles.ts";
import { startProgress } from "./progress.ts";
import { summary } from "./summary.ts";

export async function check(asked: Asked): Promise<number> {
  const { plan, progress } = await run(asked);
  progress.stop();
  answer(asked, plan, reportOf(plan), null);
  return exitCode(plan);
}

export async function prepare(asked: Asked, folder: string, pictures: boolean): Promise<number> {
  const { plan, progress } = await run(asked);
  const name = basename(asked.artPath, extname(asked.artPath));
  const title = basename(asked.artPath);
  const outputs: KindOutput[] = [];
  const several = plan.turns.length > 1;
  const turnFiles: string[][] = [];
  for (const turn of plan.turns) {
    const own = planOf(plan, turn);
    const part = several ? `${name}.turn-${turn.index}` : name;
    progress.step("writing the marks");
    const files: KindOutput[] = [
      { kind: "warped", name: `${part}.warped.svg`, data: marksSvg(own) },
      ...fillFiles(own, turn.index - 1, part),
    ];
    if (pictures) {
      progress.step("drawing the pictures");
      const { picturesOf } = await import("./pictures.ts");
      const words = several ? `${title}, turn ${turn.index} of ${plan.turns.length}` : title;
      for (const { kind, end, data } of await picturesOf(own, words))
        files.push({ kind, name: `${part}.${end}`, data });
      if (plan.fill?.proof[turn.index - 1]) {
        const { evennessPng } = await import("./pictures.ts");
        const data = await evennessPng(own, turn.index - 1, words);
        files.push({ kind: "evenness", name: `${part}.evenness.png`, data });
      }
    }
    outputs.push(...files);
    turnFiles.push(files.map((file) => file.name));
  }
  if (pictures && several) {
    const { turnsPng } = await import("./pictures.ts");
    outputs.push({ kind: "turns", name: `${name}.turns.png`, data: await turnsPng(plan, title) });
  }
  // Marks and pictures of an earlier run that this one does not write would show another job's verdict.
  const written = new Set(outputs.map((o) => o.name));
  const stale = namesOf(folder, name).filter((one) => !written.has(one));
  const from = (path: string): string => relative(resolve(folder), resolve(path)).replaceAll("\\", "/");
  // The schema first, then the artwork, so that a repeated run writes the same bytes.
  const { schema, artwork: _, calibration, ...rest } = jobFileOf(asked.job);
  const job: JobFile = {
    schema,
    artwork: {
      path: from(asked.artPath),
      sha256: sha256(asked.bytes),
    },
    ...rest,
    ink: { ...rest.ink, fonts: asked.job.ink.fonts.map(from) },
    ...(typeof calibration === "object"
      ? { calibration: { ...calibration, path: from(calibration.path) } }
      : {}),
  };
  outputs.push({ kind: "job", name: `${name}.job.json`, data: json(job) });
  progress.step("writing the files");
  keepOthers(folder, name, outputs);
  let report = reportOf(plan, [], turnFiles);
  writeAll(folder, outputs, stale, (written) => {
    report = { ...report, files: fileEntries(outputs, written) };
    return [{ name: `${name}.report.json`, data: json(report) }];
  });
  progress.stop();
  answer(asked, plan, report, folder);
  return exitCode(plan);
}

export type KindOutput = Output & { readonly kind: FileEntry["kind"] };

/** The files as the report lists them; `written` begins with them. */
export const fileEntries = (outputs: readonly KindOutput[], written: readonly Written[]): FileEntry[] =>
  outputs.map(({ kind, name: path }, i) => ({
    kind,
    path,
    bytes: written[i]!.bytes,
    sha256: written[i]!.sha256,
  }));

export const json = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`;
export const exitCode = (plan: Plan): number => (plan.verdict === "stop" ? 3 : 0);

/** Artwork of this many bytes takes more than a second: the first step is said at once. */
const LARGE = 2_000_000;

export async function run(asked: Asked): Promise<{ plan: Plan; progress: ReturnType<typeof startProgress> }> {
  const { job, artPath, bytes, problems } = asked;
  const progress = startProgress(bytes.length > LARGE);
  try {
    const artwork = await readArt(asked, progress.step, (drawing) => pageTolerance(drawing, job));
    const plan = planJob(
      { ...artwork, problems: [...problems, ...artwork.problems] },
      job,
      progress.step,
      asked.lenses,
    );
    return { plan, progress };
  } catch (error) {
    progress.stop();
    throw named(error, artPath);
  }
}

function answer(asked: Asked, plan: Plan, report: Report, folder: string | null): void {
  process.stdout.write(asked.asJson ? json(report) : summary(plan, report, folder, asked.genericLens));
}
