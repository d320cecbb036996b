/** What would be read of a strip's mark in a world: where clearing begins and ends, and where the metal shows. */
import { bracketRoot } from "../../geometry/roots.ts";
import { effect, Process } from "../process/process.ts";
import type { World } from "../process/worlds.ts";
import { clearingOf, metalOf } from "./clearing.ts";
import { inBars, leftOf, rightOf } from "./edges.ts";
import type { Meets } from "./meets.ts";
import type { Bar, Reading, Strip, StripMark } from "./types.ts";

/** From and to (mm around); the strip's own end where it goes on past it. */
export type Stretch = readonly [number, number];

export interface Predicted {
  /** Outermost ends of what is cleared. */
  readonly clear: Stretch | null;
  /** Between them, the outermost ends of what is not. */
  readonly gap: Stretch | null;
  /** Outermost ends of metal that shows. */
  readonly metal: Stretch | null;
}

export function predictedOf(strip: Strip, mark: StripMark, meets: Meets, world: World): Predicted {
  const process = new Process(mark.settings, [world]);
  const here = effect();
  const clear = (a: number): number => clearingOf(process, meets(a), world, here);
  const metal = (a: number): number => {
    const met = meets(a);
    return Math.min(clearingOf(process, met, world, here), metalOf(process, met, world, here));
  };
  // Where no whole bar is clear nobody reads one.
  const cleared = stretches(clear, strip.bars).filter((one) => barsIn(strip.bars, one) !== null);
  return {
    clear: span(cleared),
    gap: cleared.length > 1 ? [cleared[0]![1], cleared.at(-1)![0]] : null,
    metal: span(stretches(metal, strip.bars)),
  };
}

const span = (list: readonly Stretch[]): Stretch | null =>
  list.length === 0 ? null : [list[0]![0], list.at(-1)![1]];

/** Where f ≥ 0, looked for at the bars' edges. */
function stretches(f: (a: number) => number, bars: readonly Bar[]): Stretch[] {
  const places = bars.flatMap((bar) => [leftOf(bar), rightOf(bar)]);
  const list: [number, number][] = [];
  let [before, was] = [Number.NaN, -1];
  let open = Number.NaN;
  for (const place of places) {
    const now = f(place);
    if (now >= 0 && was < 0) open = Number.isNaN(before) ? place : crossing(f, before, place);
    if (now < 0 && was >= 0) list.push([open, crossing(f, before, place)]);
    [before, was] = [place, now];
  }
  if (was >= 0) list.push([open, before]);
  return list;
}

/** −∞ on one side is no number to a root finder. */
const crossing = (f: (a: number) => number, a: number, b: number): number =>
  bracketRoot((x) => Math.max(-50, f(x)), a, b, 1e-6) ?? (a + b) / 2;

/** What is read at both ends of each, as it is told. */
export const whats = [
  ...(["first clear", "last clear", "first gap", "last gap", "first metal", "last metal"] as const),
];
export type What = (typeof whats)[number];

/** What was read, or "none"; undefined where nobody looked. */
export function readOf(reading: Reading, what: What): number | "none" | undefined {
  const ends = reading[partOf(what)];
  return ends === undefined || ends === "none" ? ends : ends[what.startsWith("first") ? 0 : 1];
}

/** The same as predicted: between bars as a fraction, within half a bar of what is read there. */
export function edgeIn(bars: readonly Bar[], predicted: Predicted, what: What): number | "none" {
  const part = partOf(what);
  const stretch = predicted[part];
  if (!stretch) return "none";
  const side = what.startsWith("first") ? "first" : "last";
  return inBars(bars, stretch[side === "first" ? 0 : 1], side, part === "clear" ? "in" : "touches");
}

const partOf = (what: What): keyof Predicted => what.split(" ")[1] as keyof Predicted;

/** The bars that a careful reader would name. */
export function readingOf(
  { bars }: Strip,
  { number }: StripMark,
  predicted: Predicted,
): Omit<Reading, "row"> {
  const clear = barsIn(bars, predicted.clear);
  const gap = clear && predicted.gap && barsTouched(bars, predicted.gap);
  const metal = predicted.metal && barsTouched(bars, predicted.metal);
  return { mark: number, clear: clear ?? "none", gap: gap ?? "none", metal: metal ?? "none" };
}

/** First and last bar that lie in a stretch as a whole. */
const barsIn = (bars: readonly Bar[], stretch: Stretch | null): [number, number] | null =>
  ends(bars.filter((bar) => stretch && leftOf(bar) >= stretch[0] && rightOf(bar) <= stretch[1]));
/** First and last bar that a stretch reaches into. */
const barsTouched = (bars: readonly Bar[], [from, to]: Stretch): [number, number] | null =>
  ends(bars.filter((bar) => rightOf(bar) > from && leftOf(bar) < to));
const ends = (bars: readonly Bar[]): [number, number] | null =>
  bars.length === 0 ? null : [bars[0]!.number, bars.at(-1)!.number];
