/**
 * Readings as residuals. A bar's number brackets an edge between two places a bar's pitch apart: there the logarithm h of the
 * fluence over the least that clears (plan/strip/clearing.ts; g for the metal) passes through 0, so that h in the bracket's
 * middle is 0 but for
 *
 *   σ² = (dh/da)² (Δ²/12 + ρ²) + τ²
 *
 * Δ the bracket's width, ρ how far a reader is off, τ how uneven a coat is. Where an edge lies past the strip's end, and for
 * all bars that lie clearly inside or outside of what was read, h is only held to its sign.
 */

import { effect, Process } from "../plan/process/process.ts";
import type { World } from "../plan/process/worlds.ts";
import { clearingOf, metalOf } from "../plan/strip/clearing.ts";
import { grownSide, tiltOf } from "../plan/strip/compare.ts";
import { bracketOf, type Judged, leftOf, rightOf } from "../plan/strip/edges.ts";
import { type Commands, commandsOf, faceOf, type Lay, type Meets, meetsOf } from "../plan/strip/meets.ts";
import type { Bar, Reading, ReadStrip, Strip, StripMark } from "../plan/strip/types.ts";
import type { Face } from "../vessel/surface.ts";
import type { Unknowns } from "./unknowns.ts";

/** ρ in bars and τ (our own choice: a quarter of a bar; a coat's thickness even to 5 %, which h feels by half or less). */
const READER_BARS = 0.25;
const UNEVEN = 0.015;
/** Standard deviation of h where it is only held to its sign (our own choice). */
const SIGN = 0.04;
/** Of a length read to 0.1 mm: the rounding, and so much again (our own choice). mm. */
const LENGTH_MM = Math.hypot(0.1 / Math.sqrt(12), 0.03);
/** h below this is as good as −∞. */
const FLOOR = -20;
/** Bars next to an edge may be misread; those looked at inside and outside. */
const SLACK = 2;
const LOOKED_AT = 7;
/** Lays of marks, each of some hundred places. */
const MOST_KEPT = 64;

/** Something that was read, or that follows from it. */
export interface Observation {
  readonly strip: number;
  readonly reading: Reading;
  readonly mark: StripMark;
  /** As in `Residual.what`; null where it only follows from what was read, */
  readonly what: string | null;
  /** from that one. */
  readonly follows: string;
  readonly read: number | "none";
  /** mm around, or a length. */
  readonly at: number;
  /** r(x) in standard deviations, those worked out at `x0`. */
  residual(here: Sighting): number;
}

/** The strips as a world and a lay make them; one for each x. */
export interface Sighting {
  readonly world: World;
  met(strip: number, mark: StripMark, reading: Reading): Meets;
  side(strip: number, mark: StripMark, axis: 0 | 1): number;
}

/** Meetings are worked out once as long as where things lay is asked for again. */
export class Sight {
  readonly #strips: readonly ReadStrip[];
  readonly #unknowns: Unknowns;
  readonly #faces: readonly Face[];
  /** By strip and mark. */
  readonly #commands = new Map<string, Commands>();
  /** By strip, mark and lay; all are forgotten when they get too many. */
  #kept = new Map<string, Meets>();

  constructor(strips: readonly ReadStrip[], unknowns: Unknowns) {
    this.#strips = strips;
    this.#unknowns = unknowns;
    this.#faces = strips.map(({ strip }) => faceOf(strip));
  }

  at(x: readonly number[]): Sighting {
    const lays = this.#strips.map((_, i) => this.#unknowns.lay(x, i));
    // What is asked for hundreds of times is not looked up by a text each time.
    const here = new Map<Reading, Meets>();
    return {
      world: this.#unknowns.world(x),
      met: (strip, mark, reading) => {
        let meets = here.get(reading);
        if (!meets) {
          meets = this.#meets(lays[strip]!, strip, mark, reading);
          here.set(reading, meets);
        }
        return meets;
      },
      side: (index, mark, axis) => {
        const { sideMm } = this.#strips[index]!.strip;
        const pivot = this.#unknowns.pivots(x)[axis];
        return this.#unknowns.scale(x) * grownSide(sideMm!, mark.belowCrownMm, pivot);
      },
    };
  }

