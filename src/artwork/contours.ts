/** Finishing touches on drawn contours: closing them for a fill, dropping what encloses nothing. */
import type { Contour, Path } from "../geometry/path.ts";

type PageContour = Contour<"page">;

/** A closing line shorter than this (mm) only mends the rounding of relative coordinates. */
const roundingGap = 1e-9;

/** Numbers larger than this (mm) are not drawn: products of some of them would be infinite. */
const farthest = 1e60;

/** True when no number of the path is NaN or too large. */
export function isDrawable(path: Path<"page">): boolean {
  for (const { points } of path.contours) {
    for (let i = 0; i < points.length; i++) if (!(Math.abs(points[i]!) <= farthest)) return false;
  }
  return true;
}

/** Ends a closed contour's last but one segment on the start where only rounding kept them apart. */
function mendClosing(contour: PageContour): PageContour {
  const { closed, points: p, straight } = contour;
  const n = straight.length;
  if (!closed || n < 2 || straight[n - 1] === 0) return contour;
  const last = 6 * (n - 1);
  if (Math.hypot(p[last] - p[0], p[last + 1] - p[1]) > roundingGap) return contour;
  const points = p.slice(0, last + 2);
  points[last] = p[0];
  points[last + 1] = p[1];
  return { closed, points, straight: straight.slice(0, n - 1) };
}

/** The path with closing lines that are mere rounding taken out. */
export const mendPath = (path: Path<"page">): Path<"page"> => ({ contours: path.contours.map(mendClosing) });

function close(contour: PageContour): PageContour {
  if (contour.closed) return contour;
  const { points: p, straight } = contour;
  const n = p.length;
  const [x0, y0] = p;
  const x = p[n - 2];
  const y = p[n - 1];
  if (x === x0 && y === y0) return { closed: true, points: p, straight };
  const points = new Float64Array(n + 6);
  points.set(p);
  const dx = (x0 - x) / 3;
  const dy = (y0 - y) / 3;
  points.set([x + dx, y + dy, x0 - dx, y0 - dy, x0, y0], n);
  const flags = new Uint8Array(straight.length + 1);
  flags.set(straight);
  flags[straight.length] = 1;
  return { closed: true, points, straight: flags };
}

/** True when every point lies on one line through the first, so that the contour encloses nothing. */
function isFlat(contour: PageContour): boolean {
  const p = contour.points;
  let dx = 0;
  let dy = 0;
  for (let i = 2; i < p.length; i += 2) {
    const x = p[i] - p[0];
    const y = p[i + 1] - p[1];
    if (dx === 0 && dy === 0) {
      dx = x;
      dy = y;
    } else if (Math.abs(x * dy - y * dx) > 1e-12 * (Math.abs(x * dy) + Math.abs(y * dx))) return false;
  }
  return true;
}

/** The contours of a fill: every one closed, with a line where it was open; flat ones left out. */
export function fillPath(path: Path<"page">): Path<"page"> {
  if (path.contours.every((c) => c.closed && !isFlat(c))) return path;
  return { contours: path.contours.filter((c) => !isFlat(c)).map(close) };
}
