/**
 * The outline of all points of a region that lie at least a distance inside it: { p : distance from p to the outline ≥ d },
 * the erosion by a disc (J. Serra, Image Analysis and Mathematical Morphology, 1982, ch. II). Corners that open inward stay
 * sharp, those that open outward become arcs. See drawnin.ts; the winding numbers are told by clipper2-ts's sweep.
 *
 * All chords, of curves, of arcs and of what is left out, together keep within the tolerance: the distance of a point
 * changes by no more than the outline does.
 */
import { ClipType, FillRule, type Path64, type Paths64 } from "clipper2-ts";
import { walkContour } from "../geometry/cubic.ts";
import { areaOf, type Path, PathBuilder, pathBounds, type Space, signedArea } from "../geometry/path.ts";
import { type Drawn, type Reach, rawOutline } from "./drawnin.ts";
import { Effort } from "./effort.ts";
import { GRID, SHEAR } from "./grid.ts";
import { separatePolygons } from "./separate.ts";
import { doubleArea, simplified } from "./simplified.ts";
import { sweep } from "./sweep.ts";

/** Shares of the tolerance: chords of curves, of arcs, of what is left out; the rest is for rounding. */
const CURVES = 0.1;
const ARCS = 0.15;
const LEFT_OUT = 0.72;
/** Where the reach changes from place to place straight edges are walked in steps of so much (mm). */
const STEP = 1;
/** What is further than this many reaches from the inset has no outline: corners of 84° and more have one. */
const NEAR = 1.5;

/**
 * The path must be its own area: outlines that do not meet, holes turned against them. `byMm` > 0. The answer is alike,
 * of straight lines, each point of it byMm from the path's outline within `toleranceMm`, but no closer than some steps of
 * the grid (5e-7 of the longer side at most). Parts less wide than twice byMm vanish, and so do dots smaller than the tolerance.
 *
 * Throws JobError `outlines-too-dense` and `outlines-not-united` as the sweep does.
 */
export const inset = <S extends Space>(path: Path<S>, byMm: number, toleranceMm: number): Path<S> =>
  insetBy(path, round(byMm), toleranceMm, Number.POSITIVE_INFINITY);

/** As `inset`, by a distance that changes with place and direction; `reach` is asked all along the outline. */
export function insetBy<S extends Space>(
  path: Path<S>,
  reach: Reach,
  toleranceMm: number,
  stepMm = STEP,
): Path<S> {
  const grid = gridFor(path, toleranceMm, stepMm);
  if (!grid) return { contours: [] };
  const wide = polygonsOf(path, grid).filter((polygon) => !isNarrow(polygon, reach, grid.scale));
  const found = united(drawnOf(wide, grid, reach, 1, 1));
  // Leaving points out could let outlines meet.
  const fewer = found
    .filter((polygon) => Math.max(...sidesOf(polygon)) > toleranceMm * grid.scale)
    .map((polygon) => simplified(polygon, LEFT_OUT * toleranceMm * grid.scale));
  const builder = new PathBuilder<S>();
  for (const polygon of united(fewer)) {
    polygon.forEach(({ x, y }, k) => {
      if (k === 0) builder.move(x / grid.scale, y / grid.scale);
      else builder.line(x / grid.scale, y / grid.scale);
    });
    builder.close();
  }
  return builder.build();
}

/**
 * Area of the path (mm²) that the line along its inset does not trim: what is further from the inset than one and a half
 * times the distance. The narrow parts, and the tips of corners sharper than 84°.
 */
export const untrimmed = (
  path: Path<Space>,
  within: Path<Space>,
  byMm: number,
  toleranceMm: number,
): number => untrimmedBy(path, within, round(byMm), toleranceMm, Number.POSITIVE_INFINITY);

/** As `untrimmed` for the answer of `insetBy`. */
export function untrimmedBy(
  path: Path<Space>,
  within: Path<Space>,
  reach: Reach,
  toleranceMm: number,
  stepMm = STEP,
): number {
  const grid = gridFor(path, toleranceMm, stepMm);
  if (!grid) return 0;
  if (within.contours.length === 0) return areaOf(path);
  const all = polygonsOf(path, grid);
  const grown = drawnOf(polygonsOf(within, grid), grid, reach, -1, NEAR);
  const left = swept(ClipType.Difference, all, grown);
  return left.reduce((sum, polygon) => sum + doubleArea(polygon), 0) / 2 / grid.scale ** 2;
}

