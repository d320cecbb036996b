/**
 * Marching squares: the closed outlines of value ≥ level, one vertex on every link between neighbouring pixel
 * centres that it crosses (W. E. Lorensen and H. E. Cline, "Marching Cubes", SIGGRAPH 1987, in the plane).
 * A square whose corners alternate is joined through its middle where the mean of the four reaches the level:
 * the value there of the bilinear interpolant (the ambiguity and its choices: G. M. Nielson and B. Hamann, "The
 * asymptotic decider", Visualization 1991).
 *
 * Outlines are walked with the inside on the right: clockwise on a page whose y grows down, holes the other way.
 */
import { crossing, type Field, FLAT } from "./edge.ts";

/** A closed outline in pixels, (0, 0) the picture's top left corner. */
export interface Loop {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Way of the walk at each vertex: 0 right, 1 down, 2 left, 3 up. */
  readonly way: Uint8Array;
  /** 1 where both pixels of the link are plain, one full and one empty. */
  readonly hard: Uint8Array;
}

const STEP_X = [1, 0, -1, 0];
const STEP_Y = [0, 1, 0, -1];

/** All outlines, ordered by their topmost row. */
export function* walkOutlines(field: Field): Generator<Loop> {
  const { width, height, value, level } = field;
  // Every outline has a link with the outside on its left and the inside on its right; it starts from the first.
  const seen = new Uint8Array(width * height);
  for (let j = 0; j < height; j++) {
    let before = false;
    for (let i = 0, at = j * width; i < width; i++, at++) {
      const inside = value[at]! >= level;
      if (inside && !before && seen[at] === 0) yield walk(field, i, j, seen);
      before = inside;
    }
  }
}

function walk(field: Field, i0: number, j0: number, seen: Uint8Array): Loop {
  const { width, height, value, level } = field;
  const x: number[] = [];
  const y: number[] = [];
  const ways: number[] = [];
  const hard: number[] = [];
  const inside = (i: number, j: number): boolean =>
    i >= 0 && j >= 0 && i < width && j < height && value[j * width + i]! >= level;
  // (i, j) is the inner pixel, on the right of the walk; the outer one is on its left.
  let i = i0;
  let j = j0;
  let way = 3;
  for (;;) {
    const left = (way + 3) & 3;
    const lx = STEP_X[left]!;
    const ly = STEP_Y[left]!;
    if (way === 3) {
      if (seen[j * width + i]) break;
      seen[j * width + i] = 1;
    }
    const t = crossing(field, i, j, lx, ly);
    x.push(i + 0.5 + t * lx);
    y.push(j + 0.5 + t * ly);
    ways.push(way);
    hard.push(isHard(field, i, j, i + lx, j + ly) ? 1 : 0);
    const fx = STEP_X[way]!;
    const fy = STEP_Y[way]!;
    const aheadLeft = inside(i + lx + fx, j + ly + fy);
    const aheadRight = inside(i + fx, j + fy);
    let turnLeft = aheadLeft;
    if (aheadLeft && !aheadRight) {
      const at = j * width + i;
      const l = ly * width + lx;
      const f = fy * width + fx;
      turnLeft = (value[at]! + value[at + l]! + value[at + f]! + value[at + l + f]!) / 4 >= level;
    }
    if (turnLeft) {
      i += lx + fx;
      j += ly + fy;
      way = left;
    } else if (aheadRight) {
      i += fx;
      j += fy;
    } else way = (way + 1) & 3;
  }
  return {
    x: Float64Array.from(x),
    y: Float64Array.from(y),
    way: Uint8Array.from(ways),
    hard: Uint8Array.from(hard),
  };
}

function isHard({ width, height, value }: Field, i: number, j: number, oi: number, oj: number): boolean {
  const outer = oi < 0 || oj < 0 || oi >= width || oj >= height ? 0 : value[oj * width + oi]!;
  return value[j * width + i]! >= 1 - FLAT && outer <= FLAT;
}
