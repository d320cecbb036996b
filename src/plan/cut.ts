/**
 * Ink cut along the zones' edges on the flat, before anything is mapped: what lies past the horizon has no
 * image. Strips are applied in order of precedence; what a strip forbids is in its zone and leaves.
 */

import { evalCubic, subCubic } from "../geometry/cubic.ts";
import { type Contour, type Path, pathBounds, segmentCount, uniteBoxes } from "../geometry/path.ts";
import { bracketRoot } from "../geometry/roots.ts";
import type { Problem } from "../problem.ts";
import { Effort } from "../region/effort.ts";
import { Plane } from "../region/plane.ts";
import type { Surface } from "../vessel/surface.ts";
import { type Ink, type InkShape, inkShape } from "./ink.ts";
import { boxAgainst, EDGE, type Outline, pathOf } from "./outline.ts";
import { rangeOf, type Strip, type Zone } from "./zones.ts";

export interface CutInk {
  readonly pieces: ReadonlyMap<Zone, readonly InkShape[]>;
  readonly problems: readonly Problem[];
}

/** Pieces smaller than this (mm², mm) are no pieces: the shape is not cut for them. */
const CRUMB = 1e-6;
/** A margin no smaller than this is on the limit. */
const ON = -1e-9;

/** Throws JobError `outlines-too-dense`. */
export function cutInk(ink: Ink, strips: readonly Strip[], surface: Surface): CutInk {
  const effort = new Effort();
  const pieces = new Map<Zone, InkShape[]>();
  const problems: Problem[] = [];
  const put = (zone: Zone, shape: InkShape): void => {
    const list = pieces.get(zone);
    if (list) list.push(shape);
    else pieces.set(zone, [shape]);
  };
  const range = rangeOf(surface, ink.box);
  let rest: readonly InkShape[] = ink.shapes;
  for (const strip of strips) {
    if (rest.length === 0) break;
    const outline = (range && strip.outline(range)) ?? [];
    const kept: InkShape[] = [];
    for (const shape of rest) {
      const { inside, outside } = divide(shape, strip, outline, problems, effort);
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

type Halves = { inside: InkShape | null; outside: InkShape | null };

function divide(
  shape: InkShape,
  strip: Strip,
  outline: Outline,
  problems: Problem[],
  effort: Effort,
): Halves {
  const lies = boxAgainst(outline, shape.box);
  if (lies === "inside") return { inside: shape, outside: null };
  if (lies === "outside") return { inside: null, outside: shape };
  let inside: InkShape | null;
  let outside: InkShape | null;
  if (shape.paint === "fill") {
    const split = splitFill(shape.path, pathOf(outline), effort);
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
  if (!outside || isCrumb(outside)) return { inside: shape, outside: null };
  if (!inside || isCrumb(inside)) return { inside: null, outside: shape };
  return { inside, outside };
}

/** Two edges that are one are followed by different chords: what lies between them is no piece either. */
function isCrumb({ paint, areaMm2, lengthMm, box }: InkShape): boolean {
  if (paint !== "fill") return lengthMm < CRUMB;
  return areaMm2 < Math.max(CRUMB, 1.5 * EDGE * (box.maxX - box.minX + box.maxY - box.minY));
}

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
        return strip.margin(at[0]!, at[1]!);
      };
      const cuts = [0, ...crossings(margin), 1];
      for (let j = 0; j + 1 < cuts.length; j++) {
        const t0 = cuts[j]!;
        const t1 = cuts[j + 1]!;
        const allowed = margin((t0 + t1) / 2) >= ON;
        const lies: Run["side"] = allowed === (strip.allows === "inside") ? "inside" : "outside";
        const piece = subCubic(c.points, 6 * k, t0, t1);
        if (runs.at(-1)?.side !== lies)
          runs.push({ side: lies, points: Array.from(piece.subarray(0, 2)), straight: [] });
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
