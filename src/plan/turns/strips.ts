/** The strip of ink that two turns share: half a spot to both sides of a border, where that goes through ink. Lengths mm. */
import { covers, type Patch, pointAt } from "./chords.ts";

/** How far a strip goes on beyond ink, in half spots: the first with which its end is clear of the ink. */
const REACHES = [1, 1.5, 2, 3, 4] as const;
export const LONGEST = 4;
/** Clear by so much of half a spot: an end hardly beyond an edge would cross that at a corner. */
const CLEAR = 0.1;

type Point = readonly [number, number];

/**
 * Rectangles to `half` on both sides of a run of the border through a patch, x y of four corners each. At bends they
 * reach to their mitre; at the run's ends they go on until both corners are out of the patch, where its edge slants, but
 * by no more than LONGEST.
 */
export function stripsAlong(
  points: Float64Array,
  [from, to]: readonly [number, number],
  patch: Patch,
  half: number,
): number[][] {
  const places = [from];
  for (let k = Math.floor(from) + 1; k < to; k++) places.push(k);
  places.push(to);
  const at = places
    .map((place) => pointAt(points, place))
    .filter((p, i, all) => i === 0 || apart(p, all[i - 1]!));
  const strips: number[][] = [];
  for (let i = 0; i + 1 < at.length; i++) {
    const [p, q] = [at[i]!, at[i + 1]!];
    const before = i === 0 ? beyond(q, p, patch, half) : mitre(at[i - 1]!, p, q, half);
    const after = i + 2 === at.length ? beyond(p, q, patch, half) : mitre(p, q, at[i + 2]!, half);
    const [ex, ey] = direction(p, q);
    const [ax, ay, bx, by] = [p[0] - before * ex, p[1] - before * ey, q[0] + after * ex, q[1] + after * ey];
    const [nx, ny] = [-half * ey, half * ex];
    strips.push([ax - nx, ay - ny, bx - nx, by - ny, bx + nx, by + ny, ax + nx, ay + ny]);
  }
  return strips;
}

const apart = (p: Point, q: Point): boolean => p[0] !== q[0] || p[1] !== q[1];

function direction(p: Point, q: Point): Point {
  const length = Math.hypot(q[0] - p[0], q[1] - p[1]);
  return [(q[0] - p[0]) / length, (q[1] - p[1]) / length];
}

/** How far a strip that comes from p goes on beyond q. */
function beyond(p: Point, q: Point, patch: Patch, half: number): number {
  const [ex, ey] = direction(p, q);
  const clear = (reach: number): boolean =>
    [half, -half].every((n) => {
      const way = (reach - CLEAR) * half;
      return !covers(patch, q[0] + way * ex - n * ey, q[1] + way * ey + n * ex);
    });
  return half * (REACHES.find(clear) ?? 1);
}

/** half · tan(φ/2) where a polyline turns by φ, at most half. */
function mitre(p: Point, q: Point, r: Point, half: number): number {
  const [ax, ay] = direction(p, q);
  const [bx, by] = direction(q, r);
  const bend = Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by));
  return half * Math.min(1, Math.tan(Math.min(bend, 3) / 2));
}
