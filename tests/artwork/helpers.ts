/** Small tools for the artwork tests: documents in mm, and plain numbers out of paths. */
import { readDrawing } from "../../src/artwork/read.ts";
import type { Drawing, Painted } from "../../src/artwork/types.ts";
import type { Box } from "../../src/geometry/path.ts";
import { pathBounds, signedArea } from "../../src/geometry/path.ts";
import { JobError, type Problem } from "../../src/problem.ts";

/** A 100 × 100 mm page whose user units are mm. */
export const page = (content: string, attributes = ""): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" ` +
  `width="100mm" height="100mm" viewBox="0 0 100 100" ${attributes}>${content}</svg>`;

export interface Read {
  readonly size: Drawing["size"];
  /** What is painted, in paint order. */
  readonly shapes: readonly Painted[];
  readonly problems: readonly Problem[];
}

export function readText(text: string): Read {
  const { size, items, problems } = readDrawing(text);
  return { size, problems, shapes: items.flatMap((item) => (item.kind === "painted" ? [item] : [])) };
}

export const read = (content: string, attributes = ""): Read => readText(page(content, attributes));

/** A shape that always leaves ink, for files that would otherwise hold none. */
export const ink = '<rect id="ink" x="90" y="90" width="5" height="5"/>';

export const codes = (artwork: Read): string[] => artwork.problems.map((p) => p.code);
export const ids = (artwork: Read): string[] => artwork.shapes.map((s) => s.id);

export function boxOf(artwork: Read, index = 0): number[] {
  const box = pathBounds(artwork.shapes[index].path) as Box;
  return [box.minX, box.minY, box.maxX, box.maxY];
}

export const areaOf = (artwork: Read, index = 0): number =>
  artwork.shapes[index].path.contours.reduce((sum, c) => sum + signedArea(c), 0);

export function errorOf(text: string): JobError {
  try {
    readDrawing(text);
  } catch (error) {
    if (error instanceof JobError) return error;
    throw error;
  }
  throw new Error("the text was read without an error");
}

/** Every number of `actual` within `tolerance` of `expected`. */
export function close(actual: ArrayLike<number>, expected: ArrayLike<number>, tolerance: number): boolean {
  return (
    actual.length === expected.length &&
    Array.from(actual).every((v, i) => Math.abs(v - expected[i]) <= tolerance)
  );
}
