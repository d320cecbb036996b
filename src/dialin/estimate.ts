/**
 * Readings → the most likely figures of machine, coating and lay (dialin/observed.ts, unknowns.ts), by robust least squares from
 * several starting places, since a focal plane that lies too deep and one that lies too high look alike at first.
 */
import type { ReadStrip } from "../plan/strip/types.ts";
import { type Answer, leastSquares } from "./leastsquares.ts";
import { type Observation, observationsOf, Sight } from "./observed.ts";
import { type Unknowns, unknownsOf } from "./unknowns.ts";

export interface Found {
  readonly strips: readonly ReadStrip[];
  readonly unknowns: Unknowns;
  readonly sight: Sight;
  readonly observations: readonly Observation[];
  readonly answer: Answer;
}

/** Starting places of the focus errors (standard deviations). */
const STARTS = [0, -0.6, 0.6];
/** The readings' standard deviations are worked out anew so often. */
const PASSES = 3;
/** No figure is sought farther from the profiles' (standard deviations). */
const FARTHEST = 6;

/** Strips of one machine, coating and metal, with readings. */
export function findIn(strips: readonly ReadStrip[]): Found {
  const unknowns = unknownsOf(strips.map(({ strip }) => strip));
  const sight = new Sight(strips, unknowns);
  const from = (x: readonly number[]): Found => {
    const observations = observationsOf(strips, sight.at(x));
    const answer = leastSquares({
      start: x,
      low: x.map(() => -FARTHEST),
      high: x.map(() => FARTHEST),
      robust: observations.length,
      residuals: (at) => [...residualsAt(observations, sight, at), ...at],
    });
    return { strips, unknowns, sight, observations, answer };
  };
  let best = STARTS.map((z) =>
    from(unknowns.list.map(({ name }) => (name.startsWith("focusErrorMm") ? z : 0))),
  ).reduce((least, next) => (next.answer.cost < least.answer.cost ? next : least));
  for (let pass = 1; pass < PASSES; pass++) best = from(best.answer.x);
  return best;
}

/** In standard deviations. */
export function residualsAt(
  observations: readonly Observation[],
  sight: Sight,
  x: readonly number[],
): number[] {
  const here = sight.at(x);
  return observations.map((o) => o.residual(here));
}
