/** What the job says of lens, source, settings, coating, metal and column: profiles, precedence, what cannot be. */
import { JobError } from "../problem.ts";
import type { Coating, Figure, Job, JobFile, Metal, Pivot, Settings, Source, Span } from "./job.ts";
import { pick } from "./pick.ts";
import { lensOf, type Profiles } from "./profiles.ts";

/** A long lens with a 300 mm field: the one that reaches around (common practice, no published source). */
const DEFAULT_LENS = "field-300";
const DEFAULT_SOURCE = "pulsed-fibre";
const DEFAULT_METAL = "steel-brushed";
/** What a job has that names none. */
export const usualIds = {
  lens: DEFAULT_LENS,
  source: DEFAULT_SOURCE,
  coating: undefined,
  metal: DEFAULT_METAL,
} as const;
/** Between lines, the beam off (mm/s): from memory, usual settings are 2 to 5 m/s. */
const JUMP_SPEED_MM_S = 3000;

type Group<K extends keyof JobFile> = NonNullable<JobFile[K]>;
/** A group of the job file under the same group of the options; another profile leaves the file's figures behind. */
function merged<T extends { id?: string | undefined }>(
  file: T | undefined,
  options: T | undefined,
  usual?: string,
): T {
  const same = options?.id === undefined || options.id === (file?.id ?? usual);
  return { ...(same ? file : {}), ...options } as T;
}

/** `keepsSpot`: whether a measured spot in the file is still this beam's, see `sameBeam`. */
export function resolveLens(
  file: JobFile["lens"],
  options: JobFile["lens"],
  profiles: Profiles,
  where: string,
  keepsSpot = true,
): Job["lens"] {
  const { spotUm: _spot, rayleighMm: _rayleigh, ...spotless } = file ?? {};
  const group: Group<"lens"> = merged(keepsSpot ? file : file && spotless, options, DEFAULT_LENS);
  const place = options?.id === undefined ? `${where}: lens.id` : "--lens";
  const stored = lensOf(
    pick(profiles.lenses, group.id ?? DEFAULT_LENS, place, "lens", (p) => [
      p.fieldMm.value,
      p.focalLengthMm.value,
    ]),
  );
  const spot = spotOf(group);
  return {
    id: stored.id,
    focalLengthMm: group.focalLengthMm ?? stored.focalLengthMm,
    fieldMm: group.fieldMm ?? stored.fieldMm,
    workingDistanceMm: group.workingDistanceMm ?? stored.workingDistanceMm,
    pivotMm: pairOf(group.pivotMm) ?? stored.pivotMm,
    ...(spot ? { spot } : {}),
  };
}

/** A spot is measured as a whole: a width alone says nothing of how fast it grows. */
function spotOf({ spotUm, rayleighMm }: Group<"lens">): Job["lens"]["spot"] {
  if (spotUm === undefined && rayleighMm === undefined) return undefined;
  if (spotUm === undefined || rayleighMm === undefined) {
    const [there, missing] = spotUm === undefined ? ["rayleighMm", "spotUm"] : ["spotUm", "rayleighMm"];
    throw new JobError(
      "spot-incomplete",
      `lens.${there} is given without lens.${missing}`,
      "give both as measured with this source, or neither",
    );
  }
  return { diameterUm: known(spotUm, "lens.spotUm"), rayleighMm: known(rayleighMm, "lens.rayleighMm") };
}

/** Whether two sets of options over a file make the same beam: lens, source and what the spot is worked out from. */
export function sameBeam(
  file: Pick<JobFile, "lens" | "source">,
  one: Pick<JobFile, "lens" | "source">,
  other: Pick<JobFile, "lens" | "source">,
  profiles: Profiles,
  where: string,
): boolean {
  const beam = (options: Pick<JobFile, "lens" | "source">): string => {
    const lens = resolveLens(file.lens, options.lens, profiles, where, false);
    const { id, m2, beamDiameterMm, wavelengthNm } = resolveSource(
      file.source,
      options.source,
      profiles,
      where,
    );
    return JSON.stringify([lens.id, lens.focalLengthMm, id, m2, beamDiameterMm, wavelengthNm]);
  };
  return beam(one) === beam(other);
}

/** One pivot stands for both. */
function pairOf(pivot: Pivot | [Pivot, Pivot] | undefined): [Pivot, Pivot] | undefined {
  return pivot === undefined || Array.isArray(pivot) ? pivot : [pivot, pivot];
}

