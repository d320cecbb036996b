/**
 * The points of the ink that decide focus and falloff. On a surface alike along its axis φ falls with |b|: its least value
 * over an area is met on the outline, its largest where the ink comes nearest to b = 0, which may be inside. On other
 * surfaces points all over the ink are taken too.
 */
import { evalCubic } from "../geometry/cubic.ts";
import { rowsAcross } from "../geometry/rows.ts";
import type { Surface } from "../vessel/surface.ts";
import type { Ink, InkShape } from "./ink.ts";

/** Flat points a₀ b₀ a₁ b₁ … (mm). */
export type InkPoints = Float64Array;

const COLUMNS = 1024;

/** `surface`: what the ink lies on. */
export function inkPoints(ink: Ink, surface: Surface): InkPoints {
  if (surface.alikeAlong) return Float64Array.from(outlinePoints(ink, COLUMNS, 1));
  const at = new Float64Array(12);
  const drop = (a: number, b: number): number => {
    if (!surface.covers(a, b)) return Number.NaN;
    surface.at(a, b, at);
    return at[2]!;
  };
  return Float64Array.from([...outlinePoints(ink, FEWER, STEPS, drop), ...insidePoints(ink)]);
}
/** A straight line of the flat is a curve there: it is looked at in so many places at least. */
const STEPS = 8;

/** Rows and columns of the points inside, and columns of the outline where there are those. */
const ROWS = 32;
const ACROSS = 48;
const FEWER = 256;

/** The middles of a grid's cells that fills cover. */
function insidePoints({ shapes, box }: Ink): number[] {
  const high = (box.maxY - box.minY) / ROWS;
  const wide = (box.maxX - box.minX) / ACROSS;
  if (!(high > 0 && wide > 0)) return [];
  const points: number[] = [];
  for (const { path, paint } of shapes) {
    if (paint !== "fill") continue;
    const { first, from, s } = rowsAcross(path, 0, high);
    for (let k = 0; k + 1 < from.length; k++) {
      const b = (first + k + 0.5) * high;
      for (let j = from[k]!; j + 1 < from[k + 1]!; j += 2) {
        const last = Math.floor((s[j + 1]! - box.minX) / wide - 0.5);
        for (let i = Math.ceil((s[j]! - box.minX) / wide - 0.5); i <= last; i++)
          points.push(box.minX + (i + 0.5) * wide, b);
      }
    }
  }
  return points;
}

/**
 * Outlines sampled at least once in each of so many columns they cross; of each column the points furthest left,
 * right, up and down and the one nearest b = 0 are kept, and the column's middle at b = 0 where ink covers it; where
 * there is a `drop`, those of the largest and the smallest too.
 */
function outlinePoints(
  ink: Ink,
  count: number,
  steps: number,
  drop?: (a: number, b: number) => number,
): number[] {
  const { minX, maxX } = ink.box;
  const width = Math.max(maxX - minX, 1e-9);
  const columns: (Float64Array | undefined)[] = Array.from({ length: count });
  const column = (a: number): number =>
    Math.min(count - 1, Math.max(0, Math.floor(((a - minX) / width) * count)));
  const keep = (a: number, b: number): void => {
    const i = column(a);
    const c = columns[i] ?? Float64Array.of(a, b, a, b, a, b, a, b, a, b);
    columns[i] = c;
    if (drop) extremes(i, a, b, drop(a, b));
    const put = (at: number): void => {
      c[at] = a;
      c[at + 1] = b;
    };
    // Of points equally far up or down the one further from the crown line is kept.
    const outer = (at: number): boolean => b === c[at + 1]! && Math.abs(a) > Math.abs(c[at]!);
    if (a < c[0]!) put(0);
    if (a > c[2]!) put(2);
    if (b < c[5]! || outer(4)) put(4);
    if (b > c[7]! || outer(6)) put(6);
    if (Math.abs(b) < Math.abs(c[9]!)) put(8);
  };
  const points: number[] = [];
  /** Of each column: a, b and drop of the highest and of the deepest. */
  const deep: (Float64Array | undefined)[] = [];
  const extremes = (i: number, a: number, b: number, s: number): void => {
    if (Number.isNaN(s)) return;
    const d = deep[i] ?? Float64Array.of(a, b, s, a, b, s);
    deep[i] = d;
    if (s < d[2]!) d.set([a, b, s]);
    if (s > d[5]!) d.set([a, b, s], 3);
  };
  /** True where a shape's box lies within what its columns have, so that its outline can add nothing. */
  const covered = ({ box }: InkShape): boolean => {
    if (drop) return false;
    if (box.minY <= 0 && box.maxY >= 0) return false;
    const nearest = Math.min(Math.abs(box.minY), Math.abs(box.maxY));
    const [first, last] = [column(box.minX), column(box.maxX)];
    for (let i = first; i <= last; i++) {
      const c = columns[i];
      if (!c || box.minY < c[5]! || box.maxY > c[7]! || nearest < Math.abs(c[9]!)) return false;
    }
    return box.minX >= columns[first]![0]! && box.maxX <= columns[last]![2]!;
  };
  for (const shape of ink.shapes) {
    if (covered(shape)) continue;
    const across = shape.paint === "fill" && shape.box.minY < 0 && shape.box.maxY > 0;
    const winding = across ? new Int32Array(count) : null;
    walk(shape, width, count, steps, (a0, b0, a1, b1) => {
      keep(a0, b0);
      keep(a1, b1);
      if (!winding || a0 === a1) return;
      // Middles of columns between the two: those crossed below b = 0 turn about (middle, 0).
      const place = (a: number): number => ((a - minX) / width) * count - 0.5;
      const [from, to] = a0 < a1 ? [place(a0), place(a1)] : [place(a1), place(a0)];
      for (let i = Math.max(0, Math.ceil(from)); i < to && i < count; i++) {
        const a = minX + ((i + 0.5) / count) * width;
        if (b0 + ((a - a0) / (a1 - a0)) * (b1 - b0) > 0) winding[i]! += a1 > a0 ? 1 : -1;
      }
    });
    winding?.forEach((turns, i) => {
      if (turns !== 0) points.push(minX + ((i + 0.5) / count) * width, 0);
    });
  }
  for (const c of columns) if (c) points.push(...c);
  for (const d of deep) if (d) points.push(d[0]!, d[1]!, d[3]!, d[4]!);
  return points;
}

/** Goes along a shape's outlines in steps of at most a column. */
function walk(
  shape: InkShape,
  width: number,
  count: number,
  steps: number,
  step: (a0: number, b0: number, a1: number, b1: number) => void,
): void {
  const out = new Float64Array(4);
  for (const { points: p, straight } of shape.path.contours) {
    for (let k = 0; k < straight.length; k++) {
      const i = 6 * k;
      const right = Math.max(p[i]!, p[i + 2]!, p[i + 4]!, p[i + 6]!);
      const left = Math.min(p[i]!, p[i + 2]!, p[i + 4]!, p[i + 6]!);
      const n = Math.ceil(((right - left) / width) * count) + (straight[k] ? steps : Math.max(4, steps));
      let a = p[i]!;
      let b = p[i + 1]!;
      for (let j = 1; j <= n; j++) {
        evalCubic(p, i, j / n, out);
        step(a, b, out[0]!, out[1]!);
        a = out[0]!;
        b = out[1]!;
      }
    }
  }
}
