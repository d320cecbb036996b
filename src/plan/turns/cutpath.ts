/**
 * Where artwork is cut between two turns: from its top to its bottom by the path of least ink, within a strip around
 * the place where the cut would be best. A straight meridian that touches no ink is taken as it is; else the path is the
 * cheapest over a raster of the ink, pulled straight. All in the plane of the way around (x, mm) against the way along the
 * outline (y, mm, toward the base).
 */
import { type Box, type Contour, type Path, PathBuilder } from "../../geometry/path.ts";
import { separate } from "../../region/separate.ts";
import { eachChord, grown, inkLength, meets, type Patch, patchOf } from "./chords.ts";
import { INK, Measure, NEAR, sumOver } from "./measure.ts";
import { meetsItself, narrowed, pulled, type Room, squared, straightThrough } from "./pull.ts";
import { type Field, fieldOf, gridOver } from "./raster.ts";
import { cheapestWay } from "./shortest.ts";
import { freeMeridian, narrowestMeridian } from "./upright.ts";

export interface CutPath {
  /** x0 y0 x1 y1 … from a spot above the top to a spot below the bottom. */
  readonly points: Float64Array;
  /** Length of the path inside ink, on the outlines, mm. */
  readonly inkMm: number;
  /** True for one upright line. */
  readonly straight: boolean;
}

/** Where a cut may run: from ≤ nominal ≤ to, mm. */
export interface Freedom {
  readonly nominal: number;
  readonly from: number;
  readonly to: number;
}

/** What it costs a path to begin or end a millimetre from its nominal place. */
const ASIDE = 0.1;
/** A straight meridian is taken if it has no more ink than this share more. */
const STRAIGHTER = 0.01;
/** Lengths as good as equal (mm). */
const HAIR = 1e-9;

/**
 * `inks`: filled outlines, each path its own area by even-odd. `lines`: centre lines, marked `spotMm` wide (> 0), here
 * with square ends. The path keeps to the freedom; ink above `span.top` or below `span.bottom` is not looked at.
 * Throws RangeError where the freedom, the span (top ≤ bottom) or the spot is none.
 */
export function leastInkCut(
  inks: readonly Path<"flat">[],
  lines: readonly Path<"flat">[],
  freedom: Freedom,
  span: { readonly top: number; readonly bottom: number },
  spotMm: number,
): CutPath {
  const { nominal, from, to } = freedom;
  if (!(from <= nominal && nominal <= to && Number.isFinite(to - from)))
    throw new RangeError("no freedom to cut in");
  if (!(span.top <= span.bottom && Number.isFinite(span.bottom - span.top)))
    throw new RangeError("no span to cut");
  if (!(spotMm > 0 && spotMm < Infinity)) throw new RangeError("the spot must be larger than nothing");
  const room: Room = { left: from, right: to, top: span.top - spotMm, bottom: span.bottom + spotMm };
  const patches = patchesIn(inks, lines, room, spotMm);
  const upright = (x: number): CutPath => {
    const points = [x, room.top, x, room.bottom];
    return cutOf(points, patches);
  };
  if (!(from < to)) return upright(nominal);
  const free = freeMeridian(patches, room, nominal, spotMm / 2);
  if (free !== null) return upright(free);
  const field = fieldOf(gridOver(from, to, room.top, room.bottom, spotMm), patches, spotMm);
  const measure = new Measure(patches, field);
  const straight = upright(narrowestMeridian(field, room, nominal, (x) => upright(x).inkMm));
  const bent = cutOf(pathOf(field, measure, patches, room, nominal, spotMm), patches);
  return straight.inkMm <= bent.inkMm * (1 + STRAIGHTER) + HAIR ? straight : bent;
}

function cutOf(points: readonly number[], patches: readonly Patch[]): CutPath {
  return {
    points: Float64Array.from(points),
    inkMm: sumOver(points, (...piece) => inkLength(patches, ...piece)),
    straight: points.length === 4 && points[0] === points[2],
  };
}

