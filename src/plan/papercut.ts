/**
 * A filled path split by a region, curves kept as curves: paper's booleans, with each contour united on its own
 * first, and the areas checked against clipper2-ts. Loaded only where something has to be cut.
 */
import {
  areaPathsD,
  FillRule as ClipperRule,
  differenceD,
  intersectD,
  type PathsD,
  unionD,
} from "clipper2-ts";
import core from "paper/dist/paper-core.js";
import type { FillRule } from "../artwork/types.ts";
import { type Contour, type Path, PathBuilder, pathBounds, signedArea } from "../geometry/path.ts";
import { clipperRule, DECIMALS, polygons } from "./area.ts";

export interface Split {
  readonly inside: Path<"flat">;
  readonly outside: Path<"flat">;
  /** True where paper's result disagreed with clipper's and polygons stand in for the curves. */
  readonly asPolygons: boolean;
}

// The package's own types name the module without its extension; the global namespace `paper` has the rest.
const { PaperScope } = core as unknown as { PaperScope: new () => paper.PaperScope };

/** Share of the path's area by which the two libraries may differ. */
const MISMATCH = 1e-3;
/** Chords of the stand-in polygons stay this close to the curves: mm at most, and this share of a small shape. */
const CHORD = 0.0005;
const CHORD_SHARE = 1e-4;

export function splitFill(path: Path<"flat">, rule: FillRule, region: Path<"flat">): Split {
  const box = pathBounds(path);
  const size = box ? Math.max(box.maxX - box.minX, box.maxY - box.minY) : 0;
  const chord = Math.min(CHORD, Math.max(CHORD_SHARE * size, 1e-6));
  const subject = polygons(path, chord);
  const window = polygons(region, chord);
  const clean = unionD(subject, [], clipperRule(rule), DECIMALS);
  const polygonIn = intersectD(clean, window, ClipperRule.NonZero, DECIMALS);
  const polygonOut = differenceD(clean, window, ClipperRule.NonZero, DECIMALS);
  const total = Math.abs(areaPathsD(clean));
  const close = (found: Path<"flat">, polygon: PathsD): boolean =>
    Math.abs(Math.abs(netArea(found)) - Math.abs(areaPathsD(polygon))) <= MISMATCH * total;
  const curves = paperSplit(path, rule, region);
  if (curves && close(curves.inside, polygonIn) && close(curves.outside, polygonOut))
    return { ...curves, asPolygons: false };
  return { inside: fromPolygons(polygonIn), outside: fromPolygons(polygonOut), asPolygons: true };
}

const netArea = (path: Path<"flat">): number => path.contours.reduce((sum, c) => sum + signedArea(c), 0);

function fromPolygons(paths: PathsD): Path<"flat"> {
  const builder = new PathBuilder<"flat">();
  for (const polygon of paths) {
    polygon.forEach((p, i) => {
      if (i === 0) builder.move(p.x, p.y);
      else builder.line(p.x, p.y);
    });
    builder.close();
  }
  return builder.build();
}

function paperSplit(
  path: Path<"flat">,
  rule: FillRule,
  region: Path<"flat">,
): Omit<Split, "asPolygons"> | null {
  const scope = new PaperScope();
  scope.setup(new scope.Size(1, 1));
  try {
    const subject = compound(scope, path, rule);
    const window = compound(scope, region, "nonzero");
    const quiet = { insert: false };
    return {
      inside: fromPaper(subject.intersect(window, quiet)),
      outside: fromPaper(subject.subtract(window, quiet)),
    };
  } catch {
    // paper gives up on some tangles; the polygons then stand in and it is said.
    return null;
  } finally {
    scope.project.remove();
  }
}

function compound(scope: paper.PaperScope, path: Path<"flat">, rule: FillRule): paper.PathItem {
  const children: paper.Path[] = [];
  for (const contour of path.contours) {
    const own = toPaper(scope, contour);
    const turn = Math.sign(own.area);
    own.fillRule = rule;
    const united = own.unite(undefined as unknown as paper.PathItem, { insert: false });
    const parts =
      united instanceof scope.CompoundPath
        ? (united.children.slice() as paper.Path[])
        : [united as paper.Path];
    // Uniting may turn a contour round; holes by direction need it as it was.
    if (parts.length === 1 && Math.sign(parts[0]!.area) === -turn) parts[0]!.reverse();
    children.push(...parts);
  }
  // A compound of one contour makes paper lose pieces of a difference; a plain path does not.
  if (children.length === 1) {
    children[0]!.fillRule = rule;
    return children[0]!;
  }
  const whole = new scope.CompoundPath({ insert: false });
  whole.addChildren(children);
  whole.fillRule = rule;
  return whole;
}

function toPaper(scope: paper.PaperScope, c: Contour<"flat">): paper.Path {
  const p = c.points;
  const n = c.straight.length;
  const segments: paper.Segment[] = [];
  for (let k = 0; k <= n; k++) {
    const i = 6 * k;
    const before = k > 0 && !c.straight[k - 1];
    const after = k < n && !c.straight[k];
    segments.push(
      new scope.Segment(
        new scope.Point(p[i]!, p[i + 1]!),
        before ? new scope.Point(p[i - 2]! - p[i]!, p[i - 1]! - p[i + 1]!) : new scope.Point(0, 0),
        after ? new scope.Point(p[i + 2]! - p[i]!, p[i + 3]! - p[i + 1]!) : new scope.Point(0, 0),
      ),
    );
  }
  const last = segments[n]!;
  if (segments[0]!.point.equals(last.point)) {
    segments[0]!.handleIn = last.handleIn;
    segments.pop();
  }
  return new scope.Path({ segments, closed: true, insert: false });
}

function fromPaper(item: paper.PathItem): Path<"flat"> {
  const builder = new PathBuilder<"flat">();
  const paths = "children" in item && item.children ? (item.children as paper.Path[]) : [item as paper.Path];
  for (const path of paths) {
    if (path.segments.length === 0) continue;
    const start = path.segments[0]!.point;
    builder.move(start.x, start.y);
    for (const curve of path.curves) {
      const { point1, point2, handle1, handle2 } = curve;
      if (handle1.isZero() && handle2.isZero()) builder.line(point2.x, point2.y);
      else
        builder.cubic(
          point1.x + handle1.x,
          point1.y + handle1.y,
          point2.x + handle2.x,
          point2.y + handle2.y,
          point2.x,
          point2.y,
        );
    }
    builder.close();
  }
  return builder.build();
}
