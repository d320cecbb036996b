/** What is to be said of a job's calibration: whose it is, how old, and what of it was left out. */
import { caution, note, type Problem } from "../problem.ts";
import type { Calibration } from "./calibration.ts";
import type { Job, OwnPart } from "./job.ts";

/** Our own choice: lasers age, windows get dirty, a coater changes the powder. */
const OLD_DAYS = 180;

/** `today`: YYYY-MM-DD, where the order names no day. */
export function calibrationProblems(job: Job, calibration: Calibration, today: string): Problem[] {
  if (!job.calibration) return [];
  return [
    ...foreign(job, calibration),
    ...overridden(job.calibration.own),
    ...age(calibration.date, job.order.date ?? today),
  ];
}

/** What goes with each: a threshold was found with one spot. */
const goes = {
  lens: "nothing of it is taken for lens and spot, nor for coating and metal, which were read with them",
  source: "nothing of it is taken for the spot, nor for coating and metal, which were read with it",
  coating: "nothing of it is taken for the coating",
  metal: "nothing of it is taken for the metal",
} as const;
const stays = {
  lens: "removal and metal stay uncalibrated",
  source: "removal and metal stay uncalibrated",
  coating: "removal stays uncalibrated",
  metal: "what is said of the metal stays uncalibrated",
} as const;

function foreign(job: Job, calibration: Calibration): Problem[] {
  return (["lens", "source", "coating", "metal"] as const).flatMap((group) => {
    const [theirs, ours] = [calibration[group], job[group]?.id];
    if (theirs === null || ours === undefined || theirs === ours) return [];
    return [
      caution(
        "calibration-foreign",
        `the calibration is for the ${group} ${theirs}, the job has ${ours}: ${goes[group]}; ${stays[group]}`,
        `name ${theirs} where that is what is used, else mark and fit a strip with ${ours}`,
      ),
    ];
  });
}

/** The same where an option said otherwise. */
const otherwise: Readonly<Record<"spot" | "coating" | "metal", string>> = {
  spot: "another beam than the calibration's is asked for: nothing of it is taken for spot, coating and metal; removal and metal stay uncalibrated",
  coating:
    "other figures of the coating than the calibration's are asked for: nothing of it is taken for the coating; removal stays uncalibrated",
  metal:
    "another figure of the metal than the calibration's is asked for; what is said of the metal stays uncalibrated",
};
const lensWords: Readonly<Record<"workingDistanceMm" | "pivotMm", string>> = {
  workingDistanceMm: "working distance stands",
  pivotMm: "pivots stand",
};

function overridden(own: readonly OwnPart[]): Problem[] {
  return own.map((part) =>
    part === "workingDistanceMm" || part === "pivotMm"
      ? note(
          "calibration-overridden",
          `the job's own ${lensWords[part]} in place of the calibration's`,
          "leave the option out to take the calibration's",
        )
      : caution(
          "calibration-overridden",
          otherwise[part],
          "leave the option out, or mark and fit a strip with it",
        ),
  );
}

function age(date: string, day: string): Problem[] {
  const days = Math.round((Date.parse(day) - Date.parse(date)) / 86_400_000);
  if (days < 0)
    return [
      caution(
        "calibration-future",
        `the calibration is of ${date}, after the job's day, ${day}`,
        "check both dates, --date and that in the calibration",
      ),
    ];
  if (days <= OLD_DAYS) return [];
  return [
    caution(
      "calibration-old",
      `the calibration is of ${date}, ${days} days before the job's day: more than ${OLD_DAYS}`,
      "mark and fit a strip again: a beam weakens, and coats change",
    ),
  ];
}
