/**
 * Detail against the spot: lines and gaps of the ink that are thinner than the spot where they lie would vanish
 * or close. The width at a point of the outline is the diameter of the largest disc that touches it there, inside
 * the ink (line) or outside (gap), and touches the outline again opposite; a corner of more than 20° has none. A
 * dot is a line, a hole is a gap. Centre lines have no width and are left out.
 */
import type { Spot } from "../../beam/spot.ts";
import type { Warp } from "../../warp/warp.ts";
import type { Ink } from "../ink.ts";
import type { InkPoints } from "../inkpoints.ts";
import type { Limits } from "../zones.ts";
import { Chords } from "./chords.ts";
import { cleanOutline } from "./clean.ts";
import { type Exact, exactWidth } from "./exact.ts";
import type { Outline } from "./outline.ts";
import { Patience } from "./patience.ts";
import { type Found, searchWidths, type ThinKind } from "./search.ts";
import { inkSides } from "./sides.ts";
import { type WidthOnVessel, widestSpot, widthOnVessel } from "./spot.ts";

/** One width on the vessel with its place on the flat, the middle of its disc. */
export interface ThinWidth extends WidthOnVessel {
  readonly atMm: readonly [number, number];
}

export interface ThinPlaces {
  /** The smallest width; null where none is smaller than `searchedMm`. */
  readonly narrowest: ThinWidth | null;
  /** The smallest against its own spot, of those smaller than it; null where none is. */
  readonly worst: ThinWidth | null;
  /** How much of it, along the line or gap, is thinner than the spot (mm on the flat; about 0 for a neck). */
  readonly lengthMm: number;
  /** Places thinner than the spot; those less than about a spot apart are one. */
  readonly places: number;
  /** The thin widths themselves on the flat, p and q on the outline: pₐ p_b qₐ q_b for each sample (mm). */
  readonly spans: Float64Array;
}

export interface Thin {
  /** False where too many shapes overlap or lie close together: then nothing is known. */
  readonly compared: boolean;
  readonly line: ThinPlaces;
  readonly gap: ThinPlaces;
  /** Widths on the flat up to here were looked for (mm). */
  readonly searchedMm: number;
  /** Distance between samples along the outlines (mm). */
  readonly stepMm: number;
}

/** Widths are looked for up to so many waists, so that the report can name the smallest. */
const SEARCHED = 10;
/** Samples to a waist, and how much closer the chords are to their curves. */
const SAMPLES = 4;
const CLOSER = 400;
/** A line whose width changes faster than this along it is a taper: 2 tan 5°. */
const TAPER = 0.175;

const NONE: ThinPlaces = {
  narrowest: null,
  worst: null,
  lengthMm: 0,
  places: 0,
  spans: new Float64Array(0),
};

/**
 * `united`: no shape of the ink overlaps another, as merged ink is; small ink is looked through all the same.
 * Overlapping shapes count as one region.
 */
export function thinPlaces(
  ink: Ink,
  points: InkPoints,
  warp: Warp,
  spot: Spot,
  limits: Limits,
  united: boolean,
): Thin {
  const waist = spot.waistDiameterMm;
  const least = 1.02 * widestSpot(warp, spot, limits, points);
  const searchedMm = Math.max(SEARCHED * waist, least);
  const thin: Thin = { compared: true, line: NONE, gap: NONE, searchedMm, stepMm: waist / SAMPLES };
  const fills = ink.shapes.filter((s) => s.paint === "fill");
  if (fills.length === 0 || least === 0) return thin;
  const patience = new Patience();
  const region = cleanOutline(fills, waist / CLOSER, 8 * least, united, patience);
  if (!region) return { ...thin, compared: false };
  const { outline, grid } = region;
  if (outline.count === 0) return thin;
  const sides = inkSides(new Chords(outline, waist / CLOSER, Infinity), patience);
  if (!sides) return { ...thin, compared: false };
  const judge = (found: readonly Found[]): ThinPlaces => places(outline, found, warp, spot, limits, stepMm);
  let { line, gap, stepMm } = thin;
  // What is thinner than the spot first; only where there is nothing, further.
  for (let k = 1; ; k *= 4) {
    const limit = Math.min(k * least, searchedMm);
    const step = (k * waist) / SAMPLES;
    const found = searchWidths(outline, grid, sides, limit, step, (k * waist) / CLOSER, patience);
    if (!found && k === 1) return { ...thin, compared: false };
    if (!found) return { ...thin, line, gap, stepMm, searchedMm: Math.min((k * least) / 4, searchedMm) };
    if (k === 1) stepMm = found.step;
    if (!line.narrowest) line = judge(found.line);
    if (!gap.narrowest) gap = judge(found.gap);
    if (limit === searchedMm || (line.narrowest && gap.narrowest)) break;
  }
  return { ...thin, line, gap, stepMm };
}

