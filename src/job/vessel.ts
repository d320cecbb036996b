/** What the job says of the vessel: its shape in one of four ways, its ends, what stands in the way on it. */
import { JobError } from "../problem.ts";
import type { Blocked, JobFile, Measure, Vessel } from "./job.ts";
import { readMeasures } from "./measures.ts";
import { given } from "./order.ts";

type Group = NonNullable<JobFile["vessel"]>;
/** A shape that is asked for anew leaves behind all that the file said of another. */
const shapeKeys = ["id", "diameterMm", "circumferenceMm", "taperMm", "sphereMm", "profile"] as const;

/**
 * `stored`: the shape of a vessel profile's id. `look`: how the coating's profile looks, where a coating is named.
 * Throws JobError where the shape is missing, given twice or bad, or the placement point lies off the vessel.
 */
export function resolveVessel(
  file: JobFile["vessel"],
  options: JobFile["vessel"],
  look: { colour?: string; gloss?: number },
  stored: (id: string) => Group,
): Vessel {
  if (options?.id !== undefined && shaped(options, "id")) {
    throw new JobError(
      "vessel-twice",
      `both the stored vessel "${options.id}" and a shape of its own are given`,
      "give --vessel alone, or leave it out",
    );
  }
  const asked = { ...(shaped(options) ? leftOf(file, options) : file), ...options };
  const named = asked.id === undefined ? {} : stored(asked.id);
  const group: Group = { ...(shaped(asked, "id") ? shapeless(named) : named), ...asked };
  const shape = shapeOf(group);
  const { id, name, handleDeg, seamDeg, colour, gloss, blocked } = group;
  const { heightMm, belowRimMm } = endsOf(group, shape);
  return given({
    id,
    ...shape,
    name,
    heightMm,
    belowRimMm,
    handleDeg: handleDeg === undefined ? undefined : turn(handleDeg),
    seamDeg: seamDeg === undefined ? undefined : turn(seamDeg),
    blocked: blocked?.map((area) =>
      blockedOf(area, belowRimMm ?? (shape.sphereMm ? shape.sphereMm / 2 : undefined)),
    ),
    colour: colour ?? look.colour,
    gloss: gloss ?? look.gloss,
  });
}

/** Without the look of its coating: another coating leaves it behind. */
export function uncoated(vessel: JobFile["vessel"]): JobFile["vessel"] {
  const { colour: _, gloss: __, ...rest } = vessel ?? {};
  return rest;
}

const shaped = (group: JobFile["vessel"], but?: string): boolean =>
  shapeKeys.some((key) => key !== but && group?.[key] !== undefined);

/** What a file's vessel keeps when another shape is asked for: its ends only where both are cylinders. */
function leftOf(file: JobFile["vessel"], options: JobFile["vessel"]): Group {
  const { heightMm, belowRimMm, ...rest } = shapeless(file);
  return round(file) && round(options) ? given({ ...rest, heightMm, belowRimMm }) : rest;
}
const round = (group: JobFile["vessel"]): boolean =>
  group?.id === undefined && (group?.diameterMm !== undefined || group?.circumferenceMm !== undefined);

const shapeless = (group: JobFile["vessel"]): Group =>
  Object.fromEntries(
    Object.entries(group ?? {}).filter(([key]) => !(shapeKeys as readonly string[]).includes(key)),
  );

type Shape = Pick<Vessel, "diameterMm" | "taperMm" | "sphereMm" | "profile">;

const optionOf = {
  diameterMm: "a diameter",
  circumferenceMm: "a circumference",
  taperMm: "a taper",
  sphereMm: "a sphere",
  profile: "a measured profile",
} as const;

function shapeOf(group: Group): Shape {
  const given = (Object.keys(optionOf) as (keyof typeof optionOf)[]).filter(
    (key) => group[key] !== undefined,
  );
  if (given.length > 1) {
    throw new JobError(
      "vessel-twice",
      `both ${optionOf[given[0]!]} and ${optionOf[given[1]!]} are given`,
      "give one of --diameter, --circumference, --taper, --sphere, --profile",
    );
  }
  const { diameterMm, circumferenceMm, taperMm, sphereMm, profile } = group;
  if (diameterMm !== undefined) return { diameterMm };
  if (circumferenceMm !== undefined) return { diameterMm: circumferenceMm / Math.PI };
  if (taperMm !== undefined) return { taperMm: checkedTaper(taperMm) };
  if (sphereMm !== undefined) return { sphereMm };
  if (profile !== undefined) return { profile: checkedProfile(profile) };
  throw new JobError(
    "vessel-missing",
    "the vessel's size is not given",
    "measure the cup and give --diameter MM, or run a tape around it and give --circumference MM; for other shapes --taper, --sphere, --profile or --vessel",
  );
}

