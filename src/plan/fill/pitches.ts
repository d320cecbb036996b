/**
 * The pitch of each set, from how its lines lie on the vessel and what they are worth there (model §9).
 *
 *   plain     h_flat = h · stretch/area: the pitch asked for, on the vessel
 *   station   h_flat = h · along/(J · area): the same in the command plane, as a station fills outlines
 *   even      along the axis h_flat = h · stretch/area / D(a), where by the worth w of a line in each place
 *
 *               D(a) · Σ_along w along/(area h_plain) + Σ_others w along/(area h_plain) = Z
 *
 *             as nearly as it can over the ink at ±a: by least squares, the mean weighed by the first sum. Z is the
 *             largest that the widest pitch allowed leaves. D stays between the pitch's limits; where the lines along
 *             are worth nothing it is 1.
 *
 * Everything is even in a, so the ink at a and −a is taken together.
 */

import { directions } from "../../geometry/rows.ts";
import type { Fill as Asked } from "../../job/job.ts";
import type { Warp } from "../../warp/warp.ts";
import type { Cell } from "../process/cells.ts";
import { isAlong, Lying } from "./lie.ts";
import { constantPitch, type Pitches, pitchAt } from "./pitch.ts";
import type { Uneven } from "./types.ts";
import type { Worth } from "./worth.ts";

/** A place of the ink, on one side of the crown line. */
interface Spot {
  readonly a: number;
  readonly b: number;
  readonly share: number;
}

/** Pitches of lines at an angle that lie alike on the vessel (or in the command plane) wherever they run. */
export function alikePitches(
  cells: readonly Cell[],
  warp: Warp,
  angleDeg: number,
  pitchMm: number,
  on: "vessel" | "command",
): Pitches {
  const lying = new Lying(warp, angleDeg);
  const [, , px, py] = directions(angleDeg);
  const along = isAlong(angleDeg);
  const places: { t: number; ratio: number; share: number }[] = [];
  for (const { a, b, share } of spotsOf(cells)) {
    const lie = lying.at(a, b);
    const met = warp.meetingUnchecked(a, b);
    const ratio = on === "vessel" ? lie.stretch / lie.area : lie.along / (met.areaRatio * lie.area);
    places.push({ t: along ? Math.abs(a) : a * px + b * py, ratio, share });
  }
  const ratios = places.map((p) => p.ratio);
  const [least, most] = [Math.min(...ratios), Math.max(...ratios)];
  if (most - least <= 1e-9 * most) return constantPitch(pitchMm * most);
  const { t, mean } = binned(places);
  return { t, pitchMm: mean.map((ratio) => ratio * pitchMm), even: along };
}

/** Both sides of each cell; the area of a cell is that of both together. */
function spotsOf(cells: readonly Cell[]): Spot[] {
  const total = cells.reduce((sum, c) => sum + c.areaMm2, 0);
  return cells.flatMap(({ a, b, areaMm2 }) => {
    const share = areaMm2 / total / 2;
    return [
      { a, b, share },
      { a: -a, b, share },
    ];
  });
}

const BINS = 96;

/** Means of what lies at nearly the same t. */
function binned(places: readonly { t: number; ratio: number; share: number }[]): {
  t: Float64Array;
  mean: Float64Array;
} {
  const low = places.reduce((least, p) => Math.min(least, p.t), Infinity);
  const high = places.reduce((most, p) => Math.max(most, p.t), -Infinity);
  const wide = (high - low) / BINS || 1;
  const sums = Array.from({ length: BINS }, () => ({ share: 0, t: 0, ratio: 0 }));
  for (const { t, ratio, share } of places) {
    const bin = sums[Math.min(BINS - 1, Math.floor((t - low) / wide))]!;
    bin.share += share;
    bin.t += share * t;
    bin.ratio += share * ratio;
  }
  const filled = sums.filter((bin) => bin.share > 0);
  return {
    t: Float64Array.from(filled, (bin) => bin.t / bin.share),
    mean: Float64Array.from(filled, (bin) => bin.ratio / bin.share),
  };
}

export interface EvenPitches {
  /** One for each angle, in their order. */
  readonly pitches: readonly Pitches[];
  readonly uneven: readonly Uneven[];
}