function places(
  outline: Outline,
  found: readonly Found[],
  warp: Warp,
  spot: Spot,
  limits: Limits,
  step: number,
): ThinPlaces {
  // The second contact may be up to 10° off the normal: the width is the disc's, in the direction from p to q.
  const onVessel = ({ p, q, width }: Exact): ThinWidth | null => {
    const [a, b] = [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
    const apart = Math.hypot(q[0] - p[0], q[1] - p[1]);
    const k = apart > 0 ? width / apart : 0;
    const measured = widthOnVessel(warp, spot, limits, a, b, k * (q[0] - p[0]), k * (q[1] - p[1]));
    return measured && { ...measured, atMm: [a, b] };
  };
  const widths = new Choice();
  const ratios = new Choice();
  const spans: number[] = [];
  let lengthMm = 0;
  found.forEach((f, i) => {
    const width = onVessel(f);
    if (!width) return;
    const shape = shapeAt(found, i);
    widths[shape].offer(width.widthMm, f);
    if (width.widthMm >= width.spotMm) return;
    ratios[shape].offer(width.widthMm / width.spotMm, f);
    lengthMm += f.length / 2;
    spans.push(f.p[0], f.p[1], f.q[0], f.q[1]);
  });
  const refined = (f: Found | null): ThinWidth | null =>
    f && (onVessel(exactWidth(outline, f)) ?? onVessel(f));
  const smallest = widths.best();
  const against = ratios.best();
  const narrowest = refined(smallest);
  return {
    narrowest,
    worst: against === smallest ? narrowest : refined(against),
    lengthMm,
    places: clusters(spans, Math.max(spot.waistDiameterMm / 2, 1.5 * step)),
    spans: Float64Array.from(spans),
  };
}

/** The samples of least value, all that are equal but for rounding. */
class Least {
  #found: Found[] = [];
  #value = Infinity;
  offer(value: number, found: Found): void {
    if (value > this.#value * (1 + 1e-9)) return;
    if (value < this.#value * (1 - 1e-9)) this.#found = [];
    this.#value = Math.min(value, this.#value);
    this.#found.push(found);
  }

  /** Of a line that is equally thin for a while the middle of its first side: a place that is easily seen. */
  middle(): Found | null {
    return this.#found[this.#found.length >> 2] ?? null;
  }
}

/** A steady width is named before a tip; samples on a slope only where its foot is not usable ink. */
class Choice {
  readonly steady = new Least();
  readonly taper = new Least();
  readonly slope = new Least();
  best(): Found | null {
    return this.steady.middle() ?? this.taper.middle() ?? this.slope.middle();
  }
}

/**
 * Whether a sample is the smallest among its neighbours, and if so at the end of a line that narrows quickly: a
 * tip is a corner more than a width.
 */
function shapeAt(found: readonly Found[], i: number): "steady" | "taper" | "slope" {
  const f = found[i]!;
  const beside = [found[i - 1], found[i + 1]].filter((g) => g && Math.abs(g.order - f.order) === 1);
  if (beside.some((g) => g!.width < f.width * (1 - 1e-6))) return "slope";
  const [g, other] = beside;
  if (!g || other) return "steady";
  return g.width - f.width > TAPER * Math.hypot(g.p[0] - f.p[0], g.p[1] - f.p[1]) ? "taper" : "steady";
}

/** How many groups the spans' middles form when those in touching cells of a grid are one group. */
function clusters(spans: readonly number[], cell: number): number {
  const cells = new Set<string>();
  for (let i = 0; i < spans.length; i += 4) {
    cells.add(
      `${Math.floor((spans[i]! + spans[i + 2]!) / 2 / cell)} ${Math.floor((spans[i + 1]! + spans[i + 3]!) / 2 / cell)}`,
    );
  }
  let count = 0;
  for (const first of cells) {
    count++;
    cells.delete(first);
    const open = [first];
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      const [x, y] = at.split(" ").map(Number) as [number, number];
      for (let dx = -1; dx <= 1; dx++) {
        for (let dy = -1; dy <= 1; dy++) {
          const next = `${x + dx} ${y + dy}`;
          if (cells.delete(next)) open.push(next);
        }
      }
    }
  }
  return count;
}

export type { ThinKind };

/** Of several turns, each with its places on its own flat. */
export function joinedThin(all: readonly Thin[]): Thin {
  const of = (kind: "line" | "gap"): ThinPlaces => {
    const places = all.map((thin) => thin[kind]);
    const least = (
      pick: (p: ThinPlaces) => ThinWidth | null,
      size: (w: ThinWidth) => number,
    ): ThinWidth | null =>
      places.map(pick).reduce((a, b) => (a && b ? (size(b) < size(a) ? b : a) : (a ?? b)), null);
    return {
      narrowest: least(
        (p) => p.narrowest,
        (w) => w.widthMm,
      ),
      worst: least(
        (p) => p.worst,
        (w) => w.widthMm / w.spotMm,
      ),
      lengthMm: places.reduce((sum, p) => sum + p.lengthMm, 0),
      places: places.reduce((sum, p) => sum + p.places, 0),
      spans: new Float64Array(0),
    };
  };
  return {
    compared: all.every((thin) => thin.compared),
    line: of("line"),
    gap: of("gap"),
    searchedMm: Math.max(...all.map((thin) => thin.searchedMm)),
    stepMm: Math.max(...all.map((thin) => thin.stepMm)),
  };
}
