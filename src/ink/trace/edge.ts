/**
 * Where an outline crosses the link between two neighbouring pixel centres, as a fraction of the link.
 *
 * Linear interpolation puts the crossing at t = (v0 − level) / (v0 − v1). A pixel of an anti-aliased picture is
 * not a sample but a mean over its square, so that an edge through a pixel of coverage c is put up to 0.086 px
 * aside (1.5 − 0.5 / c − c is largest at c = √½). Where level is 0.5 and the values are coverages, more is known: summed
 * along the link's line, coverage is the length covered, and for a straight edge that is the edge's place at the
 * pixels' centre line, exactly. The sum is taken where it ends in full ink on one side and in none on the other,
 * or, for a line or a gap thinner than two pixels, in the same on both.
 */

/** Values closer than this to 0 or 1 count as none or full: what compression leaves on flat ground. */
export const FLAT = 0.04;
/** Pixels that a sum may run through on either side of the link. */
const REACH = 4;
/** A line thinner than its pixels shows in at most so many of them. */
const THIN = 3;

export interface Field {
  readonly width: number;
  readonly height: number;
  /** One number per pixel centre, row by row. */
  readonly value: Float64Array | Float32Array;
  /** Inside is value ≥ level. */
  readonly level: number;
}

/**
 * The crossing between pixel (i, j), inside, and its neighbour at (i + di, j + dj), outside: its distance from
 * the first centre, 0…1. Beyond the picture's border nothing is inside and coverage is none; no crossing lies there.
 */
export function crossing(field: Field, i: number, j: number, di: number, dj: number): number {
  const { width, height, value, level } = field;
  const oi = i + di;
  const oj = j + dj;
  const at = j * width + i;
  const step = dj * width + di;
  const beyond = oi < 0 || oj < 0 || oi >= width || oj >= height;
  if (beyond && level !== 0.5) return 0.5;
  const v0 = value[at]!;
  const v1 = beyond ? 0 : value[at + step]!;
  if (level === 0.5) {
    if (v0 >= 1 - FLAT && v1 <= FLAT) return 0.5;
    const before = di !== 0 ? (di > 0 ? i : width - 1 - i) : dj > 0 ? j : height - 1 - j;
    const after = (di !== 0 ? width : height) - 2 - before;
    if (facesLink(field, i, j, di, dj)) {
      const t = bySum(value, at, step, before, after);
      if (t >= -0.25 && t <= 1.25) return Math.min(beyond ? 0.5 : 1, Math.max(0, t));
    }
  }
  const t = (v0 - level) / (v0 - v1);
  return t >= 0 && t <= 1 ? Math.min(t, beyond ? 0.5 : 1) : 0.5;
}

/** Whether the edge lies rather across the link than along it. */
function facesLink({ width, height, value }: Field, i: number, j: number, di: number, dj: number): boolean {
  let across = 0;
  let along = 0;
  const coverage = (k: number, m: number): number =>
    k >= 0 && m >= 0 && k < width && m < height ? value[m * width + k]! : 0;
  for (let side = -1; side <= 1; side++) {
    const a = coverage(i + side * dj, j + side * di);
    const b = coverage(i + side * dj + di, j + side * di + dj);
    across += a - b;
    along += side * (a + b);
  }
  return Math.abs(along) < Math.abs(across);
}

/** NaN where no sum may be taken. `before` and `after`: pixels left beyond the link's two. */
function bySum(
  value: Float64Array | Float32Array,
  at: number,
  step: number,
  before: number,
  after: number,
): number {
  // Outward until nothing is left, inward until all is full: covered length, measured from the inner end.
  let out = 0;
  let k = 1;
  for (; ; k++) {
    if (k > after + 1) break;
    if (k > REACH) return Number.NaN;
    const v = value[at + k * step]!;
    if (v <= FLAT) break;
    if (k > 1 && v > value[at + (k - 1) * step]! + FLAT)
      return thin(value, at + step, -step, after, before + 1, true);
    out += v;
  }
  let inner = 0;
  for (let m = 0; ; m++) {
    if (m > REACH || m > before) return Number.NaN;
    const v = value[at - m * step]!;
    // The full pixel's outer side is half a pixel out of its centre, m pixels back.
    if (v >= 1 - FLAT) return inner + out + 0.5 - m;
    if (m > 0 && v < value[at - (m - 1) * step]! - FLAT)
      return thin(value, at, step, before, after + 1, false);
    inner += v;
  }
}

/**
 * A line (or, turned over, a gap) with no full pixel: as long as its sum, about its centroid. From the pixel at
 * `at`, the line's edge being toward +step; `back` and `ahead` pixels are there either way.
 */
function thin(
  value: Float64Array | Float32Array,
  at: number,
  step: number,
  back: number,
  ahead: number,
  gap: boolean,
): number {
  let sum = 0;
  let moment = 0;
  let count = 0;
  for (let side = 0; side < 2; side++) {
    for (let k = side; ; k++) {
      if (k > THIN || k > (side ? ahead : back)) return Number.NaN;
      const at1 = side ? k : -k;
      const raw = value[at + at1 * step]!;
      const v = gap ? 1 - raw : raw;
      if (v <= FLAT) break;
      if (++count > THIN) return Number.NaN;
      sum += v;
      moment += v * at1;
    }
  }
  const edge = moment / sum + sum / 2;
  return gap ? 1 - edge : edge;
}
