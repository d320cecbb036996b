/**
 * The usable ink as cells of a grid on the flat: how much area lies in each, by rows across it. The head and the
 * vessel are the same left and right of the crown line, so that cells at a and −a are one.
 */
import { rowsAcross } from "../../geometry/rows.ts";
import type { Warp } from "../../warp/warp.ts";
import type { InkShape } from "../ink.ts";
import type { Met } from "./process.ts";

export interface Cell {
  /** Middle of the cell, a ≥ 0 (mm). */
  readonly a: number;
  readonly b: number;
  readonly met: Met;
  readonly areaMm2: number;
}

const COLUMNS = 96;
const ROWS = 48;
/** Rows of the scan in each row of the grid at least, and no farther apart (mm) than thin ink is thick, up to so many. */
const SCANS = 4;
const APART_MM = 0.05;
const MOST_SCANS = 100;

/** Cells of filled ink that the beam meets; centre lines have no area. */
export function cellsOf(shapes: readonly InkShape[], warp: Warp): Cell[] {
  const fills = shapes.filter((shape) => shape.paint === "fill");
  if (fills.length === 0) return [];
  let [maxA, minB, maxB] = [0, Infinity, -Infinity];
  for (const { box } of fills) {
    maxA = Math.max(maxA, Math.abs(box.minX), Math.abs(box.maxX));
    minB = Math.min(minB, box.minY);
    maxB = Math.max(maxB, box.maxY);
  }
  const [wide, high] = [maxA / COLUMNS, (maxB - minB) / ROWS];
  const areas = new Float64Array(COLUMNS * ROWS);
  const pitch = high / Math.min(MOST_SCANS, Math.max(SCANS, Math.ceil(high / APART_MM)));
  // Of one shape: which cells, and how much of the rows in them.
  let at: number[] = [];
  let lengths: number[] = [];
  /** Lays the stretch from s0 to s1, both on one side of the crown line and s0 the nearer. */
  const lay = (row: number, s0: number, s1: number): void => {
    const last = Math.min(COLUMNS - 1, Math.floor(s1 / wide));
    for (let i = Math.min(COLUMNS - 1, Math.floor(s0 / wide)); i <= last; i++) {
      const length = Math.min(s1, (i + 1) * wide) - Math.max(s0, i * wide);
      if (!(length > 0)) continue;
      at.push(row * COLUMNS + i);
      lengths.push(length);
    }
  };
  for (const { path, areaMm2, box } of fills) {
    [at, lengths] = [[], []];
    const { first, from, s } = rowsAcross(path, 0, pitch);
    for (let k = 0; k + 1 < from.length; k++) {
      const t = (first + k + 0.5) * pitch;
      const row = Math.min(ROWS - 1, Math.max(0, Math.floor((t - minB) / high)));
      for (let j = from[k]!; j + 1 < from[k + 1]!; j += 2) {
        const [s0, s1] = [s[j]!, s[j + 1]!];
        if (s1 > 0) lay(row, Math.max(0, s0), s1);
        if (s0 < 0) lay(row, Math.max(0, -s1), -s0);
      }
    }
    if (at.length === 0) {
      // A shape that slips between the rows is laid across its box.
      const row = Math.min(ROWS - 1, Math.max(0, Math.floor(((box.minY + box.maxY) / 2 - minB) / high)));
      if (box.maxX > 0) lay(row, Math.max(0, box.minX), box.maxX);
      if (box.minX < 0) lay(row, Math.max(0, -box.maxX), -box.minX);
    }
    if (at.length === 0) continue;
    // What the rows find is shared out; how much there is, the outline says.
    const unit = areaMm2 / lengths.reduce((sum, v) => sum + v, 0);
    for (let i = 0; i < at.length; i++) areas[at[i]!]! += unit * lengths[i]!;
  }
  const cells: Cell[] = [];
  areas.forEach((area, k) => {
    if (!(area > 0)) return;
    const a = ((k % COLUMNS) + 0.5) * wide;
    const b = minB + (Math.floor(k / COLUMNS) + 0.5) * high;
    const met = warp.meeting(a, b);
    if (typeof met !== "string") cells.push({ a, b, met, areaMm2: area });
  });
  return cells;
}
