/** What the job says of lines laid for the station and of bands. Pitch, angles and passes are the settings' where there are some. */
import { JobError } from "../problem.ts";
import type { Fill, JobFile, Metal, Settings } from "./job.ts";
import { usualAngles } from "./process.ts";

/** The evened pitch goes down to this share of the pitch asked for (our own choice: ten times the lines), */
const SMALLEST = 0.1;
/** but not below what the schema lets a job file ask for (mm): what is written must be readable. */
const LEAST_MM = 0.001;
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

/** Throws JobError where the pitch is missing or its limits are swapped, and where settings and fill say different things. */
export function resolveFill(
  { fill: file, settings: fileSettings }: Pick<JobFile, "fill" | "settings">,
  { fill: options, settings: told }: Pick<JobFile, "fill" | "settings">,
  settings: Settings | undefined,
  metal: Metal,
): Fill {
  const asked = { ...file, ...options };
  const set = settings ?? fileSettings;
  const pitchMm = agreed("pitch", "--pitch", told?.pitchMm, set?.pitchMm, asked.pitchMm);
  if (pitchMm === undefined) {
    throw new JobError(
      "fill-without-pitch",
      "a fill or bands are asked for, but not how far apart lines are",
      "give --pitch, half the spot or less, as in --pitch 0.03",
    );
  }
  const anglesDeg =
    agreed("angles", "--angles", told?.anglesDeg, set?.anglesDeg, asked.anglesDeg) ?? usualAngles(metal);
  const passes = agreed("passes", "--passes", told?.passes, set?.passes, asked.passes) ?? 1;
  const { outlinePass, bands, lines } = asked;
  // A pitch that is not the file's own leaves the file's limits behind.
  const filed = file?.pitchMm ?? fileSettings?.pitchMm;
  const keeps = told?.pitchMm === undefined || filed === undefined || filed === told.pitchMm;
  return {
    ...(lines === undefined ? {} : { lines }),
    pitchMm,
    anglesDeg: [...anglesDeg],
    passes,
    pitchLimitsMm: limitsOf(keeps ? asked.pitchLimitsMm : options?.pitchLimitsMm, pitchMm),
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

/** What an option says, else the settings, else the fill. The lines laid must be those that time and dose are worked out for. */
function agreed<T extends number | readonly number[]>(
  what: string,
  option: string,
  told: T | undefined,
  settings: T | undefined,
  fill: T | undefined,
): T | undefined {
  if (told !== undefined) return told;
  if (settings === undefined || fill === undefined || String(settings) === String(fill))
    return settings ?? fill;
  throw new JobError(
    `${what}-twice`,
    `the ${what} of the settings (${settings}) and of the job file's fill (${fill}) are not the same`,
    `leave them out of the fill, or give ${option}`,
  );
}

function limitsOf(asked: [number, number] | undefined, pitchMm: number): [number, number] {
  const [least, most] = asked ?? [Math.max(LEAST_MM, neat(SMALLEST * pitchMm)), pitchMm];
  if (least <= most) return [least, most];
  throw new JobError(
    "range-order",
    `the smallest pitch of ${least} mm is more than the largest of ${most} mm`,
    "write the smaller number first, as in --pitch-limits 0.01,0.04",
  );
}
