/** Whether anything can be told from readings at all: somewhere clearing must stop, and the hint says what to mark instead. */
import type { Reading, Strip } from "../plan/strip/types.ts";
import { JobError } from "../problem.ts";

/** Throws JobError `readings-too-few`. */
export function checkEnough(strip: Strip, readings: readonly Reading[]): void {
  if (readings.length === 0)
    few(
      "no row has a reading",
      strip.ladder === "squares"
        ? "fill in x_mm and y_mm of the squares"
        : "fill in first_clear and last_clear of each mark, or none where nothing is clear",
    );
  if (strip.ladder === "squares") {
    const heights = new Set(
      readings.map(({ mark }) => strip.marks.find(({ number }) => number === mark)!.belowCrownMm),
    );
    if (heights.size < 2)
      few("squares at one height tell nothing of the pivots", "measure the square at two heights");
    return;
  }
  const seen = readings.filter(({ clear }) => clear !== undefined);
  const ended = seen.filter(({ clear }) => clear !== "none");
  if (seen.length === 0)
    few(
      "no row says what is clear",
      "fill in first_clear and last_clear too, or none where nothing is clear",
    );
  if (ended.length === 0)
    few(
      "no mark has a bar that is fully clear",
      "mark the strip again with more power or less speed, or nearer to the focus",
    );
  const [from, to] = [strip.bars[0]!.number, strip.bars.at(-1)!.number];
  const throughout = ({ clear, gap }: Reading): boolean =>
    clear![0] === from && clear![1] === to && (gap === undefined || gap === "none");
  if (!ended.every(throughout)) return;
  const none = seen.find(({ clear }) => clear === "none");
  if (none)
    few(
      `every mark is clear from the strip's first bar to its last, as mark ${ended[0]!.mark}, or nowhere, as mark ${none.mark}: nothing tells where clearing stops`,
      "mark the strip again with powers or speeds between those of these two",
    );
  few(
    "every mark is clear from the strip's first bar to its last: nothing tells where clearing stops",
    "mark the strip again with less power or more speed",
  );
}

function few(message: string, hint: string): never {
  throw new JobError("readings-too-few", message, hint);
}
