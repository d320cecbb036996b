/** The station as the plan sees it: spot, limits and pivots of a lens and a source. */
import { type Beam, focusedSpot, type Spot } from "../beam/spot.ts";
import type { ScanHead } from "../head/scanhead.ts";
import type { Job, Pivot, Source } from "../job/job.ts";
import type { Limits } from "./zones.ts";

export type Lens = Job["lens"];

/** The source's beam by the middle figures of its profile. */
export const beamOf = ({ wavelengthNm, beamDiameterMm, m2 }: Source): Beam => ({
  wavelengthNm,
  beamDiameterMm: beamDiameterMm.value,
  m2: m2.value,
});

export const spotOf = (source: Source, lens: Lens): Spot => focusedSpot(beamOf(source), lens.focalLengthMm);

export const limitsOf = ({ usableDepthMm, maxIncidenceDeg }: Job["limits"], spot: Spot): Limits => ({
  usableDepthMm: usableDepthMm === "rayleigh" ? spot.rayleighMm : usableDepthMm,
  maxIncidenceDeg,
});

/** The head as the vessel sees it: which pivot is across and which along depends on how the vessel lies. */
export function headOf(lens: Lens, axis: Job["axis"]): Omit<ScanHead, "belowCrown"> {
  const distance = (p: Pivot): number => (p === "telecentric" ? Infinity : p);
  const [x, y] = lens.pivotMm;
  const [across, along] = axis === "y" ? [x, y] : [y, x];
  return { pivotAcross: distance(across), pivotAlong: distance(along), field: lens.fieldMm };
}
