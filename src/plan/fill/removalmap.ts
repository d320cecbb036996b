/**
 * What lines leave on a grid of the flat: each as it was laid, with the volume and the width it has there.
 *
 * Pulses along a line, λ to the mm, of peak fluence F₀ with L = ln(F₀/F_c): by the logarithmic law (beam/removal.ts) the
 * depth at the distance y across the line, for |y| < Y = w √(L/2) (half of Liu's D, Opt. Lett. 7, 196, 1982), is
 *
 *   z(y) = λ ∫ δ (L − 2(x² + y²)/w²) dx over |x| < X = √(Y² − y²)  =  (8/3)(λδ/w²) (Y² − y²)^{3/2}
 *   ∫ z dy = π λδ Y⁴/w² = λ (π/4) w² δ L² = λV,   so that   z(y) = λV · 8/(3πY) · (1 − y²/Y²)^{3/2}
 *
 * A slanted beam's crater is the same paraboloid over an ellipse, and a line of such has the same profile with Y half of
 * the ellipse's extent across the line. Of it lies below x = y/Y
 *
 *   C(x) = ½ + (8/3π) (x(5 − 2x²) √(1 − x²)/8 + (3/8) asin x),   ∫C = K(x) = x C(x) + (8/15π) (1 − x²)^{5/2}
 *
 * A line is split where it crosses the columns of cells of the axis nearer to it, and each piece is shared out over the
 * cells of its column: below the edge e lies the mean of C((e − y)/Y) over the piece's own y, by K. So a line of even
 * volume and width is exact at any angle but within a cell and Y of its ends: pulses are counted as ending where the line
 * does, and a line aslant as ending along the column. Along a piece volume and width are those of its middle.
 */
import { directions, type Rows } from "../../geometry/rows.ts";
import type { Grid } from "./coverage.ts";
import { Lattice } from "./lattice.ts";

/** One set of lines as laid, and what a line leaves. */
export interface Trace {
  readonly angleDeg: number;
  /** t of each row. */
  readonly at: Float64Array;
  readonly rows: Pick<Rows, "from" | "s">;
  /** Volume removed (mm³, ≥ 0) per mm of line on the flat; without a coating any unit. NaN where no line can be. */
  volumeAt(a: number, b: number): number;
  /** Half-width Y (mm, ≥ 0) on the flat, across the line, of what one line leaves. NaN where no line can be. */
  halfWidthAt(a: number, b: number): number;
}

/** Share of what a line leaves that lies below x = y/Y. */
export function shareBelow(x: number): number {
  if (!(Math.abs(x) < 1)) return x > 0 ? 1 : 0;
  return 0.5 + (x * (5 - 2 * x * x) * Math.sqrt(1 - x * x) + 3 * Math.asin(x)) / (3 * Math.PI);
}

/** Its integral from −1. */
export function shareSummed(x: number): number {
  if (!(Math.abs(x) < 1)) return Math.max(0, x);
  const u = 1 - x * x;
  return x * shareBelow(x) + ((8 / 15) * u * u * Math.sqrt(u)) / Math.PI;
}

/**
 * Depth (mm) in every cell: the volume over the cell's area on the vessel, `areaAt` times that on the flat (> 0, or NaN
 * where there is no vessel, and no depth either: NaN). What falls beside the grid is not in it. The lines' own ripple
 * shows as well, the less the more pitches a cell has: two sets at right angles, 1.3 Y apart, spread by 1 % at three of
 * them. RangeError where a line lies and its volume or width is not known.
 */
export function removalMap(
  grid: Grid,
  traces: readonly Trace[],
  areaAt: (a: number, b: number) => number,
): Float32Array {
  const { cellMm, columns } = grid;
  const volume = new Float64Array(columns * grid.rows);
  for (const trace of traces) lay(grid, trace, volume);
  const area = new Lattice(grid, areaAt);
  const ratio = new Float64Array(1);
  const depth = new Float32Array(volume.length);
  for (let n = 0; n < depth.length; n++) {
    if (volume[n] === 0) continue;
    area.at((n % columns) + 0.5, Math.floor(n / columns) + 0.5, ratio);
    depth[n] = ratio[0]! > 0 ? volume[n]! / (ratio[0]! * cellMm * cellMm) : Number.NaN;
  }
  return depth;
}

