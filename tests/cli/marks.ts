/**
 * An independent reader of the written marks: svgson for the elements, svg-path-parser for the path data, de
 * Casteljau for points on the curves. Shares no code with src.
 */
import svgPathParser from "svg-path-parser";
import { type INode, parseSync } from "svgson";

export type Point = readonly [number, number];

export interface Outline {
  /** Points along the outline, corners included. */
  readonly points: readonly Point[];
  readonly nodes: readonly Point[];
  readonly closed: boolean;
}
export interface WrittenMark {
  readonly id: string;
  readonly zone: string;
  readonly d: string;
  readonly outlines: readonly Outline[];
}

const between = (p: Point, q: Point, t: number): Point => [
  p[0] + (q[0] - p[0]) * t,
  p[1] + (q[1] - p[1]) * t,
];

function cubicAt(p: readonly [Point, Point, Point, Point], t: number): Point {
  const [a, b, c] = [between(p[0], p[1], t), between(p[1], p[2], t), between(p[2], p[3], t)];
  return between(between(a, b, t), between(b, c, t), t);
}

export function outlines(d: string, steps: number): Outline[] {
  const found: { points: Point[]; nodes: Point[]; closed: boolean }[] = [];
  for (const c of svgPathParser.parseSVG(d)) {
    if (c.code === "M") {
      const start: Point = [c.x!, c.y!];
      found.push({ points: [start], nodes: [start], closed: false });
      continue;
    }
    const now = found.at(-1)!;
    if (c.code === "Z") {
      now.closed = true;
      continue;
    }
    const from = now.nodes.at(-1)!;
    const to: Point = [c.x!, c.y!];
    const curve: [Point, Point, Point, Point] | null =
      c.code === "C" ? [from, [c.x1!, c.y1!], [c.x2!, c.y2!], to] : null;
    if (!curve && c.code !== "L") throw new Error(`${c.code} is not one of M, L, C, Z`);
    for (let i = 1; i < steps; i++) {
      const t = i / steps;
      now.points.push(curve ? cubicAt(curve, t) : between(from, to, t));
    }
    now.points.push(to);
    now.nodes.push(to);
  }
  return found;
}

export const rootOf = (svg: string): INode => parseSync(svg.replace(/^<\?xml[^>]*\?>\s*/, ""));

/** All marks by zone, each curve sampled in `steps` steps. */
export function readMarks(svg: string, steps = 64): WrittenMark[] {
  return rootOf(svg).children.flatMap((group) =>
    group.children.map((mark) => ({
      id: mark.attributes.id!,
      zone: group.attributes.id!,
      d: mark.attributes.d!,
      outlines: outlines(mark.attributes.d!, steps),
    })),
  );
}

export const pointsOf = (marks: readonly WrittenMark[]): Point[] =>
  marks.flatMap((m) => m.outlines.flatMap((o) => o.points));

export function boxOf(points: readonly Point[]): { centre: Point; size: Point } {
  const xs = points.map((p) => p[0]).sort((a, b) => a - b);
  const ys = points.map((p) => p[1]).sort((a, b) => a - b);
  const [x0, x1, y0, y1] = [xs[0]!, xs.at(-1)!, ys[0]!, ys.at(-1)!];
  return { centre: [(x0 + x1) / 2, (y0 + y1) / 2], size: [x1 - x0, y1 - y0] };
}
