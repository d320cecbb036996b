/**
 * Ink against the middle lines of the vessel's handle and seam (where they lie on the flat: around.ts). How wide handle
 * and seam are is not known.
 */
import { pathBounds } from "../geometry/path.ts";
import type { Problem } from "../problem.ts";
import { placesWithin, sideWords } from "./around.ts";
import type { InkShape } from "./ink.ts";
import type { Plan } from "./types.ts";

type Known = Pick<Plan, "job" | "ink">;

/** What is nearer to a line than this (mm) is on it. */
const HAIR = 1e-9;

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
      ...whereOf(ink.shapes.find((shape) => meets(shape, lines))),
      hint: "turn the vessel and give --handle-at anew, or move the ink with --at or give a smaller --width",
    });
  }
  if (seamDeg !== undefined) {
    const lines = linesAt(known, seamDeg);
    const shape = ink.shapes.find((one) => meets(one, lines));
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

/** Where the line at an angle is within the ink's extent, on the flat; more than once where the ink overlaps itself. */
const linesAt = ({ ink: { box }, job }: Known, degrees: number): number[] =>
  placesWithin(job, degrees, box.minX - HAIR, box.maxX + HAIR);

/** Outlines hang together: one that lies on both sides of a line meets it, and ink that meets it has such an outline. */
function meets({ box, path }: InkShape, lines: readonly number[]): boolean {
  const near = lines.filter((a) => within(box, a));
  if (near.length === 0) return false;
  return path.contours.some((contour) => {
    const bounds = pathBounds({ contours: [contour] });
    return bounds !== null && near.some((a) => within(bounds, a));
  });
}

const within = ({ minX, maxX }: { minX: number; maxX: number }, a: number): boolean =>
  minX <= a + HAIR && a <= maxX + HAIR;

const whereOf = (shape: InkShape | undefined): Pick<Problem, "where"> =>
  shape ? { where: { ...shape.where, id: shape.id } } : {};

const angle = (degrees: number): string => sideWords(degrees, "the crown line") ?? "which is the crown line";
