/** What the customer is told of the vessel's shape: how the artwork lands on it, what that changes, where turns join. */
import type { Plan } from "../../plan/types.ts";
import { plain } from "../ticks.ts";

const isCurved = ({ warp: { surface } }: Plan): boolean => surface.meridian.slope !== 0;

/** Of the flat drawing. */
export function flatWords(plan: Plan): string {
  const { fidelity } = plan.job.placement;
  if (fidelity === "sight")
    return "as seen straight from the front: toward the sides the vessel itself is longer";
  if (!isCurved(plan)) return "the surface laid flat: lengths as a tape measures them on the vessel";
  if (fidelity === "girth") return "as drawn: level lengths are true at the artwork's height alone";
  if (fidelity === "true-width") return "every level length is true, and those along the crown line";
  return "the wall rolled out flat: lengths as a tape measures them on it";
}

const landing = {
  girth: "true to girth at the artwork's height; upright lines follow the wall, and widths with them",
  "true-width": "every width and the area true: widths are the same at every height",
  sheet: "as if a flat sheet were laid on: level lines lie on arcs",
} as const;

/** More than this is worth a word (share). */
const TOLD = 0.02;

/** How the artwork lands on a vessel that is no plain cylinder; null where there is nothing to say. */
export function shapeFact(plan: Plan): string | null {
  const { fidelity, viewingDistanceMm } = plan.job.placement;
  const changed = changeWords(plan);
  if (fidelity === "sight") {
    const from = viewingDistanceMm === "far" ? "" : `, from ${plain(viewingDistanceMm, 0)} mm away`;
    if (!isCurved(plan) && from === "") return null;
    return `true as seen straight from the front${from}`;
  }
  if (!isCurved(plan)) return null;
  return `${landing[fidelity]}${changed ? `; ${changed}` : ""}`;
}

function changeWords({ distortion: { largestStretch, smallestStretch } }: Plan): string | null {
  const percent = (share: number): string => `${Math.max(1, Math.round(100 * share))} %`;
  const parts = [
    ...(largestStretch > 1 + TOLD ? [`${percent(largestStretch - 1)} longer`] : []),
    ...(smallestStretch < 1 - TOLD ? [`${percent(1 - smallestStretch)} shorter`] : []),
  ];
  return parts.length > 0 ? `lengths come out up to ${parts.join(" and up to ")} than drawn` : null;
}

/** Null where the vessel is not turned. */
export function turnsFact({ turns, parting }: Plan): string | null {
  if (turns.length < 2) return null;
  const through = parting.cuts.filter(({ inkMm }) => inkMm > 0).length;
  const joins = parting.cuts.length === 1 ? "the join runs" : "all joins run";
  const one = through === 1 ? "a join goes" : `${through} joins go`;
  const said =
    through === 0 ? `${joins} between the shapes` : `where ${one} through the mark a fine line may show`;
  const marks = turns.some(({ aimMm }) => aimMm !== null)
    ? "; each join has a small upright mark below the artwork, which the picture does not show"
    : "";
  return `marked in ${turns.length} turns of the vessel; ${said}${marks}`;
}

/** How first and last meet on artwork that goes all the way around; null on other artwork. */
export function closingFact({ parting: { closing }, spot }: Plan): string | null {
  if (!closing) return null;
  const { errorMm } = closing;
  if (Math.abs(errorMm) <= spot.waistDiameterMm) return "first and last meet";
  return `first and last ${errorMm > 0 ? "leave a gap of" : "overlap by"} ${plain(Math.abs(errorMm), 2)} mm`;
}

/** The ink's width along the vessel's curve, in its middle row (mm). */
export function tapeMm({ warp: { surface }, ink: { box } }: Plan): number {
  const { chart, meridian } = surface;
  const [place, flat, at] = [new Float64Array(6), new Float64Array(2), new Float64Array(4)];
  const b = (box.minY + box.maxY) / 2;
  if (!chart.to(0, b, place)) return Number.NaN;
  const m = place[1]!;
  meridian.at(m, at);
  const last = chart.halfAngle(m) * (1 - 1e-9);
  const theta = (a: number): number => {
    // Past the flat's end it is the end.
    chart.from(last, m, flat);
    if (Math.abs(a) >= flat[0]!) return Math.sign(a) * last;
    return chart.to(a, b, place) ? place[0]! : Math.sign(a) * last;
  };
  return at[0]! * (theta(box.maxX) - theta(box.minX));
}
