/**
 * How wide artwork may be on one vessel through each of several lenses, the focus and the column that takes, and
 * how the reach grows with the vessel. Every row is the same sum as a job's own: spot, limits, reach, best focus.
 */
import type { Job } from "../job/job.ts";
import type { Surface } from "../vessel/surface.ts";
import { Warp } from "../warp/warp.ts";
import { type Bed, bedOf, diameterOf, scaledBy, surfaceOf } from "./body.ts";
import { columnOf } from "./column.ts";
import { falloffRange } from "./falloff.ts";
import { bestFocus } from "./focus.ts";
import { type Reach, reachOf } from "./reach.ts";
import { type Lens, type StationAsk, stationOf } from "./station.ts";

/** The parts of a job that decide the reach, but for the lens. */
export type ReachAsk = StationAsk & Pick<Job, "placement">;

export interface ReachRow {
  readonly lens: string;
  /** Side of the square field. */
  readonly fieldMm: number;
  /** 1/e² diameter at the waist. */
  readonly waistDiameterMm: number;
  /** 2 z_R, the depth of focus of ISO 11146. */
  readonly depthOfFocusMm: number;
  /** δ below the crown line that is best for artwork exactly as wide as the reach. */
  readonly bestFocusMm: number;
  /** On the flat: around the vessel for `girth`, as seen for `sight`. */
  readonly reachMm: number;
  readonly limitedBy: Reach["limitedBy"];
  /** Smallest over largest relative fluence over that width at that focus. */
  readonly falloffRatio: number;
  readonly column: {
    /** Height of the lens reference above the bed. */
    readonly neededMm: number;
    /** What the column lacks; 0 where it is tall enough, null where its travel is not known. */
    readonly shortMm: number | null;
  };
}

/** Points across the artwork: every half per cent of its width. */
const POINTS = 201;

/** One row for each lens, in the order given. */
export function reachTable(lenses: readonly Lens[], ask: ReachAsk): ReachRow[] {
  const surface = surfaceOf(ask);
  const bed = bedOf(ask, surface);
  return lenses.map((lens) => rowOf(lens, ask, surface, bed));
}

function rowOf(lens: Lens, ask: ReachAsk, surface: Surface, bed: Bed): ReachRow {
  const { base, spot, limits } = stationOf(ask, lens, bed);
  const { aroundMm, limitedBy } = reachOf(surface, base, limits);
  const points = across(aroundMm / 2);
  const belowCrown = bestFocus(surface, base, spot, limits.usableDepthMm, points);
  const { min, max } = falloffRange(new Warp(surface, { ...base, belowCrown }), spot, points);
  const { neededMm, shortMm } = columnOf(ask.column, lens.workingDistanceMm, bed.standsMm, belowCrown);
  return {
    lens: lens.id,
    fieldMm: lens.fieldMm,
    waistDiameterMm: spot.waistDiameterMm,
    depthOfFocusMm: 2 * spot.rayleighMm,
    bestFocusMm: belowCrown,
    reachMm: aroundMm,
    limitedBy,
    falloffRatio: max > 0 ? min / max : 0,
    column: { neededMm, shortMm },
  };
}

/** Flat points from −half to half at b = 0 (mm). */
const across = (half: number): Float64Array =>
  Float64Array.from({ length: 2 * POINTS }, (_, i) =>
    i % 2 ? 0 : half * ((2 * (i / 2)) / (POINTS - 1) - 1),
  );

export interface ReachCurve {
  readonly lens: string;
  /** One for each diameter asked for. */
  readonly reachMm: readonly number[];
}

/** Each lens's reach on vessels of these diameters (mm); all else as in `ask`. */
export function reachCurves(
  lenses: readonly Lens[],
  ask: ReachAsk,
  diametersMm: readonly number[],
): ReachCurve[] {
  const bed = bedOf(ask);
  const here = diameterOf(ask.vessel);
  const surfaces = diametersMm.map((d) => surfaceOf(scaledBy(ask, d / here)));
  return lenses.map((lens) => {
    const { base, limits } = stationOf(ask, lens, bed);
    return { lens: lens.id, reachMm: surfaces.map((surface) => reachOf(surface, base, limits).aroundMm) };
  });
}