function pathOf(
  field: Field,
  measure: Measure,
  patches: readonly Patch[],
  room: Room,
  nominal: number,
  spotMm: number,
): number[] {
  const drawn = overGrid(field, room, nominal);
  const ink = (...piece: Piece): number => measure.ink(...piece);
  const near = (...piece: Piece): number => measure.near(...piece);
  const rough = pulled(drawn, (...piece) => measure.rough(...piece), near);
  let path = sumOver(rough, ink) <= sumOver(drawn, ink) + HAIR ? rough : drawn;
  if (sumOver(path, ink) > 0) {
    path = straightThrough(path, patches, room, spotMm / 2, ink);
    path = narrowed(path, measure, room, Math.min(field.dx, field.dy));
    path = squared(path, measure);
    path = straightThrough(path, patches, room, spotMm / 2, ink);
  }
  path = pulled(path, ink, near);
  return meetsItself(path) ? drawn : path;
}

type Piece = [number, number, number, number];

/** The cheapest way over the grid, by its bends; it ends on the room's top and bottom. */
function overGrid(field: Field, room: Room, nominal: number): number[] {
  const { left, dx, columns, firstRow, dy, ink, near } = field;
  const dear = ink.map((share, n) => INK * share + NEAR * near[n]!);
  const ends = Float64Array.from({ length: columns }, (_, i) => ASIDE * Math.abs(left + i * dx - nominal));
  const { nodes } = cheapestWay(field, dear, ends);
  const points: number[] = [];
  nodes.forEach((n, k) => {
    if (k > 0 && k + 1 < nodes.length && n - nodes[k - 1]! === nodes[k + 1]! - n) return;
    const i = n % columns;
    const x = Math.min(room.right, left + i * dx);
    const y = (firstRow + (n - i) / columns + 0.5) * dy;
    points.push(x, Math.min(room.bottom, Math.max(room.top, y)));
  });
  points[1] = room.top;
  points[points.length - 1] = room.bottom;
  return points;
}

/** The ink that reaches into the room, by what keeps apart; centre lines by chord, each a rectangle. */
function patchesIn(
  inks: readonly Path<"flat">[],
  lines: readonly Path<"flat">[],
  room: Room,
  spotMm: number,
): Patch[] {
  const box = grown({ minX: room.left, maxX: room.right, minY: room.top, maxY: room.bottom }, 2 * spotMm);
  const patches: Patch[] = [];
  const put = (path: Path<"flat">): void => {
    const patch = patchOf(path);
    if (patch) patches.push(patch);
  };
  for (const ink of inks) {
    const contours = ink.contours.filter((c) => meets(armsBox(c.points), box));
    // What keeps apart is a patch of its own, so that a short piece of a cut looks at what is beside it only.
    for (const group of separate(boxesOf(contours))) put({ contours: group.map((i) => contours[i]!) });
  }
  for (const line of lines) {
    for (const c of line.contours) {
      if (!meets(armsBox(c.points), box)) continue;
      eachChord(c, (x0, y0, x1, y1) => {
        if (meets(armsBox([x0, y0, x1, y1]), box)) put(thickened(x0, y0, x1, y1, spotMm / 2));
      });
    }
  }
  return patches;
}

function boxesOf(contours: readonly Contour<"flat">[]): Float64Array {
  const boxes = new Float64Array(4 * contours.length);
  contours.forEach(({ points }, i) => {
    const { minX, minY, maxX, maxY } = armsBox(points);
    boxes.set([minX, minY, maxX, maxY], 4 * i);
  });
  return boxes;
}

/** A box around points x0 y0 x1 y1 …: not tight for curves, but quick. */
function armsBox(p: ArrayLike<number>): Box {
  const box = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
  for (let i = 0; i < p.length; i += 2) {
    box.minX = Math.min(box.minX, p[i]!);
    box.maxX = Math.max(box.maxX, p[i]!);
    box.minY = Math.min(box.minY, p[i + 1]!);
    box.maxY = Math.max(box.maxY, p[i + 1]!);
  }
  return box;
}

function thickened(x0: number, y0: number, x1: number, y1: number, half: number): Path<"flat"> {
  const length = Math.hypot(x1 - x0, y1 - y0);
  const [ex, ey] = length > 0 ? [((x1 - x0) / length) * half, ((y1 - y0) / length) * half] : [half, 0];
  return new PathBuilder<"flat">(4)
    .move(x0 - ex - ey, y0 - ey + ex)
    .line(x0 - ex + ey, y0 - ey - ex)
    .line(x1 + ex + ey, y1 + ey - ex)
    .line(x1 + ex - ey, y1 + ey + ex)
    .close()
    .build();
}
