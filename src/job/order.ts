/** What the job says of the order and the vessel. */
import { JobError } from "../problem.ts";
import type { JobFile, Order, Vessel } from "./job.ts";

/** Options win; what neither gives stays away. The keys' order is fixed, so that a repeated run writes the same bytes. */
export function resolveOrder(file: JobFile["order"], options: JobFile["order"]): Order {
  const { name, customer, revision, quantity, date } = { ...file, ...options };
  return given({ name, customer, revision, quantity, date });
}

/**
 * `look`: how the coating's profile looks, where a coating is named. Throws JobError where the size is missing or given
 * twice, or the placement point lies below the base.
 */
export function resolveVessel(
  file: JobFile["vessel"],
  options: JobFile["vessel"],
  look: { colour?: string; gloss?: number },
): Vessel {
  // A size that is asked for anew leaves the file's behind, in whichever way that was given.
  const { diameterMm: across, circumferenceMm: around, ...rest } = { ...sizeless(file, options), ...options };
  if (across !== undefined && around !== undefined) {
    throw new JobError(
      "vessel-twice",
      "both a diameter and a circumference are given",
      "give one of --diameter and --circumference",
    );
  }
  const diameterMm = across ?? (around === undefined ? undefined : around / Math.PI);
  if (diameterMm === undefined) {
    throw new JobError(
      "vessel-missing",
      "the vessel's size is not given",
      "measure the cup and give --diameter MM, or run a tape around it and give --circumference MM",
    );
  }
  const { name, heightMm, belowRimMm, handleDeg, seamDeg, colour, gloss } = rest;
  if (heightMm !== undefined && belowRimMm !== undefined && belowRimMm > heightMm) {
    throw new JobError(
      "placement-below-base",
      `the placement point is ${belowRimMm} mm below the rim of a vessel ${heightMm} mm tall`,
      "measure from the rim down for --below-rim, and from rim to base for --vessel-height",
    );
  }
  return {
    diameterMm,
    ...given({
      name,
      heightMm,
      belowRimMm,
      handleDeg: handleDeg === undefined ? undefined : turn(handleDeg),
      seamDeg: seamDeg === undefined ? undefined : turn(seamDeg),
      colour: colour ?? look.colour,
      gloss: gloss ?? look.gloss,
    }),
  };
}

/** The file's vessel, without its size where the options give one. */
function sizeless(file: JobFile["vessel"], options: JobFile["vessel"]): NonNullable<JobFile["vessel"]> {
  if (options?.diameterMm === undefined && options?.circumferenceMm === undefined) return file ?? {};
  const { diameterMm: _, circumferenceMm: __, ...rest } = file ?? {};
  return rest;
}

/** Without the look of its coating: another coating leaves it behind. */
export function uncoated(vessel: JobFile["vessel"]): JobFile["vessel"] {
  const { colour: _, gloss: __, ...rest } = vessel ?? {};
  return rest;
}

/** The same turn from −180 (not reached) to 180; one that lies there stays as it was given. */
const turn = (degrees: number): number =>
  degrees > -180 && degrees <= 180 ? degrees : 180 - ((((180 - degrees) % 360) + 360) % 360);

type Given<T> = { [K in keyof T]?: Exclude<T[K], undefined> };
/** Without the keys that hold nothing. */
const given = <T extends object>(group: T): Given<T> =>
  Object.fromEntries(Object.entries(group).filter(([, value]) => value !== undefined)) as Given<T>;
