/** What the picture of all turns says in words. */
import { upTenth } from "../../plan/figures.ts";
import type { Plan } from "../../plan/types.ts";
import { plain, signed } from "../ticks.ts";

/** The turns, the cuts and the falloff in a line. */
export function turnsWords(plan: Plan): string {
  const { turns, parting, falloff } = plan;
  const degrees = (angle: number): string => `${signed((angle * 180) / Math.PI, 1)}°`;
  const [first, last] = [turns[0]!, turns.at(-1)!];
  const indexed =
    turns.length === 1
      ? `1 turn, index ${degrees(first.angle)}`
      : `${turns.length} turns, index ${degrees(first.angle)} to ${degrees(last.angle)}`;
  const inkMm = cutMm(plan);
  const cut = inkMm > 0 ? `cuts through ${upTenth(inkMm)} mm of ink` : "no cut goes through ink";
  return [
    indexed,
    ...(parting.cuts.length > 0 ? [cut] : []),
    `relative fluence ${falloff.min.toFixed(2)} to ${falloff.max.toFixed(2)}`,
  ].join(", ");
}

/** Every turn's index angle. */
export const indexWords = ({ turns }: Pick<Plan, "turns">): string[] =>
  turns.map(({ index, angle }, i) => {
    const said = `${index}: ${signed((angle * 180) / Math.PI, 1)}°`;
    return `${i === 0 ? "index of turn " : ""}${said}${i + 1 < turns.length ? "," : ""}`;
  });

/** Length of all cuts within ink, mm. */
export const cutMm = ({ parting }: Pick<Plan, "parting">): number =>
  parting.cuts.reduce((sum, { inkMm }) => sum + inkMm, 0);

/** What the rings stand for; the overlap is too narrow to draw. */
export function overlapWords({ parting, spot }: Plan): string {
  const area = parting.overlapMm2 > 0 ? `: ${plain(parting.overlapMm2, 2)} mm² marked twice` : "";
  return `there the turns overlap by one spot, ${plain(spot.waistDiameterMm, 3)} mm, too narrow to draw${area}`;
}

/** How first and last meet; null where the artwork does not go all the way around. */
export function closingWords({ parting, spot }: Pick<Plan, "parting" | "spot">): string | null {
  if (!parting.closing) return null;
  const { periodMm, girthMm, errorMm } = parting.closing;
  const apart = Math.abs(errorMm);
  const met = apart <= spot.waistDiameterMm ? "meet" : "do not meet";
  const by = apart < 0.005 ? "no gap" : `${errorMm > 0 ? "gap" : "overlap"} ${apart.toFixed(2)} mm`;
  return `first and last ${met}: ${by} (artwork ${periodMm.toFixed(2)} mm around, girth ${girthMm.toFixed(2)} mm)`;
}
