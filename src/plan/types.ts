/** The Plan: all that is known of a job once it has been worked out. Everything written or drawn is read from it. */
import type { Spot } from "../beam/spot.ts";
import type { Box, Path } from "../geometry/path.ts";
import type { Job } from "../job/job.ts";
import type { Problem, Where } from "../problem.ts";
import type { Warp } from "../warp/warp.ts";
import type { Changes } from "./changes.ts";
import type { ColumnFit } from "./column.ts";
import type { Distortion } from "./distortion.ts";
import type { FalloffRange } from "./falloff.ts";
import type { Fill } from "./fill/types.ts";
import type { Ink, InkShape } from "./ink.ts";
import type { InkPoints } from "./inkpoints.ts";
import type { Levelling } from "./levelling.ts";
import type { Forecast } from "./process/forecast.ts";
import type { Reach } from "./reach.ts";
import type { Thin } from "./thin/thin.ts";
import type { TurnInk, Turns } from "./turns/turns.ts";
import type { Limits, Zone } from "./zones.ts";

export type Verdict = "ready" | "caution" | "stop";

/** One shape as the station gets it: mm, (0, 0) the optical axis, x and y as in the file. */
export interface Mark {
  readonly id: string;
  readonly paint: InkShape["paint"];
  readonly path: Path<"command">;
}

export interface ZoneShare {
  readonly zone: Zone;
  readonly areaMm2: number;
  readonly lineLengthMm: number;
  /** Share of the inked area; of the line length where the ink is lines only. */
  readonly share: number;
  /** Shapes with ink there. */
  readonly shapes: readonly { readonly id: string; readonly where: Where }[];
}

/** One position of the vessel: its ink on its own flat, and its marks. */
export interface Turn extends TurnInk {
  readonly limits: Limits;
  readonly points: InkPoints;
  readonly falloff: FalloffRange;
  readonly thin: Thin;
  readonly pieces: ReadonlyMap<Zone, readonly InkShape[]>;
  readonly zones: readonly ZoneShare[];
  readonly marks: ReadonlyMap<Zone, readonly Mark[]>;
  readonly fit: Plan["fit"];
  readonly box: Plan["box"];
  /** Witness mark of the seam on the left, where the pointer must fall (u, v; mm); null where there is none. */
  readonly aimMm: readonly [number, number] | null;
}

/**
 * With several turns `ink` is the whole artwork, `points`, `pieces` and `marks` those of all turns, each on its own flat
 * under the one head.
 */
export interface Plan {
  readonly job: Job;
  /** At least one, in their order. */
  readonly turns: readonly Turn[];
  readonly parting: Pick<Turns, "cuts" | "overlapMm2" | "closing" | "rhoMm">;
  readonly distortion: Distortion;
  /** What levelling the vessel would do, where it lies otherwise; null where it is level or nothing would change. */
  readonly levelling: Levelling | null;
  /** Points of the ink that the vessel's own bulge stands before, of those looked at. */
  readonly shaded: number;
  readonly page: { readonly widthMm: number; readonly heightMm: number };
  readonly ink: Ink;
  readonly warp: Warp;
  readonly spot: Spot;
  readonly limits: Limits;
  readonly points: InkPoints;
  /** δ as planned (deeper than `wantedMm` where the column is too short), as wanted, the best, and the ink's largest drop. */
  readonly focus: {
    readonly belowCrownMm: number;
    readonly wantedMm: number;
    readonly bestMm: number;
    readonly dropMm: number;
  };
  readonly reach: Reach;
  readonly falloff: FalloffRange;
  readonly column: ColumnFit;
  /** What the settings do; null where the job has none. */
  readonly forecast: Forecast | null;
  /** Lines laid and bands; null where none are asked for or no filled ink is usable. */
  readonly fill: Fill | null;
  /** What would help; null where the ink fits as it is. */
  readonly changes: Changes | null;
  /** Lines and gaps against the spot. */
  readonly thin: Thin;
  readonly pieces: ReadonlyMap<Zone, readonly InkShape[]>;
  readonly zones: readonly ZoneShare[];
  /** Marks by zone, `hidden` left out. */
  readonly marks: ReadonlyMap<Zone, readonly Mark[]>;
  readonly fit: {
    readonly certifiedErrorMm: number;
    readonly segmentsIn: number;
    readonly segmentsOut: number;
  };
  /** Box around all marks in the file, and around those of the group `usable`. */
  readonly box: { readonly all: Box | null; readonly usable: Box | null };
  readonly reasons: readonly Problem[];
  readonly verdict: Verdict;
}
