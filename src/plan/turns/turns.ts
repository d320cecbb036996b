/**
 * Turns (model §10): artwork wider than the reach is cut along meridians, and the vessel is indexed between the parts.
 *
 * A turn is a job of its own under the same head: its ink is carried around the vessel by −θ_k, so that what lay at θ_k
 * comes to lie on the crown line. With a window of 2Θ that the reach allows and the ink's width w around, in radians,
 *
 *   N = ⌈w / (2Θ − o)⌉,   cut k at θ_L + k w/N, free by ±(2Θ − o − w/N)/2        o one spot of overlap
 */
import type { Job } from "../../job/job.ts";
import { JobError, type Problem } from "../../problem.ts";
import { Effort } from "../../region/effort.ts";
import type { Surface } from "../../vessel/surface.ts";
import { upTenth } from "../figures.ts";
import { fits } from "../fits.ts";
import { gather, type Ink, type InkShape } from "../ink.ts";
import type { Station } from "../station.ts";
import { type Closing, closingOf, closingProblems } from "./closing.ts";
import { type CutPath, leastInkCut } from "./cutpath.ts";
import { movedAround } from "./moved.ts";
import { partInk } from "./part.ts";
import { type Around, aroundOf, onFlat } from "./plane.ts";
import { windowOf } from "./window.ts";

/** One position of the vessel and what is marked in it. */
export interface TurnInk {
  /** From 1, left to right. */
  readonly index: number;
  /** θ_k: from the artwork's crown line to the one of this turn, to the right (radians). */
  readonly angle: number;
  /** Leftmost and rightmost ink on the whole flat (mm). */
  readonly fromMm: number;
  readonly toMm: number;
  /** On the turn's own flat. */
  readonly ink: Ink;
  /** The same before it was cut, whole shapes, to be compared with the spot; its place is from `leftRad` to `rightRad`. */
  readonly uncut: Ink;
  readonly leftRad: number;
  readonly rightRad: number;
}

export interface Turns {
  readonly turns: readonly TurnInk[];
  /** Cuts between the turns, on the whole flat: points a b a b … from top to bottom, and how much ink each crosses. */
  readonly cuts: readonly {
    readonly points: Float64Array;
    readonly inkMm: number;
    readonly straight: boolean;
    /** The turns on its left and right. */
    readonly between: readonly [number, number];
  }[];
  readonly overlapMm2: number;
  /** Arc for a radian of index, on the girth where the artwork is placed (mm). */
  readonly rhoMm: number;
  /** Null where the artwork does not go all the way around, and where its ends lie aslant to each other. */
  readonly closing: Closing | null;
  readonly problems: readonly Problem[];
}

const FULL = 2 * Math.PI;

