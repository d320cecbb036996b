/**
 * A closed polygon with fewer points: from each point that is kept the longest chord that no point between is further from
 * than the tolerance, or nearly the longest (as H. Imai & M. Iri, Computer Vision, Graphics, and Image Processing 36, 1986,
 * 31–41, but greedily). Corners are kept.
 */
import type { Path64 } from "clipper2-ts";

/** A turn of more than 30° between edges longer than the tolerance is a corner. */
const CORNER = Math.cos(Math.PI / 6);

/** The polygon itself where less than a polygon would be left, or it would turn the other way. */
export function simplified(polygon: Path64, tolerance: number): Path64 {
  const n = polygon.length;
  const corner = polygon.map((p, k) =>
    isCorner(polygon[(k + n - 1) % n]!, p, polygon[(k + 1) % n]!, tolerance),
  );
  const first = Math.max(0, corner.indexOf(true));
  const ring = Array.from({ length: n + 1 }, (_, k) => polygon[(first + k) % n]!);
  const answer: Path64 = [];
  for (let from = 0, end = 0; from < n; ) {
    answer.push(ring[from]!);
    if (end === from) for (end++; end < n && !corner[(first + end) % n]; ) end++;
    // As far as doubled steps go, then between the last that did and the first that did not.
    let step = 1;
    while (from + 2 * step <= end && isWithin(ring, from, from + 2 * step, tolerance)) step *= 2;
    let [good, bad] = [from + step, Math.min(from + 2 * step, end + 1)];
    while (bad - good > 1) {
      const middle = (good + bad) >> 1;
      if (isWithin(ring, from, middle, tolerance)) good = middle;
      else bad = middle;
    }
    from = good;
  }
  return answer.length >= 3 && doubleArea(answer) * doubleArea(polygon) > 0 ? answer : polygon;
}

type Point = Path64[number];

function isCorner(before: Point, p: Point, next: Point, tolerance: number): boolean {
  const [dx, dy, ex, ey] = [p.x - before.x, p.y - before.y, next.x - p.x, next.y - p.y];
  const [here, there] = [Math.hypot(dx, dy), Math.hypot(ex, ey)];
  return Math.min(here, there) > tolerance && dx * ex + dy * ey < CORNER * here * there;
}

/** Whether all points between two are within the tolerance of the chord between these. */
function isWithin(ring: Path64, from: number, to: number, tolerance: number): boolean {
  const [p, q] = [ring[from]!, ring[to]!];
  const [dx, dy] = [q.x - p.x, q.y - p.y];
  const square = dx * dx + dy * dy;
  for (let k = from + 1; k < to; k++) {
    const [x, y] = [ring[k]!.x - p.x, ring[k]!.y - p.y];
    const t = square > 0 ? Math.min(1, Math.max(0, (x * dx + y * dy) / square)) : 0;
    if ((x - t * dx) ** 2 + (y - t * dy) ** 2 > tolerance * tolerance) return false;
  }
  return true;
}

/** Positive clockwise on the page (y down). */
export function doubleArea(polygon: Path64): number {
  const { x: x0, y: y0 } = polygon[polygon.length - 1]!;
  let sum = 0;
  let [lastX, lastY] = [0, 0];
  for (const { x, y } of polygon) {
    sum += lastX * (y - y0) - (x - x0) * lastY;
    [lastX, lastY] = [x - x0, y - y0];
  }
  return sum;
}
