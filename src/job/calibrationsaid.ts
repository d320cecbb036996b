/** What is to be said of a job's calibration: whose it is, how old, and what of it was left out. */
import { caution, note, type Problem } from "../problem.ts";
import type { Calibration } from "./calibration.ts";
import type { Job, JobFile, OwnPart } from "./job.ts";

/** Our own choice: lasers age, windows get dirty, a coater changes the powder. */
const OLD_DAYS = 180;

/** `today`: YYYY-MM-DD, where the order names no day. */
export function calibrationProblems(job: Job, calibration: Calibration, today: string): Problem[] {
  if (!job.calibration) return [];
  return [
    ...foreign(job, calibration),
    ...overridden(job.calibration.own),
    ...age(calibration.date, job.order.date ?? today),
    ...far(job, calibration),
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

/** Pulses that follow so many times faster or slower are other pulses: their length and the heat between them are too (our own choice). */
const FAR = 1.5;

function far({ settings, calibration: held }: Job, { strips }: Calibration): Problem[] {
  const read = strips.flatMap(({ strip }) => (strip.ladder === "squares" ? [] : strip.marks));
  const rates = [...new Set(read.map((mark) => mark.settings.frequencyKHz))];
  if (!settings || !held?.coating || rates.length === 0) return [];
  const { frequencyKHz } = settings;
  if (rates.some((rate) => frequencyKHz <= FAR * rate && rate <= FAR * frequencyKHz)) return [];
  return [
    caution(
      "calibration-far",
      `the calibration was read at ${rates.join(" and ")} kHz, the job pulses at ${frequencyKHz} kHz: its ranges say nothing of how that differs`,
      "mark and fit a strip with the job's frequency",
    ),
  ];
}

const replaceable = [
  ["lens", "workingDistanceMm"],
  ["lens", "pivotMm"],
  ["coating", "thicknessUm"],
  ["coating", "thresholdJPerCm2"],
  ["coating", "depthUm"],
  ["metal", "thresholdJPerCm2"],
  ["metal", "incubation"],
] as const;

/** Figures that a job file gives and the calibration stands in place of; a repeated run's file has the calibration's own. */
export function replacedProblems(file: JobFile, job: Job, { figures }: Calibration): Problem[] {
  return replaceable.flatMap(([group, key]) => {
    const [given, theirs, now] = [file[group], figures[group], job[group]].map(
      (one) => (one as Record<string, unknown> | undefined)?.[key],
    );
    if (given === undefined || theirs === undefined) return [];
    if (middle(given) === middle(theirs) || middle(now) !== middle(theirs)) return [];
    return [
      caution(
        "calibration-replaces",
        `${group}.${key} is ${middle(given)} in the job file: the calibration's ${middle(theirs)} stands in its place`,
        "take the one that is wrong out; an option stands above both",
      ),
    ];
  });
}

/** The middle figure, as text. */
const middle = (figure: unknown): string =>
  JSON.stringify(typeof figure === "object" && figure !== null && "value" in figure ? figure.value : figure);

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
