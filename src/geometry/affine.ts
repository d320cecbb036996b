/**
 * Affine maps of the plane, x' = a x + c y + e, y' = b x + d y + f, in SVG's order (a, b, c, d, e, f).
 */
export interface Affine {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  readonly e: number;
  readonly f: number;
}

export const identity: Affine = { a: 1, b: 0, c: 0, d: 1, e: 0, f: 0 };
export const translate = (e: number, f: number): Affine => ({ a: 1, b: 0, c: 0, d: 1, e, f });
export const scale = (a: number, d = a): Affine => ({ a, b: 0, c: 0, d, e: 0, f: 0 });

/** Turn by an angle in radians, clockwise on a page whose y grows down. */
export function rotate(angle: number): Affine {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return { a: c, b: s, c: -s, d: c, e: 0, f: 0 };
}

/** `multiply(m, n)` applies n first and then m. */
export const multiply = (m: Affine, n: Affine): Affine => ({
  a: m.a * n.a + m.c * n.b,
  b: m.b * n.a + m.d * n.b,
  c: m.a * n.c + m.c * n.d,
  d: m.b * n.c + m.d * n.d,
  e: m.a * n.e + m.c * n.f + m.e,
  f: m.b * n.e + m.d * n.f + m.f,
});

/** Maps packed coordinates x0 y0 x1 y1 … into a new array; equal points stay equal. */
export function applyTo(m: Affine, points: Float64Array): Float64Array {
  const out = new Float64Array(points.length);
  for (let i = 0; i < points.length; i += 2) {
    const x = points[i] as number;
    const y = points[i + 1] as number;
    out[i] = m.a * x + m.c * y + m.e;
    out[i + 1] = m.b * x + m.d * y + m.f;
  }
  return out;
}

/** The inverse map; all NaN or infinite where there is none (determinant 0). */
export function invert(m: Affine): Affine {
  const det = m.a * m.d - m.b * m.c;
  const [a, b, c, d] = [m.d / det, -m.b / det, -m.c / det, m.a / det];
  return { a, b, c, d, e: -(a * m.e + c * m.f), f: -(b * m.e + d * m.f) };
}
