/**
 * The outline of a vessel that was measured: diameters at heights, and between them the monotone C² spline r(y) of
 * spline.ts. `at` reads r and y from a table over the arc length m (geometry/arclength.ts), which agrees with the
 * spline to about 1e-11 mm, so that a point costs little more than on a cylinder.
 */
import { type ByArcLength, byArcLength } from "../geometry/arclength.ts";
import { pieceFinder } from "../geometry/quintic.ts";
import { hitOf } from "./march.ts";
import { END_HAIR, type Meridian } from "./meridian.ts";
import { monotoneSpline, type Spline } from "./spline.ts";

export interface MeasuredRow {
  /** Above the vessel's base, along the axis. */
  readonly heightMm: number;
  /** Outer diameter there. */
  readonly diameterMm: number;
}

/** Rows nearer together (mm) would turn rounding into slopes. */
const LEAST_APART = 1e-6;
/** So much may a body that counts as convex bend inward (1/mm): rounding, not metal. */
const STRAIGHT = 1e-9;

/**
 * `rows`: three or more, heights strictly rising, diameters positive. The highest row is the rim, the placement point
 * lies `belowRimMm` below it along the axis, on the measured part. Throws RangeError where any of this is not so.
 */
export function measuredOutline(rows: readonly MeasuredRow[], belowRimMm: number): Meridian {
  const spline = splineOf(rows, belowRimMm);
  return outline(spline, byArcLength(spline));
}

/** Diameter at the placement point (mm), without the arc length; throws likewise. */
export function measuredDiameter(rows: readonly MeasuredRow[], belowRimMm: number): number {
  const spline = splineOf(rows, belowRimMm);
  const out = new Float64Array(3);
  spline.at(spline.pieceOf(0), 0, out);
  return 2 * out[0]!;
}

/** r(y), y from the placement point toward the base. */
function splineOf(rows: readonly MeasuredRow[], belowRimMm: number): Spline {
  const top = rows.at(-1)?.heightMm ?? 0;
  const tall = top - (rows[0]?.heightMm ?? 0);
  if (!(belowRimMm >= 0 && belowRimMm <= tall + END_HAIR))
    throw new RangeError("the placement point lies off the measured part");
  if (!rows.every(({ diameterMm }) => diameterMm > 0)) throw new RangeError("a diameter is not positive");
  for (let i = 1; i < rows.length; i++) {
    if (!(rows[i]!.heightMm - rows[i - 1]!.heightMm >= LEAST_APART))
      throw new RangeError(`row ${i + 1} is not higher than the one before`);
  }
  // y grows toward the base, heights grow toward the rim.
  const down = rows.toReversed();
  return monotoneSpline(
    Float64Array.from(down, ({ heightMm }) => top - heightMm - belowRimMm),
    Float64Array.from(down, ({ diameterMm }) => diameterMm / 2),
  );
}

function outline(spline: Spline, table: ByArcLength): Meridian {
  const { m: marks, rOf, yOf } = table;
  const arcAt = inverse(table);
  // From here on m counts from the placement point.
  const placed = arcAt(0);
  for (let i = 0; i < marks.length; i++) marks[i]! -= placed;
  const find = pieceFinder(marks);
  const [from, to] = [marks[0]!, marks.at(-1)!];
  const at = (m: number, out: Float64Array): void => {
    const i = find(m);
    const p = 6 * i;
    const held = Math.min(Math.max(from, m), to);
    const u = held - marks[i]!;
    const [r1, r2, r3, r4, r5] = [rOf[p + 1]!, rOf[p + 2]!, rOf[p + 3]!, rOf[p + 4]!, rOf[p + 5]!];
    const [y1, y2, y3, y4, y5] = [yOf[p + 1]!, yOf[p + 2]!, yOf[p + 3]!, yOf[p + 4]!, yOf[p + 5]!];
    const dr = r1 + u * (2 * r2 + u * (3 * r3 + u * (4 * r4 + u * 5 * r5)));
    const dy = y1 + u * (2 * y2 + u * (3 * y3 + u * (4 * y4 + u * 5 * y5)));
    // Beyond the ends it goes on straight.
    const beyond = m - held;
    out[0] = rOf[p]! + u * (r1 + u * (r2 + u * (r3 + u * (r4 + u * r5)))) + beyond * dr;
    out[1] = yOf[p]! + u * (y1 + u * (y2 + u * (y3 + u * (y4 + u * y5)))) + beyond * dy;
    out[2] = dr;
    out[3] = dy;
  };
  const o = new Float64Array(4);
  at(0, o);
  return {
    kind: "profile",
    from,
    to,
    radius: o[0]!,
    slope: null,
    convex: isConvex(spline),
    at,
    arcAt,
    hit: hitOf(spline),
  };
}

/** Places in each piece at which its bend is looked at. */
const LOOKS = 16;

function isConvex(spline: Spline): boolean {
  const { knots, bend } = spline;
  const o = new Float64Array(3);
  return bend.every((most, i) => {
    if (most <= STRAIGHT) return true;
    for (let k = 0; k <= LOOKS; k++) {
      spline.at(i, knots[i]! + ((knots[i + 1]! - knots[i]!) * k) / LOOKS, o);
      if (o[2]! > STRAIGHT) return false;
    }
    return true;
  });
}

/** m at y: Newton's method on the piece of the table, kept inside it. */
function inverse({ m: marks, y: ys, yOf }: ByArcLength): (y: number) => number {
  const find = pieceFinder(ys);
  const last = marks.length - 2;
  return (y) => {
    const i = find(y);
    const p = 6 * i;
    const h = marks[i + 1]! - marks[i]!;
    const above = y < ys[i]!;
    if (above || (i === last && y >= ys[i + 1]!)) {
      // Beyond an end, or on it.
      const u = above ? 0 : h;
      const [, dy] = run(yOf, p, u);
      const beyond = (y - (above ? ys[0]! : ys[last + 1]!)) / dy;
      return Math.abs(beyond) <= END_HAIR ? marks[i]! + u + beyond : Number.NaN;
    }
    let [lo, hi] = [0, h];
    let u = (h * (y - ys[i]!)) / (ys[i + 1]! - ys[i]!);
    for (let pass = 0; pass < 60; pass++) {
      const [at, dy] = run(yOf, p, u);
      const over = at - y;
      if (over > 0) hi = u;
      else lo = u;
      let next = u - over / dy;
      if (!(next >= lo && next <= hi)) next = (lo + hi) / 2;
      const step = Math.abs(next - u);
      u = next;
      if (step <= 1e-15 * h || over === 0) break;
    }
    // NaN in, NaN out.
    return marks[i]! + u;
  };
}

function run(c: Float64Array, p: number, u: number): readonly [number, number] {
  const [a, b, d, e, f] = [c[p + 1]!, c[p + 2]!, c[p + 3]!, c[p + 4]!, c[p + 5]!];
  return [
    c[p]! + u * (a + u * (b + u * (d + u * (e + u * f)))),
    a + u * (2 * b + u * (3 * d + u * (4 * e + u * 5 * f))),
  ];
}
