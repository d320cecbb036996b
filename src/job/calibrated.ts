/**
 * A calibration in a job: a fragment of a job file, laid over the file's own groups where the ids are alike. Options stay
 * above it. The figures of a coat or a metal were found with the spot of their lens and source: with another beam they are
 * left out too. What a file does not name is the calibration's.
 */
import type { Calibration } from "./calibration.ts";
import type { Job, JobFile, OwnPart } from "./job.ts";
import { resolveCoating, resolveLens, resolveMetal, resolveSource, sameBeam, usualIds } from "./process.ts";
import type { Profiles } from "./profiles.ts";
import type { StripFile } from "./stripfile.ts";

/** The calibration that a job names, and which of its figures hold for this job: those stand in the job's own groups. */
export interface Calibrated extends Pick<Calibration, "date" | "machine" | "correlation" | "placed"> {
  /** The strips that it was read from, each with its own job. */
  readonly strips: readonly {
    readonly strip: Omit<StripFile, "job"> & { readonly job: Job };
    readonly readings: Calibration["strips"][number]["readings"];
  }[];
  readonly path: string;
  readonly sha256?: string | undefined;
  readonly spot: boolean;
  readonly coating: boolean;
  readonly metal: boolean;
  /** Where options, and not the calibration, have the word. */
  readonly own: readonly OwnPart[];
}

/** A calibration that was read, and from where. */
export interface NamedCalibration {
  readonly path: string;
  readonly sha256?: string;
  readonly calibration: Calibration;
}

const lists = { lens: "lenses", source: "sources", coating: "coatings", metal: "metals" } as const;
const groups = ["lens", "source", "coating", "metal"] as const;
type Group = (typeof groups)[number];

/** The file with the calibration's figures in it, and what of them holds. */
export function layOver(
  file: JobFile,
  options: JobFile,
  named: NamedCalibration,
  profiles: Profiles,
  where: string,
): { file: JobFile; calibrated: Omit<Calibrated, "strips"> } {
  const { calibration } = named;
  const { figures } = calibration;
  const under = naming(file, options, calibration, profiles);
  const ids: Record<Group, string | undefined> = {
    lens: resolveLens(under.lens, options.lens, profiles, where).id,
    source: resolveSource(under.source, options.source, profiles, where).id,
    coating: resolveCoating(under.coating, options.coating, profiles, where)?.id,
    metal: resolveMetal(under.metal, options.metal, profiles, where).id,
  };
  const own = new Set(ownOf(under, options, calibration, profiles, where));
  const alike = (group: Group): boolean => ids[group] === calibration[group];
  const beam = alike("lens") && alike("source") && !own.has("spot");
  const spot = beam && figures.lens?.spotUm !== undefined;
  const coating = beam && alike("coating") && figures.coating !== undefined && !own.has("coating");
  const metal = beam && alike("metal") && figures.metal !== undefined && !own.has("metal");
  const { spotUm, rayleighMm, workingDistanceMm, pivotMm } = figures.lens ?? {};
  const lens = {
    ...(alike("lens") && !own.has("workingDistanceMm") ? { workingDistanceMm } : {}),
    ...(alike("lens") && !own.has("pivotMm") ? { pivotMm } : {}),
    ...(spot ? { spotUm, rayleighMm } : {}),
  };
  return {
    file: {
      ...under,
      ...laid("lens", under, ids, figures.lens, lens),
      ...laid("coating", under, ids, figures.coating, coating ? figures.coating : undefined),
      ...laid("metal", under, ids, figures.metal, metal ? figures.metal : undefined),
    },
    calibrated: {
      path: named.path,
      ...(named.sha256 === undefined ? {} : { sha256: named.sha256 }),
      date: calibration.date,
      machine: calibration.machine,
      spot,
      coating,
      metal,
      own: [...own],
      correlation: calibration.correlation,
      placed: calibration.placed,
    },
  };
}

/** The file; groups that neither it nor an option names are those that the calibration is for. */
function naming(file: JobFile, options: JobFile, calibration: Calibration, profiles: Profiles): JobFile {
  const named = groups.flatMap((group) => {
    const id = calibration[group];
    const said = Object.keys(file[group] ?? {}).length > 0 || options[group]?.id !== undefined;
    return said || id === null || !profiles[lists[group]].some((p) => p.id === id) ? [] : [[group, { id }]];
  });
  return { ...file, ...(Object.fromEntries(named) as JobFile) };
}

/** Parts that options say otherwise, and those that a repeated run's file lists. */
function ownOf(
  file: JobFile,
  options: JobFile,
  { figures }: Calibration,
  profiles: Profiles,
  where: string,
): OwnPart[] {
  const before =
    options.calibration === undefined && typeof file.calibration === "object"
      ? (file.calibration.own ?? [])
      : [];
  const { lens, coating, metal, source } = options;
  const otherwise = (asked: unknown, figure: unknown): boolean =>
    asked !== undefined && figure !== undefined && !same(asked, figure);
  const ids: JobFile = {
    ...(lens?.id === undefined ? {} : { lens: { id: lens.id } }),
    ...(source?.id === undefined ? {} : { source: { id: source.id } }),
  };
  const spot =
    lens?.spotUm !== undefined ||
    lens?.rayleighMm !== undefined ||
    !sameBeam(file, ids, options, profiles, where);
  const coat = (["thicknessUm", "thresholdJPerCm2", "depthUm"] as const).some((key) =>
    otherwise(coating?.[key], figures.coating?.[key]),
  );
  const bare = otherwise(metal?.thresholdJPerCm2, figures.metal?.thresholdJPerCm2);
  const now: Record<OwnPart, boolean> = {
    workingDistanceMm: otherwise(lens?.workingDistanceMm, figures.lens?.workingDistanceMm),
    pivotMm: otherwise(lens?.pivotMm, figures.lens?.pivotMm),
    spot,
    coating: coat,
    metal: bare,
  };
  return (Object.keys(now) as OwnPart[]).filter((part) => now[part] || before.includes(part));
}

/**
 * A group with the fragment in it. Where there is none, figures that are the calibration's own leave the file: they came from
 * it when the file was written.
 */
function laid<G extends "lens" | "coating" | "metal">(
  group: G,
  file: JobFile,
  ids: Record<Group, string | undefined>,
  figures: Calibration["figures"][G],
  fragment: Calibration["figures"][G],
): JobFile {
  const from = (file[group] ?? {}) as Record<string, unknown>;
  const all = (figures ?? {}) as Record<string, unknown>;
  const taken = Object.entries(fragment ?? {}).filter(([, value]) => value !== undefined);
  const gone = Object.keys(all).filter((key) => same(from[key], all[key]));
  if (taken.length === 0 && gone.length === 0) return {};
  // An option that names another profile leaves the file's figures behind: the fragment must not go with them.
  const stays = ids[group] === (from.id ?? usualIds[group]);
  const kept = Object.entries(from).filter(([key]) => !gone.includes(key));
  if (taken.length === 0) return { [group]: Object.fromEntries(kept) };
  return {
    [group]: { ...Object.fromEntries(stays ? kept : []), id: ids[group], ...Object.fromEntries(taken) },
  };
}

/** Of figures: one given as a number is known. */
function same(one: unknown, other: unknown): boolean {
  const full = (f: unknown): unknown => (typeof f === "number" ? { value: f, low: f, high: f } : f);
  return JSON.stringify(full(one)) === JSON.stringify(full(other));
}
