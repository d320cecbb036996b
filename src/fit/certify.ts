/**
 * How far a fitted contour lies from the curve it stands for, in both directions, between samples too. Shares
 * no sampling with the fitter.
 *
 * Each cubic is compared with its stretch of the source at equally spaced parameters t_i. With q the source
 * and C(s_i) the foot of q(t_i), the signed offset g = (q − C(s))·n has the exact slope g′ = q′·n, because the
 * foot moves along the curve and n stays at right angles to it. On each step the cubic Hermite interpolant of
 * g is bounded by its Bézier arms, and what the interpolant misses is measured at the step's middle and added
 * twice. Feet that move forward from s = 0 to s = 1 pair every point of one curve with a point of the other,
 * so the bound holds from both sides. Where they do not (a cusp, a hairpin) the step is halved; a step too
 * short to halve counts with its own length.
 */
import type { MappedCurve } from "../geometry/curve.ts";
import type { Contour, Space } from "../geometry/path.ts";
import { footOf } from "./foot.ts";

const STEPS = 4;
const DEEPEST = 14;
/** Steps that are in order are cut this often, at most, to tighten a loose bound. */
const TIGHTEN = 4;

/** A point of the source, its foot on the cubic, and the offset with its slope. */
class Station {
  t = 0;
  x = 0;
  y = 0;
  scale = 1;
  s = 0;
  offset = 0;
  slope = 0;
  distance = 0;
}

export class Certifier {
  readonly #jet = new Float64Array(5);
  readonly #foot = new Float64Array(2);
  readonly #cubic = new Float64Array(8);
  readonly #offsets = new Float64Array(20);
  readonly #row = Array.from({ length: 2 * STEPS + 1 }, () => new Station());
  /** The stretch of source being compared, as piece + t. */
  #from = 0;
  #to = 0;

