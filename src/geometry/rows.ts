/**
 * Parallel lines across filled outlines: where each line is inside, by even-odd. Outlines are flattened to chords
 * within `tolerance` (mm). Lines lie at whole multiples of the pitch plus half of it, along the direction (cos, sin)
 * of the angle, degrees clockwise on a page whose y runs down; s counts along it, t across it.
 */
import { flattenInto } from "./cubic.ts";
import type { Path, Space } from "./path.ts";

/** Rows k = first, first + 1, …; the crossings of row i are s[from[i] … from[i + 1]), ascending and even in number. */
export interface Rows {
  readonly first: number;
  readonly from: Int32Array;
  readonly s: Float64Array;
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

/** The directions along and across. */
export function directions(angleDeg: number): [number, number, number, number] {
  const turn = (angleDeg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  return [cos, sin, -sin, cos];
}

/** Every `stride`-th row of the pitch. */
export function rowsAcross(
  path: Path<Space>,
  angleDeg: number,
  pitch: number,
  tolerance: number,
  stride = 1,
): Rows {
  const edges = edgesOf(path, angleDeg, tolerance);
  const step = pitch * stride;
  const rowAfter = (t: number): number => Math.ceil(t / step - 0.5);
  let [first, last] = [Infinity, -Infinity];
  for (let i = 0; i < edges.length; i += 4) {
    first = Math.min(first, rowAfter(Math.min(edges[i + 1]!, edges[i + 3]!)));
    last = Math.max(last, rowAfter(Math.max(edges[i + 1]!, edges[i + 3]!)));
  }
  if (!(last > first)) return { first: 0, from: new Int32Array(1), s: new Float64Array(0) };
  const from = new Int32Array(last - first + 1);
  const each = (put: (row: number, s: number) => void): void => {
    for (let i = 0; i < edges.length; i += 4) {
      const [s0, t0, s1, t1] = [edges[i]!, edges[i + 1]!, edges[i + 2]!, edges[i + 3]!];
      // Half open, so that a corner counts once.
      const [a, b] = t0 < t1 ? [rowAfter(t0), rowAfter(t1)] : [rowAfter(t1), rowAfter(t0)];
      for (let k = a; k < b; k++) put(k - first, s0 + (((k + 0.5) * step - t0) / (t1 - t0)) * (s1 - s0));
    }
  };
  each((row) => {
    from[row + 1]!++;
  });
  for (let i = 1; i < from.length; i++) from[i]! += from[i - 1]!;
  const s = new Float64Array(from.at(-1)!);
  const next = from.slice();
  each((row, value) => {
    s[next[row]!++] = value;
  });
  for (let i = 0; i + 1 < from.length; i++) s.subarray(from[i]!, from[i + 1]!).sort();
  return { first, from, s };
}

/** Chords s₀ t₀ s₁ t₁ of all closed outlines. */
function edgesOf(path: Path<Space>, angleDeg: number, tolerance: number): Float64Array {
  const [ax, ay, px, py] = directions(angleDeg);
  const list: number[] = [];
  for (const { points: p, straight, closed } of path.contours) {
    if (!closed) continue;
    let s = p[0]! * ax + p[1]! * ay;
    let t = p[0]! * px + p[1]! * py;
    const put = (x: number, y: number): void => {
      const s1 = x * ax + y * ay;
      const t1 = x * px + y * py;
      if (t1 !== t) list.push(s, t, s1, t1);
      s = s1;
      t = t1;
    };
    for (let k = 0; k < straight.length; k++) flattenInto(p, 6 * k, straight[k] === 1, tolerance, put);
  }
  return Float64Array.from(list);
}
