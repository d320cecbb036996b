/** What both pictures say of the job in words: the vessel, the lens, the focus, why it is stopped. */

import { downTenth } from "../plan/figures.ts";
import type { Plan } from "../plan/types.ts";
import { shapeWords, widthWords } from "../plan/vesselsaid.ts";
import type { Problem } from "../problem.ts";
import { plain, signed } from "./ticks.ts";

/** The job by its order's name, else by the artwork's file name. */
export const orderName = ({ job }: Pick<Plan, "job">, title: string): string =>
  job.order.name ?? title.replace(/\.[^.]*$/, "");

export function jobWords(plan: Plan): string[] {
  const { job, focus } = plan;
  const where = signed(Math.abs(focus.belowCrownMm), 2);
  return [
    `vessel ${shapeWords(job.vessel)}`,
    `lens ${job.lens.id}`,
    Number(where) === 0
      ? "focus on the crown"
      : `focus ${where} mm ${focus.belowCrownMm > 0 ? "below" : "above"} the crown`,
    ...fidelityWords[job.placement.fidelity],
    ...poseWords(plan),
    ...(job.axis === "x" ? ["file turned: top toward +x"] : []),
  ];
}

/** The settings and the coating, where the job has them. */
export function settingsWords({ job }: Pick<Plan, "job">): string[] {
  const { settings: s, coating } = job;
  if (!s) return [];
  const share = job.source.meanPowerW ? ` of ${plain(job.source.meanPowerW, 1)}` : "";
  const passes = s.passes === 1 ? "" : `, ${s.passes} passes`;
  return [
    `${plain(s.powerW, 2)}${share} W, ${plain(s.speedMmS, 1)} mm/s, ${plain(s.frequencyKHz, 2)} kHz`,
    `pitch ${plain(s.pitchMm, 4)} mm at ${s.anglesDeg.map((a) => `${plain(a, 1)}°`).join(", ")}${passes}`,
    ...(coating ? [`coating ${coating.id}`] : []),
  ];
}

/** The reach, and that the focus would have to be set for it. */
export const reachWords = (plan: Plan): string =>
  `reach ${downTenth(plan.reach.aroundMm)} mm, focus set for it`;

export const aroundWords = (plan: Plan): string => `${widthWords[plan.job.placement.fidelity]} (mm)`;

const fidelityWords = {
  girth: [],
  "true-width": ["true width at every height"],
  sheet: ["laid on as a sheet"],
  sight: ["true as seen from the front"],
} as const;

/** How the vessel lies, where that makes a difference. */
export function poseWords({ job, warp }: Plan): string[] {
  const deg = (warp.surface.tilt * 180) / Math.PI;
  if (Math.abs(deg) < 0.005) return [];
  const tilt = `rim ${plain(Math.abs(deg), 2)}° ${deg > 0 ? "up" : "down"}`;
  return [typeof job.pose === "number" ? tilt : `${job.pose}, ${tilt}`];
}

/** Zones and ends list the shapes that they cut: too long for a line, and drawn in the pictures. */
const listed = [
  "ink-hidden",
  "ink-blocked",
  "ink-off-field",
  "ink-out-of-depth",
  "ink-oblique",
  "ink-beyond-rim",
  "ink-beyond-base",
];
export const withoutShapes = ({ code, message }: Pick<Problem, "code" | "message">): string =>
  listed.includes(code) ? message.split(": ")[0]! : message;

/** True for the plan of one turn of several (plan/plan.ts): its verdict and reasons are the whole job's. */
const isOneOfSeveral = ({ turns, parting }: Plan): boolean => turns.length === 1 && parting.cuts.length > 0;

/** The gravest reasons, as many as `most`; how many more there are is said with the last. */
export function reasonWords(plan: Plan, most: number): string[] {
  const grave = plan.reasons.filter((r) => r.severity === "stop" || r.severity === "caution");
  return grave.slice(0, most).map((r, i) => {
    const who = r.where?.id ?? r.where?.element;
    const what = withoutShapes(r);
    const named = who && !r.code.startsWith("ink-") && !what.includes(who) ? `${what} (${who})` : what;
    const more = i === most - 1 ? grave.length - most : 0;
    return `${isOneOfSeveral(plan) ? "whole job: " : ""}${r.severity}: ${named}${more > 0 ? `, and ${more} more` : ""}`;
  });
}
