/** The vessel's shape in words. */
import type { Job } from "../job/job.ts";
import type { Fidelity } from "../vessel/chart.ts";
import { diameterOf } from "./body.ts";

export type { Fidelity };

type Vessel = Job["vessel"];
const short = (mm: number, digits = 2): string => String(Number(mm.toFixed(digits)));

/** As "76.4 mm diameter", "88 to 64 mm diameter over 110 mm", "70 mm sphere", "74 mm diameter there, measured in 14 rows". */
export function shapeWords(vessel: Vessel): string {
  const { taperMm, sphereMm, profile } = vessel;
  if (taperMm)
    return `${short(taperMm[0])} to ${short(taperMm[1])} mm diameter over ${short(taperMm[2], 1)} mm`;
  if (sphereMm !== undefined) return `${short(sphereMm)} mm sphere`;
  if (profile)
    return `${short(diameterOf(vessel))} mm diameter where placed, measured in ${profile.length} rows`;
  return `${short(diameterOf(vessel))} mm diameter`;
}

export const kindOf = ({ taperMm, sphereMm, profile }: Vessel): "cylinder" | "cone" | "sphere" | "profile" =>
  taperMm ? "cone" : sphereMm !== undefined ? "sphere" : profile ? "profile" : "cylinder";

/** What a width on the flat is. */
export const widthWords: Record<Fidelity, string> = {
  girth: "around",
  "true-width": "around",
  sheet: "across the sheet",
  sight: "across, as seen",
};