export function resolveSource(
  file: JobFile["source"],
  options: JobFile["source"],
  profiles: Profiles,
  where: string,
): Source {
  const place = options?.id === undefined ? `${where}: source.id` : "--source";
  const expand = (group: JobFile["source"]): JobFile["source"] => byPower(group, profiles, place);
  const group: Group<"source"> = merged(expand(file), expand(options), DEFAULT_SOURCE);
  const profile = pick(profiles.sources, group.id ?? DEFAULT_SOURCE, place, "source", (p) => [
    p.wavelengthNm.value,
    ...(p.meanPowerW ? [p.meanPowerW.value] : []),
  ]);
  const meanPowerW = group.meanPowerW ?? profile.meanPowerW?.value;
  return {
    id: profile.id,
    beamDiameterMm: figure(group.beamDiameterMm, profile.beamDiameterMm, "source.beamDiameterMm"),
    m2: figure(group.m2, profile.m2, "source.m2"),
    wavelengthNm: group.wavelengthNm ?? profile.wavelengthNm.value,
    ...(meanPowerW === undefined ? {} : { meanPowerW }),
    pulseNs: span(group.pulseNs, profile.pulseNs.value, "source.pulseNs"),
    maxPulseEnergyMj: group.maxPulseEnergyMj ?? profile.maxPulseEnergyMj.value,
    repetitionKHz: span(group.repetitionKHz, profile.repetitionKHz.value, "source.repetitionKHz"),
  };
}

/** "60W" for an id stands for the profile of that mean power, or for one of any power that gives so much. */
function byPower(group: JobFile["source"], profiles: Profiles, place: string): JobFile["source"] {
  const watts = /^\s*(\d+\.?\d*|\.\d+)\s*W\s*$/i.exec(group?.id ?? "")?.[1];
  if (!group || watts === undefined) return group;
  const meanPowerW = Number(watts);
  if (!(meanPowerW >= 0.001 && meanPowerW <= 100_000)) {
    const what = `${place} cannot be "${group.id}"`;
    throw new JobError("job-value", what, "give a mean power from 0.001 to 100000 W");
  }
  const id = profiles.sources.find((p) => p.meanPowerW?.value === meanPowerW)?.id ?? DEFAULT_SOURCE;
  return { meanPowerW, ...group, id };
}

const needed = [
  ["power", "--power"],
  ["speedMmS", "--speed"],
  ["frequencyKHz", "--frequency"],
  ["pitchMm", "--pitch"],
] as const;

/**
 * Settings in full, or undefined where none is given; `fill`: what a fill says of pitch, angles and passes
 * stands in where the settings do not, and lines alone need no settings. Throws JobError where
 * some are missing or cannot be.
 */
export function resolveSettings(
  file: JobFile["settings"],
  options: JobFile["settings"],
  source: Source,
  metal: Metal,
  fill?: JobFile["fill"],
): Settings | undefined {
  if (file === undefined && options === undefined) return undefined;
  const { powerW: fileW, powerPercent: filePercent, ...rest } = file ?? {};
  // A power in one unit replaces one in the other.
  const repowered = options?.powerW !== undefined || options?.powerPercent !== undefined;
  const laid = defined({ pitchMm: fill?.pitchMm, anglesDeg: fill?.anglesDeg, passes: fill?.passes });
  const asked: NonNullable<JobFile["settings"]> = {
    ...laid,
    ...rest,
    ...(repowered ? {} : { powerW: fileW, powerPercent: filePercent }),
    ...options,
  };
  if (asked.powerW !== undefined && asked.powerPercent !== undefined) {
    throw new JobError("power-twice", "the power is given in watts and in percent", "give one of the two");
  }
  const powerW = asked.powerW ?? share(asked.powerPercent, source);
  const given = { ...asked, power: powerW };
  const beam = powerW ?? asked.speedMmS ?? asked.frequencyKHz ?? asked.jumpSpeedMmS;
  if (fill && beam === undefined) return undefined;
  const missing = needed.filter(([key]) => given[key] === undefined).map(([, option]) => option);
  if (missing.length > 0) {
    throw new JobError(
      "settings-incomplete",
      `the settings lack ${missing.join(", ")}`,
      "give --power, --speed, --frequency and --pitch together, or none of them",
    );
  }
  const settings: Settings = {
    powerW: powerW!,
    speedMmS: asked.speedMmS!,
    frequencyKHz: asked.frequencyKHz!,
    pitchMm: asked.pitchMm!,
    anglesDeg: asked.anglesDeg ?? usualAngles(metal),
    passes: asked.passes ?? 1,
    jumpSpeedMmS: asked.jumpSpeedMmS ?? JUMP_SPEED_MM_S,
  };
  checkRanges(settings, source);
  return settings;
}

