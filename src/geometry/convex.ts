import { type Contour, type Path, reversed, type Space, signedArea } from "./path.ts";

/** A closed contour that nothing can be wrong with: it turns one way only, and once around. */
function isConvex({ points: p, closed }: Contour<Space>): boolean {
  const n = p.length;
  if (!closed || p[0] !== p[n - 2] || p[1] !== p[n - 1]) return false;
  let x = 0;
  let y = 0;
  let side = 0;
  let rises = 0;
  let rising = 0;
  // Twice past the start, so that the corner there is seen and every rise is counted.
  for (let i = 2; i < n + 2; i += 2) {
    const j = i < n ? i : i - n + 2;
    const dx = p[j]! - p[j - 2]!;
    const dy = p[j + 1]! - p[j - 1]!;
    if (dx === 0 && dy === 0) continue;
    const cross = x * dy - y * dx;
    if (cross * side < -1e-12 || (cross === 0 && x * dx + y * dy < 0)) return false;
    if (side === 0 && Math.abs(cross) > 1e-12) side = Math.sign(cross);
    // A convex outline goes up once and down once: each change of dy's sign counts.
    if (dy !== 0 && Math.sign(dy) !== rising) {
      rising = Math.sign(dy);
      rises++;
    }
    x = dx;
    y = dy;
  }
  return rises <= 3;
}

/** The one convex outline that a path is, turned so that it encloses a positive area; null for any other path. */
export function convexOutline<S extends Space>({ contours }: Path<S>): Contour<S> | null {
  const [contour, more] = contours;
  if (!contour || more || !isConvex(contour)) return null;
  return signedArea(contour) >= 0 ? contour : reversed(contour);
}