function lay(grid: Grid, { angleDeg, at, rows, ...trace }: Trace, into: Float64Array): void {
  const { cellMm: cell, columns } = grid;
  if (rows.from.length !== at.length + 1) throw new RangeError("not every row says where it lies");
  const [ax, ay, px, py] = directions(angleDeg);
  const lying = Math.abs(ax) >= Math.abs(ay);
  // From here on in cells: x along the axis nearer to the lines, y along the other one.
  const [xs, ys, xt, yt] = lying ? [ax, ay, px, py] : [ay, ax, py, px];
  const [left, top] = lying ? [grid.left, grid.top] : [grid.top, grid.left];
  const [across, down] = lying ? [columns, grid.rows] : [grid.rows, columns];
  const [stepX, stepY] = lying ? [1, columns] : [columns, 1];
  const lattice = new Lattice(
    grid,
    (a, b) => trace.volumeAt(a, b),
    (a, b) => trace.halfWidthAt(a, b),
  );
  const leaves = new Float64Array(2);
  const slope = ys / xs;
  const stretch = 1 / Math.abs(xs);
  // One loop without pairs and closures: what they allocate for each piece takes a quarter of the time.
  for (let i = 0; i < at.length; i++) {
    const [x, y] = [(at[i]! * xt - left) / cell, (at[i]! * yt - top) / cell];
    for (let k = rows.from[i]!; k + 1 < rows.from[i + 1]!; k += 2) {
      const [xa, xb] = [x + (rows.s[k]! * xs) / cell, x + (rows.s[k + 1]! * xs) / cell];
      const [start, end] = xs > 0 ? [xa, xb] : [xb, xa];
      const y0 = y - x * slope;
      const stop = Math.min(across, end);
      for (let column = Math.max(0, Math.floor(start)); column < stop; column++) {
        const x0 = Math.max(column, start);
        const x1 = Math.min(column + 1, stop);
        const ya = y0 + x0 * slope;
        const yb = y0 + x1 * slope;
        const middleX = (x0 + x1) / 2;
        const middleY = (ya + yb) / 2;
        lattice.at(lying ? middleX : middleY, lying ? middleY : middleX, leaves);
        const perMm = leaves[0]!;
        const halfMm = leaves[1]!;
        if (!(perMm >= 0 && perMm < Infinity && halfMm >= 0 && halfMm < Infinity)) {
          throw new RangeError("a line lies where it is not known what it leaves");
        }
        const half = (halfMm * stretch) / cell;
        const amount = perMm * (x1 - x0) * stretch * cell;
        const low = Math.min(ya, yb);
        const high = Math.max(ya, yb);
        const first = Math.max(0, Math.floor(low - half));
        const last = Math.min(down, Math.floor(high + half) + 1);
        let below = meanBelow(first, low, high, half);
        for (let j = first; j < last; j++) {
          const next = meanBelow(j + 1, low, high, half);
          into[column * stepX + j * stepY]! += amount * (next - below);
          below = next;
        }
      }
    }
  }
}

/** Share below the edge e of what a line leaves that runs evenly from y = low to high. */
function meanBelow(e: number, low: number, high: number, half: number): number {
  if (e <= low - half) return 0;
  if (e >= high + half) return 1;
  const rise = high - low;
  if (half === 0) return (e - low) / rise;
  if (rise <= 1e-3 * half) return shareBelow((e - (low + high) / 2) / half);
  return ((shareSummed((e - low) / half) - shareSummed((e - high) / half)) * half) / rise;
}

export interface Spread {
  readonly mean: number;
  /** 5th and 95th percentile. */
  readonly low: number;
  readonly high: number;
  /** (high − low) / mean. */
  readonly spread: number;
  readonly cells: number;
}

const TAIL = 0.05;
/** Cells at least, for a percentile to mean something. */
const FEW = 50;

/** Over the cells that count; null where they are few or nearly all 0. RangeError where one has no depth. */
export function spreadOf(map: Float32Array, counts: Uint8Array): Spread | null {
  let [cells, sum] = [0, 0];
  const all = new Float32Array(map.length);
  for (let i = 0; i < map.length; i++) {
    if (counts[i] !== 1) continue;
    all[cells++] = map[i]!;
    sum += map[i]!;
  }
  if (cells < FEW) return null;
  const mean = sum / cells;
  if (!Number.isFinite(mean)) throw new RangeError("a cell that counts has no depth");
  const sorted = all.subarray(0, cells).sort();
  const at = (p: number): number => sorted[Math.round(p * (cells - 1))]!;
  const [low, high] = [at(TAIL), at(1 - TAIL)];
  if (high === 0) return null;
  return { mean, low, high, spread: (high - low) / mean, cells };
}
