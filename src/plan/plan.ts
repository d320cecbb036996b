/**
 * The whole of a job in one line of rooms: ink on the flat → focus → zones → warp → fit → verdict. Everything
 * that is written or drawn later is read from the Plan; nothing is computed twice.
 */
import type { Artwork } from "../artwork/types.ts";
import { type Certified, CertifiedFitter } from "../fit/certified.ts";
import { FitFailure } from "../fit/fit.ts";
import { type Contour, pathBounds, segmentCount, uniteBoxes } from "../geometry/path.ts";
import type { ScanHead } from "../head/scanhead.ts";
import type { Job } from "../job/job.ts";
import { JobError } from "../problem.ts";
import { cylinder } from "../vessel/cylinder.ts";
import { mapContour, Warp } from "../warp/warp.ts";
import { changesFor, fits } from "./changes.ts";
import { type ColumnFit, columnOf } from "./column.ts";
import { cutInk } from "./cut.ts";
import { falloffRange } from "./falloff.ts";
import { bestFocus, dropRange, wantedFocus } from "./focus.ts";
import { type Ink, type InkShape, placeInk } from "./ink.ts";
import { inkPoints } from "./inkpoints.ts";
import { forecastOf } from "./process/forecast.ts";
import { reachOf } from "./reach.ts";
import { type Lens, stationOf } from "./station.ts";
import { thinPlaces } from "./thin/thin.ts";
import type { Mark, Plan, ZoneShare } from "./types.ts";
import { judge } from "./verdict.ts";
import { strips, type Zone, zoneNames } from "./zones.ts";

/** Told what is being done, for a progress line. */
export type Progress = (step: string) => void;

/**
 * Throws JobError where the job cannot be carried out at all or a curve cannot be certified (`curve-not-fitted`).
 * `lenses` are those to try where the job's own does not do.
 */
export function planJob(
  artwork: Artwork,
  job: Job,
  progress: Progress = () => {},
  lenses: readonly Lens[] = [],
): Plan {
  progress("placing the ink");
  const ink = placeInk(artwork, job.placement);
  const surface = cylinder(job.vessel.diameterMm / 2, job.placement.fidelity);
  const station = stationOf(job, job.lens);
  const { base, spot, limits } = station;
  const points = inkPoints(ink);
  progress("finding the best focus");
  const bestMm = bestFocus(surface, base, spot, limits.usableDepthMm, points);
  const wantedMm = wantedFocus(job.focus, () => bestMm);
  // A column too short sets the focus: the plan is for the head at its stop.
  const belowCrownMm = Math.max(wantedMm, station.shallowestMm);
  const head: ScanHead = { ...base, belowCrown: belowCrownMm };
  checkFocus(wantedMm, belowCrownMm, head);
  const warp = new Warp(surface, head);
  progress("cutting at the limits");
  const { pieces, problems } = cutInk(ink, strips(warp, limits), surface.halfWidth);
  progress("bending the ink");
  const { marks, fit } = fitMarks(pieces, warp, job);
  const reach = reachOf(surface, base, limits);
  const falloff = falloffRange(warp, spot, points);
  progress("comparing detail with the spot");
  const dropMm = dropRange(surface, points).most;
  const planned = fits(surface, station, points, belowCrownMm);
  const needed = columnOf(job.column, job.lens.workingDistanceMm, job.vessel.diameterMm, wantedMm);
  const column = { ...needed, atStop: needed.shortMm ? atStop(planned, dropMm) : null };
  const thin = thinPlaces(ink, points, warp, spot, limits, !job.ink.keepShapes);
  const zones = shares(ink, pieces);
  progress("trying what would help");
  const width = ink.box.maxX - ink.box.minX;
  const changes =
    planned.fits && !column.shortMm ? null : changesFor(job, surface, station, points, width, lenses);
  progress("working out the removal");
  const forecast = forecastOf(job, warp, pieces.get("usable") ?? [], marks.get("usable") ?? []);
  const known = {
    job,
    page: { widthMm: artwork.widthMm, heightMm: artwork.heightMm },
    ink,
    warp,
    spot,
    limits,
    points,
    focus: { belowCrownMm, wantedMm, bestMm, dropMm },
    reach,
    falloff,
    column,
    forecast,
    changes,
    thin,
    pieces,
    zones,
    marks,
    fit,
    box: boxesOf(marks),
  };
  return {
    ...known,
    ...judge(known, [...artwork.problems, ...problems]),
  };
}

