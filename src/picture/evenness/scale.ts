/** What the maps' numbers are shown as, and the one scale of all three kinds. */
import { four } from "../../plan/figures.ts";
import { type Fill, proofs, type TurnProof } from "../../plan/fill/types.ts";
import { coatingCalibrated, middleWords } from "../../plan/process/label.ts";
import type { Plan } from "../../plan/types.ts";
import { plain, roundStep } from "../ticks.ts";

export interface Scale {
  /** A map's number times this is what is shown: µm, or 1 for the strongest of the plain kind. */
  readonly unit: number;
  readonly low: number;
  readonly high: number;
  /** Between ticks. */
  readonly step: number;
  readonly title: string;
  /** Beside the profiles. */
  readonly short: string;
  /** Place of a shown value, from 0 to 1; what lies beyond an end has the end's colour. */
  place(shown: number): number;
}

const HUNDREDTH = 0.01;

/**
 * From 0 to the 99th percentile of all cells that count, or from half of that where hardly any cell lies below: no
 * nearer, for small differences are to look small.
 */
export function scaleOf({ job }: Pick<Plan, "job">, { removal, neverClears }: Fill, proof: TurnProof): Scale {
  const shown = proofs.flatMap((kind) => proof.maps[kind] ?? []).map((map) => counted(map, proof));
  const strongest = Math.max(0, shown[0]?.at(-1) ?? 0);
  const unit = removal ? 1000 : strongest > 0 ? 1 / strongest : 1;
  const all = Float64Array.from(shown.flatMap((values) => [...values])).sort();
  const at = (p: number): number => (all[Math.round(p * (all.length - 1))] ?? 0) * unit;
  const [least, most] = [at(HUNDREDTH), at(1 - HUNDREDTH)];
  const far = least > most / 2;
  const step = most > 0 ? roundStep(most / (far ? 16 : 8)) : 0.2;
  const high = most > 0 ? (Math.ceil((2 * most) / step - 1e-6) * step) / 2 : 1;
  const low = far ? Math.floor(most / 2 / step) * step : 0;
  const what = removal
    ? `depth removed (µm)${coatingCalibrated(job) ? "" : ", uncalibrated"}, by ${middleWords(job)}${job.coating ? `; the coating is ${plain(job.coating.thicknessUm.value, 1)} µm thick` : ""}`
    : "areal falloff, 1 = the strongest of plain";
  const from = low > 0 ? `; colours begin at ${four(low)}, not at 0` : "";
  return {
    unit,
    low,
    high,
    step,
    title: what + (neverClears ? "; nothing is removed anywhere" : from),
    short: removal ? "depth (µm)" : "falloff",
    place: (value) => Math.min(1, Math.max(0, (value - low) / (high - low))),
  };
}

/** A map's numbers where they count, ascending; where none does, on the cells that hold the most ink. */
function counted(map: Float32Array, { counts, coverage }: TurnProof): Float32Array {
  if (counts.includes(1)) return map.filter((_, n) => counts[n] === 1).sort();
  const most = coverage.reduce((max, ink) => Math.max(max, ink), 0);
  return map
    .map((v, n) => v / coverage[n]!)
    .filter((v, n) => coverage[n]! >= most / 2 && Number.isFinite(v))
    .sort();
}
