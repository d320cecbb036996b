/** The calibration that an option or a job file names: read, checked, and whether it is still the one that the job was written for. */
import { dirname, resolve } from "node:path";
import type { NamedCalibration } from "../job/calibrated.ts";
import { readCalibration } from "../job/calibration.ts";
import type { JobFile } from "../job/job.ts";
import { caution, type Problem } from "../problem.ts";
import { readInput, sha256 } from "./files.ts";
import { parsedJson } from "./json.ts";

export interface CalibrationRead extends NamedCalibration {
  readonly problems: readonly Problem[];
}

/** The option's, else the job file's, whose path is relative to it; undefined where neither names one. */
export function calibrationFor(
  file: JobFile,
  jobPath: string | undefined,
  options: JobFile,
): CalibrationRead | undefined {
  const asked = wordsOf(options.calibration);
  const filed = wordsOf(file.calibration);
  const path =
    asked?.path ?? (filed && (jobPath === undefined ? filed.path : resolve(dirname(jobPath), filed.path)));
  if (path === undefined) return undefined;
  const bytes = readInput(path, "a calibration, as fallaway fit writes it");
  const hash = sha256(bytes);
  const before = (asked ?? filed)?.sha256;
  const changed = before !== undefined && before !== hash;
  return {
    path,
    sha256: hash,
    calibration: readCalibration(
      parsedJson(
        bytes.toString("utf8"),
        path,
        "calibration-json",
        "mend it at the place named, or write it anew with fallaway fit",
      ),
      path,
    ),
    problems: changed
      ? [
          caution(
            "calibration-changed",
            `${path} is not the calibration that the job was written with`,
            "look at the summary again before marking, and write the job anew with prepare",
          ),
        ]
      : [],
  };
}

const wordsOf = (named: JobFile["calibration"]): { path: string; sha256?: string | undefined } | undefined =>
  typeof named === "string" ? { path: named } : named;
