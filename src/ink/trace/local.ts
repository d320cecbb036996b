/**
 * Local polynomials: x(s) and y(s) by weighted least squares over a few points of an outline, s the length along
 * it (W. S. Cleveland, "Robust locally weighted regression", 1979; A. Savitzky and M. J. E. Golay, 1964).
 */

/** A polynomial in u = (s − s0) / unit for x and for y, lowest power first. */
export class LocalFit {
  readonly x = new Float64Array(4);
  readonly y = new Float64Array(4);
  #unit = 1;
  #degree = 0;
  readonly #normal = new Float64Array(16);
  readonly #moments = new Float64Array(7);

  /**
   * Fits the points [from, to) of s, x, y about s0; false where there are too few. `reach` is the largest
   * |s − s0|; weights fall off toward it where `taper` is set.
   */
  fit(
    s: Float64Array,
    px: Float64Array,
    py: Float64Array,
    from: number,
    to: number,
    s0: number,
    reach: number,
    degree: number,
    taper: boolean,
  ): boolean {
    const size = degree + 1;
    if (to - from < size || !(reach > 0)) return false;
    const { x, y } = this;
    const m = this.#moments.fill(0);
    x.fill(0);
    y.fill(0);
    this.#unit = reach;
    this.#degree = degree;
    for (let i = from; i < to; i++) {
      const u = (s[i]! - s0) / reach;
      const r = 1 - 0.9 * u * u;
      let w = taper ? r * r : 1;
      for (let k = 0; k <= 2 * degree; k++, w *= u) {
        m[k]! += w;
        if (k < size) {
          x[k]! += w * px[i]!;
          y[k]! += w * py[i]!;
        }
      }
    }
    return this.#solve(size);
  }

  /** Writes x, y and the derivatives along s at s0 + ds into out[0..3]. */
  at(ds: number, out: Float64Array): void {
    const u = ds / this.#unit;
    let x = 0,
      y = 0,
      dx = 0,
      dy = 0;
    for (let k = this.#degree; k >= 0; k--) {
      dx = dx * u + x;
      dy = dy * u + y;
      x = x * u + this.x[k]!;
      y = y * u + this.y[k]!;
    }
    out[0] = x;
    out[1] = y;
    out[2] = dx / this.#unit;
    out[3] = dy / this.#unit;
  }

  /** Largest distance of the points [from, to) from the polynomial at their own s. */
  worst(
    s: Float64Array,
    px: Float64Array,
    py: Float64Array,
    from: number,
    to: number,
    s0: number,
    out: Float64Array,
  ): number {
    let worst = 0;
    for (let i = from; i < to; i++) {
      this.at(s[i]! - s0, out);
      // Across the curve only: points may lie anywhere along it.
      const length = Math.hypot(out[2]!, out[3]!);
      const ex = px[i]! - out[0]!;
      const ey = py[i]! - out[1]!;
      const off = length > 0 ? Math.abs(ex * out[3]! - ey * out[2]!) / length : Math.hypot(ex, ey);
      if (off > worst) worst = off;
    }
    return worst;
  }

  /** Gauss elimination of the normal equations, in place; false where they are singular. */
  #solve(size: number): boolean {
    const a = this.#normal;
    for (let r = 0; r < size; r++) for (let c = 0; c < size; c++) a[4 * r + c] = this.#moments[r + c]!;
    const { x, y } = this;
    for (let p = 0; p < size; p++) {
      const pivot = a[5 * p]!;
      if (!(pivot > 1e-9 * this.#moments[0]!)) return false;
      for (let r = p + 1; r < size; r++) {
        const f = a[4 * r + p]! / pivot;
        for (let c = p; c < size; c++) a[4 * r + c]! -= f * a[4 * p + c]!;
        x[r]! -= f * x[p]!;
        y[r]! -= f * y[p]!;
      }
    }
    for (let p = size - 1; p >= 0; p--) {
      for (let c = p + 1; c < size; c++) {
        x[p]! -= a[4 * p + c]! * x[c]!;
        y[p]! -= a[4 * p + c]! * y[c]!;
      }
      x[p]! /= a[5 * p]!;
      y[p]! /= a[5 * p]!;
    }
    return true;
  }
}

/** The line nearest to the points [from, to) in the least-squares sense, through (x, y) along (dx, dy). */
export interface Line {
  readonly x: number;
  readonly y: number;
  readonly dx: number;
  readonly dy: number;
  /** Largest distance of a point from it. */
  readonly worst: number;
  /** Height of the parabola that the points make over it: 0 for a line, |bow| ≈ half the sagitta's range. */
  readonly bow: number;
}

/** Total least squares by the principal axis; null where the points give no direction. */
export function nearestLine(px: Float64Array, py: Float64Array, from: number, to: number): Line | null {
  const n = to - from;
  if (n < 2) return null;
  let x = 0,
    y = 0;
  for (let i = from; i < to; i++) {
    x += px[i]!;
    y += py[i]!;
  }
  x /= n;
  y /= n;
  let xx = 0,
    xy = 0,
    yy = 0;
  for (let i = from; i < to; i++) {
    const ex = px[i]! - x;
    const ey = py[i]! - y;
    xx += ex * ex;
    xy += ex * ey;
    yy += ey * ey;
  }
  const angle = Math.atan2(2 * xy, xx - yy) / 2;
  let dx = Math.cos(angle);
  let dy = Math.sin(angle);
  const run = (px[to - 1]! - px[from]!) * dx + (py[to - 1]! - py[from]!) * dy;
  if (!(Math.abs(run) > 1e-9)) return null;
  if (run < 0) {
    dx = -dx;
    dy = -dy;
  }
  // Parabola: offsets against t² with its mean and its share along t taken out (Gram–Schmidt).
  let worst = 0;
  let t2 = 0,
    t3 = 0;
  const half = Math.abs(run) / 2;
  for (let i = from; i < to; i++) {
    const t = ((px[i]! - x) * dx + (py[i]! - y) * dy) / half;
    t2 += t * t;
    t3 += t * t * t;
  }
  const mean = t2 / n;
  const tilt = t2 > 0 ? t3 / t2 : 0;
  let over = 0,
    under = 0;
  for (let i = from; i < to; i++) {
    const t = ((px[i]! - x) * dx + (py[i]! - y) * dy) / half;
    const off = (py[i]! - y) * dx - (px[i]! - x) * dy;
    const q = t * t - mean - tilt * t;
    over += off * q;
    under += q * q;
    if (Math.abs(off) > worst) worst = Math.abs(off);
  }
  return { x, y, dx, dy, worst, bow: n > 2 && under > 0 ? Math.abs(over / under) : 0 };
}

/** Where two lines meet; null where they run side by side (less than about 3° apart). */
export function meet(a: Line, b: Line): [x: number, y: number] | null {
  const cross = a.dx * b.dy - a.dy * b.dx;
  if (Math.abs(cross) < 0.05) return null;
  const t = ((b.x - a.x) * b.dy - (b.y - a.y) * b.dx) / cross;
  return [a.x + t * a.dx, a.y + t * a.dy];
}
