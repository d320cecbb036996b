/**
 * The foot of a point on a cubic: the parameter s near a guess where (C(s) − q)·C′(s) = 0, by Newton steps
 * that fall back to Gauss–Newton where the curve bends away, clamped to [0, 1].
 */

/** Writes s and the distance from (x, y) to C(s) into out[0..1]; the distance is never below the true one. */
export function footOf(
  c: Float64Array,
  x: number,
  y: number,
  guess: number,
  passes: number,
  out: Float64Array,
): void {
  const x0 = c[0]!,
    y0 = c[1]!,
    x1 = c[2]!,
    y1 = c[3]!,
    x2 = c[4]!,
    y2 = c[5]!,
    x3 = c[6]!,
    y3 = c[7]!;
  const ax = x3 - 3 * x2 + 3 * x1 - x0,
    ay = y3 - 3 * y2 + 3 * y1 - y0;
  const bx = 3 * (x2 - 2 * x1 + x0),
    by = 3 * (y2 - 2 * y1 + y0);
  const cx = 3 * (x1 - x0),
    cy = 3 * (y1 - y0);
  let s = guess;
  let ex = ((ax * s + bx) * s + cx) * s + x0 - x;
  let ey = ((ay * s + by) * s + cy) * s + y0 - y;
  for (let pass = 0; pass < passes; pass++) {
    const dx = (3 * ax * s + 2 * bx) * s + cx;
    const dy = (3 * ay * s + 2 * by) * s + cy;
    const speed2 = dx * dx + dy * dy;
    const bend = ex * (6 * ax * s + 2 * bx) + ey * (6 * ay * s + 2 * by);
    const down = speed2 + bend > 0.5 * speed2 ? speed2 + bend : speed2;
    if (!(down > 0)) break;
    let next = s - (ex * dx + ey * dy) / down;
    if (next < 0) next = 0;
    else if (next > 1) next = 1;
    const step = next - s;
    s = next;
    ex = ((ax * s + bx) * s + cx) * s + x0 - x;
    ey = ((ay * s + by) * s + cy) * s + y0 - y;
    if (step < 1e-9 && step > -1e-9) break;
  }
  out[0] = s;
  out[1] = Math.sqrt(ex * ex + ey * ey);
}
