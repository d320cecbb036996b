/** `prepare` and `check`: job and artwork in, files or a verdict out. */
import { basename, extname, relative, resolve } from "node:path";
import { readArtwork } from "../artwork/read.ts";
import type { Job } from "../job/job.ts";
import { marksSvg } from "../picture/marks.ts";
import { planJob } from "../plan/plan.ts";
import { type FileEntry, type Report, reportOf } from "../plan/report.ts";
import type { Plan } from "../plan/types.ts";
import { JobError } from "../problem.ts";
import type { Asked } from "./ask.ts";
import { type Output, sha256, writeAll } from "./files.ts";
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
  const outputs: (Output & { kind: FileEntry["kind"] })[] = [];
  progress.step("writing the marks");
  outputs.push({ kind: "warped", name: `${name}.warped.svg`, data: marksSvg(plan) });
  if (pictures) {
    progress.step("drawing the pictures");
    const { heatmapPicture, zonesPicture } = await import("./pictures.ts");
    outputs.push({ kind: "heatmap", name: `${name}.heatmap.png`, data: await heatmapPicture(plan, title) });
    outputs.push({ kind: "zones", name: `${name}.zones.svg`, data: zonesPicture(plan, title) });
  }
  // Without pictures, those of an earlier run would show another job's verdict.
  const stale = pictures ? [] : [`${name}.heatmap.png`, `${name}.zones.svg`];
  // The schema first, then the artwork, so that a repeated run writes the same bytes.
  const { schema, artwork: _, ...rest } = asked.job;
  const job: Job = {
    schema,
    artwork: {
      path: relative(resolve(folder), resolve(asked.artPath)).replaceAll("\\", "/"),
      sha256: sha256(asked.bytes),
    },
    ...rest,
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
  writeAll(folder, [...outputs, { name: `${name}.report.json`, data: json(report) }], stale);
  progress.stop();
  answer(asked, plan, report, folder);
  return exitCode(plan);
}

const json = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`;
const exitCode = (plan: Plan): number => (plan.verdict === "stop" ? 3 : 0);

/** Artwork of this many bytes takes more than a second: the first step is said at once. */
const LARGE = 2_000_000;

async function run({
  job,
  artPath,
  bytes,
  problems,
}: Asked): Promise<{ plan: Plan; progress: ReturnType<typeof startProgress> }> {
  const progress = startProgress(bytes.length > LARGE);
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
  if (bytes[0] === 0x1f && bytes[1] === 0x8b) {
    throw new JobError(
      "compressed",
      `${path} is compressed (svgz)`,
      "unpack it with gunzip, or save it as plain SVG",
    );
  }
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

function answer(asked: Asked, plan: Plan, report: Report, folder: string | null): void {
  process.stdout.write(asked.asJson ? json(report) : summary(plan, report, folder, asked.genericLens));
}
