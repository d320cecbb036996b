/** The key of zones: which to list, in words, with their share of the ink. */
import type { Plan } from "../plan/types.ts";
import { type Zone, zoneNames } from "../plan/zones.ts";
import { zoneStyles } from "./colours.ts";

export interface KeyItem {
  readonly zone: Zone;
  readonly words: string;
}

/** Zones that show in a picture or hold ink, mildest first. */
export function zoneKeyItems(plan: Pick<Plan, "zones">, shown: readonly Zone[]): KeyItem[] {
  return zoneNames.flatMap((zone) => {
    const share = plan.zones.find((z) => z.zone === zone)?.share ?? 0;
    if (zone === "usable" || !(shown.includes(zone) || share > 0)) return [];
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
