/**
 * A job and what is asked → the strip: bars of one pitch around the vessel, one of them on the crown line, and its marks as rows.
 * They run on past the reach until the beam grazes the wall, for where clearing stops is not known yet.
 */
import type { Job } from "../../job/job.ts";
import { JobError, note, type Problem } from "../../problem.ts";
import type { Face, Surface } from "../../vessel/surface.ts";
import type { Warp } from "../../warp/warp.ts";
import { keepsOut } from "../blocked.ts";
import { bedOf, surfaceOf } from "../body.ts";
import { columnOf } from "../column.ts";
import { reachOf } from "../reach.ts";
import { stationOf } from "../station.ts";
import { leftOf, rightOf } from "./edges.ts";
import { bentWith, faceOf } from "./meets.ts";
import { type Bare, type Range, stepsOf } from "./steps.ts";
import { type Bar, isCoupon, type Ladder, type Strip, type StripMark } from "./types.ts";

export interface StripAsked {
  readonly ladder: Ladder;
  /** What the files are called; the ladder's name unless told. */
  readonly name?: string;
  readonly marks?: number;
  readonly range?: Range;
  /** All mm. */
  readonly barPitchMm?: number;
  readonly barWidthMm?: number;
  readonly barHeightMm?: number;
  readonly tiltDeg?: number;
  readonly sideMm?: number;
}

/** Our own choice, all: bars to be told apart and counted by eye. mm. */
const PITCH = 1;
const WIDTH = 0.6;
const HEIGHT = 3;
const MARKS: Readonly<Record<Ladder, number>> = {
  ...{ settings: 8, power: 8, speed: 8, focus: 8, ramp: 2, squares: 2 },
};
const TILT_DEG = 20;
/** Of the field. */
const SIDE = 0.6;
/** Two digits are enough for all. */
const MOST_BARS = 99;
/** From here on the beam grazes (degrees). */
const GRAZING_DEG = 70;
/** A ramp's ends lie so many Rayleigh ranges off. */
const RAMP = 2.5;
/** Between rows, for a row's own number, and above and below them for the bars' numbers (mm): see picture/strip. */
export const BETWEEN = 2.4;
export const NUMBERS = 3.4;
/** Kept free of the field's edge (mm). */
const MARGIN = 1;

/** Throws JobError where the strip cannot be marked. */
export function stripOf(job: Job, asked: StripAsked): Strip {
  const { ladder } = asked;
  check(job, ladder);
  const flat: Job = { ...withoutArt(job), placement: PLACED, turns: 1, witnessMarks: false };
  const bare: Bare = {
    schema: "fallaway-strip-1",
    name: asked.name ?? ladder,
    ladder,
    job: flat,
    calibrated: job.calibration !== undefined,
    bars: [],
    barHeightMm: asked.barHeightMm ?? HEIGHT,
    ...(ladder === "ramp" ? { tiltDeg: asked.tiltDeg ?? TILT_DEG } : {}),
    ...(ladder === "squares" ? { sideMm: asked.sideMm ?? SIDE * job.lens.fieldMm } : {}),
  };
  const focusMm = focusOf(flat, ladder);
  const count = asked.marks ?? MARKS[ladder];
  const rowMm = (i: number): number => (i - (count - 1) / 2) * (bare.barHeightMm + BETWEEN);
  const bars = ladder === "squares" ? [] : barsOf(bare, asked, focusMm);
  const halfMm = bars.length === 0 ? 0 : rightOf(bars.at(-1)!);
  const steps = stepsOf({ ...bare, bars }, halfMm, count, focusMm, asked.range);
  const marks = steps.map(
    ({ belowCrownMm, powerW, speedMmS }, i): StripMark => ({
      number: i + 1,
      belowCrownMm,
      settings: { ...(flat.settings ?? NONE), powerW, speedMmS },
      rowMm: ladder === "squares" ? 0 : rowMm(i),
    }),
  );
  const whole: Strip = { ...bare, bars, marks, numbersWith: strongest(marks) };
  const strip = { ...whole, bars: reachedIn(whole) };
  checkHeight(strip);
  checkColumn(strip);
  return strip;
}

const PLACED: Job["placement"] = {
  rotateDeg: 0,
  atMm: [0, 0],
  fidelity: "girth",
  viewingDistanceMm: "far",
};
/** Squares are marked with whatever shows on the plate. */
const NONE: StripMark["settings"] = {
  ...{ powerW: 0, speedMmS: 0, frequencyKHz: 0, pitchMm: 0, anglesDeg: [], passes: 1, jumpSpeedMmS: 0 },
};

