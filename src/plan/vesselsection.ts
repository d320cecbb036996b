/** The report's sections on the vessel, how it lies, and what the fidelity does on it. */
import { z } from "zod";
import { mm, neat } from "./reportparts.ts";
import type { Plan } from "./types.ts";
import { kindOf } from "./vesselsaid.ts";

export const vesselSchemas = {
  vessel: z.object({
    kind: z.enum(["cylinder", "cone", "sphere", "profile"]),
    diameterMm: mm.describe("at the placement point"),
    girthMm: mm.describe("there"),
    taperMm: z.tuple([mm, mm, mm]).optional().describe("of a cone: diameters at rim and base, and height"),
    heightMm: mm.optional(),
    belowRimMm: mm.optional().describe("the placement point below the rim, along the axis"),
    fidelity: z.enum(["girth", "true-width", "sheet", "sight"]),
    viewingDistanceMm: z.union([mm, z.literal("far")]).describe("for sight"),
    axis: z.enum(["x", "y"]),
    pose: z.union([z.enum(["levelled", "axis", "lying"]), z.number()]),
    tiltDeg: z.number().describe("of the axis out of the bed's plane; positive: the rim lifted"),
    levelByDeg: z.number().describe("how far the rim would have to be raised for the crown line to be level"),
    blocked: z.array(
      z.object({
        name: z.string(),
        aroundDeg: z.tuple([z.number(), z.number()]).describe("from, to the right of the crown line"),
        belowRimMm: z.tuple([mm, mm]).optional(),
      }),
    ),
  }),
  distortion: z
    .object({
      largestStretch: z.number().describe("length on the vessel over length on the flat"),
      smallestStretch: z.number(),
      largestArea: z.number(),
      smallestArea: z.number(),
      angleDeg: z.number().describe("largest change of an angle (Tissot's ω)"),
    })
    .describe("what the fidelity does to the ink on this vessel, over the ink"),
};

type Sections = { [K in keyof typeof vesselSchemas]: z.infer<(typeof vesselSchemas)[K]> };

export function vesselSections(plan: Plan): Sections {
  const { job } = plan;
  const { surface } = plan.warp;
  return {
    vessel: {
      kind: kindOf(job.vessel),
      diameterMm: 2 * surface.meridian.radius,
      girthMm: 2 * Math.PI * surface.meridian.radius,
      ...(job.vessel.taperMm ? { taperMm: [...job.vessel.taperMm] } : {}),
      ...(job.vessel.heightMm === undefined ? {} : { heightMm: job.vessel.heightMm }),
      ...(job.vessel.belowRimMm === undefined ? {} : { belowRimMm: job.vessel.belowRimMm }),
      fidelity: job.placement.fidelity,
      viewingDistanceMm: job.placement.viewingDistanceMm,
      axis: job.axis,
      pose: job.pose,
      tiltDeg: neat((surface.tilt * 180) / Math.PI),
      levelByDeg: neat(plan.levelling?.byDeg ?? 0),
      blocked: (job.vessel.blocked ?? []).map(({ name, aroundDeg, belowRimMm }) => ({
        name,
        aroundDeg: [...aroundDeg],
        ...(belowRimMm ? { belowRimMm: [...belowRimMm] } : {}),
      })),
    },
    distortion: plan.distortion,
  };
}
