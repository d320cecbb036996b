/**
 * A bitmap's colours → coverage of ink, 0…1 per pixel, 0.5 the edge, where a lightness parts ink from ground.
 *
 * An edge pixel of a one-colour picture is a blend, weighted by the area covered, of the ink's colour D and the
 * ground's colour L, made on the sRGB values as stored (CSS Compositing and Blending 1, simple alpha compositing).
 * Its luminance is not the blend of the two luminances: half black, half white is stored as 0.5 and has luminance
 * 0.21 (IEC 61966-2-1), so that the iso-line of luminance 0.5 lies where only 26 % is covered (0.5 is stored as 0.735).
 * What is wanted is the share itself, c = (p − L)·(D − L) / |D − L|² on the stored values.
 *
 * D and L are the commonest colours on either side of the threshold. Flat pixels, of like colour with others in a
 * row of three both ways, are areas and not edges: they are ink or not by the threshold alone, so
 * that a grey area is judged as the same grey would be in a drawing. Blends of other colours than D and L are
 * placed by their stored lightness between those of D, threshold and L. A picture of more even colours is mixed of
 * those.
 */
import { faintParts } from "./faint.ts";
import { type InkField, mixedField } from "./field.ts";
import { ALIKE, distance, evenColours } from "./palette.ts";
import { between, type Colour, isWide, Seen } from "./seen.ts";
import { busyShare, isDots, isShaded, strayShare } from "./shares.ts";

/** Lightness of a colour whose parts are 0…1, for instance its luminance over white; `a` its opacity. */
export type Lightness = (r: number, g: number, b: number, a: number) => number;

/** Neighbours in a flat area differ by less than this part of the step from D to L in each channel. */
const LEVEL = 0.04;
/** And by less than this where the step is small: 8 bits tell no more. */
const LEAST_LEVEL = 1.5 / 255;
/** Further than this off the line from D to L, a colour is no blend of the two. */
const ASIDE = 0.15;

/** A faint part of so little coverage (pixels²) is the tip of an edge. */
const LEAST_FAINT = 0.5;

/** Bits of a pixel: below the threshold; of one of the two colours. */
const INK = 1;
const TONE = 2;

/** The stored value of a linear one, 0…1 (IEC 61966-2-1). */
const stored = (v: number): number => (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);

/**
 * Coverage of ink of a picture, RGBA of 8 bits, not premultiplied, seen over a white or a black page. Ink is what
 * has a lightness below `inkBelow` (0…1).
 */
export function inkField(
  rgba: Uint8Array,
  width: number,
  height: number,
  tone: Lightness,
  inkBelow = 0.5,
  page: "white" | "black" = "white",
): InkField {
  const count = width * height;
  const seen = new Seen(rgba, count, page);
  const toneAt = remembered(rgba, tone);
  const value = new Float32Array(count);
  const marks = new Uint8Array(count);
  seen.runs((from, to) => {
    if (toneAt(from) < inkBelow) marks.fill(INK, from, to);
  });
  const ink = commonest(seen, marks, INK);
  const ground = commonest(seen, marks, 0);
  const scale = toneScale(ink, ground, tone, inkBelow);
  const colours = evenColours(seen, width, height).map((even) => {
    const [r, g, b] = even.colour;
    return { ...even, chosen: tone(r!, g!, b!, 1) < inkBelow };
  });
  if (colours.length > 2) return mixedField(seen, width, height, colours, (i) => scale(toneAt(i)));
  const tones = ink && ground ? [ink, ground] : colours.map(({ colour }) => colour);
  seen.runs((from, to) => {
    const isInk = marks[from] === INK;
    const { share, aside } =
      ink && ground ? between(seen, from, ink, ground) : { share: isInk ? 1 : 0, aside: 0 };
    value.fill(aside > ASIDE ? scale(toneAt(from)) : share, from, to);
    if (tones.some((one) => seen.far(from, one) <= ALIKE)) marks.fill((isInk ? INK : 0) | TONE, from, to);
  });
  const step = ink && ground ? distance(ink, ground) : 1;
  const flatLevel = Math.max(LEAST_LEVEL, LEVEL * step);
  const flatAt = (i: number, j: number): boolean => isWide(seen, width, height, i, j, flatLevel);
  const level = (i: number, j: number): boolean | null =>
    flatAt(i, j) ? (marks[j * width + i]! & INK) !== 0 : null;
  const offTone = strayShare(width, height, value, (i) => (marks[i]! & TONE) !== 0);
  const isDrawing = !isShaded(offTone) && !isDots(busyShare(width, height, value), width, height);
  const faint = isDrawing ? faintParts({ width, height, value, least: LEAST_FAINT, level }) : [];
  flatten(width, height, marks, value, flatAt);
  return { value, offTone, busy: busyShare(width, height, value), faint, colours };
}

