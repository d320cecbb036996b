/**
 * What the marks of a strip are set to. A mark tells most where its clearing stops well inside the strip, and two marks whose
 * edges lie at the same place, one of strong and fast pulses, one of weak and slow ones, tell threshold and depth constant apart.
 * So each mark is aimed: at a power, the speed with which a place (a share of the strip's half-width) just clears, by what is
 * known of the coat. Of a coat that is known by wide ranges only, every pair is aimed for another possible one, from easily
 * cleared to hardly, so that whatever it is some marks stop inside the strip.
 */
import type { Job, Settings } from "../../job/job.ts";
import { JobError } from "../../problem.ts";
import { Process } from "../process/process.ts";
import { quantile, type World } from "../process/worlds.ts";
import { stationOf } from "../station.ts";
import { clearingOf } from "./clearing.ts";
import { meetsOf } from "./meets.ts";
import type { Ladder, Strip } from "./types.ts";

export interface Step {
  readonly belowCrownMm: number;
  readonly powerW: number;
  readonly speedMmS: number;
}

/** All of this our own choice: where marks are aimed to stop, as a share of the half-width, */
const FARTHEST = 0.9;
const NEAREST = 0.5;
/** how likely an easily and a hardly cleared coat is taken, */
const EASY = 0.15;
const HARD = 0.85;
/** the weak and the strong mark of a pair, as shares of the largest power, */
const WEAK = 0.15;
const STRONG = 0.85;
/** the focal planes of a focus ladder, in Rayleigh ranges below the crown line, and where its marks are aimed to stop, */
const PLANES = [-0.7, 0, 0.7, 1.4] as const;
const AIMS = [0.8, 0.6, 0.9, 0.8] as const;
/** how far pulses lie apart at most, in spots, how much slower than the job's speed a mark may be, and how far apart in */
/** power or speed two marks are at least, to tell two things. */
const APART = 0.7;
const SLOWEST = 0.25;
const ALIKE = 1.25;
/** Of the source's mean power: below it few are steady (from memory). */
const STEADY = 0.1;
/** Heights of a square below the focal plane (mm). */
const SQUARES = [0, 20] as const;

/** From and to, of what the ladder changes: W, mm/s, mm below the crown line, mm below the focal plane. */
export type Range = readonly [number, number];

/** The strip without its marks; `halfMm`: half of its width. */
export type Bare = Omit<Strip, "marks" | "numbersWith">;

/** Steps of a ladder of so many marks; `focusMm`: δ where the ladder does not change it. */
export function stepsOf(bare: Bare, halfMm: number, marks: number, focusMm: number, range?: Range): Step[] {
  const { ladder } = bare;
  if (ladder === "squares") {
    const settings = bare.job.settings;
    return between(range ?? SQUARES, marks).map((below) => ({
      belowCrownMm: round(-below, 1),
      powerW: settings?.powerW ?? 0,
      speedMmS: settings?.speedMmS ?? 0,
    }));
  }
  const aim = new Aim(bare, halfMm);
  const rows = ladderSteps(ladder, aim, marks, focusMm, range);
  return rows.map(({ belowCrownMm, powerW, speedMmS }) => ({
    belowCrownMm: round(belowCrownMm, 1),
    powerW: Number(powerW.toPrecision(3)),
    speedMmS: Number(speedMmS.toPrecision(3)),
  }));
}

