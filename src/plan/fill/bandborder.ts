/**
 * The seam between two bands: teeth to either side of a meridian, so that no straight seam shows. On the vessel they reach
 * a quarter of a spot from the meridian and are a spot long along it, in step along all meridians. Teeth stand only where
 * there is ink on both sides; where the ink ends between their tips the seam keeps to the side that has none.
 */
import type { Box } from "../../geometry/path.ts";
import type { Surface } from "../../vessel/surface.ts";
import { type Border, borderOf } from "../turns/border.ts";
import { type Patch, pointAt, runsInside } from "../turns/chords.ts";
import type { Range } from "../zones.ts";

/** As a share of the spot: how far a tooth reaches, and how long it is from tip to tip along the meridian. */
const REACH = 1 / 4;
const STEP = 1 / 2;

/** On which sides of a meridian there is ink. */
const LEFT = 1;
const RIGHT = 2;
const BOTH = LEFT + RIGHT;

/** A meridian that bands part at: its θ, and how far its teeth may reach at most (radians). */
export interface Meridian {
  readonly theta: number;
  readonly most: number;
}

export class Seams {
  readonly #surface: Surface;
  readonly #spotMm: number;
  readonly #place = new Float64Array(6);
  readonly #flat = new Float64Array(2);
  readonly #outline = new Float64Array(4);

  constructor(surface: Surface, spotMm: number) {
    this.#surface = surface;
    this.#spotMm = spotMm;
  }

  /** The meridian itself over a range, lengthened to part all within the box; null where the flat does not show it. */
  plain({ theta }: Meridian, range: Range, box: Box): Border | null {
    return this.#border([theta, range.top, theta, range.bottom], box);
  }

  /** The seam through ink. */
  toothed(meridian: Meridian, range: Range, box: Box, ink: Patch): Border | null {
    const { theta } = meridian;
    const reach = (m: number): number => this.#reach(meridian, m);
    const { top, bottom } = range;
    const [left, right] = [-1, 1].map((side) =>
      this.#inked([theta + side * reach(top), top, theta + side * reach(bottom), bottom], range, box, ink),
    );
    if (left!.length === 0 && right!.length === 0) return this.plain(meridian, range, box);
    const step = STEP * this.#spotMm;
    /** By the number of the tip: on which sides there is ink, if any. */
    const tips = new Map<number, number>();
    for (const [from, to] of [...left!, ...right!]) {
      const last = Math.min(Math.ceil(to / step), Math.floor(bottom / step));
      for (let k = Math.max(Math.floor(from / step), Math.ceil(top / step)); k <= last; k++) {
        tips.set(k, (isWithin(left!, k * step) ? LEFT : 0) + (isWithin(right!, k * step) ? RIGHT : 0));
      }
    }
    const points = [theta, top];
    for (const k of [...tips.keys()].sort((one, other) => one - other)) {
      points.push(theta + sideOf(tips, k) * reach(k * step), k * step);
    }
    points.push(theta, bottom);
    return this.#border(points, box);
  }

  #reach({ most }: Meridian, m: number): number {
    this.#surface.meridian.at(m, this.#outline);
    const radius = this.#outline[0]!;
    return radius > 0 ? Math.min(most, (REACH * this.#spotMm) / radius) : most;
  }

  /** Where a line of θ and m is inside the ink, as pairs of m. */
  #inked(line: number[], { top, bottom }: Range, box: Box, ink: Patch): [number, number][] {
    const points = this.#border(line, box)?.points;
    if (!points) return [];
    const m = (place: number): number => {
      const [a, b] = pointAt(points, place);
      const known = this.#surface.chart.to(a, b, this.#place);
      return known
        ? Math.min(bottom, Math.max(top, this.#place[1]!))
        : b < (box.minY + box.maxY) / 2
          ? top
          : bottom;
    };
    return runsInside([ink], points).map(([from, to]) => [m(from), m(to)]);
  }

  #border(points: number[], box: Box): Border | null {
    const { chart } = this.#surface;
    const flat = this.#flat;
    const toFlat = (theta: number, m: number): readonly [number, number] | null =>
      chart.from(theta, m, flat) ? [flat[0]!, flat[1]!] : null;
    return borderOf({ points: Float64Array.from(points), inkMm: 0, straight: false }, toFlat, box);
  }
}

/** To which side a tip points: where it can, away from the ink's edge, so that the seam does not run along that. */
function sideOf(tips: ReadonlyMap<number, number>, k: number): -1 | 1 {
  const inked = tips.get(k)!;
  if (inked < BOTH) return inked === RIGHT ? -1 : 1;
  for (const beside of [tips.get(k - 1), tips.get(k + 1)]) {
    if (beside === LEFT) return -1;
    if (beside === RIGHT) return 1;
  }
  return k % 2 === 0 ? 1 : -1;
}

const isWithin = (runs: readonly [number, number][], m: number): boolean =>
  runs.some(([from, to]) => m >= from && m <= to);
