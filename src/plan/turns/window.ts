/** How far around from the crown line all of the ink's stretch along is within the limits: what one turn can take. */
import type { Job } from "../../job/job.ts";
import type { Surface } from "../../vessel/surface.ts";
import { fits } from "../fits.ts";
import type { Ink } from "../ink.ts";
import type { Station } from "../station.ts";
import { rangeOf } from "../zones.ts";

/** The widest window, symmetrical about the crown line, that fits over the ink's stretch along (radians). */
export function windowOf(job: Job, surface: Surface, station: Station, ink: Pick<Ink, "box">): number {
  // Without the little more on both sides.
  const range = rangeOf(surface, ink.box, 0);
  if (!range) return 0;
  const { blocked: _, ...limits } = station.limits;
  const open = { ...station, limits };
  const flat = new Float64Array(2);
  const { top, bottom } = range;
  const fitsAt = (half: number): boolean => {
    const points: number[] = [];
    for (let i = 0; i <= STEPS; i++) {
      const theta = half * (i / STEPS);
      for (let j = 0; j <= STEPS; j++) {
        if (!surface.chart.from(theta, top + ((bottom - top) * j) / STEPS, flat)) return false;
        points.push(flat[0]!, flat[1]!);
      }
    }
    return fits(surface, open, Float64Array.from(points), job.focus).fits;
  };
  let [lo, hi] = [0, Math.PI / 2];
  while (hi - lo > 1e-4) {
    const middle = (lo + hi) / 2;
    if (fitsAt(middle)) lo = middle;
    else hi = middle;
  }
  return 2 * lo * (1 - KEPT);
}
const STEPS = 10;
/** Kept of the window, since it is looked at in some places only. */
const KEPT = 0.005;

/** Turns that ink could be marked in, one where indexing alone would do; null where no number of them would. */
export function turnsThatFit(
  job: Job,
  surface: Surface,
  station: Station,
  ink: Pick<Ink, "box">,
): number | null {
  const { chart } = surface;
  if (chart.fidelity === "sight" || job.turns !== 1) return null;
  const place = new Float64Array(6);
  const middle = (ink.box.minY + ink.box.maxY) / 2;
  const ends = [ink.box.minX, ink.box.maxX].map((a) => (chart.to(a, middle, place) ? place[0]! : Number.NaN));
  const window =
    windowOf(job, surface, station, ink) - station.spot.waistDiameterMm / surface.meridian.radius;
  const turns = Math.ceil((ends[1]! - ends[0]!) / window - 1e-9);
  const aside = Math.abs(ends[0]! + ends[1]!) / 2 > ASIDE;
  return window > 0 && turns >= (aside ? 1 : 2) && turns <= MOST_SAID ? turns : null;
}
/** So far beside the crown line (radians) one indexed turn is worth telling. */
const ASIDE = 0.02;
/** More are no help (our own choice). */
const MOST_SAID = 12;
