/**
 * Strips read without a cup: a reader looks at what the lines left (laid.ts), sees each edge a little off, and writes down bars.
 */
import type { Job, Settings } from "../../src/job/job.ts";
import type { Bar, Reading, Strip } from "../../src/plan/strip/types.ts";
import { type Seen, seenOf, tiltOf } from "./laid.ts";
import { normal, type Truth } from "./truth.ts";

/**
 * Every mark of a strip, read. Each edge is seen `noiseBars` (one standard deviation) off; a reader with none reads lengths
 * and tilts the coupon without fault too, rounding aside.
 */
export function readBySimulation(strip: Strip, truth: Truth, rng: () => number, noiseBars = 0.25): Reading[] {
  if (strip.ladder === "squares") return readSquares(strip, truth, rng, noiseBars === 0 ? 0 : CALLIPERS_MM);
  const pitch = Math.abs(strip.bars[1]!.atMm - strip.bars[0]!.atMm);
  const noise = (): number => noiseBars * pitch * normal(rng);
  return strip.marks.map((mark, i) => {
    const ends = strip.ladder === "ramp" ? propped(strip, rng, noiseBars > 0) : null;
    const seen = seenOf(strip, mark, truth, ends?.tilt);
    return {
      mark: mark.number,
      row: i + 1,
      ...barsRead(strip.bars, seen, [noise(), noise(), noise(), noise(), noise(), noise()]),
      ...(ends ? { endsMm: ends.endsMm } : {}),
    };
  });
}

/** What a reader writes down; `off`: of the ends of what is clear, of the gap and of the metal (mm). */
export function barsRead(
  bars: readonly Bar[],
  { clear, metal }: Seen,
  off: readonly [number, number, number, number, number, number],
): Pick<Reading, "clear" | "gap" | "metal"> {
  const [from, to] = clear ? [clear.from + off[0], clear.to + off[1]] : [Infinity, -Infinity];
  const whole = bars.filter((bar) => leftEdge(bar) >= from && rightEdge(bar) <= to);
  const cleared = endsOf(whole);
  // No metal is looked for where there is coat.
  const shows = metal
    ? touched(bars, Math.max(from, metal.from + off[4]), Math.min(to, metal.to + off[5]))
    : [];
  const read = { clear: cleared, metal: endsOf(shows) };
  if (cleared === "none") return read;
  const gap = clear?.gap;
  const between = whole.slice(1, -1);
  return { ...read, gap: gap ? endsOf(touched(between, gap[0] + off[2], gap[1] + off[3])) : "none" };
}

const leftEdge = ({ atMm, widthMm }: Bar): number => atMm - widthMm / 2;
const rightEdge = ({ atMm, widthMm }: Bar): number => atMm + widthMm / 2;
const touched = (bars: readonly Bar[], from: number, to: number): Bar[] =>
  bars.filter((bar) => from < to && rightEdge(bar) > from && leftEdge(bar) < to);
const endsOf = (bars: readonly Bar[]): readonly [number, number] | "none" =>
  bars.length > 0 ? [bars[0]!.number, bars.at(-1)!.number] : "none";

/** Callipers read to 0.1 mm: the rounding, and a hand's standard deviation (our own choice). mm. */
const CALLIPERS_MM = 0.03;
const tenths = (mm: number): number => Math.round(mm * 10) / 10;
/** A coupon's lower end over the bed, and how far off its upper one is propped up (mm; both our own choice). */
const STANDS_MM = 5;
const PROPPED_MM = 0.5;

/** A coupon's true tilt and the measured heights of its ends, the left end the higher. */
function propped(
  strip: Strip,
  rng: () => number,
  sloppy: boolean,
): { tilt: number; endsMm: readonly [number, number] } {
  const [first, last] = [strip.bars[0]!.atMm, strip.bars.at(-1)!.atMm];
  const off = PROPPED_MM * (2 * rng() - 1);
  const hand = [normal(rng), normal(rng)] as const;
  const fall = (last - first) * Math.sin(tiltOf(strip)) + (sloppy ? off : 0);
  const tilt = Math.asin(fall / (last - first));
  const height = (a: number, i: 0 | 1): number =>
    tenths(STANDS_MM + (last - a) * Math.sin(tilt) + (sloppy ? CALLIPERS_MM * hand[i] : 0));
  return { tilt, endsMm: [height(first, 0), height(last, 1)] };
}

/** Squares on a level plate so deep below the true focal plane: sides L (1 + d/p), measured with callipers. */
export function readSquares(
  { marks, sideMm }: Strip,
  truth: Truth,
  rng: () => number,
  handMm = CALLIPERS_MM,
): Reading[] {
  if (sideMm === undefined) throw new RangeError("a strip without squares has no sides");
  return marks.map(({ number, belowCrownMm }, i) => {
    const depth = -(belowCrownMm + truth.focusErrorMm);
    const side = (axis: 0 | 1): number => {
      const pivot = truth.pivotMm[axis];
      const true_ = sideMm * (pivot === "telecentric" ? 1 : 1 + depth / pivot);
      return tenths(true_ + handMm * normal(rng));
    };
    return { mark: number, row: i + 1, sidesMm: [side(0), side(1)] };
  });
}

/** 71 bars 1 mm apart, and marks at every power with every speed, all in focus on the crown line unless told. */
export function handStrip(
  job: Job,
  powers: readonly number[],
  speeds: readonly number[],
  belowCrownMm: readonly number[] = [0],
): Strip {
  const settings: Settings | undefined = job.settings;
  if (!settings) throw new RangeError("a strip is marked with settings");
  const marks = belowCrownMm.flatMap((below) =>
    powers.flatMap((powerW) =>
      speeds.map((speedMmS) => ({ belowCrownMm: below, settings: { ...settings, powerW, speedMmS } })),
    ),
  );
  return {
    schema: "fallaway-strip-1",
    name: "by hand",
    ladder: "settings",
    job,
    calibrated: false,
    bars: Array.from({ length: 71 }, (_, i) => ({ number: i + 1, atMm: i - 35, widthMm: 0.6 })),
    barHeightMm: 3,
    marks: marks.map((mark, i) => ({ number: i + 1, ...mark, rowMm: (i - (marks.length - 1) / 2) * 5 })),
    numbersWith: 1,
  };
}
