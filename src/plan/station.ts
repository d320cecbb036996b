/** The station as the plan sees it through a lens: spot, limits, pivots, and how high the column lets the focus be. */
import { type Beam, focusedSpot, type Spot } from "../beam/spot.ts";
import type { ScanHead } from "../head/scanhead.ts";
import type { Job, Pivot, Source } from "../job/job.ts";
import { type Bed, bedOf } from "./body.ts";
import { shallowestFocus } from "./column.ts";
import type { Limits } from "./zones.ts";

export type Lens = Job["lens"];

export interface Station {
  readonly base: Omit<ScanHead, "belowCrown">;
  readonly spot: Spot;
  readonly limits: Limits;
  /** The highest that the column lets the focal plane be, δ; −∞ where its travel is not known. */
  readonly shallowestMm: number;
}

/** The parts of a job that make its station, but for the lens. */
export type StationAsk = Pick<Job, "vessel" | "pose" | "source" | "limits" | "column" | "axis">;

/** `bed`: worked out once where many lenses are tried. */
export function stationOf(ask: StationAsk, lens: Lens, bed: Bed = bedOf(ask)): Station {
  const spot = spotOf(ask.source, lens);
  const { usableDepthMm, maxIncidenceDeg } = ask.limits;
  return {
    base: headOf(lens, ask.axis),
    spot,
    limits: {
      usableDepthMm: usableDepthMm === "rayleigh" ? spot.rayleighMm : usableDepthMm,
      maxIncidenceDeg,
      blocked: bed.blocked,
    },
    shallowestMm: shallowestFocus(ask.column, lens.workingDistanceMm, bed.standsMm),
  };
}

/** As measured, else by the middle figures of the source's profile. */
export function spotOf(source: Source, { focalLengthMm, spot }: Pick<Lens, "focalLengthMm" | "spot">): Spot {
  if (!spot) return focusedSpot(beamOf(source), focalLengthMm);
  return { waistDiameterMm: spot.diameterUm.value / 1000, rayleighMm: spot.rayleighMm.value };
}

/** The source's beam by the middle figures of its profile. */
export const beamOf = ({ wavelengthNm, beamDiameterMm, m2 }: Source): Beam => ({
  wavelengthNm,
  beamDiameterMm: beamDiameterMm.value,
  m2: m2.value,
});

/** The head as the vessel sees it: which pivot is across and which along depends on how the vessel lies. */
export function headOf(lens: Lens, axis: Job["axis"]): Station["base"] {
  const distance = (p: Pivot): number => (p === "telecentric" ? Infinity : p);
  const [x, y] = lens.pivotMm;
  const [across, along] = axis === "y" ? [x, y] : [y, x];
  return { pivotAcross: distance(across), pivotAlong: distance(along), field: lens.fieldMm };
}
