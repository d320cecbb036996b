/** Small tools for the ink tests: ink of page content, areas by name, and what a point lies in. */
import type { Artwork, Shape } from "../../src/artwork/types.ts";
import { evalCubic } from "../../src/geometry/cubic.ts";
import type { Contour } from "../../src/geometry/path.ts";
import { pathBounds, signedArea } from "../../src/geometry/path.ts";
import { readInk } from "../../src/ink/ink.ts";
import type { InkOptions } from "../../src/ink/options.ts";
import { JobError, ProblemsError } from "../../src/problem.ts";
import { page } from "../artwork/helpers.ts";

/** Ink of content on a page of 100 × 100 mm whose user units are mm. */
export const inkOn = (content: string, options: Partial<InkOptions> = {}): Promise<Artwork> =>
  readInk(page(content), options);

export const areaOf = ({ path }: Pick<Shape, "path">): number =>
  path.contours.reduce((sum, contour) => sum + signedArea(contour), 0);
export const total = ({ shapes }: Artwork): number => shapes.reduce((sum, shape) => sum + areaOf(shape), 0);
/** Ink area of content, mm². */
export const inkArea = async (content: string, options: Partial<InkOptions> = {}): Promise<number> =>
  total(await inkOn(content, options));

/** Area of content of which nothing may be left: 0 then. */
export async function areaOrNone(content: string, options: Partial<InkOptions> = {}): Promise<number> {
  try {
    return await inkArea(content, options);
  } catch (error) {
    if (error instanceof JobError && error.problem.code === "no-ink") return 0;
    throw error;
  }
}

/** Codes of everything that stands in the way. */
export async function errorsOf(content: string, options: Partial<InkOptions> = {}): Promise<string[]> {
  try {
    await inkOn(content, options);
  } catch (error) {
    if (error instanceof ProblemsError) return error.problems.map((p) => p.code);
    throw error;
  }
  return [];
}

export function boxOf({ shapes }: Artwork, id: string): number[] {
  const shape = shapes.find((s) => s.id === id);
  const box = shape && pathBounds(shape.path);
  return box ? [box.minX, box.minY, box.maxX, box.maxY] : [];
}

/** Points along a contour, `steps` to each curve; the last one is the first again. */
export function pointsOf({ points: p, straight }: Contour<"page">, steps = 64): [number, number][] {
  const out = new Float64Array(4);
  const list: [number, number][] = [[p[0], p[1]]];
  straight.forEach((line, k) => {
    const n = line ? 1 : steps;
    for (let j = 1; j <= n; j++) {
      evalCubic(p, 6 * k, j / n, out);
      list.push([out[0], out[1]]);
    }
  });
  return list;
}

/** Winding number of a closed polyline about a point. */
export function winding(polygon: readonly (readonly [number, number])[], x: number, y: number): number {
  let around = 0;
  for (let i = 1; i < polygon.length; i++) {
    const [x0, y0] = polygon[i - 1];
    const [x1, y1] = polygon[i];
    const side = (x1 - x0) * (y - y0) - (x - x0) * (y1 - y0);
    if (y0 <= y && y1 > y && side > 0) around++;
    if (y0 > y && y1 <= y && side < 0) around--;
  }
  return around;
}
