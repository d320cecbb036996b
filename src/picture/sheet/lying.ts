/** How the vessel lies and how that is checked, where its placement point is, and what of it stays free. */
import { sideWords } from "../../plan/around.ts";
import type { Plan } from "../../plan/types.ts";
import { kindOf } from "../../plan/vesselsaid.ts";
import { plain, signed } from "../ticks.ts";
import { DOWN, isDown } from "./around.ts";
import { isTurned } from "./turning.ts";
import type { Row } from "./types.ts";

/** Angles below this are none (degrees). */
const LEVEL = 0.005;

/** Nothing of a cylinder or a ball with its axis level. */
export function poseRows({ job, warp, levelling }: Plan): Row[] {
  const tilt = (warp.surface.tilt * 180) / Math.PI;
  const plainKind = ["cylinder", "sphere"].includes(kindOf(job.vessel));
  if (plainKind && Math.abs(tilt) < LEVEL) return [];
  return [
    { name: "pose", value: howWords(job.pose, tilt), strong: true },
    { name: "check", value: checkWords(levelling?.byDeg ?? 0) },
  ];
}

function howWords(pose: Plan["job"]["pose"], tilt: number): string {
  const rim =
    Math.abs(tilt) < LEVEL
      ? "the axis is level"
      : `the axis ${plain(Math.abs(tilt), 2)}° off level, the rim ${tilt > 0 ? "raised" : "lowered"}`;
  if (pose === "levelled") return `levelled: the crown line level at the placement point; ${rim}`;
  if (pose === "axis") return "axis level: the middles of rim and base equally high above the bed";
  if (pose === "lying") return `lying on its side on the bed, as it comes to rest; ${rim}`;
  return rim;
}
/** `byDeg`: how far the rim would have to be raised for the crown line to be level. */
function checkWords(byDeg: number): string {
  if (Math.abs(byDeg) < LEVEL)
    return "a level laid along the crown line, its middle on the placement point, shows level";
  const side = byDeg > 0 ? "lower" : "higher";
  return `a gauge laid along the crown line, its middle on the placement point, shows ${plain(Math.abs(byDeg), 2)}°, ${side} toward the rim`;
}

export function placementRow(belowRimMm: number | undefined, isBall: boolean): Row {
  const name = "placement point";
  if (isBall) return { name, value: "where the ball is highest", strong: true };
  if (belowRimMm === undefined) return { name, value: null, after: "mm below the rim: not in the job, ask" };
  return { name, value: `${signed(belowRimMm, 1)} mm below the rim, on the crown line`, strong: true };
}

/** The crown line that angles of the job count from: once the vessel is indexed there are others. */
export const crownOf = (plan: Pick<Plan, "turns">): string =>
  isTurned(plan) ? "the artwork's crown line" : "the crown line";

/** Areas that stay free, as they are given: around from the crown line, along the axis from the rim. */
export function freeRows(plan: Plan): Row[] {
  const { job } = plan;
  const turned = isTurned(plan) ? "; in each turn: see Turns" : "";
  return (job.vessel.blocked ?? []).map(({ name, aroundDeg, belowRimMm }) => {
    const [from0, to0] = aroundDeg;
    // Given from right to left it goes around the back.
    const to1 = to0 < from0 ? to0 + 360 * Math.ceil((from0 - to0) / 360) : to0;
    const down = isDown({ from: from0, to: to1, near: DOWN })
      ? "; it points down: the rest must leave it room"
      : "";
    const from = job.vessel.sphereMm === undefined ? "the rim" : "the top";
    const along = belowRimMm
      ? `, ${plain(belowRimMm[0], 1)} to ${plain(belowRimMm[1], 1)} mm below ${from}`
      : ", all along";
    return {
      name: "keep free",
      value: `${name}: ${aroundWords(aroundDeg, crownOf(plan))}${along}${down}${turned}`,
    };
  });
}

function aroundWords([from, to]: readonly [number, number], of: string): string {
  if (Math.abs(to - from) >= 360) return "all around";
  const size = (deg: number): string => plain(Math.abs(deg), 1);
  if (from >= 0 && to >= from) return `${size(from)}° to ${size(to)}° to the right of ${of}`;
  if (to <= 0 && from <= to) return `${size(from)}° to ${size(to)}° to the left of ${of}`;
  const end = (deg: number): string => sideWords(deg, of) ?? of;
  return `from ${end(from)}, by way of the right, to ${end(to)}`;
}