function ladderSteps(ladder: Ladder, aim: Aim, marks: number, focus: number, range?: Range): Step[] {
  const { powerW, speedMmS } = aim.settings;
  if (range && ladder !== "speed" && ladder !== "focus") aim.checkPowers(range);
  if (ladder === "power" || ladder === "speed") {
    const [far, near] = [aim.world(HARD), aim.world(EASY)];
    const power = ladder === "power";
    const ends: Range =
      range ??
      (power
        ? [aim.power(near, NEAREST, focus, speedMmS), aim.power(far, FARTHEST, focus, speedMmS)]
        : [aim.speed(far, FARTHEST, focus, powerW), aim.speed(near, NEAREST, focus, powerW)]);
    return evenly(ends, marks).map((v) => ({
      belowCrownMm: focus,
      powerW: power ? v : powerW,
      speedMmS: power ? speedMmS : v,
    }));
  }
  if (ladder === "focus") {
    if (range && marks < 4) {
      return between(range, marks).map((plane) => aim.pair(aim.world(0.5), AIMS[0], plane)[1]);
    }
    const pairs = Math.max(1, Math.ceil(marks / 2));
    const planes = range
      ? between(range, pairs)
      : Array.from({ length: pairs }, (_, i) => aim.rayleighMm * along(PLANES, i, pairs));
    const middle = aim.world(0.5);
    return planes.flatMap((plane, i) => aim.pair(middle, along(AIMS, i, pairs), plane)).slice(0, marks);
  }
  // `settings` and `ramp`: pairs for one possible coat after the other.
  if (range) {
    return evenly(range, marks).map((powerW) => ({ belowCrownMm: focus, powerW, speedMmS }));
  }
  const pairs = Math.max(1, Math.ceil(marks / 2));
  return Array.from({ length: pairs }, (_, i) => {
    const share = pairs === 1 ? 0.5 : i / (pairs - 1);
    const world = aim.world(EASY + share * (HARD - EASY));
    return aim.pair(world, FARTHEST - share * (FARTHEST - NEAREST), focus);
  })
    .flat()
    .slice(0, marks);
}

class Aim {
  readonly settings: Settings;
  readonly rayleighMm: number;
  readonly #bare: Bare;
  readonly #half: number;
  readonly #spot: { readonly waistRadiusMm: number; readonly rayleighMm: number };
  readonly #power: Range;
  readonly #speed: Range;

  constructor(bare: Bare, halfMm: number) {
    const { job } = bare;
    if (!job.settings || !job.coating) throw new RangeError("marks are aimed by settings and a coating");
    const { spot } = stationOf(job, job.lens);
    this.settings = job.settings;
    this.#bare = bare;
    this.#half = halfMm;
    this.rayleighMm = spot.rayleighMm;
    this.#spot = { waistRadiusMm: spot.waistDiameterMm / 2, rayleighMm: spot.rayleighMm };
    this.#power = powersOf(job);
    const { speedMmS, frequencyKHz } = job.settings;
    const fastest = APART * spot.waistDiameterMm * 1000 * frequencyKHz;
    this.#speed = [SLOWEST * speedMmS, Math.max(speedMmS, fastest)];
  }

