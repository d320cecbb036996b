/**
 * The whole of a job in one line of rooms: ink on the flat → focus → zones → warp → fit → verdict. Everything
 * that is written or drawn later is read from the Plan; nothing is computed twice.
 */
import type { Artwork } from "../artwork/types.ts";
import { pathBounds, segmentCount, uniteBoxes } from "../geometry/path.ts";
import type { ScanHead } from "../head/scanhead.ts";
import type { Job } from "../job/job.ts";
import { JobError, type Problem } from "../problem.ts";
import { Warp } from "../warp/warp.ts";
import { Bender } from "./bent.ts";
import { bedOf, surfaceOf } from "./body.ts";
import { changesFor } from "./changes.ts";
import { type ColumnFit, columnOf } from "./column.ts";
import { cutInk } from "./cut.ts";
import { distortionOver } from "./distortion.ts";
import { falloffRange } from "./falloff.ts";
import { fillOf } from "./fill/fill.ts";
import { fits } from "./fits.ts";
import { bestFocus, dropRange, wantedFocus } from "./focus.ts";
import { type Ink, type InkShape, placeInk } from "./ink.ts";
import { type InkPoints, inkPoints } from "./inkpoints.ts";
import { levellingOf } from "./levelling.ts";
import { cellsOf } from "./process/cells.ts";
import { forecastOf } from "./process/forecast.ts";
import { reachOf } from "./reach.ts";
import { shadedPoints } from "./shaded.ts";
import { type Lens, type Station, stationOf } from "./station.ts";
import { joinedThin, thinPlaces } from "./thin/thin.ts";
import { turnLimits, witnessed } from "./turns/ready.ts";
import { type TurnInk, turnsOf } from "./turns/turns.ts";
import type { Mark, Plan, Turn, ZoneShare } from "./types.ts";
import { judge } from "./verdict.ts";
import { type Limits, strips, type Zone, zoneNames } from "./zones.ts";

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
  const { pageMm, ...ink } = placeInk(artwork, job.placement);
  const surface = surfaceOf(job);
  const bed = bedOf(job, surface);
  const station = stationOf(job, job.lens, bed);
  const { base, spot, limits } = station;
  const parted = turnsOf(job, surface, station, ink, pageMm);
  const one = parted.turns.length === 1;
  const eachPoints = parted.turns.map((turn) => inkPoints(turn.ink, surface));
  const points = joined(eachPoints);
  progress("finding the best focus");
  const bestMm = bestFocus(surface, base, spot, limits.usableDepthMm, points);
  const wantedMm = wantedFocus(job.focus, () => bestMm);
  // A column too short sets the focus: the plan is for the head at its stop.
  const belowCrownMm = Math.max(wantedMm, station.shallowestMm);
  const head: ScanHead = { ...base, belowCrown: belowCrownMm };
  checkFocus(wantedMm, belowCrownMm, head);
  const warp = new Warp(surface, head);
  const { turns, problems: witnessProblems } = witnessed(job, parted.turns, warp, limits, ink);
  const worked = turns.map((turn, i) => workTurn(turn, eachPoints[i]!, job, warp, station, progress));
  const all = together(worked);
  const reach = reachOf(surface, base, limits);
  const dropMm = dropRange(surface, points).most;
  // Blocked areas go around with the vessel; of several turns each looks at them for itself.
  const lying: Station = {
    ...station,
    limits: one ? worked[0]!.turn.limits : { ...limits, blocked: [] },
  };
  const planned = fits(surface, lying, points, belowCrownMm);
  const needed = columnOf(job.column, job.lens.workingDistanceMm, bed.standsMm, wantedMm);
  const column = { ...needed, atStop: needed.shortMm ? atStop(planned, dropMm) : null };
  progress("trying what would help");
  // Parted artwork is not made to fit by another size.
  const changes =
    !one || (planned.fits && !column.shortMm)
      ? null
      : changesFor(whereItLies(job, worked[0]!.turn), surface, lying, bed, points, ink, lenses);
  progress("working out the removal");
  const usable = all.pieces.get("usable") ?? [];
  const inked = job.settings || job.fill ? cellsOf(usable, warp) : [];
  if (job.fill) progress("laying the lines");
  const fill = fillOf(
    job,
    warp,
    spot,
    worked.map((one) => one.turn),
    inked,
  );
  const forecast = forecastOf(job, warp, inked, all.marks.get("usable") ?? [], fill);
  const known = {
    job,
    turns: worked.map((turn) => turn.turn),
    parting: {
      cuts: parted.cuts,
      overlapMm2: parted.overlapMm2,
      closing: parted.closing,
      rhoMm: parted.rhoMm,
    },
    // Of the drawing as it is, wherever on the vessel it lies.
    distortion: distortionOver(surface, one ? points : inkPoints(ink, surface), one),
    levelling: levellingOf(job, lying, points, surface.tilt, planned.usable),
    shaded: surface.meridian.convex ? 0 : shadedPoints(warp, points),
    page: { widthMm: artwork.widthMm, heightMm: artwork.heightMm },
    ink,
    warp,
    spot,
    limits: one ? lying.limits : limits,
    points,
    focus: { belowCrownMm, wantedMm, bestMm, dropMm },
    reach,
    falloff: falloffRange(warp, spot, points),
    column,
    forecast,
    fill,
    changes,
    ...all,
  };
  const problems = [...parted.problems, ...witnessProblems, ...worked.flatMap((turn) => turn.problems)];
  return {
    ...known,
    ...judge(known, [...artwork.problems, ...problems]),
  };
}

