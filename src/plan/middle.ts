/**
 * Ink against the middle lines of the vessel's handle and seam. How wide handle
 * and seam are is not known.
 */
import { walkContour } from "../geometry/cubic.ts";
import type { Contour } from "../geometry/path.ts";
import type { Problem } from "../problem.ts";
import type { Surface } from "../vessel/surface.ts";
import { sideWords } from "./around.ts";
import type { InkShape } from "./ink.ts";
import type { Plan } from "./types.ts";

type Known = Pick<Plan, "job" | "ink" | "warp">;

/** What is nearer to a line than this (radians) is on it. */
const HAIR = 1e-10;
/** How closely curves are followed, and how far along straight lines, which may bend around (mm). */
const CHORD = 0.01;
const STEP = 1;

/** Cautions where ink lies on both sides of the handle's middle line, or on the seam's; nothing where they are not known. */
export function middleProblems(known: Known): Problem[] {
  const { ink, job } = known;
  const { handleDeg, seamDeg } = job.vessel;
  const list: Problem[] = [];
  // A handle stands off: what is on both its sides is in its way, with ink on the line itself or not.
  if (handleDeg !== undefined && linesAt(known, handleDeg).length > 0) {
    const lines = linesAt(known, handleDeg);
    list.push({
      code: "ink-on-handle",
      severity: "caution",
      message: `the ink goes across the handle's middle line, ${angle(handleDeg)}`,
      ...whereOf(ink.shapes.find((shape) => meets(shape, known.warp.surface, lines))),
      hint: "turn the vessel and give --handle-at anew, or move the ink with --at or give a smaller --width",
    });
  }
  if (seamDeg !== undefined) {
    const lines = linesAt(known, seamDeg);
    const shape = ink.shapes.find((one) => meets(one, known.warp.surface, lines));
    if (shape) {
      list.push({
        code: "ink-on-seam",
        severity: "caution",
        message: `ink lies on the seam's middle line, ${angle(seamDeg)}`,
        ...whereOf(shape),
        hint: "what a seam does to coat and mark is not known here: turn the vessel and give --seam-at anew, or mark a test across one",
      });
    }
  }
  return list;
}

/** A stretch of angles around from the crown line (radians). */
type Stretch = readonly [number, number];

/** Where the line at an angle is within the ink's extent around; more than once where the ink overlaps itself. */
function linesAt({ ink, warp }: Known, degrees: number): number[] {
  const { surface } = warp;
  const all = ink.shapes.flatMap(({ path }) => path.contours.map((contour) => stretchOf(contour, surface)));
  const [from, to] = all.reduce(([a, b], [c, d]) => [Math.min(a, c), Math.max(b, d)], NOWHERE);
  const theta = (degrees * Math.PI) / 180;
  if (surface.chart.fidelity === "sight") {
    const shown = Math.abs(theta) < surface.chart.halfAngle(0);
    return shown && from - HAIR <= theta && theta <= to + HAIR ? [theta] : [];
  }
  // Ink that ends shortly before a line on both its sides, all the way around, lies across it too.
  const around = to - from < FULL && from + FULL - to < NEAR_ENDS ? to + (from + FULL - to) : to;
  const lines: number[] = [];
  for (let k = Math.ceil((from - HAIR - theta) / FULL); theta + k * FULL <= around + HAIR; k++)
    lines.push(theta + k * FULL);
  return lines;
}
const FULL = 2 * Math.PI;
/** A gap this wide (radians) between the ends of a band is no room for a handle (our own choice). */
const NEAR_ENDS = 0.2;
const NOWHERE: Stretch = [Infinity, -Infinity];

/** How far around an outline goes. */
function stretchOf(contour: Contour<"flat">, { chart }: Surface): Stretch {
  const place = new Float64Array(6);
  let [from, to] = NOWHERE;
  walkContour(contour, CHORD, chart.fidelity === "girth" ? Infinity : STEP, (a, b) => {
    const shown = chart.to(a, b, place);
    // What lies past a view's edge goes up to it.
    if (!shown && chart.fidelity !== "sight") return;
    const theta = shown ? place[0]! : Math.sign(a) * chart.halfAngle(0);
    from = Math.min(from, theta);
    to = Math.max(to, theta);
  });
  return [from, to];
}

/** Outlines hang together: one that lies on both sides of a line meets it, and ink that meets it has such an outline. */
const meets = ({ path }: InkShape, surface: Surface, lines: readonly number[]): boolean =>
  path.contours.some((contour) => {
    const [from, to] = stretchOf(contour, surface);
    return lines.some((theta) => from - HAIR <= theta && theta <= to + HAIR);
  });

const whereOf = (shape: InkShape | undefined): Pick<Problem, "where"> =>
  shape ? { where: { ...shape.where, id: shape.id } } : {};

const angle = (degrees: number): string => sideWords(degrees, "the crown line") ?? "which is the crown line";
