/**
 * Filled ink parted along a border: contours that the border does not go through stay as they are, each outline that it
 * goes through is divided with its holes, curves kept. Both parts of it reach half a spot over the border, only where the
 * border goes through ink, so that no sliver of what it merely passes comes with them.
 */
import {
  areaOf,
  type Box,
  type Contour,
  type Path,
  PathBuilder,
  pathBounds,
  reversed,
  segmentCount,
  signedArea,
} from "../../geometry/path.ts";
import type { Effort } from "../../region/effort.ts";
import { Plane } from "../../region/plane.ts";
import { type Border, clipped } from "./border.ts";
import { crossings, grown, isIn, meets, type Patch, patchOf, runsInside } from "./chords.ts";
import { LONGEST, stripsAlong } from "./strips.ts";

type Flat = Contour<"flat">;

export interface Parted {
  readonly left: Path<"flat">;
  readonly right: Path<"flat">;
  /** Ink in both parts, mm². */
  readonly overlapMm2: number;
  readonly asPolygons: boolean;
}

/** Pieces smaller than this (mm²) are no pieces: the outline is not divided for them. */
const CRUMB = 1e-6;
/** A crossing so close to a piece's end (as a share of it) may be the next piece's. */
const SHARED = 1e-9;

/** `path`: outlines that do not meet, holes turned against them. `half`: half a spot, mm. Throws JobError. */
export function partFill(path: Path<"flat">, border: Border, half: number, effort: Effort): Parted {
  const contours = positive(path.contours);
  const boxes = contours.map((c) => pathBounds({ contours: [c] })!);
  const patch = patchOf({ contours: contours.filter((_, i) => meets(boxes[i]!, border.box)) });
  const near = contours.flatMap((_, i) => (meets(boxes[i]!, border.box) ? [i] : []));
  const met = new Set<number>();
  if (patch) {
    for (const i of metBy(patch, border.points)) met.add(near[i]!);
  }
  const parts = { left: [] as Flat[], right: [] as Flat[] };
  const taken = new Set<number>();
  let [overlapMm2, asPolygons] = [0, false];
  for (const [outline, holes] of islands(contours, boxes, met)) {
    const island = [outline, ...holes].map((i) => contours[i]!);
    for (const i of [outline, ...holes]) taken.add(i);
    const found = divide({ contours: island }, boxes[outline]!, border, half, effort);
    for (const c of found.left.contours) parts.left.push(c);
    for (const c of found.right.contours) parts.right.push(c);
    overlapMm2 += found.overlapMm2;
    asPolygons ||= found.asPolygons;
  }
  contours.forEach((c, i) => {
    if (!taken.has(i)) parts[sideOf(c, boxes[i]!, border)].push(c);
  });
  return { left: { contours: parts.left }, right: { contours: parts.right }, overlapMm2, asPolygons };
}

/** Outlines turned to be positive. */
function positive(contours: readonly Flat[]): readonly Flat[] {
  return contours.reduce((sum, c) => sum + signedArea(c), 0) < 0 ? contours.map(reversed) : contours;
}

function metBy(patch: Patch, points: Float64Array): Set<number> {
  const found = new Set<number>();
  for (let i = 0; i + 3 < points.length; i += 2) {
    crossings(patch, points[i]!, points[i + 1]!, points[i + 2]!, points[i + 3]!, (contour, t) => {
      if (t > -SHARED && t < 1 + SHARED) found.add(contour);
    });
  }
  return found;
}

/** The outlines met, with their holes. */
function islands(
  contours: readonly Flat[],
  boxes: readonly Box[],
  met: ReadonlySet<number>,
): Map<number, number[]> {
  const areas = contours.map(signedArea);
  const found = new Map<number, number[]>();
  for (const i of met) if (areas[i]! > 0) found.set(i, []);
  const polygons = new Map<number, Float64Array>();
  const polygonOf = (i: number): Float64Array => {
    const known = polygons.get(i) ?? starts(contours[i]!);
    polygons.set(i, known);
    return known;
  };
  contours.forEach((hole, h) => {
    if (areas[h]! >= 0 || ![...found.keys()].some((i) => holds(boxes[i]!, boxes[h]!))) return;
    const [x, y] = middleOf(hole);
    let around = -1;
    for (let i = 0; i < contours.length; i++) {
      if (!(areas[i]! > -areas[h]! && holds(boxes[i]!, boxes[h]!))) continue;
      if ((around < 0 || areas[i]! < areas[around]!) && isIn(polygonOf(i), x, y)) around = i;
    }
    found.get(around)?.push(h);
  });
  return found;
}