  #meets(lay: Lay, index: number, mark: StripMark, { endsMm }: Reading): Meets {
    const of = `${index} ${mark.number}`;
    const key = `${of} ${lay.sidewaysMm} ${lay.focusErrorMm} ${lay.pivotMm}`;
    const kept = this.#kept.get(key);
    if (kept) return kept;
    const { strip } = this.#strips[index]!;
    const tilt = endsMm && tiltOf(strip, endsMm);
    let commands = this.#commands.get(of);
    if (!commands) {
      commands = remembered(commandsOf(strip, mark, this.#faces[index]));
      this.#commands.set(of, commands);
    }
    const face = tilt === undefined ? this.#faces[index]! : faceOf(strip, tilt);
    const made = remembered(
      meetsOf(strip, mark, tilt === undefined ? lay : { ...lay, tilt }, face, commands),
    );
    if (this.#kept.size > MOST_KEPT) this.#kept = new Map();
    this.#kept.set(key, made);
    return made;
  }
}

function remembered<T>(of: (a: number) => T): (a: number) => T {
  const known = new Map<number, T>();
  return (a) => {
    let value = known.get(a);
    if (value === undefined) {
      value = of(a);
      known.set(a, value);
    }
    return value;
  };
}

type Of = "clear" | "metal";
interface Range {
  readonly of: Of;
  readonly judged: Judged;
  readonly bars: readonly [number, number];
}

/** Bars that h or g has one sign on. */
interface Held {
  readonly of: Of;
  readonly from: number;
  readonly to: number;
  readonly sign: 1 | -1;
  readonly what: string | null;
  readonly follows: string;
}

/** All that the readings say; σ is that of `here`. */
export function observationsOf(strips: readonly ReadStrip[], here: Sighting): Observation[] {
  return strips.flatMap(({ strip, readings }, index) =>
    readings.flatMap((reading) => {
      const mark = strip.marks.find(({ number }) => number === reading.mark);
      if (!mark) throw new RangeError(`there is no mark ${reading.mark}`);
      if (strip.ladder === "squares") return sides(strip, index, mark, reading);
      return new Row(strip, index, mark, reading, here).list();
    }),
  );
}

const named = (what: string): Pick<Observation, "what" | "follows"> => ({ what, follows: what });

function sides(strip: Strip, index: number, mark: StripMark, reading: Reading): Observation[] {
  return ([0, 1] as const).flatMap((axis) => {
    const read = reading.sidesMm?.[axis];
    if (read === undefined) return [];
    return [
      {
        ...{ strip: index, mark, reading, read, at: strip.sideMm! },
        ...named(axis === 0 ? "side x" : "side y"),
        residual: (here: Sighting) => (here.side(index, mark, axis) - read) / LENGTH_MM,
      },
    ];
  });
}

/** One row of readings of one mark. */
class Row {
  readonly #bars: readonly Bar[];
  readonly #index: number;
  readonly #mark: StripMark;
  readonly #reading: Reading;
  readonly #process: Process;
  readonly #start: Sighting;
  readonly #effect = effect();

  constructor(strip: Strip, index: number, mark: StripMark, reading: Reading, start: Sighting) {
    this.#bars = strip.bars;
    this.#index = index;
    this.#mark = mark;
    this.#reading = reading;
    this.#start = start;
    this.#process = new Process(mark.settings, []);
  }

  list(): Observation[] {
    const { clear, gap, metal } = this.#reading;
    const list: Observation[] = [];
    const all = [this.#bars[0]!.number, this.#bars.at(-1)!.number] as const;
    const stays = (from: number, to: number, follows: string, what: string | null = null): Observation =>
      this.#sign({ of: "clear", from, to, sign: -1, follows, what });
    const spared = (from: number, to: number, follows: string, what: string | null = null): Observation =>
      this.#sign({ of: "metal", from, to, sign: -1, follows, what });
    const cleared = (from: number, to: number): Observation =>
      this.#sign({ of: "clear", from: from + 1, to: to - 1, sign: 1, follows: "first clear", what: null });
    if (clear === "none") list.push(stays(...all, "first clear", "first clear"));
    if (gap && gap !== "none")
      list.push(...this.#edges({ of: "clear", judged: "touches", bars: gap }, "gap"));
    if (metal && metal !== "none")
      list.push(...this.#edges({ of: "metal", judged: "touches", bars: metal }, "metal"));
    if (!clear || clear === "none") return list;
    const [first, last] = clear;
    list.push(...this.#edges({ of: "clear", judged: "in", bars: clear }, "clear"));
    list.push(stays(all[0], first - SLACK, "first clear"), stays(last + SLACK, all[1], "last clear"));
    // Between the first and the last bar that is not clear there may be some that are.
    const parts: [number, number][] =
      gap && gap !== "none"
        ? [
            [first, gap[0] - 1],
            [gap[1] + 1, last],
          ]
        : [[first, last]];
    list.push(...parts.map(([from, to]) => cleared(from, to)));
    if (metal === undefined) return list;
    for (const [i, [from, to]] of parts.entries()) {
      if (metal === "none")
        list.push(spared(from + 1, to - 1, "first metal", i === 0 ? "first metal" : null));
      else {
        list.push(spared(from + 1, Math.min(to - 1, metal[0] - SLACK), "first metal"));
        list.push(spared(Math.max(from + 1, metal[1] + SLACK), to - 1, "last metal"));
      }
    }
    return list;
  }

  /** h or g at a place, never −∞. */
  #value(here: Sighting, of: Of, a: number): number {
    const met = here.met(this.#index, this.#mark, this.#reading)(a);
    const value = (of === "clear" ? clearingOf : metalOf)(this.#process, met, here.world, this.#effect);
    return Math.max(FLOOR, value);
  }

  #edges({ of, judged, bars }: Range, name: string): Observation[] {
    return (["first", "last"] as const).map((side, i): Observation => {
      const read = bars[i]!;
      const [low, high] = bracketOf(this.#bars, read, side, judged);
      const common = { strip: this.#index, mark: this.#mark, reading: this.#reading, read };
      const what = `${side} ${name}`;
      const ended = low === -Infinity || high === Infinity;
      if (ended || this.#hides(of, read, side)) {
        // It goes on past the strip's end, or past what is clear: only that it is there is told.
        const at = low === -Infinity ? high : high === Infinity ? low : side === "first" ? high : low;
        return {
          ...common,
          ...named(what),
          at,
          residual: (here) => Math.min(0, this.#value(here, of, at)) / SIGN,
        };
      }
      const at = (low + high) / 2;
      const width = high - low;
      const slope = (this.#value(this.#start, of, high) - this.#value(this.#start, of, low)) / width;
      const sd = Math.hypot(slope * Math.hypot(width / Math.sqrt(12), READER_BARS * width), UNEVEN);
      return { ...common, ...named(what), at, residual: (here) => this.#value(here, of, at) / sd };
    });
  }

  /** Metal cannot show where the coat stays: at the end of what is clear it may only be hidden. */
  #hides(of: Of, bar: number, side: "first" | "last"): boolean {
    const { clear, gap } = this.#reading;
    if (of !== "metal" || !clear || clear === "none") return false;
    // Where some coat stays in between, what is clear there has ends that were not read.
    if (gap && gap !== "none" && bar >= gap[0] - 1 && bar <= gap[1] + 1) return true;
    return side === "first" ? bar <= clear[0] + 1 : bar >= clear[1] - 1;
  }

  /** Bars from one number to another, all above 0 (1) or all below (−1). */
  #sign({ what, follows, of, from, to, sign }: Held): Observation {
    const inside = this.#bars.filter(({ number }) => number >= from && number <= to);
    const few = inside.filter(
      (_, i) => i % Math.ceil(inside.length / LOOKED_AT) === 0 || i === inside.length - 1,
    );
    const places = few.map((bar) => [leftOf(bar), rightOf(bar)] as const);
    return {
      ...{ strip: this.#index, mark: this.#mark, reading: this.#reading, what, follows, read: "none" },
      at: Number.NaN,
      residual: (here) => {
        // A bar is clear where both its edges are; metal shows where one does.
        let worst = 0;
        for (const [left, right] of places) {
          const [l, r] = [this.#value(here, of, left), this.#value(here, of, right)];
          const value = of === "clear" ? Math.min(l, r) : Math.max(l, r);
          worst = sign > 0 ? Math.min(worst, value) : Math.max(worst, value);
        }
        return worst / SIGN;
      },
    };
  }
}
