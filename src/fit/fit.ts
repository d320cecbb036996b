/**
 * A mapped curve → few cubics, within a tolerance that the caller names.
 *
 * Runs of pieces that join smoothly are fitted together, as many at a time as one cubic carries; a piece that
 * one cubic cannot carry is halved. Each cubic keeps the end points and end directions of what it stands for;
 * its arms come from the derivatives or, where that is not close enough, from area and moment (`moments.ts`).
 * The answer is to be judged by `certify.ts`, which shares no sampling with this file.
 */

import type { MappedCurve } from "../geometry/curve.ts";
import type { Contour, Space } from "../geometry/path.ts";
import { gauss8 } from "../geometry/quadrature.ts";
import { footOf } from "./foot.ts";
import { MomentFit } from "./moments.ts";

export interface Fitted<S extends Space> {
  readonly contour: Contour<S>;
  /** Where each segment begins on the source: piece + t; one more entry for the end. */
  readonly breaks: Float64Array;
}

export interface FitOptions {
  /** Largest distance, in units of the source (offset / scale), mm. */
  readonly tolerance: number;
  /** Kept free for rounding the answer afterwards, in units of the image (mm). */
  readonly slack?: number;
  /** Whether pieces that join smoothly may share a cubic; yes where left out. */
  readonly join?: boolean;
}

/** "Did not converge" is a failure, not an answer. */
export class FitFailure extends Error {
  override readonly name = "FitFailure";
}

const N = 8;
/** Pieces whose directions differ by less than this (radians) at a joint may share a cubic. */
const SMOOTH = 0.02;
/** One cubic is not tried over more than this much turning (radians). */
const MOST_TURNING = 2.4;
/** Numbers a piece has in the table of ends: start, end, unit direction at both, speed at both. */
const ENDS = 10;
/** Slower than this (mm per unit of t) an end stands still, and its direction is taken just inside. */
const STANDSTILL = 1e-7;
/** Share of the tolerance the samples may use: the error's peaks lie between them. */
const SAMPLED_SHARE = 0.9;
const DEEPEST = 30;

export class Fitter {
  readonly #moments = new MomentFit();
  readonly #jet = new Float64Array(5);
  readonly #foot = new Float64Array(2);
  readonly #arms = new Float64Array(8);
  readonly #cubic = new Float64Array(8);
  readonly #best = new Float64Array(8);
  /** Samples of the range being fitted: x, y, dx, dy, scale, weight, arc fraction, each at N nodes per piece. */
  #samples = new Float64Array(7 * N * 16);
  #count = 0;
  /** The piece whose samples stand last, left by a joint that failed; −1 for none. */
  #carried = -1;
  #tolerance = 0;
  #slack = 0;
  #join = true;

  fit<S extends Space>(curve: MappedCurve<S>, options: FitOptions): Fitted<S> {
    this.#tolerance = options.tolerance * SAMPLED_SHARE;
    this.#slack = options.slack ?? 0;
    this.#join = options.join ?? true;
    this.#carried = -1;
    const n = curve.pieces;
    const ends = this.#ends(curve);
    const points: number[] = [ends[0]!, ends[1]!];
    const straight: number[] = [];
    const breaks: number[] = [];
    let k = 0;
    while (k < n) {
      const taken = this.#run(curve, ends, k, points, straight, breaks);
      k += taken;
    }
    if (curve.closed) {
      // The last segment ends on the first point itself.
      points[points.length - 2] = points[0]!;
      points[points.length - 1] = points[1]!;
    }
    breaks.push(n);
    return {
      contour: {
        closed: curve.closed,
        points: Float64Array.from(points),
        straight: Uint8Array.from(straight),
      },
      breaks: Float64Array.from(breaks),
    };
  }

