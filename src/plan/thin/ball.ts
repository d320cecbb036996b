/**
 * The disc that touches a boundary point p with its centre on the unit normal n, and another point q:
 *
 *   r(q) = |q − p|² / (2 n·(q − p)),   centre p + r n
 *
 * The largest empty disc at p has the least r over the rest of the boundary: its centre is on the medial axis
 * (Blum 1967; the ball of Ma, Bae and Choi, The Visual Computer 28, 2012, here with the least r over a whole
 * segment in closed form instead of over points). Seen from the centre p and q stand apart by 180° less twice
 * the angle between q − p and n: "opposite" is at least 160° apart, q within 10° of the normal.
 *
 * On a segment q₀ + s e (e a unit vector, d₀ = q₀ − p, α = n·d₀ > 0, β = n·e) the least r is where the disc
 * touches the segment's line:
 *
 *   β s² + 2α s + 2α(d₀·e) − β|d₀|² = 0,   r(s) falls towards that s from both sides.
 */

/** Half angle of the cone around the normal in which a second contact is opposite. */
export const OPPOSITE = (10 * Math.PI) / 180;
const SLOPE = Math.tan(OPPOSITE);

/** The least disc with an opposite contact at one boundary point. */
export class Ball {
  px = 0;
  py = 0;
  nx = 0;
  ny = 0;
  /** Least r over opposite points, at (qx, qy). */
  opposite = Infinity;
  qx = 0;
  qy = 0;
  /** The segment at hand from its end further along the normal: d₀, e, its length, α, β, d₀·e, |d₀|². */
  #dx = 0;
  #dy = 0;
  #ex = 0;
  #ey = 0;
  #last = 0;
  #a = 0;
  #b = 0;
  #along = 0;
  #dd = 0;
  #touch = 0;

  /** Starts at p with normal n; only discs up to radius `most` are looked for. */
  begin(px: number, py: number, nx: number, ny: number, most: number): void {
    this.px = px;
    this.py = py;
    this.nx = nx;
    this.ny = ny;
    this.opposite = most;
  }

  /** True where a box reaches into the disc that is best so far. */
  reaches(box: Float64Array, b: number): boolean {
    const cx = this.px + this.opposite * this.nx;
    const cy = this.py + this.opposite * this.ny;
    const dx = Math.max(box[b]! - cx, cx - box[b + 2]!, 0);
    const dy = Math.max(box[b + 1]! - cy, cy - box[b + 3]!, 0);
    return dx * dx + dy * dy < this.opposite * this.opposite;
  }

  /** Least r over a segment; Infinity where none of it lies on the normal's side. */
  least(x0: number, y0: number, x1: number, y1: number): number {
    const { nx, ny } = this;
    let dx = x0 - this.px;
    let dy = y0 - this.py;
    let ex = x1 - x0;
    let ey = y1 - y0;
    let a = nx * dx + ny * dy;
    let b = nx * ex + ny * ey;
    if (b > 0) {
      dx += ex;
      dy += ey;
      ex = -ex;
      ey = -ey;
      a += b;
      b = -b;
    }
    if (!(a > 0)) return Infinity;
    const length = Math.sqrt(ex * ex + ey * ey);
    if (!(length > 0)) return Infinity;
    ex /= length;
    ey /= length;
    b /= length;
    const along = dx * ex + dy * ey;
    const dd = dx * dx + dy * dy;
    const c = 2 * a * along - b * dd;
    this.#touch = -c / (a + Math.sqrt(Math.max(0, a * a - b * c)));
    // No point of the segment behind the tangent has a disc.
    this.#last = b < 0 ? Math.min(length, -a / b) : length;
    this.#dx = dx;
    this.#dy = dy;
    this.#ex = ex;
    this.#ey = ey;
    this.#a = a;
    this.#b = b;
    this.#along = along;
    this.#dd = dd;
    return radius(Math.min(Math.max(this.#touch, 0), this.#last), dd, along, a, b);
  }

  /** Takes a segment into account; true where it holds the best opposite point so far. */
  segment(x0: number, y0: number, x1: number, y1: number): boolean {
    if (!(this.least(x0, y0, x1, y1) < this.opposite)) return false;
    const [dx, dy, ex, ey, a, b] = [this.#dx, this.#dy, this.#ex, this.#ey, this.#a, this.#b];
    // The part within the cone: |t·d| ≤ tan(10°) n·d, both straight in s.
    const side = this.nx * dy - this.ny * dx;
    const sideStep = this.nx * ey - this.ny * ex;
    let lo = 0;
    let hi = this.#last;
    for (let k = -1; k <= 1; k += 2) {
      const at0 = SLOPE * a + k * side;
      const step = SLOPE * b + k * sideStep;
      if (step > 0) lo = Math.max(lo, -at0 / step);
      else if (step < 0) hi = Math.min(hi, -at0 / step);
      else if (at0 < 0) return false;
    }
    if (!(lo <= hi)) return false;
    const s = Math.min(Math.max(this.#touch, lo), hi);
    const r = radius(s, this.#dd, this.#along, a, b);
    if (!(r < this.opposite)) return false;
    this.opposite = r;
    this.qx = this.px + dx + s * ex;
    this.qy = this.py + dy + s * ey;
    return true;
  }
}

function radius(s: number, dd: number, along: number, a: number, b: number): number {
  const down = a + s * b;
  return down > 0 ? (dd + 2 * s * along + s * s) / (2 * down) : Infinity;
}

/** The square of the distance from (x, y) to a segment; the nearest point goes into out[0..1]. */
export function nearestOnSegment(
  x: number,
  y: number,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  out: Float64Array,
): number {
  const ex = x1 - x0;
  const ey = y1 - y0;
  const ee = ex * ex + ey * ey;
  const s = ee > 0 ? Math.min(1, Math.max(0, ((x - x0) * ex + (y - y0) * ey) / ee)) : 0;
  out[0] = x0 + s * ex;
  out[1] = y0 + s * ey;
  return (x - out[0]!) ** 2 + (y - out[1]!) ** 2;
}
