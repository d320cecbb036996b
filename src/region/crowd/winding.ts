/**
 * How often the polygons of a crowd wind around a point beside the leftmost vertex of each of them.
 *
 * Along a row of cells the windings of the middles follow from the edges that cross the row's middle line; from the
 * middle of a cell to a point in it, from the edges in the cell.
 */
import { orient2d } from "robust-predicates";
import type { Cells } from "./cells.ts";
import type { Edges } from "./edges.ts";

/** How far beside: far below what the vertices keep apart by chance. */
const beside = 2 ** -24;

/** By cell: the winding number of its middle. */
function windingsOfMiddles(all: Edges, cells: Cells): Int32Array {
  const { x, y, next } = all;
  const { side, columns, rows } = cells;
  const windings = new Int32Array(columns * rows);
  for (let k = 0; k < x.length; k++) {
    const j = next[k]!;
    const up = y[j]! > y[k]!;
    const low = up ? y[k]! : y[j]!;
    const high = up ? y[j]! : y[k]!;
    // Rows whose middle line is above `low` and not above `high`.
    const from = Math.max(0, Math.floor((low - cells.minY) / side + 0.5));
    for (let r = from; r < rows; r++) {
      const middle = cells.minY + (r + 0.5) * side;
      if (middle > high) break;
      if (middle <= low) continue;
      const at = x[k]! + ((x[j]! - x[k]!) * (middle - y[k]!)) / (y[j]! - y[k]!);
      // The last cell of the row whose middle is to the left.
      const c = Math.ceil((at - cells.minX) / side - 0.5) - 1;
      if (c >= 0) windings[r * columns + Math.min(c, columns - 1)]! += up ? 1 : -1;
    }
  }
  for (let r = 0; r < rows; r++) {
    for (let c = columns - 2; c >= 0; c--) windings[r * columns + c]! += windings[r * columns + c + 1]!;
  }
  return windings;
}

/** By polygon: its leftmost vertex, and the winding number on the right of the edges that meet there. */
export function startsOf(all: Edges, cells: Cells): { vertex: Int32Array; winding: Int32Array } {
  const { x, y, next, first } = all;
  const middles = windingsOfMiddles(all, cells);
  const count = first.length - 1;
  const vertex = new Int32Array(count);
  const winding = new Int32Array(count);
  for (let p = 0; p < count; p++) {
    const begin = first[p]!;
    const end = first[p + 1]!;
    let v = begin;
    for (let k = begin + 1; k < end; k++) if (x[k]! < x[v]!) v = k;
    vertex[p] = v;
    const qx = x[v]! - beside;
    const qy = y[v]!;
    const cell = cells.at(qx, qy);
    const mx = cells.minX + ((cell % cells.columns) + 0.5) * cells.side;
    const my = cells.minY + (Math.floor(cell / cells.columns) + 0.5) * cells.side;
    let w = middles[cell]!;
    for (let m = cells.first[cell]!; m < cells.first[cell + 1]!; m++) {
      const a = cells.edges[m]!;
      const b = next[a]!;
      const from = orient2d(x[a]!, y[a]!, x[b]!, y[b]!, mx, my) > 0;
      if (from === orient2d(x[a]!, y[a]!, x[b]!, y[b]!, qx, qy) > 0) continue;
      const across = orient2d(mx, my, qx, qy, x[a]!, y[a]!) > 0;
      if (across === orient2d(mx, my, qx, qy, x[b]!, y[b]!) > 0) continue;
      w += from ? 1 : -1;
    }
    const before = v === begin ? end - 1 : v - 1;
    const after = next[v]!;
    // Where the polygon turns left at its leftmost vertex, the point beside it is on its right.
    const left = orient2d(x[before]!, y[before]!, x[v]!, y[v]!, x[after]!, y[after]!) < 0;
    winding[p] = left ? w : w - 1;
  }
  return { vertex, winding };
}
