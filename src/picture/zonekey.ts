/** The key of zones: which to list, in words, with their share of the ink. */

import { coatingCalibrated, metalCalibrated } from "../plan/process/label.ts";
import { zonesWithOutcome } from "../plan/process/outcome.ts";
import type { Plan } from "../plan/types.ts";
import { zoneNames } from "../plan/zones.ts";
import { type DrawnZone, zoneStyles } from "./colours.ts";

export interface KeyItem {
  readonly zone: DrawnZone;
  readonly words: string;
}

/** Zones that show in a picture or hold ink, mildest first. */
export function zoneKeyItems(
  plan: Pick<Plan, "zones" | "forecast" | "job">,
  shown: readonly DrawnZone[],
): KeyItem[] {
  const sure = { residue: coatingCalibrated(plan.job), metal: metalCalibrated(plan.job) };
  const rows = zonesWithOutcome(plan.zones, plan.forecast?.outcome ?? null);
  const names: readonly DrawnZone[] = [...zoneNames, "residue", "metal"];
  return names.flatMap((zone) => {
    const share = rows.find((z) => z.zone === zone)?.share ?? 0;
    const limit = zoneNames.some((name) => name === zone);
    if (zone === "usable") return [];
    // What the process makes of the ink is told only where it is drawn.
    if (!(shown.includes(zone) || (limit && share > 0))) return [];
    if (!limit) {
      const likely = sure[zone as keyof typeof sure] ? "likely" : "likely (uncalibrated)";
      return [{ zone, words: `${zoneStyles[zone].word}, ${likely}: ${amount(share * 100)}` }];
    }
    // Depth is counted from this job's focus; the reach is what the best focus for it would allow.
    const where = zone === "out-of-depth" ? `${zoneStyles[zone].word} at this focus` : zoneStyles[zone].word;
    return [{ zone, words: `${where}: ${amount(share * 100)}` }];
  });
}

function amount(percent: number): string {
  if (!(percent > 0)) return "no ink";
  return percent < 0.1 ? "under 0.1 % of the ink" : `${percent.toFixed(1)} % of the ink`;
}

/** A box as a ring of points. */
export const boxRing = (x: number, y: number, width: number, height: number): { x: number; y: number }[] => [
  { x, y },
  { x: x + width, y },
  { x: x + width, y: y + height },
  { x, y: y + height },
];
