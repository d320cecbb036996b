/** A map over the ink as a raster of viridis: white where no ink is, blended with white along its edge. */
import type { TurnProof } from "../../plan/fill/types.ts";
import { viridis } from "../colours.ts";
import type { View } from "../view.ts";
import type { Bar } from "./bar.ts";
import type { Scale } from "./scale.ts";

/** An RGBA raster. */
export interface Raster {
  readonly width: number;
  readonly data: Uint8Array;
}

/**
 * A pixel shows the cells whose middles it holds, or the cell that holds its middle. What a cell at the edge got lies on
 * its ink alone.
 */
export function paintMap(
  map: Float32Array,
  { grid, coverage }: Pick<TurnProof, "grid" | "coverage">,
  scale: Scale,
  view: View,
  { width, data }: Raster,
): void {
  const columns = spans(view.width, grid.columns, (i) => (view.a(view.left + i) - grid.left) / grid.cellMm);
  const rows = spans(view.height, grid.rows, (j) => (view.b(view.top + j) - grid.top) / grid.cellMm);
  for (let j = 0; j < view.height; j++) {
    for (let i = 0; i < view.width; i++) {
      let [ink, sum, cells] = [0, 0, 0];
      for (let row = rows[2 * j]!; row < rows[2 * j + 1]!; row++) {
        for (let column = columns[2 * i]!; column < columns[2 * i + 1]!; column++) {
          const n = row * grid.columns + column;
          cells++;
          if (!(coverage[n]! > 0 && Number.isFinite(map[n]!))) continue;
          ink += coverage[n]!;
          sum += map[n]!;
        }
      }
      if (!(ink > 0)) continue;
      const to = 4 * ((view.top + j) * width + view.left + i);
      viridis(scale.place((sum / ink) * scale.unit), data, to);
      for (let k = to; k < to + 3; k++) data[k] = Math.round(255 + (data[k]! - 255) * (ink / cells));
    }
  }
}

/** Of each pixel the first of its cells and the one after its last; none beside the grid. */
function spans(pixels: number, cells: number, cellAt: (pixel: number) => number): Int32Array {
  const list = new Int32Array(2 * pixels);
  const within = (cell: number): number => Math.min(cells, Math.max(0, cell));
  for (let i = 0; i < pixels; i++) {
    let [from, to] = [Math.round(cellAt(i)), Math.round(cellAt(i + 1))];
    if (from === to) {
      from = Math.floor(cellAt(i + 0.5));
      to = from + 1;
    }
    list[2 * i] = within(from);
    list[2 * i + 1] = within(to);
  }
  return list;
}

/** The scale's colours from left to right. */
export function paintBar({ left, top, width, height }: Bar, raster: Raster): void {
  for (let j = 0; j < height; j++) {
    let at = 4 * ((top + j) * raster.width + left);
    for (let i = 0; i < width; i++, at += 4) viridis((i + 0.5) / width, raster.data, at);
  }
}
