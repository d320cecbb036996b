/**
 * Reads written fill lines without any code of src: svgson for the groups, marks.ts for the path data. And the way back
 * from the command plane to the flat of a level cylinder:
 *
 *   u (1 + d/p) = X = R sin θ,   d = R (1 − cos θ) − δ   (circular segment)
 *   ⇒  R sin θ + (uR/p) cos θ = u (1 + (R − δ)/p),   a = R θ,   b = v (1 + d/q)
 *
 * Circular segment: Machinery's Handbook 31st ed. p. 79; central projection from a pivot p, or q along the axis: Snyder,
 * USGS PP 1395, 1987, eq. 23.
 */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Cup } from "./cup.ts";
import { outlines, type Point, rootOf } from "./marks.ts";

export interface Line {
  readonly points: readonly Point[];
  readonly lengthMm: number;
  readonly closed: boolean;
}
export interface Group {
  readonly id: string;
  readonly title: string;
  readonly lines: readonly Line[];
}

const STEPS = 16;
const lengthOf = (points: readonly Point[]): number =>
  points.slice(1).reduce((sum, [x, y], i) => sum + Math.hypot(x - points[i]![0], y - points[i]![1]), 0);

export const groupsIn = (svg: string): Group[] =>
  rootOf(svg).children.map((group) => ({
    id: group.attributes.id!,
    title: group.children.find((c) => c.name === "title")?.children[0]?.value ?? "",
    lines: group.children
      .filter((c) => c.name === "path")
      .flatMap((path) => outlines(path.attributes.d!, STEPS))
      .map(({ points, closed }) => ({ points, closed, lengthMm: lengthOf(points) })),
  }));
export const groupsOf = (dir: string, name: string): Group[] =>
  groupsIn(readFileSync(join(dir, name), "utf8"));

export const total = (group: Group): number => group.lines.reduce((sum, line) => sum + line.lengthMm, 0);

/** From each line's end to the next one's beginning. */
export const jumped = ({ lines }: Group): number =>
  lines.slice(1).reduce((sum, { points: [to] }, i) => {
    const from = lines[i]!.points.at(-1)!;
    return sum + Math.hypot(to![0] - from[0], to![1] - from[1]);
  }, 0);

/** The middle of a line's path data: of one straight piece or one curve its own middle. */
export const middleOf = ({ points }: Line): Point =>
  points.length === 2
    ? [(points[0]![0] + points[1]![0]) / 2, (points[0]![1] + points[1]![1]) / 2]
    : points[Math.floor(points.length / 2)]!;

/** A point of a file whose vessel lies along y → its place on the flat. */
export function onFlat({ radius: R, pivotAcross: p, pivotAlong: q, focus }: Cup, [u, v]: Point): Point {
  const [A, B] = [R, (u * R) / p];
  const angle = Math.asin((u * (1 + (R - focus) / p)) / Math.hypot(A, B)) - Math.atan2(B, A);
  const d = R * (1 - Math.cos(angle)) - focus;
  return [R * angle, v * (1 + d / q)];
}
