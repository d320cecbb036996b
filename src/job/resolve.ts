/** Job file, options and profiles → one resolved job, or a one-line error that names what is wrong. */
import { JobError } from "../problem.ts";
import { type Calibrated, layOver, type NamedCalibration } from "./calibrated.ts";
import { checked } from "./checked.ts";
import { fillAsked, resolveFill } from "./fill.ts";
import { type InkAsked, type Job, type JobFile, jobFileSchema } from "./job.ts";
import { resolveOrder } from "./order.ts";
import { pick } from "./pick.ts";
import {
  resolveCoating,
  resolveColumn,
  resolveLens,
  resolveMetal,
  resolveSettings,
  resolveSource,
  sameBeam,
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
export const readJobFile = (
  value: unknown,
  where: string,
  nameOf: (path: readonly PropertyKey[]) => string | null = () => null,
): JobFile =>
  checked(jobFileSchema, value, where, {
    what: "the job",
    codes: { key: "job-key", value: "job-value" },
    allowed: "shared/job.schema.json says what is allowed",
    nameOf,
  });

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

/**
 * `file` and `options` are checked job files; options win. `where` names the file in messages. `named`: the calibration
 * that either names, as read.
 */
export function resolveJob(
  file: JobFile,
  options: JobFile,
  profiles: Profiles,
  where = "the job file",
  named?: NamedCalibration,
): Job {
  const laid = named ? layOver(file, options, named, profiles, where) : undefined;
  const under = laid?.file ?? file;
  const source = resolveSource(under.source, options.source, profiles, where);
  const metal = resolveMetal(under.metal, options.metal, profiles, where);
  const withFill = fillAsked(file.fill, options.fill);
  const settings = resolveSettings(
    file.settings,
    options.settings,
    source,
    metal,
    withFill ? { ...file.fill, ...options.fill } : undefined,
  );
  const fill = withFill ? resolveFill(file, options, settings, metal) : undefined;
  const coating = resolveCoating(under.coating, options.coating, profiles, where);
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
    lens: resolveLens(
      under.lens,
      options.lens,
      profiles,
      where,
      laid?.calibrated.spot || sameBeam(file, {}, options, profiles, where),
    ),
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
    ...(laid && named ? { calibration: { ...laid.calibrated, strips: stripsOf(named, profiles) } } : {}),
  };
}

/** The strips of a calibration with their jobs resolved. */
const stripsOf = ({ path, calibration }: NamedCalibration, profiles: Profiles): Calibrated["strips"] =>
  calibration.strips.map(({ strip, readings }) => ({
    readings,
    strip: { ...strip, job: resolveJob(readJobFile(strip.job, path), {}, profiles, path) },
  }));

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
