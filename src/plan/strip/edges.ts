/** Where a strip's bars begin and end, and between which places what was read puts the end of something. mm around. */
import type { Bar } from "./types.ts";

export const leftOf = ({ atMm, widthMm }: Bar): number => atMm - widthMm / 2;
export const rightOf = ({ atMm, widthMm }: Bar): number => atMm + widthMm / 2;

/** From one bar to the next one's same edge (mm), for strips of evenly spaced bars. */
export const barPitch = (bars: readonly Bar[]): number => {
  const [first, last] = [bars[0], bars.at(-1)];
  return first && last && last.number > first.number
    ? (last.atMm - first.atMm) / (last.number - first.number)
    : Number.NaN;
};

/**
 * What a reading is the edge of. `in`: the first or last bar that lies inside it as a whole (fully clear); `touches`: the first
 * or last that it reaches into (not fully clear; metal that shows).
 */
export type Judged = "in" | "touches";

/** The place (mm) where the bar's own number begins to be the answer, going outward. */
function edgeOf(bar: Bar, side: "first" | "last", judged: Judged): number {
  return (side === "first") === (judged === "in") ? leftOf(bar) : rightOf(bar);
}

/**
 * Between which places (mm, low < high) the edge lies, of what the bar with this number is the first or the last of; of
 * the strip's own first or last bar one end is infinite. RangeError where there is no such bar.
 */
export function bracketOf(
  bars: readonly Bar[],
  number: number,
  side: "first" | "last",
  judged: Judged,
): readonly [number, number] {
  const i = bars.findIndex((bar) => bar.number === number);
  const bar = bars[i];
  if (!bar) throw new RangeError(`there is no bar ${number}`);
  const here = edgeOf(bar, side, judged);
  const next = bars[side === "first" ? i - 1 : i + 1];
  if (side === "first") return [next ? edgeOf(next, side, judged) : -Infinity, here];
  return [here, next ? edgeOf(next, side, judged) : Infinity];
}

/** An edge at a place (mm) in numbers of bars: within half a bar of what is read there. */
export function inBars(bars: readonly Bar[], edgeMm: number, side: "first" | "last", judged: Judged): number {
  const bar = bars[0]!;
  const pitch = barPitch(bars);
  const number = bar.number + (edgeMm - edgeOf(bar, side, judged)) / pitch;
  return side === "first" ? number + 0.5 : number - 0.5;
}