/** Steeper than this against its axis it is a funnel, no wall to mark (our own choice, degrees). */
const STEEPEST_TAPER = 60;

function checkedTaper([top, bottom, height]: readonly [number, number, number]): readonly [
  number,
  number,
  number,
] {
  const steep = (Math.atan2(Math.abs(top - bottom) / 2, height) * 180) / Math.PI;
  if (steep <= STEEPEST_TAPER) return [top, bottom, height];
  throw new JobError(
    "taper-too-steep",
    `a taper from ${top} to ${bottom} mm over ${height} mm leans ${steep.toFixed(0)}° from the axis`,
    "the third number is the height between the two diameters, along the axis: check the three",
  );
}

function checkedProfile(rows: NonNullable<Group["profile"]>): Measure[] {
  const { rows: measures, problems } = readMeasures(
    rows.map(({ heightMm, diameterMm, circumferenceMm }, i) => ({
      heightMm,
      ...(diameterMm === undefined ? {} : { diameterMm }),
      ...(circumferenceMm === undefined ? {} : { circumferenceMm }),
      row: i + 1,
    })),
  );
  const wrong = problems.find(({ severity }) => severity === "error");
  if (wrong) throw new JobError(wrong.code, wrong.message, wrong.hint, wrong.where);
  return measures;
}

/** Rim to base, and the placement point below the rim: at mid-height where a shape has ends and nothing else is said. */
function endsOf(group: Group, { taperMm, sphereMm, profile }: Shape): Pick<Group, "heightMm" | "belowRimMm"> {
  const { heightMm, belowRimMm } = group;
  if (sphereMm !== undefined) {
    if (heightMm === undefined && belowRimMm === undefined) return {};
    throw new JobError(
      "sphere-without-rim",
      "a sphere has no rim or base, its placement point lies on its widest circle",
      "leave --vessel-height and --below-rim out; --at moves the ink",
    );
  }
  const [low, high] = profile ? [profile[0]!.heightMm, profile.at(-1)!.heightMm] : [0, taperMm?.[2]];
  if (taperMm && heightMm !== undefined && heightMm !== taperMm[2]) {
    throw new JobError(
      "vessel-height-twice",
      `the taper is ${taperMm[2]} mm tall, but the vessel's height is given as ${heightMm} mm`,
      "leave --vessel-height out: the taper's third number is the height",
    );
  }
  if (heightMm !== undefined && high !== undefined && heightMm < high) {
    throw new JobError(
      "vessel-height-low",
      `the profile was measured up to ${high} mm, but the vessel's height is given as ${heightMm} mm`,
      "leave --vessel-height out where the highest row is the rim",
    );
  }
  const tall = heightMm ?? high;
  if (tall !== undefined && belowRimMm !== undefined && belowRimMm > tall) {
    throw new JobError(
      "placement-below-base",
      `the placement point is ${belowRimMm} mm below the rim of a vessel ${tall} mm tall`,
      "measure from the rim down for --below-rim, and from rim to base for --vessel-height",
    );
  }
  if (high === undefined || tall === undefined) return { heightMm, belowRimMm };
  const below = belowRimMm ?? tall - (low + high) / 2;
  if (tall - below < low || tall - below > high) {
    throw new JobError(
      "placement-off-profile",
      `the placement point, ${tall - below} mm above the base, lies outside the measured profile, ${low} to ${high} mm`,
      "measure further, or give another --below-rim",
    );
  }
  return { heightMm: tall, belowRimMm: below };
}

function blockedOf(
  { name, aroundDeg, belowRimMm }: NonNullable<Group["blocked"]>[number],
  rim: number | undefined,
): Blocked {
  if (belowRimMm === undefined) return { name, aroundDeg };
  if (rim === undefined) {
    throw new JobError(
      "blocked-without-rim",
      `the blocked area "${name}" is given from ${belowRimMm[0]} to ${belowRimMm[1]} mm below the rim, but where the rim is is not known`,
      "give --below-rim, the placement point's distance from the rim",
    );
  }
  if (belowRimMm[0] >= belowRimMm[1]) {
    throw new JobError(
      "blocked-upside-down",
      `the blocked area "${name}" begins ${belowRimMm[0]} mm and ends ${belowRimMm[1]} mm below the rim`,
      "give the upper end first",
    );
  }
  return { name, aroundDeg, belowRimMm };
}

/** The same turn from −180 (not reached) to 180; one that lies there stays as it was given. */
const turn = (degrees: number): number =>
  degrees > -180 && degrees <= 180 ? degrees : 180 - ((((180 - degrees) % 360) + 360) % 360);