function checkFocus(wantedMm: number, belowCrownMm: number, head: ScanHead): void {
  const pivot = Math.min(head.pivotAcross, head.pivotAlong);
  if (belowCrownMm < pivot) return;
  if (wantedMm < pivot) {
    throw new JobError(
      "column-far-too-short",
      `the column is so short that at its stop the focal plane lies ${belowCrownMm.toFixed(0)} mm below the crown`,
      "check --column-travel, the largest height of the lens reference above the bed, and --rest-height",
    );
  }
  throw new JobError(
    "focus-too-deep",
    `a focus ${wantedMm} mm below the crown puts the crown above the lens's pivot`,
    "give --focus in mm below the crown, a few millimetres at most",
  );
}

/** What becomes of the ink where the head stands at its stop. */
const atStop = (there: ReturnType<typeof fits>, dropMm: number): ColumnFit["atStop"] => ({
  belowCrownMm: there.focusMm,
  crownDefocusMm: -there.focusMm,
  edgeDefocusMm: dropMm - there.focusMm,
  usable: there.usable,
  falloffRatio: there.ratio,
});

function fitMarks(
  pieces: ReadonlyMap<Zone, readonly InkShape[]>,
  warp: Warp,
  job: Job,
): Pick<Plan, "marks" | "fit"> {
  const fitter = new CertifiedFitter(job.toleranceMm);
  const marks = new Map<Zone, Mark[]>();
  const taken = new Set<string>();
  let certifiedErrorMm = 0;
  let segmentsIn = 0;
  let segmentsOut = 0;
  for (const zone of zoneNames) {
    const shapes = pieces.get(zone);
    if (zone === "hidden" || !shapes) continue;
    const list: Mark[] = [];
    for (const shape of shapes) {
      segmentsIn += segmentCount(shape.path);
      const contours = shape.path.contours.map((contour) => {
        const { contour: fitted, errorMm } = certified(fitter, contour, warp, shape);
        if (zone === "usable" && errorMm > certifiedErrorMm) certifiedErrorMm = errorMm;
        return job.axis === "y" ? fitted : turned(fitted);
      });
      const path = { contours };
      segmentsOut += segmentCount(path);
      list.push({ id: unique(shape.id, zone, taken), paint: shape.paint, path });
    }
    marks.set(zone, list);
  }
  return { marks, fit: { certifiedErrorMm, segmentsIn, segmentsOut } };
}

function certified(
  fitter: CertifiedFitter,
  contour: Contour<"flat">,
  warp: Warp,
  { id, where }: InkShape,
): Certified<"command"> {
  try {
    return fitter.fit(mapContour(contour, warp));
  } catch (error) {
    if (!(error instanceof FitFailure)) throw error;
    throw new JobError(
      "curve-not-fitted",
      `no curve within the tolerance is found for an outline of “${id}”`,
      "simplify the outline in the drawing program, or give a larger --tolerance",
      where,
    );
  }
}

/** A quarter turn clockwise: the vessel's top, up on the page, points to the bed's +x. Exact on rounded numbers. */
function turned(c: Contour<"command">): Contour<"command"> {
  const points = new Float64Array(c.points.length);
  for (let i = 0; i < points.length; i += 2) {
    points[i] = 0 - c.points[i + 1]!;
    points[i + 1] = c.points[i]!;
  }
  return { ...c, points };
}

/** The source's id where it is still free, else with its zone, else with a number. */
function unique(id: string, zone: Zone, taken: Set<string>): string {
  let name = taken.has(id) ? `${id}-${zone}` : id;
  for (let n = 2; taken.has(name); n++) name = `${id}-${zone}-${n}`;
  taken.add(name);
  return name;
}

function shares(ink: Ink, pieces: ReadonlyMap<Zone, readonly InkShape[]>): ZoneShare[] {
  const filled = ink.areaMm2 > 0;
  const rows = zoneNames.map((zone) => {
    const shapes = pieces.get(zone) ?? [];
    const areaMm2 = shapes.reduce((sum, s) => sum + s.areaMm2, 0);
    const lineLengthMm = shapes.reduce((sum, s) => sum + s.lengthMm, 0);
    return { zone, areaMm2, lineLengthMm, shapes: shapes.map(({ id, where }) => ({ id, where })) };
  });
  const total = rows.reduce((sum, r) => sum + (filled ? r.areaMm2 : r.lineLengthMm), 0);
  return rows.map((r) => ({ ...r, share: (filled ? r.areaMm2 : r.lineLengthMm) / total }));
}

function boxesOf(marks: ReadonlyMap<Zone, readonly Mark[]>): Plan["box"] {
  const boxes = new Map(
    [...marks].map(([zone, list]) => [zone, list.map((m) => pathBounds(m.path)).reduce(uniteBoxes, null)]),
  );
  return { all: [...boxes.values()].reduce(uniteBoxes, null), usable: boxes.get("usable") ?? null };
}