  #ends<S extends Space>(curve: MappedCurve<S>): Float64Array {
    const out = new Float64Array(ENDS * curve.pieces);
    for (let k = 0; k < curve.pieces; k++) {
      this.#end(curve, k, 0, 1, out, ENDS * k, 0);
      this.#end(curve, k, 1, 0, out, ENDS * k, 1);
    }
    return out;
  }

  /**
   * Point, unit direction and speed at t into the table at `at`, as its start (side 0) or end (side 1). Where
   * the derivative vanishes (a zero arm) the direction is the one just inside, toward t = `inside`.
   */
  #end<S extends Space>(
    curve: MappedCurve<S>,
    k: number,
    t: number,
    inside: number,
    out: Float64Array,
    at: number,
    side: 0 | 1,
  ): void {
    const jet = this.#jet;
    curve.at(k, t, jet);
    out[at + 2 * side] = jet[0]!;
    out[at + 2 * side + 1] = jet[1]!;
    let dx = jet[2]!;
    let dy = jet[3]!;
    let speed = Math.sqrt(dx * dx + dy * dy);
    let length = speed;
    if (speed < STANDSTILL) {
      speed = 0;
      for (const step of [1e-4, 1e-2]) {
        curve.at(k, t + (inside - t) * step, jet);
        dx = jet[2]!;
        dy = jet[3]!;
        length = Math.sqrt(dx * dx + dy * dy);
        if (length > STANDSTILL) break;
      }
    }
    out[at + 4 + 2 * side] = length > 0 ? dx / length : 1;
    out[at + 5 + 2 * side] = length > 0 ? dy / length : 0;
    out[at + 8 + side] = speed;
  }

  /** Fits from piece k on; returns how many whole pieces were taken. */
  #run<S extends Space>(
    curve: MappedCurve<S>,
    ends: Float64Array,
    k: number,
    points: number[],
    straight: number[],
    breaks: number[],
  ): number {
    if (curve.straight[k] && this.#fitsLine(curve, ends, k)) {
      pushLine(points, ends[ENDS * k + 2]!, ends[ENDS * k + 3]!);
      straight.push(1);
      breaks.push(k);
      return 1;
    }
    this.#begin(curve, k);
    if (!this.#tryCubic(ends, k, 1, 1)) {
      this.#halve(curve, k, 0, 1, ends, ENDS * k, 0, points, straight, breaks);
      return 1;
    }
    let taken = 1;
    this.#best.set(this.#cubic);
    let turning = turnOf(ends, ENDS * k + 4, ENDS * k + 6);
    while (this.#join && k + taken < curve.pieces && !curve.straight[k] && !curve.straight[k + taken]) {
      const next = ENDS * (k + taken);
      if (Math.abs(turnOf(ends, next - ENDS + 6, next + 4)) > SMOOTH) break;
      turning += turnOf(ends, next + 4, next + 6);
      if (Math.abs(turning) > MOST_TURNING) break;
      this.#sample(curve, k + taken, 0, 1);
      if (!this.#tryCubic(ends, k, taken + 1, 0)) {
        this.#carried = k + taken;
        break;
      }
      taken++;
      this.#best.set(this.#cubic);
    }
    pushCubic(points, this.#best);
    straight.push(0);
    breaks.push(k);
    return taken;
  }

  /** One piece that no cubic carries, cut at its middle until each part has one. */
  #halve<S extends Space>(
    curve: MappedCurve<S>,
    k: number,
    t0: number,
    t1: number,
    ends: Float64Array,
    at: number,
    depth: number,
    points: number[],
    straight: number[],
    breaks: number[],
  ): void {
    if (depth > DEEPEST) throw new FitFailure(`piece ${k} did not converge near t = ${t0}`);
    const middle = (t0 + t1) / 2;
    const parts = new Float64Array(2 * ENDS);
    parts.set(ends.subarray(at, at + ENDS), 0);
    parts.set(ends.subarray(at, at + ENDS), ENDS);
    this.#end(curve, k, middle, t0, parts, 0, 1);
    this.#end(curve, k, middle, t1, parts, ENDS, 0);
    for (let half = 0; half < 2; half++) {
      const from = half === 0 ? t0 : middle;
      const to = half === 0 ? middle : t1;
      this.#count = 0;
      this.#sample(curve, k, from, to);
      if (this.#tryCubic(parts, half, 1, to - from)) {
        pushCubic(points, this.#cubic);
        straight.push(0);
        breaks.push(k + from);
      } else {
        this.#halve(curve, k, from, to, parts, ENDS * half, depth + 1, points, straight, breaks);
      }
    }
  }

  /** Starts over with the samples of piece k: taken along from a joint that failed, or fresh. */
  #begin<S extends Space>(curve: MappedCurve<S>, k: number): void {
    if (this.#carried === k) {
      const from = 7 * (this.#count - N);
      this.#samples.copyWithin(0, from, from + 7 * N);
      this.#count = N;
    } else {
      this.#count = 0;
      this.#sample(curve, k, 0, 1);
    }
    this.#carried = -1;
  }

  /** Appends the N samples of t0…t1 on piece k; derivatives are per unit of the local fraction. */
  #sample<S extends Space>(curve: MappedCurve<S>, k: number, t0: number, t1: number): void {
    const need = 7 * (this.#count + N);
    if (need > this.#samples.length) {
      const more = new Float64Array(2 * need);
      more.set(this.#samples);
      this.#samples = more;
    }
    const s = this.#samples;
    const jet = this.#jet;
    const span = t1 - t0;
    for (let g = 0; g < N; g++) {
      curve.at(k, t0 + span * gauss8.nodes[g]!, jet);
      const i = 7 * this.#count++;
      s[i] = jet[0]!;
      s[i + 1] = jet[1]!;
      s[i + 2] = jet[2]! * span;
      s[i + 3] = jet[3]! * span;
      s[i + 4] = jet[4]!;
      s[i + 5] = gauss8.weights[g]!;
    }
  }

  /** What a sample may be off in the image: the tolerance there less the slack, and never nothing. */
  #limit(scale: number): number {
    const whole = this.#tolerance * scale;
    return Math.max(whole - this.#slack, 0.2 * whole);
  }

  /** Whether a straight piece's image is straight enough, by its quarters. */
  #fitsLine<S extends Space>(curve: MappedCurve<S>, ends: Float64Array, k: number): boolean {
    const at = ENDS * k;
    const x0 = ends[at]!;
    const y0 = ends[at + 1]!;
    const dx = ends[at + 2]! - x0;
    const dy = ends[at + 3]! - y0;
    const length = Math.sqrt(dx * dx + dy * dy);
    const jet = this.#jet;
    for (let t = 0.25; length > 0 && t < 1; t += 0.25) {
      curve.at(k, t, jet);
      const off = Math.abs((jet[0]! - x0) * dy - (jet[1]! - y0) * dx) / length;
      if (off > this.#limit(jet[4]!)) return false;
    }
    return true;
  }

  /**
   * Tries one cubic over the samples gathered, `pieces` pieces from `first` of `ends`; leaves it in #cubic.
   * `span` is the share of the piece that the samples cover; with several pieces it is 0 and the arms of the
   * derivatives, which would mean nothing there, are not tried.
   */
  #tryCubic(ends: Float64Array, first: number, pieces: number, span: number): boolean {
    const a = ENDS * first,
      z = ENDS * (first + pieces - 1);
    const x0 = ends[a]!,
      y0 = ends[a + 1]!,
      x3 = ends[z + 2]!,
      y3 = ends[z + 3]!;
    const t0x = ends[a + 4]!,
      t0y = ends[a + 5]!,
      t1x = ends[z + 6]!,
      t1y = ends[z + 7]!;
    const s = this.#samples;
    const last = 7 * this.#count;
    if (span > 0) {
      // A cubic that is hardly more than moved has its feet at the source's own parameters.
      for (let i = 0; i < last; i += 7) s[i + 6] = gauss8.nodes[i / 7]!;
      const third = span / 3;
      if (this.#place(x0, y0, t0x, t0y, ends[a + 8]! * third, t1x, t1y, ends[z + 9]! * third, x3, y3))
        return true;
    }
    // Else the guess is the arc's fraction.
    let length = 0;
    for (let i = 0; i < last; i += 7) {
      const part = s[i + 5]! * Math.sqrt(s[i + 2]! * s[i + 2]! + s[i + 3]! * s[i + 3]!);
      s[i + 6] = length + part / 2;
      length += part;
    }
    if (length === 0) return this.#place(x0, y0, t0x, t0y, 0, t1x, t1y, 0, x3, y3);
    for (let i = 6; i < last; i += 7) s[i] = s[i]! / length;
    const cx = x3 - x0,
      cy = y3 - y0;
    const chord2 = cx * cx + cy * cy;
    if (!(chord2 > 1e-12 * length * length)) return false;
    let area = 0,
      moment = 0;
    for (let i = 0; i < last; i += 7) {
      const px = s[i]! - x0,
        py = s[i + 1]! - y0;
      const x = px * cx + py * cy;
      const ydx = s[i + 5]! * (py * cx - px * cy) * (s[i + 2]! * cx + s[i + 3]! * cy);
      area += ydx;
      moment += ydx * x;
    }
    area /= chord2 * chord2;
    moment /= chord2 * chord2 * chord2;
    const chord = Math.sqrt(chord2);
    const c0 = (t0x * cx + t0y * cy) / chord,
      s0 = (t0y * cx - t0x * cy) / chord;
    const c1 = (t1x * cx + t1y * cy) / chord,
      s1 = -(t1y * cx - t1x * cy) / chord;
    const arms = this.#arms;
    const count = this.#moments.arms(c0, s0, c1, s1, area, moment, arms);
    for (let r = 0; r < count; r++) {
      // An arm longer than the arc belongs to a cubic that runs to and fro, perhaps on the very same line.
      if (Math.max(arms[2 * r]!, arms[2 * r + 1]!) * chord > length) continue;
      if (this.#place(x0, y0, t0x, t0y, arms[2 * r]! * chord, t1x, t1y, arms[2 * r + 1]! * chord, x3, y3))
        return true;
    }
    return false;
  }

  /** Sets #cubic and says whether every sample lies within the tolerance of it. */
  #place(
    x0: number,
    y0: number,
    t0x: number,
    t0y: number,
    d0: number,
    t1x: number,
    t1y: number,
    d1: number,
    x3: number,
    y3: number,
  ): boolean {
    const c = this.#cubic;
    c[0] = x0;
    c[1] = y0;
    c[2] = x0 + t0x * d0;
    c[3] = y0 + t0y * d0;
    c[4] = x3 - t1x * d1;
    c[5] = y3 - t1y * d1;
    c[6] = x3;
    c[7] = y3;
    const s = this.#samples;
    const foot = this.#foot;
    for (let i = 0; i < 7 * this.#count; i += 7) {
      const limit = this.#limit(s[i + 4]!);
      for (let passes = 0; passes <= 8; passes += 4) {
        footOf(c, s[i]!, s[i + 1]!, passes === 0 ? s[i + 6]! : foot[0]!, passes, foot);
        if (foot[1]! <= limit) break;
      }
      if (foot[1]! > limit) return false;
    }
    return true;
  }
}

/** Signed angle from the unit direction at `from` to the one at `to` (radians, −π…π). */
function turnOf(ends: Float64Array, from: number, to: number): number {
  const ax = ends[from]!,
    ay = ends[from + 1]!,
    bx = ends[to]!,
    by = ends[to + 1]!;
  return Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
}

function pushCubic(points: number[], c: Float64Array): void {
  points.push(c[2]!, c[3]!, c[4]!, c[5]!, c[6]!, c[7]!);
}

function pushLine(points: number[], x: number, y: number): void {
  const x0 = points[points.length - 2]!,
    y0 = points[points.length - 1]!;
  const dx = (x - x0) / 3,
    dy = (y - y0) / 3;
  points.push(x0 + dx, y0 + dy, x - dx, y - dy, x, y);
}
