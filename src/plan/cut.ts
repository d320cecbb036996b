/**
 * Ink cut along the zones' edges on the flat, before anything is mapped: what lies past the horizon has no
 * image. Strips are applied in order of precedence; what a strip forbids is in its zone and leaves.
 */

import { Fitter } from "../fit/fit.ts";
import { evalCubic, subCubic } from "../geometry/cubic.ts";
import type { MappedCurve } from "../geometry/curve.ts";
import {
  type Box,
  type Contour,
  type Path,
  PathBuilder,
  pathBounds,
  segmentCount,
  uniteBoxes,
} from "../geometry/path.ts";
import { bracketRoot } from "../geometry/roots.ts";
import type { Problem } from "../problem.ts";
import { Effort } from "../region/effort.ts";
import { Plane } from "../region/plane.ts";
import { type Ink, type InkShape, inkShape } from "./ink.ts";
import type { Strip, Zone } from "./zones.ts";

export interface CutInk {
  readonly pieces: ReadonlyMap<Zone, readonly InkShape[]>;
  readonly problems: readonly Problem[];
}

/** Ink this close to an edge is on its inside (mm). */
const TOUCH = 1e-6;
/** Pieces smaller than this (mm², mm) are no pieces: the shape is not cut for them. */
const CRUMB = 1e-6;
/** How closely the cut follows a curved edge (mm). */
const EDGE = 1e-4;

/** Throws JobError `outlines-too-dense`. */
export function cutInk(ink: Ink, strips: readonly Strip[], halfWidth: number): CutInk {
  const effort = new Effort();
  const pieces = new Map<Zone, InkShape[]>();
  const problems: Problem[] = [];
  const put = (zone: Zone, shape: InkShape): void => {
    const list = pieces.get(zone);
    if (list) list.push(shape);
    else pieces.set(zone, [shape]);
  };
  let rest: readonly InkShape[] = ink.shapes;
  for (const strip of strips) {
    const safe = edgeRange(strip, ink.box, halfWidth).least;
    const kept: InkShape[] = [];
    for (const shape of rest) {
      const [lo, hi] = span(strip, shape.box);
      if (strip.allows === "inside" && Math.max(-lo, hi) <= safe + TOUCH) {
        kept.push(shape);
        continue;
      }
      const { inside, outside } = divide(shape, strip, halfWidth, problems, effort);
      const allowed = strip.allows === "inside" ? inside : outside;
      const forbidden = strip.allows === "inside" ? outside : inside;
      if (allowed) kept.push(allowed);
      if (forbidden) put(strip.zone, forbidden);
    }
    rest = kept;
  }
  for (const shape of rest) put("usable", shape);
  return { pieces, problems };
}

const span = (strip: Strip, box: Box): [number, number] =>
  strip.direction === "across" ? [box.minX, box.maxX] : [box.minY, box.maxY];

/** Least and most that the edge is away from the middle over a box; edges are even and steady on each side. */
function edgeRange(strip: Strip, box: Box, halfWidth: number): { least: number; most: number } {
  const [lo, hi] =
    strip.direction === "across"
      ? [box.minY, box.maxY]
      : [Math.max(box.minX, -halfWidth * 0.999), Math.min(box.maxX, halfWidth * 0.999)];
  const at = [strip.edge(lo), strip.edge(hi), ...(lo < 0 && hi > 0 ? [strip.edge(0)] : [])];
  return { least: Math.min(...at), most: Math.max(...at) };
}

type Halves = { inside: InkShape | null; outside: InkShape | null };

function divide(
  shape: InkShape,
  strip: Strip,
  halfWidth: number,
  problems: Problem[],
  effort: Effort,
): Halves {
  const { least, most } = edgeRange(strip, shape.box, halfWidth);
  const [lo, hi] = span(strip, shape.box);
  if (lo >= -least - TOUCH && hi <= least + TOUCH) return { inside: shape, outside: null };
  if (lo >= most - TOUCH || hi <= -most + TOUCH) return { inside: null, outside: shape };
  let inside: InkShape | null;
  let outside: InkShape | null;
  if (shape.paint === "fill") {
    const split = splitFill(shape.path, regionOf(strip, shape.box), effort);
    inside = inkShape(shape, split.inside);
    outside = inkShape(shape, split.outside);
    if (split.asPolygons) {
      problems.push({
        code: "cut-as-polygon",
        severity: "caution",
        message: `"${shape.id}" was cut at the edge of the zone ${strip.zone} as polygons, not curves`,
        where: shape.where,
        hint: "unite its overlapping outlines in the drawing program for a smoother cut",
      });
    }
  } else {
    const split = splitLines(shape.path, strip);
    inside = inkShape(shape, split.inside);
    outside = inkShape(shape, split.outside);
  }
  if (!outside || size(outside) < CRUMB) return { inside: shape, outside: null };
  if (!inside || size(inside) < CRUMB) return { inside: null, outside: shape };
  return { inside, outside };
}

const size = (shape: InkShape): number => (shape.paint === "fill" ? shape.areaMm2 : shape.lengthMm);

