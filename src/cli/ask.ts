/** What was asked: options and job file checked, the artwork's bytes read. Quick, since most mistakes end here. */
import { dirname, resolve } from "node:path";
import { calibrationProblems, replacedProblems } from "../job/calibrationsaid.ts";
import type { InkAsked, Job, JobFile } from "../job/job.ts";
import { readMeasures } from "../job/measures.ts";
import { lensOf, type Profiles } from "../job/profiles.ts";
import { readJobFile, resolveInk, resolveJob } from "../job/resolve.ts";
import { JobError, type Problem } from "../problem.ts";
import { calibrationFor } from "./calibrationfile.ts";
import { checkFolder, readInput, sha256 } from "./files.ts";
import { parsedJson } from "./json.ts";
import { readMeasureFile } from "./measurefile.ts";
import { jobOfOptions, optionAt } from "./options.ts";
import { loadProfiles } from "./profiles.ts";
import { today } from "./today.ts";

export interface Asked {
  readonly job: Job;
  readonly artPath: string;
  readonly bytes: Buffer;
  readonly problems: readonly Problem[];
  readonly asJson: boolean;
  /** True where some figure of the lens is still the profile's. */
  readonly genericLens: boolean;
  /** All stored lenses, to try where the job's own does not do. */
  readonly lenses: readonly Job["lens"][];
}

/** The job that the options alone make, with a measured profile read from its file, and what is to be said of that. */
export function fromOptions(options: Record<string, unknown>): {
  file: JobFile;
  cautions: readonly Problem[];
} {
  const { profile, ...rest } = options;
  const file = readJobFile(jobOfOptions(rest), "the options", (path) => optionAt(path));
  if (profile === undefined) return { file, cautions: [] };
  const { rows, cautions, rimMm } = readMeasureFile(String(profile));
  // Measured from the rim down, the base is where the vessel's height says, else at the lowest row.
  const heightMm = file.vessel?.heightMm ?? rimMm;
  const above = rimMm === undefined || heightMm === undefined ? 0 : heightMm - rimMm;
  const rim = rimMm === undefined || heightMm === undefined ? {} : { heightMm };
  return {
    file: {
      ...file,
      vessel: {
        ...file.vessel,
        ...rim,
        profile: rows.map((row) => ({ ...row, heightMm: row.heightMm + above })),
      },
    },
    cautions,
  };
}

/** The job alone, and what is to be said of its vessel and its calibration. */
export function askJob(options: Record<string, unknown>): {
  job: Job;
  file: JobFile;
  profiles: Profiles;
  problems: Problem[];
} {
  const { file: asked, cautions } = fromOptions(options);
  const jobPath = options.job as string | undefined;
  const file = jobPath === undefined ? {} : jobFrom(jobPath);
  const profiles = loadProfiles();
  const named = calibrationFor(file, jobPath, asked);
  const job = resolveJob(withFonts(file, jobPath), asked, profiles, jobPath, named);
  const problems: Problem[] = options.profile === undefined ? profileCautions(job) : [...cautions];
  if (named) {
    problems.push(
      ...named.problems,
      ...calibrationProblems(job, named.calibration, today()),
      ...replacedProblems(file, job, named.calibration),
    );
  }
  return { job, file, profiles, problems };
}

/** Everything that was asked, checked as far as it can be without reading the artwork's content. */
export function ask(art: string | undefined, options: Record<string, unknown>): Asked {
  const { job, file, profiles, problems } = askJob(options);
  const artPath = artworkPath(art, file, options.job as string | undefined, options);
  if (typeof options.out === "string") checkFolder(options.out);
  const bytes = readInput(artPath, "an SVG file");
  if (file.artwork?.sha256 !== undefined && file.artwork.sha256 !== sha256(bytes)) {
    problems.push({
      code: "artwork-changed",
      severity: "caution",
      message: `${artPath} is not the artwork that the job was written for`,
      hint: "look at the heat map and the sizes again before marking",
    });
  }
  const profile = profiles.lenses.find((l) => l.id === job.lens.id);
  const genericLens =
    job.lens.workingDistanceMm === profile?.workingDistanceMm.value ||
    String(job.lens.pivotMm) === String(profile?.pivotMm.value);
  const lenses = profiles.lenses.map(lensOf);
  return { job, artPath, bytes, problems, asJson: options.json === true, genericLens, lenses };
}

/** What is to be said of a profile that the job itself holds. */
function profileCautions({ vessel: { profile } }: Job): Problem[] {
  if (!profile) return [];
  const { problems } = readMeasures(profile.map((row, i) => ({ ...row, row: i + 1 })));
  return problems.filter(({ severity }) => severity === "caution");
}

/** Font paths in a job file are relative to it. */
function withFonts(file: JobFile, jobPath: string | undefined): JobFile {
  if (!file.ink?.fonts || jobPath === undefined) return file;
  const fonts = file.ink.fonts.map((path) => resolve(dirname(jobPath), path));
  return { ...file, ink: { ...file.ink, fonts } };
}

/** What `ink` is asked: the artwork and what of it is ink. */
export interface InkAskedOf {
  readonly ink: InkAsked;
  readonly artPath: string;
  readonly bytes: Buffer;
  readonly asJson: boolean;
}

export function askInk(art: string | undefined, options: Record<string, unknown>): InkAskedOf {
  const { file: asked } = fromOptions(options);
  const jobPath = options.job as string | undefined;
  const file = jobPath === undefined ? {} : jobFrom(jobPath);
  const artPath = artworkPath(art, file, jobPath, options);
  const ink = resolveInk(withFonts(file, jobPath).ink, asked.ink);
  return { ink, artPath, bytes: readInput(artPath, "an SVG file"), asJson: options.json === true };
}

function artworkPath(
  art: string | undefined,
  file: JobFile,
  jobPath: string | undefined,
  options: Record<string, unknown>,
): string {
  const named =
    file.artwork && jobPath !== undefined ? resolve(dirname(jobPath), file.artwork.path) : undefined;
  const path = art ?? named;
  if (path !== undefined) return path;
  const taken = Object.values(options).find(
    (value) => Array.isArray(value) && value.some((one) => /\.svgz?$/i.test(String(one))),
  );
  if (taken) {
    throw new JobError(
      "artwork-missing",
      "no artwork is given: an option that takes several values took it for one of them",
      "put the artwork first, right after the command",
    );
  }
  throw new JobError(
    "artwork-missing",
    "no artwork is given",
    "give the path of an SVG file, or a job file that names one",
  );
}

/** A job file, read and checked. */
export function jobFrom(path: string): JobFile {
  const text = readInput(path, "a job file").toString("utf8");
  const value = parsedJson(
    text,
    path,
    "job-json",
    "mend it at the place named, or write it anew from shared/job.schema.json",
  );
  return readJobFile(value, path);
}
