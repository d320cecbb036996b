/** The ink on the flat as a raster of coverage: what a picture of the vessel looks its ink up in. */
import type { Plan } from "../../plan/types.ts";
import { pathData, roundedPath } from "../marks.ts";
import { tag } from "../svg.ts";

/** Where a raster of the flat lies, and how fine it is. */
export interface MaskPlace {
  readonly width: number;
  readonly height: number;
  /** Texels per mm. */
  readonly perMm: number;
  /** Its top left corner on the flat (mm). */
  readonly minA: number;
  readonly minB: number;
}

/** Texels kept free around the ink. */
const BORDER = 4;
/** A renderer of drawings takes no side longer than this, and memory ends somewhere. */
const LONGEST = 30_000;
const MOST = 60e6;

/** The raster over all the ink, lines with their width, at so many texels per mm or as many as it may have. */
export function maskPlace({ ink, spot }: Pick<Plan, "ink" | "spot">, asked: number): MaskPlace {
  const half = ink.lengthMm > 0 ? spot.waistDiameterMm / 2 : 0;
  const [minX, minY] = [ink.box.minX - half, ink.box.minY - half];
  const [wide, high] = [ink.box.maxX + half - minX, ink.box.maxY + half - minY];
  const perMm = Math.min(
    asked,
    (LONGEST - 2 * BORDER) / Math.max(wide, high),
    Math.sqrt(MOST / (wide * high + 1)),
  );
  return {
    width: Math.ceil(wide * perMm) + 2 * BORDER,
    height: Math.ceil(high * perMm) + 2 * BORDER,
    perMm,
    minA: minX - BORDER / perMm,
    minB: minY - BORDER / perMm,
  };
}

/** White ink on black, one px a texel: for a renderer of drawings to make the coverage of. Lines are a spot wide. */
export function maskSvg({ ink, spot }: Pick<Plan, "ink" | "spot">, place: MaskPlace): string {
  const { width, height, perMm, minA, minB } = place;
  const shapes = ink.shapes.map(({ paint, path }) =>
    tag("path", {
      d: pathData(roundedPath(path, 4)),
      ...(paint === "fill" ? { fill: "#ffffff" } : lineOf(spot.waistDiameterMm)),
    }),
  );
  const placed = tag("g", { transform: `scale(${perMm}) translate(${-minA} ${-minB})` }, shapes.join(""));
  const ground = tag("rect", { width, height, fill: "#000000" });
  return tag(
    "svg",
    { xmlns: "http://www.w3.org/2000/svg", width, height, viewBox: `0 0 ${width} ${height}` },
    ground + placed,
  );
}

const lineOf = (width: number) => ({
  fill: "none",
  stroke: "#ffffff",
  "stroke-width": String(width),
  "stroke-linecap": "round",
  "stroke-linejoin": "round",
});

/** Side of a block of texels that are summed up. */
const BLOCK = 4;

/** Coverage by texel, and sums by block that tell at once where all or nothing is ink. */
export class InkMask {
  readonly place: MaskPlace;
  readonly #data: Uint8Array;
  /** Sums over all blocks above and to the left. */
  readonly #sums: Float64Array;
  readonly #columns: number;
  readonly #rows: number;

  /** `data`: width × height coverages, 0 to 255. */
  constructor(place: MaskPlace, data: Uint8Array) {
    const { width, height } = place;
    if (data.length !== width * height) throw new RangeError("a mask needs one byte for each texel");
    this.place = place;
    this.#data = data;
    this.#columns = Math.ceil(width / BLOCK);
    this.#rows = Math.ceil(height / BLOCK);
    const across = this.#columns + 1;
    const sums = new Float64Array(across * (this.#rows + 1));
    for (let y = 0, at = 0; y < height; y++) {
      const row = across * (Math.floor(y / BLOCK) + 1);
      for (let x = 0; x < width; x++, at++) sums[row + (x >> 2) + 1]! += data[at]!;
    }
    for (let j = 1; j <= this.#rows; j++) {
      let left = 0;
      for (let i = 1; i < across; i++) {
        left += sums[j * across + i]!;
        sums[j * across + i] = left + sums[(j - 1) * across + i]!;
      }
    }
    this.#sums = sums;
  }

  /** 0 where a box of the flat has no ink, 1 where all of it is ink, NaN where one must look. */
  within(a0: number, a1: number, b0: number, b1: number): number {
    const { width, height, perMm, minA, minB } = this.place;
    // All texels that a look within the box may be made of.
    const [x0, x1] = [Math.floor((a0 - minA) * perMm - 0.5), Math.ceil((a1 - minA) * perMm - 0.5)];
    const [y0, y1] = [Math.floor((b0 - minB) * perMm - 0.5), Math.ceil((b1 - minB) * perMm - 0.5)];
    if (x1 < 0 || y1 < 0 || x0 >= width || y0 >= height) return 0;
    const [i0, i1] = [Math.max(0, x0 >> 2), Math.min(this.#columns, (x1 >> 2) + 1)];
    const [j0, j1] = [Math.max(0, y0 >> 2), Math.min(this.#rows, (y1 >> 2) + 1)];
    const w = this.#columns + 1;
    const s = this.#sums;
    const sum = s[j1 * w + i1]! - s[j0 * w + i1]! - s[j1 * w + i0]! + s[j0 * w + i0]!;
    if (sum === 0) return 0;
    return sum === 255 * BLOCK * BLOCK * (i1 - i0) * (j1 - j0) ? 1 : Number.NaN;
  }

  /** Share of ink at (a, b): straight between the middles of texels, so that an edge moves on by less than one. */
  at(a: number, b: number): number {
    const { width, height, perMm, minA, minB } = this.place;
    const [x, y] = [(a - minA) * perMm - 0.5, (b - minB) * perMm - 0.5];
    // The border holds no ink, so that nothing is lost where four texels do not stand around a place.
    if (!(x >= 0 && y >= 0 && x < width - 1 && y < height - 1)) return 0;
    const [i, j] = [Math.floor(x), Math.floor(y)];
    const [u, v] = [x - i, y - j];
    const k = j * width + i;
    const d = this.#data;
    const top = d[k]! + u * (d[k + 1]! - d[k]!);
    const low = d[k + width]! + u * (d[k + width + 1]! - d[k + width]!);
    return (top + v * (low - top)) / 255;
  }
}
