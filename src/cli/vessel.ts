/** `vessel`: the vessel itself, as a table, CSV, JSON and a drawing; no artwork is needed. */
import { basename, join } from "node:path";
import type { Job, JobFile } from "../job/job.ts";
import { resolveJob } from "../job/resolve.ts";
import { pageSvg } from "../picture/page/pagesvg.ts";
import { vesselPage } from "../picture/vessel/page.ts";
import type { Subject } from "../picture/vessel/subject.ts";
import { shapeWords } from "../plan/vesselsaid.ts";
import { studyVessel, type VesselStudy } from "../plan/vesseltable.ts";
import { JobError, type Problem } from "../problem.ts";
import { fromOptions, jobFrom } from "./ask.ts";
import { calibrationFor } from "./calibrationfile.ts";
import { checkFolder, type Output, readInput, writeAll } from "./files.ts";
import { pagePng } from "./png.ts";
import { loadProfiles } from "./profiles.ts";
import { lettering } from "./typefaces.ts";
import { tableCsv, vesselLines } from "./vesselrows.ts";

/** px per mm of the drawing's picture. */
const PX_PER_MM = 8;

/** `path`: a job file, or a measured profile. Answers on standard output, and in files where a folder is given. */
export async function vessel(path: string | undefined, options: Record<string, unknown>): Promise<number> {
  const folder = options.out as string | undefined;
  if (options.json === true && options.csv === true)
    throw new JobError("output-twice", "both --json and --csv are given", "give one of the two");
  const { job, cautions, name } = asked(path, options);
  if (folder !== undefined) checkFolder(folder);
  const study = studyVessel(job);
  const csv = tableCsv(study.table);
  const json = `${JSON.stringify(answer(job, study, cautions), null, 2)}\n`;
  const subject: Subject = {
    study,
    pose: job.pose,
    lens: job.lens.id,
    name,
    shape: shapeWords(job.vessel),
  };
  const files: Output[] = [];
  if (folder !== undefined) {
    files.push({ name: "vessel.csv", data: csv }, { name: "vessel.json", data: json });
    files.push(...(await drawing(subject)));
    writeAll(folder, files);
  }
  if (options.json === true) process.stdout.write(json);
  else if (options.csv === true) process.stdout.write(csv);
  else {
    const written = files.map((file) => join(folder!, file.name));
    process.stdout.write(`${vesselLines(subject, job, cautions, written).join("\n")}\n`);
  }
  return 0;
}

/** The job with its vessel, what is to be said of its measures, and what the vessel is called. */
function asked(
  path: string | undefined,
  options: Record<string, unknown>,
): { job: Job; cautions: readonly Problem[]; name: string } {
  const isJob = path !== undefined && holdsJob(path);
  const given = options.job as string | undefined;
  if (isJob && given !== undefined)
    throw new JobError("job-twice", `both ${path} and --job ${given} are job files`, "give one of the two");
  if (path !== undefined && !isJob && options.profile !== undefined)
    throw new JobError(
      "profile-given-twice",
      `both ${path} and --profile ${options.profile} are measured profiles`,
      "give one of the two",
    );
  const jobPath = isJob ? path : given;
  const { file: wanted, cautions } = fromOptions(
    isJob || path === undefined ? options : { ...options, profile: path },
  );
  const file: JobFile = jobPath === undefined ? {} : jobFrom(jobPath);
  const profiles = loadProfiles();
  const job = resolveJob(file, wanted, profiles, jobPath, calibrationFor(file, jobPath, wanted));
  const stored = profiles.vessels.find(({ id }) => id === job.vessel.id);
  const measured = path !== undefined && !isJob ? basename(path) : undefined;
  return { job, cautions, name: job.vessel.name ?? stored?.name ?? measured ?? "Vessel" };
}

/** A JSON object that is no list of measures is a job file; what cannot be read as JSON at all is told by its reader. */
function holdsJob(path: string): boolean {
  const text = readInput(path, "a job file or a measured profile")
    .toString("utf8")
    .replace(/^\uFEFF/, "");
  if (!/^\s*\{/.test(text)) return false;
  try {
    return !("profile" in (JSON.parse(text) as object));
  } catch {
    return true;
  }
}

const answer = ({ vessel: body, lens, pose }: Job, { table }: VesselStudy, cautions: readonly Problem[]) => ({
  vessel: body,
  pose,
  lens: lens.id,
  ...table,
  problems: cautions,
});

async function drawing(subject: Subject): Promise<Output[]> {
  const letters = lettering();
  const page = vesselPage(subject, letters);
  return [
    { name: "vessel.svg", data: pageSvg(page, letters, PX_PER_MM) },
    { name: "vessel.png", data: await pagePng(page, new Map(), letters, PX_PER_MM) },
  ];
}
