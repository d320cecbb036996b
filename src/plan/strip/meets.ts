/**
 * What the beam meets on a strip's bars as the strip truly lay: the file was bent for the crown line on the optical axis and
 * the focal plane δ below it; the vessel stood e to the right, the focal plane lay ε deeper, the pivots are what they are.
 *
 *   flat (a, b) → (u, v) by the map that the file was bent with → back onto the vessel by the map as it was
 *
 * Bars are told by their numbers, so that a is where a bar was meant to be, wherever on the vessel it landed.
 */
import type { Job } from "../../job/job.ts";
import { coupon } from "../../vessel/coupon.ts";
import { shifted } from "../../vessel/shifted.ts";
import type { Face } from "../../vessel/surface.ts";
import { Warp } from "../../warp/warp.ts";
import { surfaceOf } from "../body.ts";
import type { Met } from "../process/process.ts";
import { headOf } from "../station.ts";
import type { Strip, StripMark } from "./types.ts";

/** How a strip lay, and through what. */
export interface Lay {
  /** e: the crown line right of the optical axis. */
  readonly sidewaysMm: number;
  /** ε: the focal plane below where it was set. */
  readonly focusErrorMm: number;
  /** Pivots along the bed's x and y; the job's where left out. */
  readonly pivotMm?: Job["lens"]["pivotMm"];
  /** Of a coupon, where its ends were measured (radians). */
  readonly tilt?: number;
}

/** What lies under the lens: the job's vessel, or a coupon (tilt in radians; level for squares). */
export function faceOf({ job, tiltDeg, ladder }: Strip, tilt?: number): Face {
  if (ladder !== "ramp" && ladder !== "squares") return surfaceOf(job);
  return coupon(tilt ?? ((tiltDeg ?? 0) * Math.PI) / 180);
}

/** The map that a mark's file is bent with. */
export const bentWith = (strip: Strip, mark: StripMark, face: Face = faceOf(strip)): Warp<Face> =>
  new Warp(face, { ...headOf(strip.job.lens, strip.job.axis), belowCrown: mark.belowCrownMm });

/** Where the head was told to go for `a` in a mark's row; null where that has no image. */
export type Commands = (a: number) => { readonly x: number; readonly y: number } | null;

export function commandsOf(strip: Strip, mark: StripMark, face?: Face): Commands {
  const bent = bentWith(strip, mark, face);
  return (a) => {
    const command = bent.forward({ x: a, y: mark.rowMm });
    return typeof command === "string" ? null : command;
  };
}

/** Met at `a` in a mark's row; null where its beam passes by or has no image. */
export type Meets = (a: number) => Met | null;

/** `real`: what lay there; `commands` where they are at hand. */
export function meetsOf(
  strip: Strip,
  mark: StripMark,
  lay: Lay,
  real: Face = faceOf(strip, lay.tilt),
  commands: Commands = commandsOf(strip, mark),
): Meets {
  const { lens, axis } = strip.job;
  const met = new Warp(shifted(real, lay.sidewaysMm), {
    ...headOf({ ...lens, pivotMm: lay.pivotMm ?? lens.pivotMm }, axis),
    belowCrown: mark.belowCrownMm + lay.focusErrorMm,
  });
  return (a) => {
    const command = commands(a);
    const flat = command && met.inverse(command);
    if (!flat || typeof flat === "string") return null;
    const there = met.meeting(flat.x, flat.y);
    return typeof there === "string" ? null : there;
  };
}