/** Throws JobError where the artwork cannot be parted. */
export function turnsOf(
  job: Job,
  surface: Surface,
  station: Station,
  ink: Ink,
  /** The artwork's page as wide as the ink is sized. */
  pageMm: number,
): Turns {
  const { fidelity } = job.placement;
  const single: Turns = {
    turns: [
      {
        index: 1,
        angle: 0,
        fromMm: ink.box.minX,
        toMm: ink.box.maxX,
        ink,
        uncut: ink,
        leftRad: -Math.PI,
        rightRad: Math.PI,
      },
    ],
    rhoMm: surface.meridian.radius,
    cuts: [],
    overlapMm2: 0,
    closing: null,
    problems: [],
  };
  if (job.turns === 1) return single;
  if (fidelity === "sight") {
    throw new JobError(
      "turns-of-a-view",
      "what is drawn for one straight-on view is not marked in several turns",
      "give --fidelity girth, or leave --turns out",
    );
  }
  const around = aroundOf(surface, ink);
  if (!around) return single;
  const { rho, left, right } = around;
  const width = (right - left) / rho;
  const spot = station.spot.waistDiameterMm;
  const window = windowOf(job, surface, station, ink) - spot / rho;
  const count = job.turns === "auto" ? (window > 0 ? Math.ceil(width / window - 1e-9) : 1) : job.turns;
  const nearly = closingOf(pageMm, FULL * rho, width * rho);
  const closing = around.upright ? nearly : null;
  if (count > MOST_TURNS) {
    throw new JobError(
      "turns-too-many",
      `the artwork would take ${count} turns`,
      "use a lens of a longer depth of focus: fallaway reach compares them",
    );
  }
  if (count <= 1)
    return {
      ...indexedOnce({ ...single, rhoMm: rho }, job, surface, station, ink, (left + right) / 2 / rho),
      closing,
    };
  const { paths, problems: cutProblems } = cutsOf(around, count, window * rho, spot);
  const parted = partInk(ink, paths, spot, around.toFlat, new Effort());
  const share = (right - left) / count;
  /** Equal steps from turn to turn, where the window has room for the ink so; else its own middle. */
  const crownOf = (part: Ink, usual: number): number => {
    const { left: from, right: to } = aroundOf(surface, part) ?? { left: usual, right: usual };
    return (Math.max(to - usual, usual - from) <= (rho * window) / 2 ? usual : (from + to) / 2) / rho;
  };
  const turns = parted.turns.flatMap((shapes, i): TurnInk[] => {
    if (shapes.length === 0) return [];
    const part = gather(shapes);
    const angle = crownOf(part, left + (i + 0.5) * share);
    const moved = (list: readonly InkShape[]): Ink =>
      gather(movedAround(list, surface, angle, job.toleranceMm));
    const ids = new Set(shapes.map(({ id }) => id));
    return [
      {
        index: i + 1,
        angle,
        fromMm: part.box.minX,
        toMm: part.box.maxX,
        ink: moved(shapes),
        uncut: moved(ink.shapes.filter(({ id }) => ids.has(id))),
        leftRad: (left + i * share) / rho - angle,
        rightRad: (left + (i + 1) * share) / rho - angle,
      },
    ];
  });
  return {
    turns: turns.map((turn, i) => ({ ...turn, index: i + 1 })),
    cuts: paths.flatMap(({ points, inkMm, straight }, i) => {
      // A part without ink is no turn; what lies on both its sides is one seam.
      const before = turns.filter((turn) => turn.index <= i + 1).length;
      if (before === 0 || before === turns.length || turns[before]!.index !== i + 2) return [];
      return [
        { points: onFlat(points, around.toFlat), inkMm, straight, between: [before, before + 1] as const },
      ];
    }),
    overlapMm2: parted.overlapMm2,
    rhoMm: rho,
    closing,
    problems: [
      ...fewerTurns(count, turns.length),
      ...cutProblems,
      ...parted.problems,
      ...closingProblems(nearly, around.upright, spot, job, surface, ink),
    ],
  };
}
const MOST_TURNS = 64;

/** One turn needs no index where it fits as it lies. */
function indexedOnce(
  single: Turns,
  job: Job,
  surface: Surface,
  station: Station,
  ink: Ink,
  angle: number,
): Turns {
  const corners = [ink.box.minX, ink.box.maxX].flatMap((a) => [a, ink.box.minY, a, ink.box.maxY]);
  const lies = fits(surface, station, Float64Array.from(corners), job.focus);
  if (lies.usable || Math.abs(angle) < 1e-9) return single;
  const moved = gather(movedAround(ink.shapes, surface, angle, job.toleranceMm));
  return {
    ...single,
    turns: [{ ...single.turns[0]!, angle, ink: moved, uncut: moved }],
  };
}

function cutsOf(
  around: Around,
  count: number,
  window: number,
  spot: number,
): { paths: CutPath[]; problems: Problem[] } {
  const { left, right, top, bottom, fills, lines } = around;
  const share = (right - left) / count;
  // Neighbouring cuts keep apart, however free they are.
  const free = Math.min(Math.max(0, (window - share) / 2), 0.45 * share);
  const paths = Array.from({ length: count - 1 }, (_, i) => {
    const nominal = left + share * (i + 1);
    return leastInkCut(
      fills,
      lines,
      { nominal, from: nominal - free, to: nominal + free },
      { top, bottom },
      spot,
    );
  });
  const crossing = paths.filter(({ inkMm }) => inkMm > 0);
  if (crossing.length === 0) return { paths, problems: [] };
  const ink = crossing.reduce((sum, path) => sum + path.inkMm, 0);
  const many = crossing.length === 1 ? "one cut goes" : `${crossing.length} cuts go`;
  return {
    paths,
    problems: [
      {
        code: "cut-through-ink",
        severity: "caution",
        message: `${many} through ${upTenth(ink)} mm of ink between turns: there the turns overlap by one spot, which is marked twice`,
        hint: "index with care, and look at the first article there; move gaps of the artwork to the cuts with --at, or give another number of --turns",
      },
    ],
  };
}

const fewerTurns = (asked: number, found: number): Problem[] =>
  found === asked
    ? []
    : [
        {
          code: "turns-without-ink",
          severity: "note",
          message: `of ${asked} turns only ${found} hold ink: the others are left out`,
          hint: "index by the table, which has those with ink",
        },
      ];
