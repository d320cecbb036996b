/**
 * The even colours of a picture, those that its areas were drawn in.
 *
 * Pixels are counted in bins of 8 steps a channel, those of level ground (all four neighbours alike) apart. A colour
 * is even where most of what is near it lies close about it: areas are, shades are not, and the blends along edges
 * are no level ground. Colours drawn in thin strokes alone have none; they are looked for among all pixels,
 * off the ways between the colours already found, for on those ways lie the blends.
 */
import type { Colour, Seen } from "./seen.ts";

export interface Even {
  readonly colour: Colour;
  /** Pixels alike it and no nearer to another. */
  readonly pixels: number;
}

/** Colours this near (of 1, in each channel) are alike. */
export const ALIKE = 0.1;
/** Two even colours are further apart than this: JPEG leaves areas some levels beside their colour. */
export const APART = 8.5 / 255;
/** Of the pixels alike an even colour at least this share is within APART of it. */
const PEAK = 0.5;
/** And beside a colour that the picture has sharply, this much of it: less is what compression leaves about it. */
const LEAST_BESIDE = 0.05;
/** On level ground neighbours differ by less. */
const LEVEL = 4.5 / 255;
/** Areas smaller than both are left out. */
const LEAST_PIXELS = 9;
const LEAST_SHARE = 0.0003;
/** A stroke in a wanted colour has so many pixels of it. */
const LEAST_STROKE = 4;
/** So many colours at most, looked for among so many of the fullest bins. */
const MOST = 12;
const MOST_BINS = 128;

/**
 * The commonest first; two at least where the picture has two colours that are not alike, specks apart. `wanted`
 * colours are found however few pixels have them, and told from others near them.
 */
export function evenColours(
  seen: Seen,
  width: number,
  height: number,
  wanted: readonly Colour[] = [],
): Even[] {
  const { all, level, exact } = counted(seen, width, height, wanted);
  const least = Math.max(LEAST_PIXELS, LEAST_SHARE * seen.count);
  const found: Colour[] = [];
  const isThere = ({ near, just }: Exact): boolean => just > 0 && just >= PEAK * near;
  const sharp = wanted.filter((_, k) => isThere(exact[k]!.level));
  found.push(...sharp);
  peaks(level, found, sharp, LEAST_PIXELS, () => false);
  const areas = found.length;
  peaks(all, found, sharp, least, (at) => onTheWay(at, found));
  // A stroke's rim may have been found before its middle.
  for (let k = found.length - 1; k >= areas; k--) {
    const others = found.filter((_, n) => n !== k);
    if (onTheWay(found[k]!, others)) found.splice(k, 1);
  }
  wanted.forEach((colour, k) => {
    const { all: there, alike } = exact[k]!;
    if (found.some((one) => distance(one, colour) <= APART)) return;
    const isBlend = onTheWay(colour, found);
    if (isBlend ? there.just >= LEAST_STROKE && isThere(there) : alike >= LEAST_PIXELS) found.push(colour);
  });
  while (found.length < 2) {
    const second = farthest(all, found);
    if (!second) break;
    found.push(second);
  }
  const pixels = found.map(() => 0);
  for (const { mean, n } of all) {
    const k = nearest(mean, found);
    if (k >= 0 && distance(mean, found[k]!) <= ALIKE) pixels[k]! += n;
  }
  return found.map((colour, k) => ({ colour, pixels: pixels[k]! })).sort((a, b) => b.pixels - a.pixels);
}

export function distance(a: Colour, b: Colour): number {
  let most = 0;
  for (let c = 0; c < a.length; c++) most = Math.max(most, Math.abs(a[c]! - b[c]!));
  return most;
}

/** Index of the nearest colour, −1 where there are none. */
function nearest(at: Colour, colours: readonly Colour[]): number {
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  colours.forEach((colour, k) => {
    const d = distance(at, colour);
    if (d < least) {
      least = d;
      best = k;
    }
  });
  return best;
}

/** Pixels of nearly one colour. */
interface Bin {
  n: number;
  mean: number[];
}

/** Adds the even colours of the bins to those found, the commonest first; also those close beside `sharp` ones. */
function peaks(
  bins: readonly Bin[],
  found: Colour[],
  sharp: readonly Colour[],
  least: number,
  isBlend: (colour: Colour) => boolean,
): void {
  for (const bin of bins.slice(0, MOST_BINS)) {
    if (found.length >= MOST || bin.n < least / 8) return;
    if (found.some((one) => distance(bin.mean, one) <= APART)) continue;
    let { mean, n } = gathered(bins, bin.mean, APART);
    for (let pass = 0; pass < 2; pass++) ({ mean, n } = gathered(bins, mean, APART));
    if (n < least || found.some((one) => distance(mean, one) <= APART) || isBlend(mean)) continue;
    const about = sharp.filter((one) => distance(one, mean) <= ALIKE);
    const taken = about.reduce((sum, one) => sum + gathered(bins, one, APART).n, 0);
    const alike = gathered(bins, mean, ALIKE).n - taken;
    if (n >= PEAK * alike && n >= LEAST_BESIDE * taken) found.push(mean);
  }
}

