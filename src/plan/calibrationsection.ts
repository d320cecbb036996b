/** The calibration in the report: whose it is, which of its figures hold for the job, and its strips as they predict them. */
import { z } from "zod";
import type { Job } from "../job/job.ts";
import { six } from "./reportparts.ts";
import { agreement, comparedIn } from "./strip/compare.ts";

const bar = z.union([z.number(), z.literal("none")]);
export const calibrationSchema = z
  .object({
    date: z.string().describe("YYYY-MM-DD, when the marks were read"),
    machine: z.string(),
    coating: z.boolean().describe("threshold and depth of the job's coating are the calibration's"),
    metal: z.boolean().describe("the metal's threshold is"),
    spot: z.boolean().describe("spot and Rayleigh range are"),
    readings: z
      .array(
        z.object({
          strip: z.string(),
          mark: z.int(),
          what: z
            .string()
            .describe("as first clear: the first bar that is fully clear; side x: a square's side, mm"),
          read: bar,
          predicted: bar.describe(
            "by this job's middle figures, the strip as it lay; within half a bar of what is read there",
          ),
        }),
      )
      .describe(
        "the strips that were read, predicted; empty where the coating's figures are not the calibration's",
      ),
    agree: z.int().describe("readings of bars that the prediction meets within a bar"),
    of: z.int(),
  })
  .nullable()
  .describe("null where the job names none");

export function calibrationSection(job: Job): z.infer<typeof calibrationSchema> {
  const { calibration } = job;
  if (!calibration) return null;
  const { date, machine, coating, metal, spot, strips, placed } = calibration;
  // Another coat's figures predict another strip.
  const compared = coating ? comparedIn(strips, placed, job) : [];
  return {
    ...{ date, machine, coating, metal, spot },
    readings: compared.map((one) => ({
      ...one,
      predicted: one.predicted === "none" ? one.predicted : six(one.predicted),
    })),
    ...agreement(compared),
  };
}
