/**
 * Which other strip would tell what these readings do not: each kind is laid out as it would be for the job, read as the estimates
 * predict, and what the two would tell together is worked out from their derivatives alone.
 */

import { stripOf } from "../plan/strip/layout.ts";
import { predictedOf, readingOf } from "../plan/strip/predict.ts";
import type { Ladder, Reading, Strip } from "../plan/strip/types.ts";
import { JobError } from "../problem.ts";
import { type Found, residualsAt } from "./estimate.ts";
import { figuresFor, gradientOf, spreadOf, TOLD } from "./figures.ts";
import { inverseOf, jacobianOf } from "./leastsquares.ts";
import { observationsOf, Sight } from "./observed.ts";
import type { Suggestion } from "./types.ts";
import { unknownsOf } from "./unknowns.ts";

/** In the order in which they are tried: those on the cup first. */
const ladders: readonly Ladder[] = ["focus", "settings", "ramp", "squares"];

/** The fewest strips that tell the most of `names`; what none tells has no suggestion. */
export function suggestionsFor(found: Found, names: readonly string[]): Suggestion[] {
  let left = names;
  const list: Suggestion[] = [];
  const each = ladders.map((ladder) => ({
    ladder,
    tells: left.length > 0 ? toldWith(found, ladder, left) : [],
  }));
  while (left.length > 0) {
    const best = each.reduce((most, next) =>
      count(next.tells, left) > count(most.tells, left) ? next : most,
    );
    const told = left.filter((name) => best.tells.includes(name));
    if (told.length === 0) return list;
    list.push({ names: told, option: `--ladder ${best.ladder}` });
    left = left.filter((name) => !told.includes(name));
  }
  return list;
}

const count = (of: readonly string[], among: readonly string[]): number =>
  among.filter((name) => of.includes(name)).length;

/** Names that one more strip of this kind would tell. */
function toldWith(found: Found, ladder: Ladder, names: readonly string[]): readonly string[] {
  const job = found.strips[0]!.strip.job;
  let strip: Strip;
  try {
    strip = stripOf(job, { ladder, name: `next-${ladder}` });
  } catch (error) {
    // A strip that this job cannot have is none to suggest.
    if (error instanceof JobError) return [];
    throw error;
  }
  const all = [...found.strips, { strip, readings: [] }];
  const unknowns = unknownsOf(all.map((one) => one.strip));
  const before = new Map(found.unknowns.list.map(({ name }, i) => [name, found.answer.x[i]!]));
  const x = unknowns.list.map(({ name }) => before.get(name) ?? 0);
  const sight = new Sight(all, unknowns);
  const strips = [...found.strips, { strip, readings: readAt(strip, all.length - 1, sight, x) }];
  const observations = observationsOf(strips, sight.at(x));
  const residuals = (at: readonly number[]): readonly number[] => [
    ...residualsAt(observations, sight, at),
    ...at,
  ];
  const jacobian = jacobianOf(
    { residuals },
    x,
    residuals(x).map(() => 1),
  );
  const covariance = inverseOf(jacobian.transpose().mmul(jacobian));
  return figuresFor({ unknowns, strips })
    .filter((figure) => {
      if (!names.includes(figure.name)) return false;
      const gradient = gradientOf(figure, x);
      const wide = Math.sqrt(gradient.reduce((sum, g) => sum + g * g, 0));
      return Math.sqrt(spreadOf(gradient, covariance, gradient)) <= TOLD * wide;
    })
    .map(({ name }) => name);
}

/** What would be read of it. */
function readAt(strip: Strip, index: number, sight: Sight, x: readonly number[]): Reading[] {
  const here = sight.at(x);
  return strip.marks.map((mark, i): Reading => {
    const reading: Reading = { mark: mark.number, row: i + 1 };
    if (strip.ladder === "squares") {
      return { ...reading, sidesMm: [here.side(index, mark, 0), here.side(index, mark, 1)] };
    }
    const meets = here.met(index, mark, reading);
    return { ...reading, ...readingOf(strip, mark, predictedOf(strip, mark, meets, here.world)) };
  });
}
