/** Job file, options and profiles → one resolved job, or a one-line error that names what is wrong. */
import type { z } from "zod";
import { JobError } from "../problem.ts";
import { fillAsked, resolveFill } from "./fill.ts";
import { type InkAsked, type Job, type JobFile, jobFileSchema } from "./job.ts";
import { nearest } from "./nearest.ts";
import { resolveOrder } from "./order.ts";
import { pick } from "./pick.ts";
import {
  resolveCoating,
  resolveColumn,
  resolveLens,
  resolveMetal,
  resolveSettings,
  resolveSource,
} from "./process.ts";
import { type Profiles, vesselOf } from "./profiles.ts";
import { resolveVessel, uncoated } from "./vessel.ts";

/** Where the footprint is twice as long as wide: cos 60° = ½. */
const MAX_INCIDENCE_DEG = 60;
/** A fortieth of a typical spot. */
const TOLERANCE_MM = 0.002;
/** Half of the light of white (our own choice). */
const INK_BELOW = 0.5;

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
    `${named ?? `${where}: ${place || "the job"}`} ${wanted}, found ${shown(found)}`,
    named
      ? unit
        ? `it is in ${unit}; see --help`
        : "see --help"
      : unit
        ? `write it as a number in ${unit}, without a unit`
        : "shared/job.schema.json says what is allowed",
  );
}

/** What is asked of the ink; options win. Throws JobError `ink-colour` for what is no `#rrggbb`. */
export function resolveInk(file: JobFile["ink"], options: JobFile["ink"]): InkAsked {
  const asked = { ...file, ...options };
  for (const colour of asked.colours ?? []) {
    if (/^#[0-9a-f]{6}$/i.test(colour)) continue;
    throw new JobError(
      "ink-colour",
      `the ink colour "${colour}" is not of the form #rrggbb`,
      "give six hexadecimal digits, in quotes, as in --ink-colour '#102030'",
    );
  }
  return {
    from: asked.from ?? "dark",
    below: asked.below ?? INK_BELOW,
    colours: asked.colours ?? [],
    strokes: asked.strokes ?? "outline",
    keepShapes: asked.keepShapes ?? false,
    trace: asked.trace ?? false,
    fonts: asked.fonts ?? [],
    allow: asked.allow ?? [],
  };
}

/** `file` and `options` are checked job files; options win. `where` names the file in messages. */
export function resolveJob(file: JobFile, options: JobFile, profiles: Profiles, where = "the job file"): Job {
  const source = resolveSource(file.source, options.source, profiles, where);
  const metal = resolveMetal(file.metal, options.metal, profiles, where);
  const withFill = fillAsked(file.fill, options.fill);
  const settings = resolveSettings(
    file.settings,
    options.settings,
    source,
    metal,
    withFill ? { ...file.fill, ...options.fill } : undefined,
  );
  const fill = withFill ? resolveFill(file, options, settings, metal) : undefined;
  const coating = resolveCoating(file.coating, options.coating, profiles, where);
  const look = profiles.coatings.find((c) => c.id === coating?.id)?.look;
  // A look of the file's own, where it names no coating, is the vessel's and stays.
  const [before, now] = [file.coating?.id, options.coating?.id];
  const recoated = before !== undefined && now !== undefined && now !== before;
  const placement = { ...file.placement, ...options.placement };
  const limits = { ...file.limits, ...options.limits };
  const artwork = options.artwork ?? file.artwork;
  const place = options.vessel?.id === undefined ? `${where}: vessel.id` : "--vessel";
  const vessel = resolveVessel(
    recoated ? uncoated(file.vessel) : file.vessel,
    options.vessel,
    look ? { colour: look.colour, gloss: look.gloss } : {},
    (id) => vesselOf(pick(profiles.vessels, id, place, "vessel", () => [])),
  );
  const fidelity = placement.fidelity ?? "girth";
  if (fidelity === "sheet") refuseSheet(vessel);
  return {
    schema: "fallaway-job-1",
    ...(artwork ? { artwork } : {}),
    order: resolveOrder(file.order, options.order),
    ink: resolveInk(file.ink, options.ink),
    vessel,
    placement: {
      ...(placement.widthMm === undefined ? {} : { widthMm: placement.widthMm }),
      ...(placement.heightMm === undefined ? {} : { heightMm: placement.heightMm }),
      rotateDeg: placement.rotateDeg ?? 0,
      atMm: placement.atMm ?? [0, 0],
      fidelity,
      viewingDistanceMm: placement.viewingDistanceMm ?? "far",
    },
    pose: options.pose ?? file.pose ?? "levelled",
    turns: options.turns ?? file.turns ?? 1,
    witnessMarks: options.witnessMarks ?? file.witnessMarks ?? false,
    lens: resolveLens(file.lens, options.lens, profiles, where),
    source,
    ...(settings ? { settings } : {}),
    ...(fill ? { fill } : {}),
    ...(coating ? { coating } : {}),
    metal,
    column: resolveColumn(file.column, options.column),
    limits: {
      usableDepthMm: limits.usableDepthMm ?? "rayleigh",
      maxIncidenceDeg: limits.maxIncidenceDeg ?? MAX_INCIDENCE_DEG,
    },
    focus: options.focus ?? file.focus ?? "best",
    axis: options.axis ?? file.axis ?? "y",
    layer: checkedLayer(options.layer ?? file.layer ?? "falloff", settings, coating),
    toleranceMm: options.toleranceMm ?? file.toleranceMm ?? TOLERANCE_MM,
  };
}

/** What bends two ways has no development (Gauss 1827: a sheet keeps its curvature, which is none). */
function refuseSheet({ sphereMm, profile }: Job["vessel"]): void {
  if (sphereMm === undefined && profile === undefined) return;
  throw new JobError(
    "sheet-stretches",
    sphereMm !== undefined
      ? "no flat sheet covers a sphere without stretch, since it curves both ways: --fidelity sheet is for cylinders and cones"
      : "no flat sheet covers a wall that curves both ways without stretch: --fidelity sheet is for cylinders and cones",
    profile
      ? "use --fidelity true-width, or where the wall is straight there measure its two ends and give --taper"
      : "use --fidelity true-width, which keeps areas and widths",
  );
}

/** A layer that the job has something to work out of. */
function checkedLayer(layer: Job["layer"], settings: Job["settings"], coating: Job["coating"]): Job["layer"] {
  if (layer !== "falloff" && !settings) {
    throw new JobError(
      "layer-without-settings",
      `--layer ${layer} needs the settings`,
      "give --power, --speed, --frequency and --pitch",
    );
  }
  if ((layer === "removal" || layer === "metal") && !coating) {
    throw new JobError(
      "layer-without-coating",
      `--layer ${layer} needs the coating`,
      "give --coating, see: fallaway profiles coatings",
    );
  }
  return layer;
}

/** A value as it stands in the job, in a line; of a long one how long it is. */
function shown(value: unknown): string {
  const text = JSON.stringify(value) ?? "nothing";
  return text.length > LONG ? `${text.slice(0, LONG)}… (${text.length} characters)` : text;
}
const LONG = 120;

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
  if (key.endsWith("MmS")) return "mm/s";
  if (key.endsWith("KHz")) return "kHz";
  if (key.endsWith("JPerCm2")) return "J/cm²";
  if (key.endsWith("Um")) return "µm";
  if (key.endsWith("Mj")) return "mJ";
  if (key.endsWith("Ns")) return "ns";
  if (key.endsWith("W")) return "watts";
  return null;
}

