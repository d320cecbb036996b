/**
 * Elements as chords, made when they are first asked for. A curve's chords stay within `tolerance` of it, turn
 * by at most 8° and are no longer than `step`; a straight element is one chord. The middle of a chord then sees
 * its neighbours as the curve's own circle of curvature would be seen.
 */
import { evalCubic } from "../../geometry/cubic.ts";
import type { Outline } from "./outline.ts";

const TURN = (8 * Math.PI) / 180;

export class Chords {
  readonly outline: Outline;
  /** Points x y of all chords made so far: chord k of element e goes from point `start[e] + k` to the next. */
  xy = new Float64Array(4096);
  readonly #start: Int32Array;
  readonly #count: Int32Array;
  readonly #tolerance: number;
  readonly #step: number;
  #used = 0;

  /** Both lengths in mm, above 0. */
  constructor(outline: Outline, tolerance: number, step: number) {
    this.outline = outline;
    this.#tolerance = tolerance;
    this.#step = step;
    this.#start = new Int32Array(outline.count);
    this.#count = new Int32Array(outline.count);
  }

  /** How many chords an element has; its points are in `xy` from now on. */
  of(e: number): number {
    const made = this.#count[e]!;
    if (made > 0) return made;
    const n = this.planned(e);
    const { points: p } = this.outline;
    while (this.xy.length < this.#used + 2 * (n + 1)) {
      const more = new Float64Array(2 * this.xy.length);
      more.set(this.xy);
      this.xy = more;
    }
    this.#start[e] = this.#used / 2;
    this.#count[e] = n;
    for (let k = 0; k <= n; k++) {
      evalCubic(p, 8 * e, k / n, jet);
      this.xy[this.#used++] = jet[0]!;
      this.xy[this.#used++] = jet[1]!;
    }
    return n;
  }

  /** Index into `xy` of an element's first number; call `of` before. */
  at(e: number): number {
    return 2 * this.#start[e]!;
  }

  /** How many chords an element has or would have. */
  planned(e: number): number {
    const { points: p, straight, spread } = this.outline;
    if (straight[e] === 1) return 1;
    const i = 8 * e;
    const bend = Math.max(
      Math.hypot(p[i]! - 2 * p[i + 2]! + p[i + 4]!, p[i + 1]! - 2 * p[i + 3]! + p[i + 5]!),
      Math.hypot(p[i + 2]! - 2 * p[i + 4]! + p[i + 6]!, p[i + 3]! - 2 * p[i + 5]! + p[i + 7]!),
    );
    return Math.ceil(
      Math.max(
        1,
        Math.sqrt((6 * bend) / (8 * this.#tolerance)),
        (2 * spread[e]!) / TURN,
        lengthOf(this.outline, e) / this.#step,
      ),
    );
  }
}
const jet = new Float64Array(4);

/** Length of an element's control polygon, for a straight one its own (mm). */
export function lengthOf({ points: p, straight }: Outline, e: number): number {
  const i = 8 * e;
  if (straight[e] === 1) return Math.hypot(p[i + 6]! - p[i]!, p[i + 7]! - p[i + 1]!);
  let sum = 0;
  for (let k = i; k < i + 6; k += 2) sum += Math.hypot(p[k + 2]! - p[k]!, p[k + 3]! - p[k + 1]!);
  return sum;
}