const round =
  (byMm: number): Reach =>
  (_x, _y, out) => {
    out[0] = byMm * byMm;
    out[1] = 0;
    out[2] = byMm * byMm;
  };

interface Grid {
  readonly scale: number;
  readonly toleranceMm: number;
  readonly stepMm: number;
}

function gridFor(path: Path<Space>, toleranceMm: number, stepMm: number): Grid | null {
  const box = pathBounds(path);
  if (!box) return null;
  const side = Math.max(-box.minX, -box.minY, box.maxX, box.maxY, box.maxX - box.minX, box.maxY - box.minY);
  return { scale: 2 ** Math.floor(Math.log2(GRID / side)), toleranceMm, stepMm };
}

/** On the grid, next vertices apart, turned so that outlines are positive. */
function polygonsOf(path: Path<Space>, { scale, toleranceMm, stepMm }: Grid): Paths64 {
  const turned = path.contours.reduce((sum, c) => sum + signedArea(c), 0) < 0;
  return path.contours.flatMap((contour) => {
    const polygon: Path64 = [];
    walkContour(contour, CURVES * toleranceMm, stepMm, (px, py) => {
      const [x, y] = [Math.round(px * scale), Math.round(py * scale)];
      const last = polygon[polygon.length - 1];
      if (last?.x !== x || last.y !== y) polygon.push({ x, y });
    });
    const [first, last] = [polygon[0], polygon[polygon.length - 1]];
    if (first && last && polygon.length > 1 && first.x === last.x && first.y === last.y) polygon.pop();
    if (polygon.length < 3) return [];
    return [turned ? polygon.reverse() : polygon];
  });
}

function drawnOf(polygons: Paths64, grid: Grid, reach: Reach, way: 1 | -1, share: number): Paths64 {
  const drawn: Drawn = { scale: grid.scale, way, chordMm: ARCS * grid.toleranceMm };
  return polygons.map((polygon) => rawOutline(polygon, reach, share, drawn));
}

/** An outline that is nowhere as wide as the reach on both sides of a point: nothing is left, whatever its holes. */
function isNarrow(polygon: Path64, reach: Reach, scale: number): boolean {
  if (doubleArea(polygon) <= 0) return false;
  const form = new Float64Array(3);
  let [across, down] = [Infinity, Infinity];
  for (const { x, y } of polygon) {
    reach(x / scale, y / scale, form);
    across = Math.min(across, form[0]!);
    down = Math.min(down, form[2]!);
  }
  const [width, height] = sidesOf(polygon);
  return width < 2 * scale * Math.sqrt(across) || height < 2 * scale * Math.sqrt(down);
}

const united = (raw: Paths64): Paths64 => swept(ClipType.Union, raw, []);

/** Where the winding numbers are positive; group by group of polygons that keep apart, on the sheared grid. */
function swept(type: ClipType, subject: Paths64, clip: Paths64): Paths64 {
  const effort = new Effort();
  const sheared = [...subject, ...clip].map((path) => path.map(({ x, y }) => ({ x, y: y + SHEAR * x })));
  return separatePolygons(sheared).flatMap((group) => {
    const own = group.filter((i) => i < subject.length).map((i) => sheared[i]!);
    const other = group.filter((i) => i >= subject.length).map((i) => sheared[i]!);
    if (own.length === 0) return [];
    const found = sweep(type, FillRule.Positive, own, other, () => {}, effort);
    return found.map((path) => path.map(({ x, y }) => ({ x, y: y - SHEAR * x })));
  });
}

/** Of a polygon's box, in steps. */
function sidesOf(polygon: Path64): [width: number, height: number] {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { x, y } of polygon) {
    minX = Math.min(minX, x);
    minY = Math.min(minY, y);
    maxX = Math.max(maxX, x);
    maxY = Math.max(maxY, y);
  }
  return [maxX - minX, maxY - minY];
}
