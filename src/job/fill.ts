/** What the job says of lines laid for the station and of bands. Pitch, angles and passes are the settings' where there are some. */
import { JobError } from "../problem.ts";
import type { Fill, JobFile, Metal, Settings } from "./job.ts";
import { usualAngles } from "./process.ts";

/** The evened pitch goes down to this share of the pitch asked for (our own choice: ten times the lines). */
const SMALLEST = 0.1;
/** Twelve digits: no more is meant. */
const neat = (v: number): number => Number(v.toPrecision(12));

/** Whether lines or bands are asked for. Throws JobError `fill-not-asked` where only something about them is. */
export function fillAsked(file: JobFile["fill"], options: JobFile["fill"]): boolean {
  const asked = { ...file, ...options };
  if (asked.lines !== undefined || asked.bands !== undefined) return true;
  const [about] = Object.keys(asked);
  if (about === undefined) return false;
  throw new JobError(
    "fill-not-asked",
    "something is said of the fill, but no fill is asked for",
    "give --fill even, --fill plain or --bands N with it",
  );
}

/** Throws JobError where the pitch is missing, said twice, or outside its limits. */
export function resolveFill(
  { fill: file, settings: fileSettings }: Pick<JobFile, "fill" | "settings">,
  { fill: options, settings: told }: Pick<JobFile, "fill" | "settings">,
  settings: Settings | undefined,
  metal: Metal,
): Fill {
  const asked = { ...file, ...options };
  const pitchMm = told?.pitchMm ?? settings?.pitchMm ?? asked.pitchMm ?? fileSettings?.pitchMm;
  if (pitchMm === undefined) {
    throw new JobError(
      "fill-without-pitch",
      "a fill is asked for, but not how far apart its lines are",
      "give --pitch, half the spot or less, as in --pitch 0.03",
    );
  }
  if (told?.pitchMm === undefined && settings && asked.pitchMm !== undefined && asked.pitchMm !== pitchMm) {
    throw new JobError(
      "pitch-twice",
      `the job file has a pitch of ${settings.pitchMm} mm in its settings and one of ${asked.pitchMm} mm in its fill`,
      "leave fill.pitchMm out, or give --pitch",
    );
  }
  const anglesDeg =
    told?.anglesDeg ??
    settings?.anglesDeg ??
    asked.anglesDeg ??
    fileSettings?.anglesDeg ??
    usualAngles(metal);
  const { outlinePass, bands, lines } = asked;
  return {
    ...(lines === undefined ? {} : { lines }),
    pitchMm,
    anglesDeg: [...anglesDeg],
    passes: told?.passes ?? settings?.passes ?? asked.passes ?? fileSettings?.passes ?? 1,
    // Another pitch leaves the file's limits behind.
    pitchLimitsMm: limitsOf(
      told?.pitchMm === undefined ? asked.pitchLimitsMm : options?.pitchLimitsMm,
      pitchMm,
    ),
    travel: asked.travel ?? "both-ways",
    ...(outlinePass === undefined ? {} : { outlinePass }),
    trimEnds: asked.trimEnds ?? false,
    form: asked.form ?? "curves",
    files: asked.files ?? "one",
    dxf: asked.dxf ?? false,
    ...(bands === undefined ? {} : { bands }),
    bandsBy: asked.bandsBy ?? "speed",
  };
}

function limitsOf(asked: [number, number] | undefined, pitchMm: number): [number, number] {
  const [least, most] = asked ?? [neat(SMALLEST * pitchMm), pitchMm];
  if (least <= most) return [least, most];
  throw new JobError(
    "range-order",
    `the smallest pitch of ${least} mm is more than the largest of ${most} mm`,
    "write the smaller number first, as in --pitch-limits 0.01,0.04",
  );
}
