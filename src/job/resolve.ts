/** Job file, options and profiles → one resolved job, or a one-line error that names what is wrong. */
import type { z } from "zod";
import { JobError } from "../problem.ts";
import { type Job, type JobFile, jobFileSchema } from "./job.ts";
import { nearest } from "./nearest.ts";
import type { Profiles } from "./profiles.ts";

/** A long lens with a 300 mm field: the one that reaches around (common practice, no published source). */
export const DEFAULT_LENS = "field-300";
export const DEFAULT_SOURCE = "pulsed-fibre";
/** Where the footprint is twice as long as wide: cos 60° = ½. */
const MAX_INCIDENCE_DEG = 60;
/** A fortieth of a typical spot. */
const TOLERANCE_MM = 0.002;

/**
 * Checks parsed JSON against the job's schema. `where` names the file (or "the options") in the message;
 * `nameOf` may give a place its own name there.
 */
export function readJobFile(
  value: unknown,
  where: string,
  nameOf: (path: readonly PropertyKey[]) => string | null = () => null,
): JobFile {
  const result = jobFileSchema.safeParse(value);
  if (result.success) return result.data;
  const issue = result.error.issues[0] as z.core.$ZodIssue;
  const place = issue.path.join(".");
  const named = nameOf(issue.path);
  if (issue.code === "unrecognized_keys") {
    const key = issue.keys[0] as string;
    const known = keysAt(issue.path);
    const near = nearest(key, known);
    throw new JobError(
      "job-key",
      `${where}: unknown key "${place ? `${place}.` : ""}${key}"`,
      near.length > 0
        ? `did you mean ${near.map((k) => `"${k}"`).join(" or ")}?`
        : `known here: ${known.join(", ")}`,
    );
  }
  const found = dig(value, issue.path);
  const unit = unitOf(String(issue.path.at(-1) ?? ""));
  const wanted = unit && typeof found === "string" ? `takes a plain number in ${unit}` : sentence(issue);
  throw new JobError(
    "job-value",
    `${named ?? `${where}: ${place || "the job"}`} ${wanted}, found ${JSON.stringify(found) ?? "nothing"}`,
    named
      ? "see fallaway prepare --help"
      : unit
        ? `write it as a number in ${unit}, without a unit`
        : "shared/job.schema.json says what is allowed",
  );
}

/** `file` and `options` are checked job files; options win. */
export function resolveJob(file: JobFile, options: JobFile, profiles: Profiles): Job {
  const vessel = options.vessel ?? file.vessel ?? {};
  if (vessel.diameterMm !== undefined && vessel.circumferenceMm !== undefined) {
    throw new JobError(
      "vessel-twice",
      "both a diameter and a circumference are given",
      "give one of --diameter and --circumference",
    );
  }
  const diameterMm =
    vessel.diameterMm ??
    (vessel.circumferenceMm === undefined ? undefined : vessel.circumferenceMm / Math.PI);
  if (diameterMm === undefined) {
    throw new JobError(
      "vessel-missing",
      "the vessel's size is not given",
      "measure the cup and give --diameter MM, or run a tape around it and give --circumference MM",
    );
  }
  const lensGroup = { ...(options.lens?.id === undefined ? file.lens : {}), ...options.lens };
  const sourceGroup = { ...(options.source?.id === undefined ? file.source : {}), ...options.source };
  const lens = pick(profiles.lenses, lensGroup.id ?? DEFAULT_LENS, "lens");
  const source = pick(profiles.sources, sourceGroup.id ?? DEFAULT_SOURCE, "source");
  const placement = { ...file.placement, ...options.placement };
  const limits = { ...file.limits, ...options.limits };
  const artwork = options.artwork ?? file.artwork;
  return {
    schema: "fallaway-job-1",
    ...(artwork ? { artwork } : {}),
    vessel: { diameterMm },
    placement: {
      ...(placement.widthMm === undefined ? {} : { widthMm: placement.widthMm }),
      ...(placement.heightMm === undefined ? {} : { heightMm: placement.heightMm }),
      rotateDeg: placement.rotateDeg ?? 0,
      atMm: placement.atMm ?? [0, 0],
      fidelity: placement.fidelity ?? "girth",
    },
    lens: {
      id: lens.id,
      focalLengthMm: lensGroup.focalLengthMm ?? lens.focalLengthMm.value,
      fieldMm: lensGroup.fieldMm ?? lens.fieldMm.value,
      workingDistanceMm: lensGroup.workingDistanceMm ?? lens.workingDistanceMm.value,
      pivotMm: lensGroup.pivotMm ?? lens.pivotMm.value,
    },
    source: {
      id: source.id,
      beamDiameterMm: sourceGroup.beamDiameterMm ?? source.beamDiameterMm.value,
      m2: sourceGroup.m2 ?? source.m2.value,
      wavelengthNm: sourceGroup.wavelengthNm ?? source.wavelengthNm.value,
    },
    limits: {
      usableDepthMm: limits.usableDepthMm ?? "rayleigh",
      maxIncidenceDeg: limits.maxIncidenceDeg ?? MAX_INCIDENCE_DEG,
    },
    focus: options.focus ?? file.focus ?? "best",
    axis: options.axis ?? file.axis ?? "y",
    toleranceMm: options.toleranceMm ?? file.toleranceMm ?? TOLERANCE_MM,
  };
}

function pick<T extends { id: string }>(list: readonly T[], id: string, what: string): T {
  const found = list.find((p) => p.id === id);
  if (found) return found;
  const near = nearest(
    id,
    list.map((p) => p.id),
  );
  throw new JobError(
    `${what}-unknown`,
    `there is no ${what} profile "${id}"`,
    `${near.length > 0 ? `nearest: ${near.join(", ")}; ` : ""}fallaway profiles lists them all`,
  );
}

/** The keys that the schema knows in the group at `path`. */
function keysAt(path: readonly PropertyKey[]): string[] {
  let schema: unknown = jobFileSchema;
  for (const key of path) {
    const shape = (schema as { shape?: Record<string, unknown> }).shape;
    schema = shape?.[String(key)];
    if (schema && typeof schema === "object" && "unwrap" in schema)
      schema = (schema as { unwrap(): unknown }).unwrap();
  }
  return Object.keys((schema as { shape?: Record<string, unknown> } | undefined)?.shape ?? {});
}

const dig = (value: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>((v, key) => (v as Record<PropertyKey, unknown> | undefined)?.[key], value);

function unitOf(key: string): string | null {
  if (key.endsWith("Mm")) return "mm";
  if (key.endsWith("Deg")) return "degrees";
  if (key.endsWith("Nm")) return "nm";
  return null;
}

function sentence(issue: z.core.$ZodIssue): string {
  if (issue.code === "too_small")
    return `must be ${issue.inclusive ? "at least" : "more than"} ${issue.minimum}`;
  if (issue.code === "too_big")
    return `must be ${issue.inclusive ? "at most" : "less than"} ${issue.maximum}`;
  if (issue.code === "invalid_value")
    return `must be one of ${issue.values.map((v) => JSON.stringify(v)).join(", ")}`;
  if (issue.code === "invalid_type")
    return `must be ${/^[aeiou]/.test(issue.expected) ? "an" : "a"} ${issue.expected}`;
  if (issue.code === "invalid_union") return "is not one of the allowed values";
  return issue.message;
}
