/** What a picture is made of, as shares of its pixels, 0…1: how much of it has none of its colours, how busy it is. */

/** A picture with more than this of stray tones is shaded: no drawing in even colours. */
const MOST_STRAY = 0.12;
/** One whose outlines cross more than this share of its links is a halftone or noise, */
const MOST_BUSY = 0.15;
/** unless it is so small that they cross a row of pixels no more often than this. */
const FEW_CROSSINGS = 8;

export const isShaded = (stray: number): boolean => stray > MOST_STRAY;

export const isDots = (busy: number, width: number, height: number): boolean =>
  busy > MOST_BUSY && busy * Math.sqrt(width * height) > FEW_CROSSINGS;

/** An edge's coverage changes by more than this from pixel to pixel, even where it is blurred or enlarged. */
const STEEP = 0.06;

/**
 * Pixels that are alike none of the picture's colours (`known`) and have none such beside them, and where coverage
 * changes too slowly for an edge: shades.
 */
export function strayShare(
  width: number,
  height: number,
  value: Float32Array,
  known: (i: number) => boolean,
): number {
  const last = width * height - 1;
  let stray = 0;
  for (let j = 0, i = 0; j < height; j++)
    for (let k = 0; k < width; k++, i++) {
      if (known(i)) continue;
      let beside = false;
      for (let dj = Math.max(0, j - 1); dj <= Math.min(height - 1, j + 1) && !beside; dj++)
        for (let di = Math.max(0, k - 1); di <= Math.min(width - 1, k + 1) && !beside; di++)
          beside = known(dj * width + di);
      if (beside) continue;
      const across = value[Math.min(last, i + 1)]! - value[Math.max(0, i - 1)]!;
      const down = value[j + 1 < height ? i + width : i]! - value[j > 0 ? i - width : i]!;
      if (Math.hypot(across, down) < 2 * STEEP) stray++;
    }
  return stray / Math.max(1, width * height);
}

/** Links between neighbours that an outline crosses. */
export function busyShare(width: number, height: number, value: Float32Array): number {
  let crossed = 0;
  for (let j = 0, i = 0; j < height; j++) {
    for (let k = 0; k < width; k++, i++) {
      const inside = value[i]! >= 0.5;
      if (k + 1 < width && value[i + 1]! >= 0.5 !== inside) crossed++;
      if (j + 1 < height && value[i + width]! >= 0.5 !== inside) crossed++;
    }
  }
  return crossed / Math.max(1, 2 * width * height - width - height);
}
