/**
 * What would help a job that is not ready, worked out and not guessed: the largest width that fits, the focus, the
 * lens profile, each tried on the job's own ink with everything else as it is. What fits meets every limit of depth,
 * incidence and field, with the weakest ink at no less than FADE of the strongest.
 */
import type { Job } from "../job/job.ts";
import type { Surface } from "../vessel/surface.ts";
import type { Bed } from "./body.ts";
import { floorTenth } from "./figures.ts";
import { fits } from "./fits.ts";
import { dropRange } from "./focus.ts";
import type { Ink } from "./ink.ts";
import type { InkPoints } from "./inkpoints.ts";
import { reachOf } from "./reach.ts";
import { type Lens, type Station, stationOf } from "./station.ts";
import { turnsThatFit } from "./turns/window.ts";

export interface Changes {
  /** Largest width of the ink (mm, rounded down) that fits, its proportions kept; null where none does. */
  readonly widthMm: number | null;
  /** δ that alone makes it fit: that of the best focus if it does and is not the job's already, else to a tenth of a mm. */
  readonly focusMm: number | null;
  /** The lens of the smallest spot that makes it fit. */
  readonly lens: { readonly id: string; readonly focusMm: number; readonly ratio: number } | null;
  /** Where no lens makes it fit as it is: the lens that lets it be widest, if wider than with the job's own. */
  readonly lensAndWidth: { readonly id: string; readonly widthMm: number } | null;
  /** Turns that it could be marked in, one after indexing; null where turns do not help. */
  readonly turns: number | null;
  /** True where lens profiles were at hand to try. */
  readonly lensesTried: boolean;
}

/** Tries them on the ink; `points`, `station` and `bed` as it lies. */
export function changesFor(
  job: Job,
  surface: Surface,
  station: Station,
  bed: Bed,
  points: InkPoints,
  ink: Pick<Ink, "box">,
  lenses: readonly Lens[],
): Changes {
  const widthMm = ink.box.maxX - ink.box.minX;
  const lying = { ...bed, blocked: station.limits.blocked ?? [] };
  const others = lenses
    .filter((lens) => lens.id !== job.lens.id)
    .sort((p, q) => p.focalLengthMm - q.focalLengthMm)
    .map((lens) => ({ id: lens.id, station: stationOf(job, lens, lying) }));
  const own = largestWidth(job, surface, station, points, widthMm, job.focus);
  const lens = lensThatFits(surface, points, others);
  return {
    widthMm: own,
    focusMm: helpingFocus(surface, station, points, job.focus),
    lens,
    turns: turnsThatFit(job, surface, station, ink),
    lensAndWidth: lens ? null : widestLens(job, surface, points, widthMm, others, own ?? 0),
    lensesTried: lenses.length > 0,
  };
}

/** Focal planes tried between the highest and the deepest that the depth of focus allows. */
const FOCI = 64;

function helpingFocus(
  surface: Surface,
  station: Station,
  points: InkPoints,
  focus: Job["focus"],
): number | null {
  if (fits(surface, station, points, focus).fits) return null;
  const best = fits(surface, station, points, "best");
  if (focus !== "best" && best.fits) return best.focusMm;
  const { least, most } = dropRange(surface, points);
  const { usableDepthMm } = station.limits;
  const tenth = (mm: number, round: (v: number) => number): number => round(10 * mm) / 10;
  const from = tenth(Math.max(most - usableDepthMm, station.shallowestMm), Math.ceil);
  const to = tenth(least + usableDepthMm, Math.floor);
  let found: { focusMm: number; ratio: number } | null = null;
  for (let i = 0; i <= FOCI && to >= from; i++) {
    const tried = tenth(from + ((to - from) * i) / FOCI, Math.round);
    const { fits: does, focusMm, ratio } = fits(surface, station, points, tried);
    if (does && ratio > (found?.ratio ?? 0)) found = { focusMm, ratio };
  }
  return found?.focusMm ?? null;
}

type Other = { readonly id: string; readonly station: Station };

/** The lens of the smallest spot with which all of it fits. */
function lensThatFits(surface: Surface, points: InkPoints, others: readonly Other[]): Changes["lens"] {
  for (const { id, station } of others) {
    const { fits: does, focusMm, ratio } = fits(surface, station, points, "best");
    if (does) return { id, focusMm, ratio };
  }
  return null;
}

function widestLens(
  job: Job,
  surface: Surface,
  points: InkPoints,
  widthMm: number,
  others: readonly Other[],
  own: number,
): Changes["lensAndWidth"] {
  let best: Changes["lensAndWidth"] = null;
  // No lens lets more fit than its reach: those of the longest reach come first, and the rest need not be tried.
  const byReach = others
    .map((other) => ({
      ...other,
      reachMm: reachOf(surface, other.station.base, other.station.limits).aroundMm,
    }))
    .sort((p, q) => q.reachMm - p.reachMm);
  for (const { id, station, reachMm } of byReach) {
    if (reachMm <= (best?.widthMm ?? own)) break;
    const width = largestWidth(job, surface, station, points, widthMm, "best") ?? 0;
    if (width > (best?.widthMm ?? own)) best = { id, widthMm: width };
  }
  return best;
}

/** By halving, to a tenth of a millimetre: a smaller copy of what fits, fits. */
function largestWidth(
  job: Job,
  surface: Surface,
  station: Station,
  points: InkPoints,
  widthMm: number,
  focus: Job["focus"],
): number | null {
  const [a0, b0] = job.placement.atMm;
  const fitsAt = (width: number): boolean => {
    const k = width / widthMm;
    const scaled = points.map((v, i) => (i % 2 === 0 ? a0 + k * (v - a0) : b0 + k * (v - b0)));
    return fits(surface, station, scaled, focus).fits;
  };
  if (!(widthMm > STEP)) return null;
  if (fitsAt(widthMm)) return floorTenth(widthMm);
  let [lo, hi] = [0, Math.ceil(widthMm / STEP)];
  while (hi - lo > 1) {
    const middle = (lo + hi) >> 1;
    if (fitsAt(middle * STEP)) lo = middle;
    else hi = middle;
  }
  return lo > 0 ? floorTenth(lo * STEP) : null;
}
const STEP = 0.1;
