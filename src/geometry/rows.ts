/**
 * Parallel lines across filled outlines: where each line is inside, to rounding. Curves are crossed themselves, not
 * chords of them, by a sweep (crossed.ts) over pieces that run one way across the lines (monotone.ts). Lines run along
 * the direction (cos, sin) of the angle, degrees clockwise on a page whose y runs down; s counts along them, t across
 * them (mm).
 */
import { sweep } from "./crossed.ts";
import { Pieces } from "./monotone.ts";
import type { Path, Space } from "./path.ts";
import { signedArea } from "./path.ts";

/** The crossings of row i are s[from[i] … from[i + 1]), ascending and even in number: inside between each pair. */
export interface Rows {
  readonly from: Int32Array;
  readonly s: Float64Array;
}

/** Rows at equal distances: the first of them is row `first` = k, at (k + ½)·pitch·stride. */
export interface UniformRows extends Rows {
  readonly first: number;
}

/** About how many crossings rows of this pitch have, curves by their arms: too many rather than too few. */
export function crossingCount(path: Path<Space>, angleDeg: number, pitch: number): number {
  const [, , px, py] = directions(angleDeg);
  let way = 0;
  for (const { points: p } of path.contours) {
    for (let i = 2; i < p.length; i += 2) {
      way += Math.abs((p[i]! - p[i - 2]!) * px + (p[i + 1]! - p[i - 1]!) * py);
    }
  }
  return way / pitch;
}

/** The directions along and across; of quarter turns exactly. */
export function directions(angleDeg: number): [number, number, number, number] {
  const turn = (angleDeg * Math.PI) / 180;
  const quarter = angleDeg % 90 === 0;
  const cos = quarter ? Math.round(Math.cos(turn)) : Math.cos(turn);
  const sin = quarter ? Math.round(Math.sin(turn)) : Math.sin(turn);
  return [cos, sin, -sin, cos];
}

/**
 * Lines at t = at[i] (mm, ascending) clipped by the union of the paths: inside is where the winding numbers of the
 * paths do not sum to 0, each path turned so that its area is positive. A path's contours must not meet, and its holes
 * turn against them; only closed contours count. A line through a corner or along a level edge belongs to what lies at
 * greater t. Lines shorter than 1e-9 mm are left out, and gaps as short are closed.
 * Throws RangeError if `at` does not ascend or anything is not a finite number.
 */
export function rowsAt(paths: readonly Path<Space>[], angleDeg: number, at: Float64Array): Rows {
  for (let k = 0; k < at.length; k++) {
    if (!Number.isFinite(at[k]!) || (k > 0 && at[k]! < at[k - 1]!)) throw new RangeError("rows must ascend");
  }
  if (!Number.isFinite(angleDeg)) throw new RangeError("the rows' angle is no number");
  const pieces = new Pieces(at, directions(angleDeg));
  for (const { contours } of paths) {
    let area = 0;
    for (const contour of contours) if (contour.closed) area += signedArea(contour);
    if (!Number.isFinite(area)) throw new RangeError("an outline has a point that is no number");
    for (const contour of contours) if (contour.closed) pieces.add(contour, area < 0 ? -1 : 1);
  }
  return sweep(pieces, at);
}

/** Every `stride`-th row of the pitch (mm, > 0) that has a line; throws RangeError for other pitches. */
export function rowsAcross(path: Path<Space>, angleDeg: number, pitch: number, stride = 1): UniformRows {
  const step = pitch * stride;
  const [, , px, py] = directions(angleDeg);
  let [low, high] = [Infinity, -Infinity];
  for (const { points: p, closed } of path.contours) {
    if (!closed) continue;
    for (let i = 0; i < p.length; i += 2) {
      const t = p[i]! * px + p[i + 1]! * py;
      if (t < low) low = t;
      if (t > high) high = t;
    }
  }
  if (!(high > low)) return { first: 0, from: new Int32Array(1), s: new Float64Array(0) };
  if (!(step > 0)) throw new RangeError(`rows at a pitch of ${step} mm`);
  const begin = Math.ceil(low / step - 0.5);
  const count = Math.max(0, Math.ceil(high / step - 0.5) - begin);
  const at = new Float64Array(count);
  for (let k = 0; k < count; k++) at[k] = (begin + k + 0.5) * step;
  const { from, s } = rowsAt([path], angleDeg, at);
  // Arms may reach over rows that the outline does not.
  let i = 0;
  let j = count;
  while (j > 0 && from[j - 1] === s.length) j--;
  while (i < j && from[i + 1] === 0) i++;
  const all = i === 0 && j === count;
  return { first: i < j ? begin + i : 0, from: all ? from : from.slice(i, j + 1), s };
}