/** One turn's ink cut at the limits, bent, and compared with the spot; `points` of its ink without witness marks. */
function workTurn(
  { aim, ...part }: TurnInk & { readonly aim: readonly [number, number] | null },
  points: InkPoints,
  job: Job,
  warp: Warp,
  station: Station,
  progress: Progress,
): { turn: Turn; problems: readonly Problem[] } {
  const limits = turnLimits(station.limits, part);
  progress("cutting at the limits");
  const { pieces, problems } = cutInk(part.ink, strips(warp, limits), warp.surface);
  progress("bending the ink");
  const { marks, fit } = fitMarks(pieces, warp, job);
  progress("comparing detail with the spot");
  return {
    turn: {
      ...part,
      limits,
      points,
      falloff: falloffRange(warp, station.spot, points),
      thin: thinPlaces(
        part.uncut,
        part.uncut === part.ink ? points : inkPoints(part.uncut, warp.surface),
        warp,
        station.spot,
        within(limits, part),
        !job.ink.keepShapes,
      ),
      pieces,
      zones: shares(part.ink, pieces),
      marks,
      fit,
      box: boxesOf(marks),
      aimMm: aim,
    },
    problems,
  };
}

/** Limits that let pass only what lies in a turn's own share of the artwork. */
const within = (limits: Limits, { leftRad, rightRad }: TurnInk): Limits =>
  rightRad - leftRad >= 2 * Math.PI
    ? limits
    : {
        ...limits,
        blocked: [
          ...(limits.blocked ?? []),
          {
            name: "other turns",
            fromRad: rightRad,
            toRad: leftRad + 2 * Math.PI,
            top: -Infinity,
            bottom: Infinity,
          },
        ],
      };

/** What all turns come to. */
function together(
  worked: readonly { turn: Turn }[],
): Pick<Plan, "pieces" | "zones" | "marks" | "fit" | "box" | "thin"> {
  const turns = worked.map(({ turn }) => turn);
  const [only, more] = turns;
  if (only && !more) {
    const { pieces, zones, marks, fit, box, thin } = only;
    return { pieces, zones, marks, fit, box, thin };
  }
  const listed = <T>(of: (turn: Turn) => ReadonlyMap<Zone, readonly T[]>): Map<Zone, readonly T[]> => {
    const all = new Map<Zone, readonly T[]>();
    for (const turn of turns)
      for (const [zone, list] of of(turn)) all.set(zone, [...(all.get(zone) ?? []), ...list]);
    return all;
  };
  const pieces = listed((turn) => turn.pieces);
  const areaMm2 = turns.reduce((sum, turn) => sum + turn.ink.areaMm2, 0);
  return {
    pieces,
    marks: listed((turn) => turn.marks),
    zones: shares({ areaMm2 }, pieces),
    fit: {
      certifiedErrorMm: Math.max(...turns.map(({ fit }) => fit.certifiedErrorMm)),
      segmentsIn: turns.reduce((sum, { fit }) => sum + fit.segmentsIn, 0),
      segmentsOut: turns.reduce((sum, { fit }) => sum + fit.segmentsOut, 0),
    },
    box: {
      all: turns.map(({ box }) => box.all).reduce(uniteBoxes, null),
      usable: turns.map(({ box }) => box.usable).reduce(uniteBoxes, null),
    },
    thin: joinedThin(turns.map((turn) => turn.thin)),
  };
}

/** The plan of one turn alone: what its files and pictures are made of. */
export const planOf = (plan: Plan, turn: Turn): Plan =>
  plan.turns.length === 1 && turn.angle === 0 ? plan : { ...plan, ...turn, turns: [turn] };

/** The job with its ink where it lies once the vessel is indexed. */
function whereItLies(job: Job, { angle, ink: { box } }: Turn): Job {
  if (angle === 0) return job;
  const atMm = [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2] as const;
  return { ...job, placement: { ...job.placement, atMm } };
}

const joined = (lists: readonly Float64Array[]): Float64Array =>
  lists.length === 1 ? lists[0]! : Float64Array.from(lists.flatMap((list) => [...list]));

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
  const bender = new Bender(warp, job);
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
        const bent = bender.bend(contour, shape);
        if (zone === "usable" && bent.errorMm > certifiedErrorMm) certifiedErrorMm = bent.errorMm;
        return bent.contour;
      });
      const path = { contours };
      segmentsOut += segmentCount(path);
      list.push({ id: unique(shape.id, zone, taken), paint: shape.paint, path });
    }
    marks.set(zone, list);
  }
  return { marks, fit: { certifiedErrorMm, segmentsIn, segmentsOut } };
}

/** The source's id where it is still free, else with its zone, else with a number. */
function unique(id: string, zone: Zone, taken: Set<string>): string {
  let name = taken.has(id) ? `${id}-${zone}` : id;
  for (let n = 2; taken.has(name); n++) name = `${id}-${zone}-${n}`;
  taken.add(name);
  return name;
}

function shares(ink: Pick<Ink, "areaMm2">, pieces: ReadonlyMap<Zone, readonly InkShape[]>): ZoneShare[] {
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
