/** The public library: everything but the command line; runs in a browser as it is. */
export { readArtwork } from "./artwork/read.ts";
export type { Artwork, FillRule, Paint, Shape } from "./artwork/types.ts";
export { type Beam, focusedSpot, relativeFluence, type Spot, spotGrowth } from "./beam/spot.ts";
export { CertifiedFitter } from "./fit/certified.ts";
export { pivotFromSquares, type ScanHead } from "./head/scanhead.ts";
export type { Job, JobFile } from "./job/job.ts";
export { type LensProfile, type Profiles, readProfiles, type SourceProfile } from "./job/profiles.ts";
export { readJobFile, resolveJob } from "./job/resolve.ts";
export { marksSvg } from "./picture/marks.ts";
export { planJob } from "./plan/plan.ts";
export { reachOf } from "./plan/reach.ts";
export { type Report, reportOf } from "./plan/report.ts";
export type { Plan } from "./plan/types.ts";
export { zoneAt } from "./plan/zones.ts";
export { JobError, type Problem, type Severity, type Where } from "./problem.ts";
export { cylinder, type Fidelity } from "./vessel/cylinder.ts";
export type { Surface } from "./vessel/surface.ts";
export { type Meeting, mapContour, type NoImage, Warp } from "./warp/warp.ts";