function withoutArt({ artwork: _art, fill: _fill, calibration: _calibration, ...job }: Job): Job {
  return job;
}

function check(job: Job, ladder: Ladder): void {
  if (ladder === "squares") return;
  if (!job.settings) {
    throw new JobError(
      "strip-without-settings",
      "a strip is marked with settings, and none are given",
      "give --power, --speed, --frequency and --pitch",
    );
  }
  if (!job.coating) {
    throw new JobError(
      "strip-without-coating",
      "the marks of a strip are aimed by what is known of the coating, and none is named",
      "give --coating, powder-any where nothing is known of it; see: fallaway profiles coatings",
    );
  }
}

/** δ of ladders that do not change it: as the job has it, else on the crown line, from where clearing falls off soonest. */
function focusOf({ focus }: Job, ladder: Ladder): number {
  return isCoupon({ ladder }) || typeof focus !== "number" ? 0 : focus;
}

function barsOf(bare: Bare, asked: StripAsked, focusMm: number): Bar[] {
  const face = faceOf({ ...bare, marks: [], numbersWith: 1 });
  const half = halfOf(bare, face, focusMm);
  const given = asked.barPitchMm;
  const pitch = given ?? Math.max(PITCH, Math.ceil((2 * half * 4) / (MOST_BARS - 1)) / 4);
  const widthMm = asked.barWidthMm ?? WIDTH * (pitch / PITCH);
  if (!(widthMm < pitch)) {
    throw new JobError(
      "strip-bars-touch",
      `bars ${widthMm} mm wide have no room between them at a pitch of ${pitch} mm`,
      "give a smaller --bar-width or a larger --bar-pitch",
    );
  }
  const each = Math.floor((half - widthMm / 2) / pitch);
  if (2 * each + 1 > MOST_BARS) {
    throw new JobError(
      "strip-too-many-bars",
      `--bar-pitch ${pitch} would make ${2 * each + 1} bars, more than two digits can number`,
      `give --bar-pitch ${Math.ceil((2 * half * 4) / (MOST_BARS - 1)) / 4} or more`,
    );
  }
  if (each < 5) {
    throw new JobError(
      "strip-too-narrow",
      `only ${2 * each + 1} bars find room on this vessel: too few to read anything from`,
      "give a smaller --bar-pitch, or take a larger vessel of the same coat",
    );
  }
  return Array.from({ length: 2 * each + 1 }, (_, i) => ({
    number: i + 1,
    atMm: (i - each) * pitch,
    widthMm,
  }));
}

/** How far out the bars go: to where the beam grazes, the field ends or the surface does. */
function halfOf(bare: Bare, face: Face, focusMm: number): number {
  const { job, ladder } = bare;
  const mark = { number: 1, belowCrownMm: focusMm, settings: job.settings ?? NONE, rowMm: 0 };
  const warp = bentWith({ ...bare, marks: [mark], numbersWith: 1 }, mark, face);
  const cosLeast = Math.cos((GRAZING_DEG * Math.PI) / 180);
  const ends = job.lens.fieldMm / 2 - MARGIN;
  const good = (a: number): boolean => {
    const met = warp.meeting(a, 0);
    return typeof met !== "string" && met.cosIncidence >= cosLeast && Math.abs(met.u) <= ends;
  };
  const { spot } = stationOf(job, job.lens);
  let [near, far] =
    ladder === "ramp"
      ? [0, (RAMP * spot.rayleighMm) / Math.sin(((bare.tiltDeg ?? 0) * Math.PI) / 180)]
      : [0, surfaceOf(job).halfWidth];
  if (good(far)) return far;
  while (far - near > 1e-4) {
    const middle = (near + far) / 2;
    if (good(middle)) near = middle;
    else far = middle;
  }
  return near;
}

