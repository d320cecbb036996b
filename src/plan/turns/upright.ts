/** Straight meridians: the nearest that touches no ink, or the one with the least. Lengths mm. */
import { type Box, pathBounds } from "../../geometry/path.ts";
import { meets, type Patch } from "./chords.ts";
import type { Room } from "./pull.ts";
import type { Field } from "./raster.ts";

/**
 * The meridian nearest to `nominal` that keeps `clear` away from all ink, else the middle of the nearest gap narrower
 * than that; null where there is no gap. Ink counts by the boxes of its contours.
 */
export function freeMeridian(
  patches: readonly Patch[],
  room: Room,
  nominal: number,
  clear: number,
): number | null {
  const gaps = gapsBetween(shadows(patches, room));
  const roomy = gaps.flatMap(([from, to]) => {
    const [lo, hi] = [Math.max(room.left, from + clear), Math.min(room.right, to - clear)];
    return lo <= hi ? [Math.min(hi, Math.max(lo, nominal))] : [];
  });
  if (roomy.length > 0) return nearest(roomy, nominal);
  const tight = gaps.flatMap(([from, to]) => {
    const middle = from === -Infinity ? room.left : to === Infinity ? room.right : (from + to) / 2;
    const x = Math.min(room.right, Math.max(room.left, middle));
    return x > from && x < to ? [x] : [];
  });
  return tight.length > 0 ? nearest(tight, nominal) : null;
}

const nearest = (places: readonly number[], nominal: number): number =>
  places.reduce((best, x) => (Math.abs(x - nominal) < Math.abs(best - nominal) ? x : best));

/** x from and to of every contour within the room. */
function shadows(patches: readonly Patch[], room: Room): [number, number][] {
  const box: Box = { minX: room.left, maxX: room.right, minY: room.top, maxY: room.bottom };
  const found: [number, number][] = [];
  for (const { path } of patches) {
    for (const contour of path.contours) {
      const own = pathBounds({ contours: [contour] });
      if (own && meets(own, box)) found.push([own.minX, own.maxX]);
    }
  }
  return found.sort((a, b) => a[0] - b[0]);
}

function gapsBetween(sorted: readonly [number, number][]): [number, number][] {
  const gaps: [number, number][] = [];
  let reached = -Infinity;
  for (const [from, to] of sorted) {
    if (from > reached) gaps.push([reached, from]);
    reached = Math.max(reached, to);
  }
  gaps.push([reached, Infinity]);
  return gaps;
}

/** Columns with so much more than the least, as a share, are as good: the raster knows no better. */
const AS_GOOD = 0.005;
/** How often the step to the sides is halved. */
const HALVINGS = 10;
/** Ink (mm) that is none: rounding. */
const HAIR = 1e-9;

/** The meridian with the least ink by the raster's columns, then by `inkAt` (mm at x); the nominal one if none is better. */
export function narrowestMeridian(
  { left, dx, columns, dy, ink }: Field,
  room: Room,
  nominal: number,
  inkAt: (x: number) => number,
): number {
  const sums = new Float64Array(columns);
  for (let n = 0; n < ink.length; n++) sums[n % columns]! += ink[n]! * dy;
  const least = sums.reduce((a, b) => Math.min(a, b));
  const good = Array.from(sums.keys()).filter((i) => sums[i]! <= least * (1 + AS_GOOD) + HAIR);
  let x = nearest(
    good.map((i) => Math.min(room.right, left + i * dx)),
    nominal,
  );
  let best = inkAt(x);
  for (let step = dx, halved = 0; halved <= HALVINGS; ) {
    const [next, now] = [x - step, x + step]
      .map((to) => Math.min(room.right, Math.max(room.left, to)))
      .map((to) => [to, inkAt(to)] as const)
      .reduce((a, b) => (b[1] < a[1] ? b : a));
    if (now < best - HAIR) [x, best] = [next, now];
    else {
      step /= 2;
      halved++;
    }
  }
  return inkAt(nominal) <= best * (1 + AS_GOOD / 5) + HAIR ? nominal : x;
}