const holds = (a: Box, b: Box): boolean =>
  a.minX <= b.minX && a.maxX >= b.maxX && a.minY <= b.minY && a.maxY >= b.maxY;

/** Where each chord starts. */
function starts(contour: Flat): Float64Array {
  const chords = patchOf({ contours: [contour] })?.chords ?? new Float64Array(0);
  const polygon = new Float64Array(chords.length / 2);
  for (let i = 0; i < polygon.length; i += 2) {
    polygon[i] = chords[2 * i]!;
    polygon[i + 1] = chords[2 * i + 1]!;
  }
  return polygon;
}

/** The middle of the first chord: a point that no other outline touches by its corners. */
function middleOf(contour: Flat): [number, number] {
  const [x0, y0, x1, y1] = patchOf({ contours: [contour] })!.chords as unknown as number[];
  return [(x0! + x1!) / 2, (y0! + y1!) / 2];
}

/** Where a contour that the border does not go through is: by its point farthest from the border. */
function sideOf(contour: Flat, box: Box, border: Border): "left" | "right" {
  const p = starts(contour);
  let [x, y, most] = [p[0]!, p[1]!, -1];
  for (let i = 0; i < p.length && meets(box, border.box); i += 2) {
    const away = distance(border.points, p[i]!, p[i + 1]!);
    if (away > most) [x, y, most] = [p[i]!, p[i + 1]!, away];
  }
  return isIn(border.left, x, y) ? "left" : "right";
}

/** An outline with its holes in two. */
function divide(path: Path<"flat">, box: Box, border: Border, half: number, effort: Effort): Parted {
  const whole = (side: "left" | "right"): Parted => ({
    left: { contours: side === "left" ? path.contours : [] },
    right: { contours: side === "right" ? path.contours : [] },
    overlapMm2: 0,
    asPolygons: false,
  });
  const patch = patchOf(path);
  const runs = patch ? runsInside([patch], border.points) : [];
  if (!patch || runs.length === 0) return whole(sideOf(path.contours[0]!, box, border));
  const room = grown(box, LONGEST * half + MARGIN);
  const region = clipped(border.left, room);
  const strips = runs.flatMap((run) => stripsAlong(border.points, run, patch, half));
  const plane = new Plane<"flat">(room, segmentCount(path), effort);
  const ink = plane.polygons(path);
  const left = plane.resolve(plane.polygons(polygonsOf([region])), "nonzero");
  const both = plane.resolve(plane.polygons(polygonsOf(strips)), "nonzero");
  const [l, r, overlap] = [
    plane.outlines(plane.intersection(ink, plane.union([...left, ...both]))),
    plane.outlines(plane.difference(ink, plane.difference(left, both))),
    plane.outlines(plane.intersection(ink, both)),
  ];
  const area = areaOf(path);
  if (area - areaOf(l) < CRUMB) return whole("left");
  if (area - areaOf(r) < CRUMB) return whole("right");
  return {
    left: l,
    right: r,
    overlapMm2: areaOf(overlap),
    asPolygons: l.asPolygons || r.asPolygons,
  };
}
/** Around an outline (mm), so that the region's own edge does not lie on it. */
const MARGIN = 0.05;

/** Closed polygons as a path. */
function polygonsOf(polygons: readonly (readonly number[])[]): Path<"flat"> {
  const builder = new PathBuilder<"flat">();
  for (const p of polygons) {
    if (p.length < 6) continue;
    builder.move(p[0]!, p[1]!);
    for (let i = 2; i < p.length; i += 2) builder.line(p[i]!, p[i + 1]!);
    builder.close();
  }
  return builder.build();
}

function distance(points: Float64Array, x: number, y: number): number {
  let least = Infinity;
  for (let i = 0; i + 3 < points.length; i += 2) {
    const [dx, dy] = [points[i + 2]! - points[i]!, points[i + 3]! - points[i + 1]!];
    const squared = dx * dx + dy * dy;
    const along = (x - points[i]!) * dx + (y - points[i + 1]!) * dy;
    const t = squared > 0 ? Math.min(1, Math.max(0, along / squared)) : 0;
    least = Math.min(least, Math.hypot(points[i]! + t * dx - x, points[i + 1]! + t * dy - y));
  }
  return least;
}