/** `tone` of pixel i, computed once for each run of equal pixels and remembered for colours that come back. */
function remembered(rgba: Uint8Array, tone: Lightness): (i: number) => number {
  const keys = new Int32Array(4096);
  const tones = new Float64Array(4096).fill(Number.NaN);
  return (i) => {
    const r = rgba[4 * i]!,
      g = rgba[4 * i + 1]!,
      b = rgba[4 * i + 2]!,
      a = rgba[4 * i + 3]!;
    const key = (r << 24) | (g << 16) | (b << 8) | a;
    const slot = (Math.imul(key, 0x9e3779b1) >>> 20) & 4095;
    if (keys[slot] === key && !Number.isNaN(tones[slot])) return tones[slot]!;
    const t = tone(r / 255, g / 255, b / 255, a / 255);
    keys[slot] = key;
    tones[slot] = t;
    return t;
  };
}

/** Mean of the commonest colours, out of 16 steps a channel, among the pixels so marked; null where there are none. */
function commonest(seen: Seen, marks: Uint8Array, want: number): Colour | null {
  const counts = new Uint32Array(4096);
  seen.runs((from, to) => {
    if (marks[from] === want) counts[bin(seen, from)]! += to - from;
  });
  let best = 0;
  for (let k = 1; k < 4096; k++) if (counts[k]! > counts[best]!) best = k;
  const n = counts[best]!;
  if (n === 0) return null;
  const sum = [0, 0, 0];
  seen.runs((from, to) => {
    if (marks[from] === want && bin(seen, from) === best)
      for (let c = 0; c < 3; c++) sum[c]! += (to - from) * seen.at(from, c);
  });
  return sum.map((v) => v / n);
}

const bin = (seen: Seen, i: number): number => {
  let k = 0;
  for (let c = 0; c < 3; c++) k = 16 * k + ((255 * seen.at(i, c) + 0.001) >> 4);
  return k;
};

/** Tone → coverage by stored lightness: 1 at the ink's tone, 0.5 at the threshold, 0 at the ground's. */
function toneScale(
  ink: Colour | null,
  ground: Colour | null,
  tone: Lightness,
  inkBelow: number,
): (t: number) => number {
  const toneOf = ([r, g, b]: Colour): number => stored(tone(r!, g!, b!, 1));
  const middle = stored(inkBelow);
  const dark = ink ? Math.min(middle, toneOf(ink)) : 0;
  const light = ground ? Math.max(middle, toneOf(ground)) : 1;
  return (t) => {
    const v = stored(t);
    const part = v < middle ? (middle - v) / (middle - dark) : (middle - v) / (light - middle);
    return 0.5 + 0.5 * Math.min(1, Math.max(-1, part));
  };
}

/** Flat pixels are ink or not by the threshold alone. */
function flatten(
  width: number,
  height: number,
  marks: Uint8Array,
  value: Float32Array,
  flatAt: (i: number, j: number) => boolean,
): void {
  for (let j = 0, i = 0; j < height; j++) {
    for (let k = 0; k < width; k++, i++) {
      const v = value[i]!;
      const isInk = (marks[i]! & INK) !== 0;
      // Only where the threshold says otherwise, or a level tone stands between the two.
      if ((isInk ? v === 1 : v === 0) || !flatAt(k, j)) continue;
      value[i] = isInk ? 1 : 0;
    }
  }
}
