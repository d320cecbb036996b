/** The public library: everything but the command line; runs in a browser as it is. */
export { readDrawing } from "./artwork/read.ts";
export type { Artwork, Drawing, Paint, Shape } from "./artwork/types.ts";
export { metalThreshold } from "./beam/metal.ts";
export {
  arealDose,
  footprint,
  footprintArea,
  type Lines,
  peakFluence,
  pulseDensity,
  pulseEnergy,
} from "./beam/pulse.ts";
export { pulseDepth, pulseVolume, removedDiameter } from "./beam/removal.ts";
export { type Beam, focusedSpot, relativeFluence, type Spot, spotGrowth } from "./beam/spot.ts";
export { checkTogether } from "./dialin/contradictions.ts";
export { dialIn } from "./dialin/dialin.ts";
export { checkReadings } from "./dialin/readings.ts";
export type { DialIn, Estimate } from "./dialin/types.ts";
export { CertifiedFitter } from "./fit/certified.ts";
export { pivotFromSquares, type ScanHead } from "./head/scanhead.ts";
export { inkOf, readInk } from "./ink/ink.ts";
export type { InkOptions } from "./ink/options.ts";
export type { NamedCalibration } from "./job/calibrated.ts";
export { type Calibration, readCalibration } from "./job/calibration.ts";
export type { Job, JobFile } from "./job/job.ts";
export {
  type CoatingProfile,
  type LensProfile,
  lensOf,
  type MetalProfile,
  type Profiles,
  readProfiles,
  type SourceProfile,
} from "./job/profiles.ts";
export { readJobFile, resolveJob } from "./job/resolve.ts";
export { jobFileOf } from "./job/written.ts";
export { bandsSvg } from "./picture/bandssvg.ts";
export { fillDxf } from "./picture/filldxf.ts";
export { fillSvg } from "./picture/fillsvg.ts";
export { inkSvg } from "./picture/inksvg.ts";
export { marksSvg } from "./picture/marks.ts";
export { stripFiles } from "./picture/strip/stripsvg.ts";
export { carry } from "./plan/carry.ts";
export { falloffOver } from "./plan/falloff.ts";
export type { Fill } from "./plan/fill/types.ts";
export { planJob } from "./plan/plan.ts";
export { reachOf } from "./plan/reach.ts";
export { type ReachRow, reachTable } from "./plan/reachtable.ts";
export { type Report, reportOf } from "./plan/report.ts";
export { type StripAsked, stripOf } from "./plan/strip/layout.ts";
export { predictedOf, readingOf } from "./plan/strip/predict.ts";
export type { Reading, ReadStrip, Strip } from "./plan/strip/types.ts";
export type { Plan } from "./plan/types.ts";
export { zoneAt } from "./plan/zones.ts";
export { JobError, type Problem, ProblemsError, type Severity, type Where } from "./problem.ts";
export {
  type Chart,
  type Fidelity,
  girthChart,
  sheetChart,
  sightChart,
  trueWidthChart,
} from "./vessel/chart.ts";
export { cylinder } from "./vessel/cylinder.ts";
export { measuredOutline } from "./vessel/measured.ts";
export type { Meridian } from "./vessel/meridian.ts";
export { type Pose, tiltOf } from "./vessel/pose.ts";
export { revolved } from "./vessel/revolved.ts";
export { sphereOutline } from "./vessel/sphere.ts";
export { coneOutline, cylinderOutline } from "./vessel/straight.ts";
export type { Surface } from "./vessel/surface.ts";
export { type Meeting, mapContour, type NoImage, Warp } from "./warp/warp.ts";
