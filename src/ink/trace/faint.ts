/**
 * What shows in a picture and is lost by its outlines: lines and spots that nowhere cover half a pixel, and pale
 * areas past the threshold. The soft rim of what is traced is none of it: there coverage only falls from the ink
 * to the ground, while a line stands out over both its sides.
 */

export interface Faint {
  /** How many pixels show it. */
  readonly pixels: number;
  /** Their coverage summed, pixels². */
  readonly area: number;
  /** Middle of its box in pixels, (0, 0) the picture's top left corner. */
  readonly x: number;
  readonly y: number;
}

interface Shown {
  readonly width: number;
  readonly height: number;
  /** Coverage of ink by blending alone, row by row. */
  readonly value: Float32Array;
  /** Less coverage in all than this (pixels²) is nothing: an edge's tip, a grain. */
  readonly least: number;
  /** Whether a pixel of level ground is ink; null for pixels that are not of level ground. */
  readonly level: (i: number, j: number) => boolean | null;
}

/** Less coverage than this is no clear difference from the ground. */
const CLEAR = 0.1;
/** A line's sides, within so many pixels, are less than this part of it. */
const SIDES = 2;
const FALL = 0.5;
/** Level ground so near to ink may be its rim in a picture enlarged pixel by pixel. */
const STEP = 3;
/** Compressed pictures have noise about their edges: there all must be so many times as much. */
const NOISY = 2.5;
/** Noise: so many pixels of uneven ground, off by more than a rounding, to a pixel of a rim. */
const NOISE_SHARE = 0.5;
const ROUNDING = 0.012;
/** What comes within so many pixels of ink must be so many times as much: a corner's tip fades there. */
const BESIDE = 2;
const TIP = 3;

const WAYS: readonly (readonly [number, number])[] = [
  [1, 0],
  [0, 1],
  [1, 1],
  [1, -1],
];

/** Connected parts, over corners too, the largest first. */
export function faintParts(shown: Shown): Faint[] {
  const { width, height, value, least } = shown;
  const more = isNoisy(shown) ? NOISY : 1;
  const lost = new Set<number>();
  for (let j = 0, i = 0; j < height; j++)
    for (let k = 0; k < width; k++, i++) if (value[i]! >= CLEAR * more && isLost(shown, k, j)) lost.add(i);
  const isTip = (at: number): boolean => inkWithin(shown, at % width, Math.floor(at / width), BESIDE);
  return partsOf(lost, width, value)
    .filter(({ area, members }) => area >= least * more * (members.some(isTip) ? TIP : 1))
    .map(({ members, ...part }) => ({ ...part, pixels: members.length }))
    .sort((a, b) => b.area - a.area);
}

/** Ink by outline: half covered, or of level ground that is ink. */
function isInk({ width, value, level }: Shown, i: number, j: number): boolean {
  return level(i, j) ?? value[j * width + i]! >= 0.5;
}

function isLost(shown: Shown, i: number, j: number): boolean {
  const { width, height, value, level } = shown;
  if (isInk(shown, i, j) || inkWithin(shown, i, j, 1)) return false;
  if (level(i, j) === false) return !inkWithin(shown, i, j, STEP);
  const own = value[j * width + i]!;
  const falls = (di: number, dj: number): boolean => {
    for (let n = 1; n <= SIDES; n++) {
      const x = i + n * di;
      const y = j + n * dj;
      const beyond = x < 0 || y < 0 || x >= width || y >= height;
      if (beyond || value[y * width + x]! < FALL * own) return true;
    }
    return false;
  };
  return WAYS.some(([di, dj]) => falls(di, dj) && falls(-di, -dj));
}

function inkWithin(shown: Shown, i: number, j: number, reach: number): boolean {
  const { width, height } = shown;
  for (let y = Math.max(0, j - reach); y <= Math.min(height - 1, j + reach); y++)
    for (let x = Math.max(0, i - reach); x <= Math.min(width - 1, i + reach); x++)
      if (isInk(shown, x, y)) return true;
  return false;
}

/** Whether the ground is uneven, as lossy files leave it; pixels beside clearer ones do not count. */
function isNoisy({ width, height, value }: Shown): boolean {
  let rims = 0;
  let uneven = 0;
  for (let j = 1; j < height - 1; j++)
    for (let k = 1; k < width - 1; k++) {
      const v = value[j * width + k]!;
      if (v >= CLEAR && v < 0.5) rims++;
      if (v >= CLEAR || v <= ROUNDING) continue;
      let beside = false;
      for (let dj = -width; dj <= width && !beside; dj += width)
        for (let d = -1; d <= 1 && !beside; d++) beside = value[j * width + k + dj + d]! >= CLEAR;
      if (!beside) uneven++;
    }
  return uneven > NOISE_SHARE * rims;
}

type Part = Omit<Faint, "pixels"> & { readonly members: readonly number[] };

function partsOf(pixels: Set<number>, width: number, value: Float32Array): Part[] {
  const parts: Part[] = [];
  for (const start of pixels) {
    pixels.delete(start);
    const open = [start];
    const members: number[] = [];
    let area = 0;
    let [minX, minY, maxX, maxY] = [width, Number.POSITIVE_INFINITY, 0, 0];
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      const x = at % width;
      const y = (at - x) / width;
      members.push(at);
      area += value[at]!;
      [minX, minY, maxX, maxY] = [Math.min(minX, x), Math.min(minY, y), Math.max(maxX, x), Math.max(maxY, y)];
      for (let dy = -1; dy <= 1; dy++)
        for (let dx = -1; dx <= 1; dx++) {
          const there = at + dy * width + dx;
          if (x + dx >= 0 && x + dx < width && pixels.delete(there)) open.push(there);
        }
    }
    parts.push({ members, area, x: (minX + maxX + 1) / 2, y: (minY + maxY + 1) / 2 });
  }
  return parts;
}