const counts: Readonly<Record<number, string>> = { 1: "one or more", 2: "two", 3: "three" };

function sentence(issue: z.core.$ZodIssue): string {
  if (issue.code === "too_small" || issue.code === "too_big") {
    if (issue.origin === "array")
      return `must be a list of ${counts[Number(issue.code === "too_small" ? issue.minimum : issue.maximum)] ?? "another length"}`;
    if (issue.origin === "string")
      return issue.code === "too_small"
        ? "must not be empty"
        : `must be at most ${issue.maximum} characters long`;
    const [edge, strict, loose] =
      issue.code === "too_small"
        ? [issue.minimum, "more than", "at least"]
        : [issue.maximum, "less than", "at most"];
    return `must be ${issue.inclusive ? loose : strict} ${edge}`;
  }
  if (issue.code === "invalid_value") return `must be ${words(issue.values)}`;
  if (issue.code === "invalid_type") {
    if (issue.expected === "tuple") return "must be a list of numbers";
    if (issue.expected === "int") return "must be a whole number";
    return `must be ${/^[aeiou]/.test(issue.expected) ? "an" : "a"} ${issue.expected}`;
  }
  if (issue.code === "invalid_union") {
    const each = [...new Set(issue.errors.map((branch) => (branch[0] ? sentence(branch[0]) : "")))];
    return each.filter(Boolean).join(", or ").replaceAll("or must be", "or");
  }
  return issue.message;
}

const words = (values: readonly unknown[]): string =>
  `${values.length > 1 ? "one of " : ""}${values.map((v) => JSON.stringify(v)).join(", ")}`;