  /**
   * Largest offset between `contour` and `curve`, in units of the source (offset / scale). Bounds below
   * `enough` are not tightened further.
   */
  certify<S extends Space>(
    curve: MappedCurve<S>,
    contour: Contour<S>,
    breaks: Float64Array,
    enough = 0,
  ): number {
    let worst = 0;
    for (let j = 0; j < contour.straight.length; j++) {
      for (let i = 0; i < 8; i++) this.#cubic[i] = contour.points[6 * j + i]!;
      this.#from = breaks[j]!;
      this.#to = breaks[j + 1]!;
      const quick = this.#inStep(curve);
      if (quick <= Math.max(worst, enough)) {
        worst = Math.max(worst, quick);
        continue;
      }
      for (let k = Math.floor(this.#from); k < this.#to; k++) {
        worst = Math.max(worst, this.#piece(curve, k, Math.max(worst, enough)));
      }
    }
    return worst;
  }

  /**
   * The bound that comes from pairing equal parameters: the vector offset's Hermite interpolant on two halves.
   * No feet are needed, and on a cubic that is hardly more than moved it is tight. Infinity across a joint.
   */
  #inStep<S extends Space>(curve: MappedCurve<S>): number {
    const k = Math.floor(this.#from);
    if (this.#to > k + 1) return Infinity;
    const e = this.#offsets;
    let scale = Infinity;
    for (let i = 0; i <= 4; i++) scale = Math.min(scale, this.#offsetAt(curve, k, i / 4, e, 4 * i));
    let bound = 0;
    for (let i = 0; i <= 8; i += 8) {
      let missed = 0;
      let ends = 0;
      let arms = 0;
      for (let axis = i; axis < i + 2; axis++) {
        // A half is one half of the parameter long: arms at a sixth of the slope.
        const arm0 = e[axis]! + e[axis + 2]! / 6;
        const arm1 = e[axis + 8]! - e[axis + 10]! / 6;
        missed += (e[axis + 4]! - (e[axis]! + e[axis + 8]! + 3 * (arm0 + arm1)) / 8) ** 2;
        ends += Math.max(Math.abs(e[axis]!), Math.abs(e[axis + 8]!)) ** 2;
        arms += Math.max(Math.abs(arm0), Math.abs(arm1)) ** 2;
      }
      bound = Math.max(bound, Math.sqrt(Math.max(ends, arms)) + 2 * Math.sqrt(missed));
    }
    return bound / scale;
  }

  /** Writes the vector from the cubic to the source at equal parameters, and its slope; returns the scale. */
  #offsetAt<S extends Space>(
    curve: MappedCurve<S>,
    k: number,
    s: number,
    e: Float64Array,
    at: number,
  ): number {
    const jet = this.#jet;
    const c = this.#cubic;
    const span = this.#to - this.#from;
    curve.at(k, this.#from - k + span * s, jet);
    const r = 1 - s;
    for (let axis = 0; axis < 2; axis++) {
      const p0 = c[axis]!;
      const p1 = c[2 + axis]!;
      const p2 = c[4 + axis]!;
      const p3 = c[6 + axis]!;
      e[at + axis] = jet[axis]! - (r * r * (r * p0 + 3 * s * p1) + s * s * (3 * r * p2 + s * p3));
      e[at + axis + 2] =
        jet[2 + axis]! * span - 3 * (r * r * (p1 - p0) + 2 * r * s * (p2 - p1) + s * s * (p3 - p2));
    }
    return jet[4]!;
  }

  #piece<S extends Space>(curve: MappedCurve<S>, k: number, enough: number): number {
    const t0 = Math.max(0, this.#from - k);
    const t1 = Math.min(1, this.#to - k);
    const row = this.#row;
    for (let i = 0; i <= 2 * STEPS; i++) this.#place(curve, k, t0 + ((t1 - t0) * i) / (2 * STEPS), row[i]!);
    let worst = 0;
    for (let i = 0; i < 2 * STEPS; i += 2) {
      worst = Math.max(
        worst,
        this.#step(curve, k, row[i]!, row[i + 1]!, row[i + 2]!, 0, Math.max(worst, enough)),
      );
    }
    return worst;
  }

  /** Bound on a step from a to b with m at its middle. */
  #step<S extends Space>(
    curve: MappedCurve<S>,
    k: number,
    a: Station,
    m: Station,
    b: Station,
    depth: number,
    enough: number,
  ): number {
    const h = b.t - a.t;
    const scale = Math.min(a.scale, b.scale, m.scale);
    const ends = Math.max(a.distance, b.distance, m.distance);
    if (a.s <= m.s && m.s <= b.s) {
      const arm0 = a.offset + (h * a.slope) / 3;
      const arm1 = b.offset - (h * b.slope) / 3;
      const missed = Math.abs(m.offset - (a.offset + b.offset + 3 * (arm0 + arm1)) / 8);
      const bound = Math.max(ends, Math.abs(arm0), Math.abs(arm1)) + 2 * missed;
      if (depth >= TIGHTEN || bound <= 1.05 * ends || bound <= enough * scale) return bound / scale;
    } else if (depth >= DEEPEST) {
      return (ends + Math.hypot(b.x - a.x, b.y - a.y) + this.#span(Math.abs(b.s - a.s))) / scale;
    }
    const left = new Station();
    const right = new Station();
    this.#place(curve, k, (a.t + m.t) / 2, left);
    this.#place(curve, k, (m.t + b.t) / 2, right);
    const first = this.#step(curve, k, a, left, m, depth + 1, enough);
    return Math.max(first, this.#step(curve, k, m, right, b, depth + 1, Math.max(first, enough)));
  }

  /** An upper bound of the arc between two parameters of the cubic. */
  #span(ds: number): number {
    const c = this.#cubic;
    let longest = 0;
    for (let i = 0; i < 6; i += 2)
      longest = Math.max(longest, Math.hypot(c[i + 2]! - c[i]!, c[i + 3]! - c[i + 1]!));
    return 3 * longest * ds;
  }

  #place<S extends Space>(curve: MappedCurve<S>, k: number, t: number, out: Station): void {
    const jet = this.#jet;
    const c = this.#cubic;
    curve.at(k, t, jet);
    const x = jet[0]!,
      y = jet[1]!;
    const here = k + t;
    let s: number;
    if (here <= this.#from) s = 0;
    else if (here >= this.#to) s = 1;
    else {
      footOf(c, x, y, (here - this.#from) / (this.#to - this.#from), 12, this.#foot);
      s = this.#foot[0]!;
    }
    const r = 1 - s;
    const ex = x - (r * r * (r * c[0]! + 3 * s * c[2]!) + s * s * (3 * r * c[4]! + s * c[6]!));
    const ey = y - (r * r * (r * c[1]! + 3 * s * c[3]!) + s * s * (3 * r * c[5]! + s * c[7]!));
    const tx = r * r * (c[2]! - c[0]!) + 2 * r * s * (c[4]! - c[2]!) + s * s * (c[6]! - c[4]!);
    const ty = r * r * (c[3]! - c[1]!) + 2 * r * s * (c[5]! - c[3]!) + s * s * (c[7]! - c[5]!);
    const length = Math.sqrt(tx * tx + ty * ty);
    // A zero arm has no direction at its end, and the source no speed there: the slope is 0 either way.
    const nx = length > 0 ? -ty / length : 0,
      ny = length > 0 ? tx / length : 0;
    out.t = t;
    out.x = x;
    out.y = y;
    out.scale = jet[4]!;
    out.s = s;
    out.distance = Math.sqrt(ex * ex + ey * ey);
    out.offset = ex * nx + ey * ny;
    out.slope = jet[2]! * nx + jet[3]! * ny;
  }
}