/** A filled path inside and outside a region, curves kept as curves. */
function splitFill(
  path: Path<"flat">,
  region: Path<"flat">,
  effort: Effort,
): { inside: Path<"flat">; outside: Path<"flat">; asPolygons: boolean } {
  const box = uniteBoxes(pathBounds(path), pathBounds(region));
  if (!box) return { inside: path, outside: path, asPolygons: false };
  const plane = new Plane<"flat">(box, segmentCount(path), effort);
  const [subject, window] = [plane.polygons(path), plane.resolve(plane.polygons(region), "nonzero")];
  const inside = plane.outlines(plane.intersection(subject, window));
  const outside = plane.outlines(plane.difference(subject, window));
  return { inside, outside, asPolygons: inside.asPolygons || outside.asPolygons };
}

/** The strip over a box, a millimetre longer at both ends, its edges within EDGE of the true ones. */
function regionOf(strip: Strip, box: Box): Path<"flat"> {
  const across = strip.direction === "across";
  const from = (across ? box.minY : box.minX) - 1;
  const to = (across ? box.maxY : box.maxX) + 1;
  const edge = fitEdge(strip, from, to);
  const n = edge.length;
  const straight = n === 8 && edge[0] === edge[2] && edge[2] === edge[4] && edge[4] === edge[6];
  const builder = new PathBuilder<"flat">();
  const put = (out: number, cross: number): [number, number] => (across ? [out, cross] : [cross, out]);
  builder.move(...put(edge[0]!, edge[1]!));
  const step = (sign: number, i: number, j: number, k: number): void => {
    const a = put(sign * edge[i]!, edge[i + 1]!);
    const b = put(sign * edge[j]!, edge[j + 1]!);
    const c = put(sign * edge[k]!, edge[k + 1]!);
    if (straight) builder.line(...c);
    else builder.cubic(...a, ...b, ...c);
  };
  for (let i = 2; i < n; i += 6) step(1, i, i + 2, i + 4);
  builder.line(...put(-edge[n - 2]!, edge[n - 1]!));
  for (let i = n - 4; i > 0; i -= 6) step(-1, i, i - 2, i - 4);
  return builder.close().build();
}

/** The edge as packed cubic points (edge, cross); eight numbers with equal edges where it is straight. */
function fitEdge(strip: Strip, from: number, to: number): Float64Array {
  const width = to - from;
  const [first, middle, last] = [strip.edge(from), strip.edge((from + to) / 2), strip.edge(to)];
  if (Math.abs(first - middle) < 1e-9 && Math.abs(last - middle) < 1e-9) {
    return Float64Array.of(middle, from, middle, from + width / 3, middle, to - width / 3, middle, to);
  }
  const h = width * 1e-4;
  const curve: MappedCurve<"flat"> = {
    pieces: 1,
    closed: false,
    straight: Uint8Array.of(0),
    at(_, t, out) {
      const c = from + width * t;
      out[0] = strip.edge(c);
      out[1] = c;
      out[2] = ((strip.edge(c + h) - strip.edge(c - h)) / (2 * h)) * width;
      out[3] = width;
      out[4] = 1;
    },
  };
  return new Fitter().fit(curve, { tolerance: EDGE }).contour.points;
}

interface Run {
  readonly side: "inside" | "outside";
  readonly points: number[];
  readonly straight: number[];
}
const lineOf = (run: Run): Contour<"flat"> => ({
  closed: false,
  points: Float64Array.from(run.points),
  straight: Uint8Array.from(run.straight),
});

/** Open lines cut where they cross the strip's edges. */
function splitLines(path: Path<"flat">, strip: Strip): { inside: Path<"flat">; outside: Path<"flat"> } {
  const parts = { inside: [] as Contour<"flat">[], outside: [] as Contour<"flat">[] };
  const at = new Float64Array(4);
  for (const c of path.contours) {
    const runs: Run[] = [];
    for (let k = 0; k < c.straight.length; k++) {
      const margin = (t: number): number => {
        evalCubic(c.points, 6 * k, t, at);
        return strip.direction === "across"
          ? strip.edge(at[1]!) - Math.abs(at[0]!)
          : strip.edge(at[0]!) - Math.abs(at[1]!);
      };
      const cuts = [0, ...crossings(margin), 1];
      for (let j = 0; j + 1 < cuts.length; j++) {
        const t0 = cuts[j]!;
        const t1 = cuts[j + 1]!;
        const side: Run["side"] = margin((t0 + t1) / 2) >= -TOUCH ? "inside" : "outside";
        const piece = subCubic(c.points, 6 * k, t0, t1);
        if (runs.at(-1)?.side !== side)
          runs.push({ side, points: Array.from(piece.subarray(0, 2)), straight: [] });
        const run = runs.at(-1)!;
        run.points.push(...piece.subarray(2));
        run.straight.push(c.straight[k]!);
      }
    }
    for (const run of runs) parts[run.side].push(lineOf(run));
  }
  return { inside: { contours: parts.inside }, outside: { contours: parts.outside } };
}

const PROBES = 32;
function crossings(margin: (t: number) => number): number[] {
  const found: number[] = [];
  let before = margin(0);
  for (let i = 1; i <= PROBES; i++) {
    const here = margin(i / PROBES);
    if (before * here < 0) {
      const t = bracketRoot(margin, (i - 1) / PROBES, i / PROBES);
      if (t !== null && t > 1e-9 && t < 1 - 1e-9) found.push(t);
    }
    before = here;
  }
  return found;
}