  /** Throws JobError where the source gives no such power. */
  checkPowers(range: Range): void {
    const most = Math.max(...range);
    if (most <= this.#power[1] * (1 + 1e-9)) return;
    throw new JobError(
      "strip-range",
      `--range asks for ${most} W, and the source gives ${Number(this.#power[1].toPrecision(4))} W at these pulses`,
      "give powers within it, or the source's own meanPowerW in a job file",
    );
  }

  /** A possible coat: at 0 the one that clears most easily, at ½ the middle figures. */
  world(hardness: number): World {
    const { coating, metal } = this.#bare.job;
    return {
      ...this.#spot,
      metal: { threshold: metal.thresholdJPerCm2.value, incubation: metal.incubation.value },
      coating: {
        thicknessMm: coating!.thicknessUm.value / 1000,
        threshold: quantile(coating!.thresholdJPerCm2, hardness),
        depthMm: quantile(coating!.depthUm, 1 - hardness) / 1000,
      },
    };
  }

  /** The weak and the strong mark that just clear so far out; where only the strongest and slowest does, it and one that stops nearer. */
  pair(world: World, share: number, focusMm: number): [Step, Step] {
    const [weak, strong] = [WEAK, STRONG].map((of) => {
      const powerW = Math.max(this.#power[0], of * this.#power[1]);
      const speedMmS = this.#speedFor(world, share, focusMm, powerW);
      const held = within(speedMmS, this.#speed);
      const power = held === speedMmS ? powerW : this.power(world, share, focusMm, held);
      return { belowCrownMm: focusMm, powerW: power, speedMmS: held };
    }) as [Step, Step];
    if (strong.speedMmS > weak.speedMmS * ALIKE || strong.powerW > weak.powerW * ALIKE) return [weak, strong];
    return [
      { ...weak, powerW: Math.max(this.#power[0], weak.powerW / 2) },
      { ...strong, speedMmS: 3 * strong.speedMmS },
    ];
  }

  power(world: World, share: number, focusMm: number, speedMmS: number): number {
    const clears = this.#clears(world, share, focusMm);
    return within(
      least((powerW) => clears(powerW, speedMmS)),
      this.#power,
    );
  }

  speed(world: World, share: number, focusMm: number, powerW: number): number {
    return within(this.#speedFor(world, share, focusMm, powerW), this.#speed);
  }

  #speedFor(world: World, share: number, focusMm: number, powerW: number): number {
    const clears = this.#clears(world, share, focusMm);
    return 1 / least((slowness) => clears(powerW, 1 / slowness));
  }

  /** Whether the place just clears: rises with power and slowness. */
  #clears(world: World, share: number, focusMm: number): (powerW: number, speedMmS: number) => number {
    const mark = { number: 1, belowCrownMm: focusMm, settings: this.settings, rowMm: 0 };
    const strip = { ...this.#bare, marks: [mark], numbersWith: 1 };
    const met = meetsOf(strip, mark, { sidewaysMm: 0, focusErrorMm: 0 })(share * this.#half);
    return (powerW, speedMmS) =>
      clearingOf(new Process({ ...this.settings, powerW, speedMmS }, []), met, world);
  }
}

/** What the source gives: steadily, and at most. */
function powersOf({ source, settings }: Job): Range {
  const { powerW, frequencyKHz } = settings!;
  const most = Math.min(source.meanPowerW ?? Infinity, source.maxPulseEnergyMj * frequencyKHz);
  // A source that does not say its power is taken as twice as strong as it is used (our own choice).
  const mean = source.meanPowerW ?? 2 * powerW;
  const top = Math.max(powerW, Math.min(most, mean));
  return [Math.min(powerW, STEADY * mean), top];
}

/** The least x at which a function that rises is 0, to a thousandth; searched from 1e-6 to 1e6. */
function least(rising: (x: number) => number): number {
  let [low, high] = [Math.log(1e-6), Math.log(1e6)];
  while (high - low > 1e-3) {
    const middle = (low + high) / 2;
    if (rising(Math.exp(middle)) < 0) low = middle;
    else high = middle;
  }
  return Math.exp(high);
}

const within = (v: number, [low, high]: Range): number => Math.min(high, Math.max(low, v));
const round = (v: number, digits: number): number => Number(v.toFixed(digits)) + 0;
/** The i-th of n, of a list stretched to that length. */
const along = (list: readonly number[], i: number, n: number): number => {
  const at = n === 1 ? (list.length - 1) / 2 : (i * (list.length - 1)) / (n - 1);
  const k = Math.min(list.length - 2, Math.floor(at));
  return list[k]! + (at - k) * (list[k + 1]! - list[k]!);
};
const between = ([from, to]: Range, n: number): number[] =>
  Array.from({ length: n }, (_, i) => (n === 1 ? (from + to) / 2 : from + (i / (n - 1)) * (to - from)));
/** In equal ratios. */
function evenly([from, to]: Range, n: number): number[] {
  if (!(from > 0 && to > 0))
    throw new JobError("strip-range", `--range ${from},${to} must be above 0`, "give two positive numbers");
  return between([Math.log(from), Math.log(to)], n).map(Math.exp);
}
