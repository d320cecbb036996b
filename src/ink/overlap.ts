/** Ink that more than one shape covers: a station that fills every outline would mark it twice, or cancel it. */
import type { Shape } from "../artwork/types.ts";
import { type Box, pathBounds, segmentCount, uniteBoxes } from "../geometry/path.ts";
import type { Problem } from "../problem.ts";
import { Plane } from "../region/plane.ts";

/** Above this many segments in shapes whose boxes overlap the areas are not compared, and that is said. */
const MOST_SEGMENTS = 20_000;
/** Pairs of shapes, one beginning where the other is still open, that are looked at. */
const MOST_LOOKS = 100_000_000;
/** Overlaps smaller than this (mm²) are seams of the drawing. */
const SEAM = 0.01;

interface Boxed {
  readonly path: Shape["path"];
  readonly box: Box;
}

/** Of filled shapes, each of which is its own area; areas at the artwork's own size. */
export function overlapProblems(all: readonly Shape[]): Problem[] {
  const shapes = meeting(
    all.flatMap(({ path }) => {
      const box = pathBounds(path);
      return box ? [{ path, box }] : [];
    }),
  );
  if (shapes?.length === 0) return [];
  const hint = "leave --keep-shapes out, or unite overlapping shapes in the drawing program";
  if (!shapes) {
    const message = "shapes may overlap, but are too many to be compared";
    return [{ code: "overlaps-not-compared", severity: "note", message, hint }];
  }
  const box = shapes.reduce<Box | null>((all, s) => uniteBoxes(all, s.box), null);
  if (!box) return [];
  const plane = new Plane<"page">(
    box,
    shapes.reduce((sum, s) => sum + segmentCount(s.path), 0),
  );
  const parts = shapes.flatMap((s) => plane.polygons(s.path));
  const twice = plane.area(parts) - plane.area(plane.union(parts));
  if (twice < SEAM) return [];
  const message = `shapes overlap: ${twice < 10 ? twice.toPrecision(2) : twice.toFixed(0)} mm² of the artwork would be marked more than once`;
  return [{ code: "ink-overlaps", severity: "caution", message, hint }];
}

/** Shapes whose box overlaps another's, found from left to right; null once that are too many. */
function meeting(shapes: readonly Boxed[]): Boxed[] | null {
  const order = [...shapes].sort((a, b) => a.box.minX - b.box.minX);
  const found = new Set<Boxed>();
  let segments = 0;
  const add = (shape: Boxed): void => {
    if (!found.has(shape)) segments += segmentCount(shape.path);
    found.add(shape);
  };
  let open: Boxed[] = [];
  let looks = 0;
  for (const shape of order) {
    looks += open.length;
    if (looks > MOST_LOOKS) return null;
    open = open.filter((o) => o.box.maxX > shape.box.minX);
    for (const o of open) {
      if (o.box.maxY > shape.box.minY && o.box.minY < shape.box.maxY) {
        add(o);
        add(shape);
      }
    }
    if (segments > MOST_SEGMENTS) return null;
    open.push(shape);
  }
  return [...found];
}
