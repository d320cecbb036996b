/** `prepare` and `check`: job and artwork in, files or a verdict out. */
import { basename, dirname, extname, join, relative, resolve } from "node:path";
import { readArtwork } from "../artwork/read.ts";
import type { Job, JobFile } from "../job/job.ts";
import { readJobFile, resolveJob } from "../job/resolve.ts";
import { marksSvg } from "../picture/marks.ts";
import { type Plan, planJob } from "../plan/plan.ts";
import { type FileEntry, type Report, reportOf } from "../plan/report.ts";
import { JobError, type Problem } from "../problem.ts";
import { checkFolder, type Output, readInput, sha256, writeAll } from "./files.ts";
import { jobOfOptions, optionAt } from "./options.ts";
import { loadProfiles } from "./profiles.ts";
import { startProgress } from "./progress.ts";
import { summary } from "./summary.ts";

interface Asked {
  readonly job: Job;
  readonly artPath: string;
  readonly bytes: Buffer;
  readonly problems: readonly Problem[];
}

export async function check(art: string | undefined, options: Record<string, unknown>): Promise<number> {
  const { plan } = await run(ask(art, options));
  answer(plan, reportOf(plan), options.json === true, null);
  return exitCode(plan);
}

export async function prepare(art: string | undefined, options: Record<string, unknown>): Promise<number> {
  const folder = options.out as string;
  const asked = ask(art, options);
  checkFolder(folder);
  const { plan, progress } = await run(asked);
  const name = basename(asked.artPath, extname(asked.artPath));
  const title = basename(asked.artPath);
  const outputs: (Output & { kind: FileEntry["kind"] })[] = [];
  progress.step("writing the marks");
  outputs.push({ kind: "warped", name: `${name}.warped.svg`, data: marksSvg(plan) });
  if (options.pictures !== false) {
    progress.step("drawing the pictures");
    const { heatmapPicture, zonesPicture } = await import("./pictures.ts");
    outputs.push({ kind: "heatmap", name: `${name}.heatmap.png`, data: await heatmapPicture(plan, title) });
    outputs.push({ kind: "zones", name: `${name}.zones.svg`, data: zonesPicture(plan, title) });
  }
  const job: Job = {
    ...asked.job,
    artwork: {
      path: relative(resolve(folder), resolve(asked.artPath)).replaceAll("\\", "/"),
      sha256: sha256(asked.bytes),
    },
  };
  outputs.push({ kind: "job", name: `${name}.job.json`, data: json(job) });
  const files = outputs.map(({ kind, name: path, data }) => ({
    kind,
    path,
    bytes: Buffer.byteLength(data),
    sha256: sha256(data),
  }));
  const report = reportOf(plan, files);
  progress.step("writing the files");
  writeAll(folder, [...outputs, { name: `${name}.report.json`, data: json(report) }]);
  progress.stop();
  answer(plan, report, options.json === true, folder);
  return exitCode(plan);
}

const json = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`;
const exitCode = (plan: Plan): number => (plan.verdict === "stop" ? 3 : 0);

/** Everything that was asked, checked as far as it can be without reading the artwork's content. */
function ask(art: string | undefined, options: Record<string, unknown>): Asked {
  const asked = readJobFile(jobOfOptions(options), "the options", (path) => optionAt(path));
  const jobPath = options.job as string | undefined;
  const file = jobPath === undefined ? {} : jobFrom(jobPath);
  const job = resolveJob(file, asked, loadProfiles());
  const named = file.artwork && jobPath !== undefined ? join(dirname(jobPath), file.artwork.path) : undefined;
  const artPath = art ?? named;
  if (artPath === undefined)
    throw new JobError(
      "artwork-missing",
      "no artwork is given",
      "give the path of an SVG file, or a job file that names one",
    );
  const bytes = readInput(artPath, "an SVG file");
  const problems: Problem[] = [];
  if (file.artwork?.sha256 !== undefined && file.artwork.sha256 !== sha256(bytes)) {
    problems.push({
      code: "artwork-changed",
      severity: "caution",
      message: `${artPath} is not the artwork that the job was written for`,
      hint: "look at the heat map and the sizes again before marking",
    });
  }
  return { job, artPath, bytes, problems };
}

function jobFrom(path: string): JobFile {
  const text = readInput(path, "a job file").toString("utf8");
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    throw new JobError(
      "job-json",
      `${path} is not JSON: ${(error as Error).message}`,
      "mend it at the place named, or write it anew from shared/job.schema.json",
    );
  }
  return readJobFile(value, path);
}

async function run({
  job,
  artPath,
  bytes,
  problems,
}: Asked): Promise<{ plan: Plan; progress: ReturnType<typeof startProgress> }> {
  const progress = startProgress();
  try {
    progress.step("reading the artwork");
    const artwork = readArtwork(decode(bytes, artPath));
    const plan = await planJob(
      { ...artwork, problems: [...problems, ...artwork.problems] },
      job,
      progress.step,
    );
    return { plan, progress };
  } catch (error) {
    progress.stop();
    if (
      error instanceof JobError &&
      !error.message.includes(artPath) &&
      error.problem.code !== "focus-too-deep"
    ) {
      throw new JobError(
        error.problem.code,
        `${artPath}: ${error.message}`,
        error.problem.hint,
        error.problem.where,
      );
    }
    throw error;
  }
}

/** UTF-8, or UTF-16 where the file begins with its mark. */
function decode(bytes: Buffer, path: string): string {
  const mark = bytes.length >= 2 ? bytes.readUInt16BE(0) : 0;
  const encoding = mark === 0xfffe ? "utf-16le" : mark === 0xfeff ? "utf-16be" : "utf-8";
  try {
    return new TextDecoder(encoding, { fatal: true }).decode(bytes);
  } catch {
    throw new JobError(
      "not-text",
      `${path} is not ${encoding.toUpperCase()} text`,
      "save the drawing as plain SVG in UTF-8",
    );
  }
}

function answer(plan: Plan, report: Report, asJson: boolean, folder: string | null): void {
  process.stdout.write(asJson ? json(report) : summary(plan, report, folder));
}