/** The bars that no row's beam misses, and that nothing stands on; the numbers of the others are left out. */
function reachedIn(strip: Strip): Bar[] {
  if (strip.ladder === "squares") return [];
  const face = faceOf(strip);
  const surface: Surface | null = isCoupon(strip) ? null : surfaceOf(strip.job);
  const blocked = surface ? bedOf(strip.job, surface).blocked : [];
  const half = strip.barHeightMm / 2;
  const warps = strip.marks.map((mark) => bentWith(strip, mark, face));
  const free = (a: number, b: number, warp: Warp<Face>): boolean =>
    typeof warp.meeting(a, b) !== "string" &&
    !(surface && blocked.some((area) => keepsOut(area, surface, a, b)));
  const bars = strip.bars.filter((bar) =>
    strip.marks.every(({ rowMm }, i) =>
      [leftOf(bar), rightOf(bar)].every((a) =>
        [rowMm - half, rowMm, rowMm + half].every((b) => free(a, b, warps[i]!)),
      ),
    ),
  );
  if (bars.length >= strip.bars.length / 2) return bars;
  throw new JobError(
    "strip-has-no-room",
    `only ${bars.length} of ${strip.bars.length} bars lie where the beam reaches the vessel in every row`,
    "lower the placement point (--below-rim), take fewer --marks or a smaller --bar-height, or turn what blocks them away",
  );
}

/** The mark that takes off most: its settings show the numbers best. */
const strongest = (marks: readonly StripMark[]): number =>
  marks.reduce((most, next) => {
    const dose = ({ settings }: StripMark): number => settings.powerW / settings.speedMmS;
    return dose(next) > dose(most) ? next : most;
  }).number;

/** From the uppermost number to the lowest (mm). */
export const heightOf = ({ marks, barHeightMm, ladder }: Strip): number =>
  ladder === "squares" ? 0 : marks.length * (barHeightMm + BETWEEN) + 2 * NUMBERS;

function checkHeight(strip: Strip): void {
  if (isCoupon(strip)) return;
  const { heightMm, belowRimMm } = strip.job.vessel;
  const tall = heightOf(strip);
  const half = tall / 2;
  const above = belowRimMm === undefined ? Infinity : belowRimMm;
  const below =
    heightMm === undefined ? Infinity : belowRimMm === undefined ? Infinity : heightMm - belowRimMm;
  if (half <= above && half <= below && !(heightMm !== undefined && tall > heightMm)) return;
  const room = Math.min(2 * above, 2 * below, heightMm ?? Infinity);
  throw new JobError(
    "strip-too-tall",
    `the strip is ${tall.toFixed(1)} mm tall, and the vessel has ${room.toFixed(1)} mm for it about the placement point`,
    "take fewer --marks, a smaller --bar-height, or place it elsewhere with --below-rim",
  );
}

function checkColumn(strip: Strip): void {
  const { job } = strip;
  const stands = isCoupon(strip) ? 0 : bedOf(job).standsMm;
  for (const { number, belowCrownMm } of strip.marks) {
    const column = columnOf(job.column, job.lens.workingDistanceMm, stands, belowCrownMm);
    if (!column.shortMm) continue;
    throw new JobError(
      "strip-column-short",
      `mark ${number} needs the lens reference ${column.neededMm.toFixed(1)} mm above the bed, ${column.shortMm.toFixed(1)} mm more than the column has`,
      "give a deeper --range or --focus, or take a smaller vessel of the same coat",
    );
  }
}

/** Half of the widest artwork that all limits allow (mm), to be compared with the strip. */
export function halfReachOf({ job }: Pick<Strip, "job">): number {
  const { base, limits } = stationOf(job, job.lens);
  return reachOf(surfaceOf(job), base, limits).aroundMm / 2;
}

/** What is to be said of a strip as it is laid out. */
export function stripNotes(strip: Strip): Problem[] {
  if (isCoupon(strip)) return [];
  const reach = halfReachOf(strip);
  const ends = Math.min(-leftOf(strip.bars[0]!), rightOf(strip.bars.at(-1)!));
  const missing = barCount(strip);
  return [
    ...(ends < reach
      ? [
          note(
            "strip-ends-within-reach",
            `the bars end ${ends.toFixed(1)} mm from the crown line, and the reach is ${reach.toFixed(1)} mm to each side`,
            "what clears beyond them is not seen; the lens's field or the vessel ends there",
          ),
        ]
      : []),
    ...(missing > 0
      ? [
          note(
            "strip-bars-left-out",
            `${missing} bars are left out, where something is in the way or the beam passes by; the others keep their numbers`,
            "read the numbers, do not count",
          ),
        ]
      : []),
  ];
}

/** Numbers that no bar has, between the first and the last. */
const barCount = ({ bars }: Strip): number => bars.at(-1)!.number - bars[0]!.number + 1 - bars.length;

/** From the lens reference to the crown line, or to the coupon's middle (mm), for each mark. */
export const lensHeights = ({ job, marks }: Strip): number[] =>
  marks.map(({ belowCrownMm }) => job.lens.workingDistanceMm - belowCrownMm);
