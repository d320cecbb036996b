/** Readings of strips → everything that they tell, what they do not, and what speaks against them. */
import type { ReadStrip } from "../plan/strip/types.ts";
import { caution, JobError, type Problem } from "../problem.ts";
import { type Found, findIn } from "./estimate.ts";
import { estimateOf, type Figure, figuresFor, gradientOf, spreadOf, TOLD, untoldPivots } from "./figures.ts";
import { residualsOf } from "./residuals.ts";
import { suggestionsFor } from "./suggest.ts";
import type { DialIn, Estimate, Residual } from "./types.ts";

/** Standard deviations: from here on a reading is worth a word, and from there on all of them are worth nothing. */
const DOUBTFUL = 3;
const WRONG = 6;
const WRONG_RMS = 1.8;
/** Standard deviations of the profile: farther off something else is wrong. */
const STRANGE = 2.6;

const ofMetal = ["metalThresholdJPerCm2", "incubation"];

/** Figures that a job takes over whose errors belong together. */
const joint = ["spotUm", "rayleighMm", "thresholdJPerCm2", "depthUm", "metalThresholdJPerCm2", "incubation"];

/**
 * Strips of one machine, coating and metal, their readings checked (dialin/readings.ts). Throws JobError `readings-contradict`
 * where no figures go with them.
 */
export function dialIn(strips: readonly ReadStrip[]): DialIn {
  const found = findIn(strips);
  const told = toldBy(found);
  return { ...told, suggestions: suggestionsFor(found, told.unresolved) };
}

/** A figure at the answer: its gradient, and its standard deviation after the readings and before them. */
interface Told {
  readonly figure: Figure;
  readonly gradient: readonly number[];
  readonly sd: number;
  readonly before: number;
}

/** The same without a word on what else to mark. */
export function toldBy(found: Found): Omit<DialIn, "suggestions"> {
  const { strips } = found;
  const { unknowns } = found;
  const { x, covariance } = found.answer;
  const residuals = residualsOf(found);
  // What only has to be on one side of something, and is, says nothing of how well the others fit.
  const edges = residuals.filter(({ off }) => off !== 0);
  const rms = Math.sqrt(edges.reduce((sum, r) => sum + r.off ** 2, 0) / Math.max(1, edges.length));
  refuse(found, residuals, rms);
  const figures = figuresFor(found);
  const told = figures.map((figure): Told => {
    const gradient = gradientOf(figure, x);
    const before = Math.sqrt(gradient.reduce((sum, g) => sum + g * g, 0));
    return { figure, gradient, sd: Math.sqrt(spreadOf(gradient, covariance, gradient)), before };
  });
  const pivots = untoldPivots(unknowns, strips[0]!.strip.job.lens.pivotMm);
  const bare = strips.some(({ readings }) => readings.some(({ metal }) => metal && metal !== "none"));
  const wide = told
    // Metal that shows nowhere bounds its threshold from one side: that is no interval.
    .filter(({ figure, sd, before }) => !(sd <= TOLD * before) || (!bare && ofMetal.includes(figure.name)))
    .map(({ figure }) => figure.name);
  const unresolved = [...wide, ...pivots.map(([name]) => name)];
  const together = told.filter(({ figure }) => joint.includes(figure.name));
  return {
    estimates: Object.fromEntries([
      ...told.map(({ figure, sd }): [string, Estimate] => [figure.name, estimateOf(figure, x, sd)]),
      ...pivots,
    ]),
    unresolved,
    residuals,
    rms,
    problems: problemsOf(told, x, residuals),
    correlation: {
      names: together.map(({ figure }) => figure.name),
      rows: together.map((one) =>
        together.map((other) =>
          one === other ? 1 : spreadOf(one.gradient, covariance, other.gradient) / (one.sd * other.sd),
        ),
      ),
    },
    strips,
  };
}

function problemsOf(told: readonly Told[], x: readonly number[], list: readonly Residual[]): Problem[] {
  const off = list
    .filter((r) => Math.abs(r.off) > DOUBTFUL)
    .map((r) =>
      caution(
        "reading-doubtful",
        `${placeOf(r)}: ${r.what} was read as ${r.read}, the other readings say ${shown(r)}`,
        "look at that place again: the fit counts it less than the others, and it still moves the figures",
      ),
    );
  const nowhere = x.map(() => 0);
  const strange = told
    .filter(({ figure }) => !/^(sideways|focusError)/.test(figure.name))
    .filter(({ figure, before }) => Math.abs(figure.at(x) - figure.at(nowhere)) > STRANGE * before)
    .map(({ figure: { name, unit, at, back } }) =>
      caution(
        "figure-beyond-profile",
        `${name} comes out as ${back(at(x)).toPrecision(3)}${unit === "1" ? "" : ` ${unit}`}, far outside of what the profile allows`,
        "check that strip, settings, lens, source and coating are those that were used",
      ),
    );
  return [...off, ...strange];
}

const placeOf = ({ strip, row, mark }: Residual): string => `${strip}, row ${row}, mark ${mark}`;
const shown = ({ predicted, unit }: Residual): string =>
  predicted === "none" ? "none" : unit === "mm" ? `${predicted.toFixed(1)} mm` : predicted.toFixed(1);

/** Readings that no figures go with: a fit of them would only look fine. */
function refuse({ answer }: Found, list: readonly Residual[], rms: number): void {
  if (!answer.x.every(Number.isFinite)) throw new RangeError("the fit is no number");
  const worst = list.reduce<Residual | null>(
    (most, r) => (!most || Math.abs(r.off) > Math.abs(most.off) ? r : most),
    null,
  );
  if (!worst || (Math.abs(worst.off) <= WRONG && rms <= WRONG_RMS)) return;
  throw new JobError(
    "readings-contradict",
    `no machine and no coating go with these readings: ${placeOf(worst)}: ${worst.what} was read as ${worst.read}, the others say ${shown(worst)}`,
    "read that mark again; check that it was marked with the settings and the lens height of its row, and that left is left",
  );
}
