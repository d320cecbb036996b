/** Vessels, fidelities and poses for tests, every pair of them that makes a surface; lengths mm. */
import fc from "fast-check";
import {
  type Chart,
  type Fidelity,
  girthChart,
  sheetChart,
  sightChart,
  trueWidthChart,
} from "../../src/vessel/chart.ts";
import type { Meridian } from "../../src/vessel/meridian.ts";
import { type Pose, tiltOf } from "../../src/vessel/pose.ts";
import { revolved } from "../../src/vessel/revolved.ts";
import { sphereOutline } from "../../src/vessel/sphere.ts";
import { coneOutline, cylinderOutline } from "../../src/vessel/straight.ts";
import type { Surface } from "../../src/vessel/surface.ts";

export const vessels: readonly (readonly [string, Meridian])[] = [
  ["cylinder", cylinderOutline(41)],
  ["cone, wider at the base", coneOutline(64, 88, 100, 40)],
  ["cone, wider at the rim", coneOutline(90, 66, 130, 60)],
  ["sphere", sphereOutline(45)],
];

export const poses: readonly Pose[] = ["levelled", "axis", "lying", 7];

/** So near is near sight (mm before the placement point). */
export const NEAR = 300;
export type Rule = Exclude<Fidelity, "sight"> | "sight from far" | "sight from near";
export const rules: readonly Rule[] = ["girth", "true-width", "sheet", "sight from far", "sight from near"];

/** Null where the rule has no chart of the outline. `arc`: where girth is true. */
export function chartBy(rule: Rule, outline: Meridian, arc = 0): Chart | null {
  if (rule === "girth") return girthChart(outline, arc);
  if (rule === "true-width") return trueWidthChart(outline);
  if (rule === "sheet") return outline.slope === null ? null : sheetChart(outline);
  return sightChart(outline, rule === "sight from far" ? Infinity : NEAR);
}

/** Every vessel with every chart that it has. */
export const charted = vessels.flatMap(([name, outline]) =>
  rules.flatMap((rule) => {
    const chart = chartBy(rule, outline, rule === "girth" ? 12 : 0);
    return chart ? [{ name: `${name}, ${rule}`, outline, chart, rule }] : [];
  }),
);

/** Every one of these in every pose. */
export const posed: readonly { readonly name: string; readonly surface: Surface }[] = charted.flatMap(
  ({ name, outline, chart }) =>
    poses.map((pose) => ({
      name: `${name}, ${typeof pose === "number" ? `${pose}°` : pose}`,
      surface: revolved(outline, chart, tiltOf(outline, pose)),
    })),
);

/** Places (θ, m) well within a chart and its vessel, both ends and both sides among them. */
export function placesOf({ from, to }: Meridian, chart: Chart, most = 0.97): [theta: number, m: number][] {
  const [top, bottom] = [Math.max(from, -62) * most, Math.min(to, 62) * most];
  return [0, 0.13, 0.4, 0.62, 0.9, 1].flatMap((share) => {
    const m = top + (bottom - top) * share;
    const half = chart.halfAngle(m) * most;
    return [-1, -0.7, -0.31, 0, 0.004, 0.2, 0.55, 1].map((f): [number, number] => [f * half, m]);
  });
}

/** The same places on the flat. */
export function flatPlaces(surface: Surface, most?: number): [a: number, b: number][] {
  const out = new Float64Array(2);
  return placesOf(surface.meridian, surface.chart, most).flatMap(([theta, m]): [number, number][] =>
    surface.chart.from(theta, m, out) ? [[out[0]!, out[1]!]] : [],
  );
}

/** X, Y, s, their derivatives and the normal. */
export function atPoint(surface: Surface, a: number, b: number): Float64Array {
  const out = new Float64Array(12);
  surface.at(a, b, out);
  return out;
}

/** Numbers spread evenly: fast-check's own doubles crowd around 0. */
export const evenly = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: 0, max: 1e6 }).map((i) => min + ((max - min) * i) / 1e6);
