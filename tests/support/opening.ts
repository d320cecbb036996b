/**
 * What a disc cannot reach: the residue of the morphological opening (Serra 1982) on a grid, by the exact
 * Euclidean distance transform of Felzenszwalb and Huttenlocher (Theory of Computing 8, 2012).
 */
import { type Contour, PathBuilder } from "../../src/geometry/path.ts";

export interface Raster {
  readonly width: number;
  readonly height: number;
  /** 1 where the set is. */
  readonly inside: Uint8Array;
}

/** Squared distance (in cells) from each cell to the nearest one where `inside` equals `value`. */
export function squaredDistance({ width, height, inside }: Raster, value: 0 | 1): Float64Array {
  const far = 1e12;
  const d = Float64Array.from(inside, (v) => (v === value ? 0 : far));
  const line = (at: (k: number) => number, n: number): void => {
    const f = Float64Array.from({ length: n }, (_, k) => d[at(k)]!);
    const v = new Int32Array(n);
    const z = new Float64Array(n + 1).fill(Infinity);
    z[0] = -Infinity;
    let k = 0;
    const meet = (p: number, q: number): number => (f[q]! + q * q - f[p]! - p * p) / (2 * (q - p));
    for (let q = 1; q < n; q++) {
      while (k > 0 && meet(v[k]!, q) <= z[k]!) k--;
      const s = meet(v[k]!, q);
      if (s <= z[k]!) v[k] = q;
      else {
        v[++k] = q;
        z[k] = s;
      }
      z[k + 1] = Infinity;
    }
    k = 0;
    for (let q = 0; q < n; q++) {
      while (z[k + 1]! < q) k++;
      d[at(q)] = (q - v[k]!) ** 2 + f[v[k]!]!;
    }
  };
  for (let x = 0; x < width; x++) line((y) => y * width + x, height);
  for (let y = 0; y < height; y++) line((x) => y * width + x, width);
  return d;
}

/** How many cells of the set no disc of this diameter (cells) that lies inside covers. */
export function residue(raster: Raster, diameter: number): number {
  const r = diameter / 2;
  // A boundary runs half a cell before the first cell outside; two cells are left to the grid.
  const toOutside = squaredDistance(raster, 0);
  const centres = Uint8Array.from(toOutside, (d) => (Math.sqrt(d) - 0.5 >= r ? 1 : 0));
  const toCentre = squaredDistance({ ...raster, inside: centres }, 1);
  let left = 0;
  raster.inside.forEach((v, i) => {
    if (v === 1 && Math.sqrt(toCentre[i]!) > r + 2) left++;
  });
  return left;
}

/** A smooth closed curve r(θ) = R(1 + Σ a cos(kθ + φ)), in 96 cubics through its own points and tangents. */
export const wave = (x: number, y: number, radius: number, waves: readonly Wave[]): Contour<"flat"> => {
  const n = 96;
  const at = (t: number): [number, number, number, number] => {
    const r = radius * (1 + waves.reduce((s, [k, a, p]) => s + a * Math.cos(k * t + p), 0));
    const d = radius * waves.reduce((s, [k, a, p]) => s - a * k * Math.sin(k * t + p), 0);
    const [c, s] = [Math.cos(t), Math.sin(t)];
    return [x + r * c, y + r * s, d * c - r * s, d * s + r * c];
  };
  const b = new PathBuilder<"flat">();
  const h = (2 * Math.PI) / n / 3;
  b.move(at(0)[0], at(0)[1]);
  for (let i = 0; i < n; i++) {
    const [x0, y0, u0, v0] = at((2 * Math.PI * i) / n);
    const [x1, y1, u1, v1] = at((2 * Math.PI * ((i + 1) % n)) / n);
    b.cubic(x0 + h * u0, y0 + h * v0, x1 - h * u1, y1 - h * v1, x1, y1);
  }
  return b.close().build().contours[0]!;
};
/** k, a, φ. */
export type Wave = readonly [number, number, number];

/** Even-odd on a grid from the curves' own points, 97 of them to a curve. */
export function raster(contours: readonly Contour<"flat">[], size: number, cell: number): Raster {
  const n = Math.ceil(size / cell);
  const inside = new Uint8Array(n * n);
  for (let j = 0; j < n; j++) {
    const y = (j + 0.5) * cell - size / 2;
    const cuts: number[] = [];
    for (const { points: p } of contours) {
      for (let i = 0; i + 7 < p.length; i += 6) {
        const [x0, y0, x1, y1] = [p[i]!, p[i + 1]!, p[i + 6]!, p[i + 7]!];
        if (y0 <= y !== y1 <= y) cuts.push(x0 + ((y - y0) / (y1 - y0)) * (x1 - x0));
      }
    }
    cuts.sort((a, b) => a - b);
    for (let k = 0; k + 1 < cuts.length; k += 2) {
      const from = Math.ceil((cuts[k]! + size / 2) / cell - 0.5);
      const to = (cuts[k + 1]! + size / 2) / cell - 0.5;
      for (let i = Math.max(0, from); i < to && i < n; i++) inside[j * n + i] = 1;
    }
  }
  return { width: n, height: n, inside };
}