/** `plain`: the pitches of all sets as if nothing were evened. Null where no set runs along the axis. */
export function evenPitches(
  cells: readonly Cell[],
  warp: Warp,
  worth: Worth,
  asked: Pick<Asked, "anglesDeg" | "pitchMm" | "pitchLimitsMm">,
  plain: readonly Pitches[],
): EvenPitches | null {
  const { anglesDeg, pitchMm, pitchLimitsMm } = asked;
  if (!anglesDeg.some(isAlong)) return null;
  const columns = columnsOf(cells, warp, worth, anglesDeg, plain);
  const widest = pitchMm / pitchLimitsMm[1];
  const wanted = columns.reduce((most, c) => Math.max(most, c.fixed + widest * c.along), 0);
  const densest = pitchMm / pitchLimitsMm[0];
  const uneven = new Unevenness();
  const density = columns.map((column) => {
    const { along, fixed, share, dead } = column;
    if (dead.share > 0) uneven.add(column, "below-threshold", dead);
    if (!(along > 0)) return 1;
    const asksFor = (wanted - fixed) / along;
    if (asksFor <= densest * (1 + 1e-9)) return Math.max(widest, asksFor);
    uneven.add(column, "smallest-pitch", { share: share - dead.share, from: column.from, to: column.to });
    return densest;
  });
  const t = Float64Array.from(columns, (c) => c.a);
  const pitches = anglesDeg.map((angle, i): Pitches => {
    const own = plain[i]!;
    if (!isAlong(angle)) return own;
    return { t, pitchMm: Float64Array.from(density, (d, j) => pitchAt(own, t[j]!) / d), even: true };
  });
  return { pitches, uneven: uneven.places };
}

/** Collects where it cannot be evened; neighbouring columns of one reason are one place. */
class Unevenness {
  readonly places: Uneven[] = [];

  add({ fromMm, toMm }: Column, reason: Uneven["reason"], { share, from, to }: Stretch): void {
    const { places } = this;
    const i = places.findIndex((one) => one.reason === reason && Math.abs(one.toMm - fromMm) < 1e-6);
    const last = places[i];
    if (!last) places.push({ fromMm, toMm, alongMm: [from, to], share, reason });
    else {
      const alongMm = [Math.min(last.alongMm[0], from), Math.max(last.alongMm[1], to)] as const;
      places[i] = { ...last, toMm, alongMm, share: last.share + share };
    }
  }
}

/** Of the usable ink, and from where to where along the axis (middles of cells). */
interface Stretch {
  readonly share: number;
  readonly from: number;
  readonly to: number;
}

interface Column extends Stretch {
  readonly a: number;
  readonly fromMm: number;
  readonly toMm: number;
  /** What of it is worth nothing. */
  readonly dead: Stretch;
  /** Worth over the vessel's area at the plain pitch, of the lines along the axis and of all others: means weighed by the first. */
  readonly along: number;
  readonly fixed: number;
}

function columnsOf(
  cells: readonly Cell[],
  warp: Warp,
  worth: Worth,
  anglesDeg: readonly number[],
  plain: readonly Pitches[],
): Column[] {
  const total = cells.reduce((sum, c) => sum + c.areaMm2, 0);
  const sets = anglesDeg.map((angle, i) => {
    const [, , px, py] = directions(angle);
    return { lying: new Lying(warp, angle), pitches: plain[i]!, along: isAlong(angle), px, py };
  });
  const sums = new Map<number, Sum>();
  for (const { a, b, met, areaMm2 } of cells) {
    const share = areaMm2 / total;
    const column = sums.get(a) ?? { weight: 0, along: 0, fixed: 0, all: none(), dead: none() };
    sums.set(a, column);
    const perMm = worth.perMm(met);
    const depth = { along: 0, fixed: 0 };
    for (const { lying, pitches, along, px, py } of sets) {
      for (const side of [a, -a]) {
        const lie = lying.at(side, b);
        const t = side * px + b * py;
        depth[along ? "along" : "fixed"] += (perMm * lie.along) / (lie.area * pitchAt(pitches, t)) / 2;
      }
    }
    const weight = share * depth.along;
    grow(column.all, b, share);
    if (!(perMm > 0)) grow(column.dead, b, share);
    column.weight += weight;
    column.along += weight * depth.along;
    column.fixed += weight * depth.fixed;
  }
  const middles = [...sums.keys()].sort((p, q) => p - q);
  const wide = middles.reduce(
    (least, a, i) => (i === 0 ? least : Math.min(least, a - middles[i - 1]!)),
    2 * middles[0]!,
  );
  return middles.map((a) => {
    const { weight, along, fixed, all, dead } = sums.get(a)!;
    return {
      ...all,
      a,
      dead,
      fromMm: a - wide / 2,
      toMm: a + wide / 2,
      along: weight && along / weight,
      fixed: weight && fixed / weight,
    };
  });
}

type Growing = { -readonly [K in keyof Stretch]: Stretch[K] };
interface Sum {
  weight: number;
  along: number;
  fixed: number;
  readonly all: Growing;
  readonly dead: Growing;
}
const none = (): Growing => ({ share: 0, from: Infinity, to: -Infinity });
function grow(stretch: Growing, b: number, share: number): void {
  stretch.share += share;
  stretch.from = Math.min(stretch.from, b);
  stretch.to = Math.max(stretch.to, b);
}