/** Without what is left out. */
const defined = <T extends object>(group: T): Partial<T> =>
  Object.fromEntries(Object.entries(group).filter(([, value]) => value !== undefined)) as Partial<T>;

/** Across the grain first, along it last, so that the last set hides what the first left. */
export const usualAngles = ({ grain }: Metal): [number, number] => (grain === "around" ? [90, 0] : [0, 90]);

function share(percent: number | undefined, source: Source): number | undefined {
  if (percent === undefined) return undefined;
  if (source.meanPowerW !== undefined) return (percent / 100) * source.meanPowerW;
  throw new JobError(
    "power-of-what",
    `${percent} % of which power? the source "${source.id}" does not say its own`,
    "name the source, as in --source fibre-60, or give --power in watts, as in --power 27W",
  );
}

function checkRanges({ powerW, frequencyKHz }: Settings, source: Source): void {
  if (source.meanPowerW !== undefined && powerW > source.meanPowerW * (1 + 1e-9)) {
    throw new JobError(
      "power-beyond-source",
      `--power ${round(powerW)} W is more than the ${source.meanPowerW} W of the source "${source.id}"`,
      "give less, another --source, or the source's own meanPowerW in a job file",
    );
  }
  const [low, high] = source.repetitionKHz;
  if (frequencyKHz < low || frequencyKHz > high) {
    throw new JobError(
      "frequency-out-of-range",
      `--frequency ${frequencyKHz} kHz lies outside the ${low} to ${high} kHz of the source "${source.id}"`,
      "give one inside, another --source, or the source's own repetitionKHz in a job file",
    );
  }
}
const round = (v: number): number => Number(v.toPrecision(4));

export function resolveCoating(
  file: JobFile["coating"],
  options: JobFile["coating"],
  profiles: Profiles,
  where: string,
): Coating | undefined {
  const group: Group<"coating"> = merged(file, options);
  if (Object.keys(group).length === 0) return undefined;
  const place = options?.id === undefined ? `${where}: coating.id` : "--coating";
  if (group.id === undefined) {
    throw new JobError(
      "coating-missing",
      "a figure of the coating is given, but not which coating",
      `give --coating: ${profiles.coatings.map((c) => c.id).join(", ")}`,
    );
  }
  const profile = pick(profiles.coatings, group.id, place, "coating", () => []);
  return {
    id: profile.id,
    thicknessUm: figure(group.thicknessUm, profile.thicknessUm, "coating.thicknessUm"),
    thresholdJPerCm2: figure(group.thresholdJPerCm2, profile.thresholdJPerCm2, "coating.thresholdJPerCm2"),
    depthUm: figure(group.depthUm, profile.depthUm, "coating.depthUm"),
    pulseNs: span(group.pulseNs, profile.pulseNs.value, "coating.pulseNs"),
  };
}

export function resolveMetal(
  file: JobFile["metal"],
  options: JobFile["metal"],
  profiles: Profiles,
  where: string,
): Metal {
  const group: Group<"metal"> = merged(file, options, DEFAULT_METAL);
  const place = options?.id === undefined ? `${where}: metal.id` : "--metal";
  const profile = pick(profiles.metals, group.id ?? DEFAULT_METAL, place, "metal", () => []);
  return {
    id: profile.id,
    grain: group.grain ?? profile.grain.value,
    thresholdJPerCm2: figure(group.thresholdJPerCm2, profile.thresholdJPerCm2, "metal.thresholdJPerCm2"),
    incubation: figure(group.incubation, profile.incubation, "metal.incubation"),
    pulseNs: span(group.pulseNs, profile.pulseNs.value, "metal.pulseNs"),
  };
}

export function resolveColumn(file: JobFile["column"], options: JobFile["column"]): Job["column"] {
  const { travelMm, restHeightMm } = { ...file, ...options };
  return { ...(travelMm === undefined ? {} : { travelMm }), restHeightMm: restHeightMm ?? 0 };
}

/** A figure given without a range is known; one left out is the profile's. */
const figure = (given: number | Figure | undefined, profile: Figure, key: string): Figure =>
  known(given ?? profile, key);

function known(given: number | Figure, key: string): Figure {
  const { value, low, high } = typeof given === "number" ? { value: given, low: given, high: given } : given;
  if (low <= value && value <= high) return { value, low, high };
  throw new JobError(
    "range-order",
    `${key}: the value ${value} does not lie between ${low} and ${high}`,
    "write low, value and high in that order, or the value alone",
  );
}

function span(given: Span | undefined, profile: Span, key: string): Span {
  const [low, high] = given ?? profile;
  if (low <= high) return [low, high];
  throw new JobError("range-order", `${key}: ${low} is more than ${high}`, "write the smaller number first");
}
