/** What a fit tells → the calibration that a job may name: only what the readings tell, in the job file's own words. */

import type { DialIn, Estimate } from "../dialin/types.ts";
import { mainStrip } from "../dialin/unknowns.ts";
import { type Calibration, readCalibration } from "../job/calibration.ts";
import type { Job } from "../job/job.ts";
import { stripJson } from "./strip.ts";

/** Null where nothing is told that a job could take over. */
export function calibrationOf(fit: DialIn, machine: string, date: string): Calibration | null {
  const { job } = mainStrip(fit.strips.map(({ strip }) => strip));
  const told = (name: string): boolean => fit.estimates[name] !== undefined && !fit.unresolved.includes(name);
  const beam = told("rayleighMm");
  const coat = job.coating !== undefined && told("thresholdRatio");
  const pivots = told("pivotXMm") && told("pivotYMm");
  const value = (name: string): number => six(fit.estimates[name]!.value);
  const range = (name: string) => rangeOf(fit.estimates[name]!);
  const lens = {
    ...(told("focusErrorMm") && !holdsZero(fit.estimates.focusErrorMm!)
      ? { workingDistanceMm: six(job.lens.workingDistanceMm + fit.estimates.focusErrorMm!.value) }
      : {}),
    ...(beam ? { spotUm: range("spotUm"), rayleighMm: range("rayleighMm") } : {}),
    ...(pivots ? { pivotMm: [value("pivotXMm"), value("pivotYMm")] } : {}),
  };
  const figures = {
    ...(Object.keys(lens).length > 0 ? { lens } : {}),
    ...(coat
      ? {
          coating: {
            thicknessUm: job.coating!.thicknessUm.value,
            thresholdJPerCm2: range("thresholdJPerCm2"),
            depthUm: range("depthUm"),
          },
        }
      : {}),
    ...(told("metalThresholdJPerCm2")
      ? { metal: { thresholdJPerCm2: range("metalThresholdJPerCm2"), incubation: range("incubation") } }
      : {}),
  };
  if (Object.keys(figures).length === 0) return null;
  return readCalibration(
    {
      schema: "fallaway-calibration-1",
      date,
      machine,
      lens: job.lens.id,
      source: job.source.id,
      coating: job.coating?.id ?? null,
      metal: job.metal.id,
      figures,
      correlation: correlationOf(fit, [
        ...(beam ? ["spotUm", "rayleighMm"] : []),
        ...(coat ? ["thresholdJPerCm2", "depthUm"] : []),
        ...(told("metalThresholdJPerCm2") ? ["metalThresholdJPerCm2", "incubation"] : []),
      ]),
      placed: placedIn(fit),
      strips: fit.strips.map(({ strip, readings }) => ({ strip: JSON.parse(stripJson(strip)), readings })),
    },
    "the calibration",
  );
}

function correlationOf(
  { correlation }: DialIn,
  names: readonly string[],
): { names: string[]; rows: number[][] } {
  const at = names.map((name) => correlation.names.indexOf(name));
  return {
    names: [...names],
    rows: at.map((i) => at.map((j) => (i === j ? 1 : six(correlation.rows[i]![j]!)))),
  };
}

/** How each strip lay; nothing of squares. */
function placedIn({ strips, estimates }: DialIn): Calibration["placed"] {
  return strips.flatMap(({ strip }) => {
    const of = (name: string): number =>
      six((estimates[`${name}:${strip.name}`] ?? estimates[name])?.value ?? 0);
    if (strip.ladder === "squares") return [];
    const sidewaysMm = strip.ladder === "ramp" ? 0 : of("sidewaysMm");
    return [{ strip: strip.name, sidewaysMm, focusErrorMm: of("focusErrorMm") }];
  });
}

/** Within the readings' error: the head stays where it was set. */
const holdsZero = ({ low, high }: Estimate): boolean => low <= 0 && (high === null || high >= 0);

const rangeOf = ({ value, low, high }: Estimate) => ({ value: six(value), low: six(low), high: six(high!) });

/** Six digits: no more is meant. */
const six = (v: number): number => Number(v.toPrecision(6));

/** What a machine is called where nobody says. */
export const machineOf = ({ source, lens }: Job): string => `${source.id} through ${lens.id}`;
