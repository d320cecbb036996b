/** How the first and the last of artwork meet that goes all the way around: its period against the girth. */
import type { Job } from "../../job/job.ts";
import type { Problem } from "../../problem.ts";
import type { Surface } from "../../vessel/surface.ts";
import type { Ink } from "../ink.ts";

/** How the ends of artwork that goes all the way around meet. */
export interface Closing {
  /** The artwork's period: the width of its page as sized or of its ink, whichever is nearer to the girth. */
  readonly periodMm: number;
  readonly girthMm: number;
  /** girth − period: positive leaves a gap. */
  readonly errorMm: number;
}

/**
 * Artwork this near to the girth is meant to go all the way around; of what is a little further from it the gap is told
 * (shares of the girth, our own choice).
 */
const NEARLY_AROUND = 0.02;
const MOSTLY_AROUND = 0.2;

/** Null where neither page nor ink goes nearly all the way around. */
export function closingOf(pageMm: number, girthMm: number, widthMm: number): Closing | null {
  const periodMm = Math.abs(pageMm - girthMm) < Math.abs(widthMm - girthMm) ? pageMm : widthMm;
  if (Math.abs(periodMm - girthMm) > MOSTLY_AROUND * girthMm || widthMm < 0.5 * girthMm) return null;
  return { periodMm, girthMm, errorMm: girthMm - periodMm };
}

const aslant = (fidelity: string, straight: boolean): Problem => ({
  code: "ends-aslant",
  severity: "caution",
  message: `with ${fidelity} on a wall that is not straight up the ends of the artwork meet at one height only: elsewhere they gape or overlap${straight && fidelity === "sheet" ? ", and what is level bends where they meet" : ""}`,
  hint: "for artwork all the way around give --fidelity girth",
});

/** `upright`: meridians are upright lines of the flat; elsewhere the ends lie aslant to each other. */
export function closingProblems(
  closing: Closing | null,
  upright: boolean,
  spot: number,
  { placement }: Job,
  { meridian }: Surface,
  ink: Ink,
): Problem[] {
  if (!closing) return [];
  const { periodMm, girthMm, errorMm } = closing;
  const meant = Math.abs(errorMm) <= NEARLY_AROUND * girthMm;
  if (!upright) return meant ? [aslant(placement.fidelity, meridian.slope !== null)] : [];
  if (Math.abs(errorMm) <= spot) return [];
  const width = ((ink.box.maxX - ink.box.minX) * girthMm) / periodMm;
  return [
    {
      code: "ends-do-not-meet",
      severity: meant ? "caution" : "note",
      message: `the artwork goes around ${periodMm.toFixed(2)} mm, the vessel ${girthMm.toFixed(2)} mm: first and last ${errorMm > 0 ? `leave a gap of ${errorMm.toFixed(2)} mm` : `overlap by ${(-errorMm).toFixed(2)} mm`}`,
      hint:
        placement.heightMm === undefined
          ? `give --width ${width.toFixed(3)}, with which they meet`
          : `give --width ${width.toFixed(3)} --height ${placement.heightMm}, with which they meet`,
    },
  ];
}
