/** A strip and its readings as files hold them: what was marked, bar by bar, so that whoever reads it needs nothing else. */
import { z } from "zod";
import { checked } from "./checked.ts";
import { words } from "./parts.ts";

const place = z.number().min(-2000).max(2000);
const count = z.int().min(1).max(999);
const ladders = ["settings", "power", "speed", "focus", "ramp", "squares"] as const;

const settings = z.strictObject({
  powerW: z.number().min(0),
  speedMmS: z.number().min(0),
  frequencyKHz: z.number().min(0),
  pitchMm: z.number().min(0),
  anglesDeg: z.array(z.number()),
  passes: z.int().min(1),
  jumpSpeedMmS: z.number().min(0),
});

export const stripFileSchema = z
  .strictObject({
    schema: z.literal("fallaway-strip-1"),
    name: words,
    ladder: z.enum(ladders).describe("what changes from mark to mark"),
    calibrated: z.boolean().describe("the job's figures were a calibration's"),
    barHeightMm: z.number().positive().max(100).describe("along the vessel"),
    numbersWith: count.describe("the mark that the bars' numbers are marked with"),
    tiltDeg: z.number().positive().lt(90).optional().describe("ramp: the coupon's tilt, right end down"),
    sideMm: z.number().positive().max(2000).optional().describe("squares: the side as commanded"),
    marks: z
      .array(
        z.strictObject({
          number: count,
          belowCrownMm: place.describe("the focal plane below the crown line, or below a coupon"),
          settings,
          rowMm: place.describe("middle of its bars along the vessel, below the placement point"),
        }),
      )
      .min(1)
      .max(99),
    bars: z
      .array(
        z.strictObject({
          number: count,
          atMm: place.describe("its middle around, right of the crown line"),
          widthMm: z.number().positive().max(100).describe("around"),
        }),
      )
      .max(999)
      .describe("left to right, the same for all marks"),
    job: z.looseObject({}).describe("the resolved job, as a job file"),
  })
  .refine((s) => (s.ladder === "squares") === (s.bars.length === 0), "all but squares have bars")
  .refine((s) => (s.ladder === "squares") === (s.sideMm !== undefined), "squares have a side")
  .refine((s) => (s.ladder === "ramp") === (s.tiltDeg !== undefined), "a ramp has a tilt")
  .refine(
    (s) => s.bars.every((bar, i) => i === 0 || bar.atMm > s.bars[i - 1]!.atMm),
    "bars stand from left to right",
  );

const ends = z.union([z.tuple([count, count]), z.literal("none")]);
const lengths = z.tuple([z.number(), z.number()]);
export const readingSchema = z.strictObject({
  mark: count,
  row: z.int().min(1),
  clear: ends.optional(),
  gap: ends.optional(),
  metal: ends.optional(),
  endsMm: lengths.optional(),
  sidesMm: lengths.optional(),
});

export type StripFile = z.infer<typeof stripFileSchema>;

/** Throws JobError `strip-value` that names the key. */
export const readStripFile = (value: unknown, where: string): StripFile =>
  checked(stripFileSchema, value, where, {
    what: "the strip",
    codes: { key: "strip-value", value: "strip-value" },
    allowed: "put back the file that fallaway strip wrote",
  });