/** Of what is alike none of those found the commonest, and the clearer the rather; null where that is a speck. */
function farthest(bins: readonly Bin[], found: readonly Colour[]): Colour | null {
  const far = ({ mean }: Bin): number =>
    found.reduce((least, one) => Math.min(least, distance(mean, one)), 1);
  const rest = bins.filter((bin) => far(bin) > ALIKE);
  let best: Bin | null = null;
  let most = 0;
  for (const bin of rest) {
    const weight = bin.n * far(bin) ** 2;
    if (weight <= most) continue;
    most = weight;
    best = bin;
  }
  if (!best || gathered(rest, best.mean, ALIKE).n < LEAST_PIXELS) return null;
  return gathered(rest, best.mean, APART).mean;
}

/** Count and mean of what lies within `reach` of a colour. */
function gathered(bins: readonly Bin[], about: Colour, reach: number): Bin {
  let n = 0;
  const mean = about.map(() => 0);
  for (const bin of bins) {
    if (distance(bin.mean, about) > reach) continue;
    n += bin.n;
    for (let c = 0; c < mean.length; c++) mean[c]! += bin.n * bin.mean[c]!;
  }
  return n > 0 ? { n, mean: mean.map((v) => v / n) } : { n, mean: [...about] };
}

/** Whether a colour is alike one of those found or a blend of two of them. */
function onTheWay(at: Colour, found: readonly Colour[]): boolean {
  return found.some((a, k) => found.slice(k).some((b) => aside(at, a, b) <= ALIKE));
}

/** Distance of a colour from the way between two. */
function aside(at: Colour, a: Colour, b: Colour): number {
  let dot = 0;
  let length2 = 0;
  for (let c = 0; c < at.length; c++) {
    dot += (at[c]! - a[c]!) * (b[c]! - a[c]!);
    length2 += (b[c]! - a[c]!) ** 2;
  }
  const t = length2 > 0 ? Math.min(1, Math.max(0, dot / length2)) : 0;
  return distance(
    at,
    a.map((v, c) => v + t * (b[c]! - v)),
  );
}

interface Counted {
  /** Bins of all pixels and of those on level ground, the fullest first. */
  readonly all: readonly Bin[];
  readonly level: readonly Bin[];
  /** Of each wanted colour; `alike`: pixels within ALIKE of it. */
  readonly exact: readonly { readonly all: Exact; readonly level: Exact; readonly alike: number }[];
}

/** Pixels within APART of a colour, and of just that colour, to the rounding. */
interface Exact {
  near: number;
  just: number;
}

/** Bits of a bin's number for each channel. */
const BITS: Readonly<Record<number, readonly number[]>> = { 1: [8], 3: [5, 5, 5], 4: [5, 5, 5, 3] };

function counted(seen: Seen, width: number, height: number, wanted: readonly Colour[]): Counted {
  const { channels } = seen;
  const bits = BITS[channels]!;
  const size = 1 << bits.reduce((a, b) => a + b, 0);
  // Count and channels' sums of each bin.
  const all = new Float64Array(size * (channels + 1));
  const level = new Float64Array(size * (channels + 1));
  const none = (): Exact => ({ near: 0, just: 0 });
  const exact = wanted.map(() => ({ all: none(), level: none(), alike: 0 }));
  seen.runs((from, to) => {
    let bin = 0;
    for (let c = 0; c < channels; c++)
      bin = (bin << bits[c]!) | Math.min((1 << bits[c]!) - 1, (seen.at(from, c) * (1 << bits[c]!)) | 0);
    const flat = levelPixels(seen, width, height, from, to);
    const at = bin * (channels + 1);
    for (let c = 0; c < channels; c++) {
      const v = seen.at(from, c);
      all[at + 1 + c]! += v * (to - from);
      level[at + 1 + c]! += v * flat;
    }
    all[at]! += to - from;
    level[at]! += flat;
    wanted.forEach((colour, k) => {
      const far = seen.far(from, colour);
      const there = exact[k]!;
      if (far <= ALIKE) there.alike += to - from;
      if (far <= APART) {
        there.all.near += to - from;
        there.level.near += flat;
      }
      if (far <= 1.01 / 255) {
        there.all.just += to - from;
        there.level.just += flat;
      }
    });
  });
  return { all: binsOf(all, channels), level: binsOf(level, channels), exact };
}

function binsOf(sums: Float64Array, channels: number): Bin[] {
  const bins: Bin[] = [];
  for (let at = 0; at < sums.length; at += channels + 1) {
    const n = sums[at]!;
    if (n > 0) bins.push({ n, mean: Array.from({ length: channels }, (_, c) => sums[at + 1 + c]! / n) });
  }
  return bins.sort((a, b) => b.n - a.n);
}

/** How many pixels of a run of equal ones have all their neighbours, left, right, above and below, alike. */
function levelPixels(seen: Seen, width: number, height: number, from: number, to: number): number {
  let count = 0;
  for (let i = from, x = from % width; i < to; i++, x++) {
    if (x === width) x = 0;
    if (x > 0 && i === from && !seen.alike(i, i - 1, LEVEL)) continue;
    if (x + 1 < width && i + 1 === to && !seen.alike(i, i + 1, LEVEL)) continue;
    if (i >= width && !seen.alike(i, i - width, LEVEL)) continue;
    if (i + width < width * height && !seen.alike(i, i + width, LEVEL)) continue;
    count++;
  }
  return count;
}
