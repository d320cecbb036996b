/**
 * How far a place is from being cleared, and from harm of the metal, in logarithms of the fluence:
 *
 *   cleared   z/T = C ln²(F/F_c) ≥ 1,  C = N ρ (A/4) δ_c/T   ⇔   h = ln(F/F_c) − 1/√C ≥ 0
 *   metal     F ≥ F_m(1) m^(S−1)                              ⇔   g = ln F − ln F_m(m) ≥ 0
 *
 * h is the logarithm of the fluence over the least that clears, F_c e^{1/√C}: smooth through the threshold, where the depth is
 * not, and near to a straight line in every logarithm of what is not known. Equations of plan/process/process.ts.
 */
import { footprintArea } from "../../beam/pulse.ts";
import { effect, type Met, type Process } from "../process/process.ts";
import type { World } from "../process/worlds.ts";

/** h; positive where the coat is cleared. −∞ where nothing is met. The world must have a coating. */
export function clearingOf(process: Process, met: Met | null, world: World, here = effect()): number {
  const { coating } = world;
  if (!coating) throw new RangeError("nothing is cleared without a coating");
  if (!met) return -Infinity;
  process.at(met, world, here);
  const area = footprintArea(here.radiusMm, met.cosIncidence);
  const laid = process.sets * process.density * met.areaRatio;
  const c = (laid * area * coating.depthMm) / (4 * coating.thicknessMm);
  return Math.log(here.fluence / coating.threshold) - 1 / Math.sqrt(c);
}

/** g; positive where the metal is at risk once it is bare (whether it is, h says). −∞ where nothing is met. */
export function metalOf(process: Process, met: Met | null, world: World, here = effect()): number {
  if (!met) return -Infinity;
  return Math.log(process.at(met, world, here).margin);
}
