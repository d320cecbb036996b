/** What was read against what the estimates say, reading by reading. */
import { edgeIn, predictedOf, readOf, type What } from "../plan/strip/predict.ts";
import type { Found } from "./estimate.ts";
import type { Residual } from "./types.ts";

/** Sign of (read − predicted) over that of the residual: which way out the edge lies where there is more than needed. */
const outward: Readonly<Record<string, 1 | -1>> = {
  "first clear": 1,
  "last clear": -1,
  "first gap": -1,
  "last gap": 1,
  "first metal": 1,
  "last metal": -1,
  "side x": -1,
  "side y": -1,
};

/** Of what was read; what only follows from it stands with the reading that it speaks against. */
export function residualsOf({ strips, sight, observations, answer }: Found): Residual[] {
  const here = sight.at(answer.x);
  return observations.flatMap((o): Residual[] => {
    const { strip } = strips[o.strip]!;
    const off = o.residual(here);
    const { what } = o;
    if (what === null && Math.abs(off) < 1) return [];
    const named = what ?? o.follows;
    // What follows from a reading is held against that reading's own number.
    const read = what === null ? (readOf(o.reading, named as What) ?? "none") : o.read;
    const common = { strip: strip.name, mark: o.mark.number, row: o.reading.row, read };
    if (what?.startsWith("side")) {
      const predicted = here.side(o.strip, o.mark, what === "side x" ? 0 : 1);
      return [{ ...common, what, predicted, unit: "mm", off: -off }];
    }
    const predicted = predictedOf(strip, o.mark, here.met(o.strip, o.mark, o.reading), here.world);
    return [
      {
        ...common,
        what: named,
        predicted: edgeIn(strip.bars, predicted, named as What),
        unit: "bar",
        off: (outward[named] ?? 1) * off,
      },
    ];
  });
}
