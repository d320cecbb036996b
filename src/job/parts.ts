/** Parts of the schemas of job files and calibrations: texts, days, lengths, figures with their ranges. */
import { z } from "zod";
import { oneLine } from "./text.ts";

export const words = z.string().overwrite(oneLine).min(1).max(200);
export const colour = z
  .string()
  .regex(/^#[0-9a-fA-F]{6}$/, "must be a colour of the form #rrggbb")
  .toLowerCase();
/** The pattern knows how many days a month has. */
export const day = z.string().regex(z.regexes.date, {
  error: ({ input }) =>
    /^\d{4}-\d\d-\d\d$/.test(String(input))
      ? "must be a day that the calendar has"
      : "must be a day of the form YYYY-MM-DD",
});
export const length = z.number().min(1).max(100_000);
export const pivot = z.union([length, z.literal("telecentric")]);
/** A number that is known, or one with the range that it may lie in. */
export const figure = (number: z.ZodNumber) =>
  z.union([number, z.strictObject({ value: number, low: number, high: number })]);
export const span = (number: z.ZodNumber) => z.tuple([number, number]);
export const micrometres = z.number().min(0.01).max(10_000);
export const fluence = z.number().min(1e-4).max(10_000);
/** Half the depth of focus; a spot is hardly sharper, nor a focus longer (mm). */
export const rayleigh = z.number().min(0.001).max(1000);
/** S of F_m(n) = F_m(1) n^(S−1). */
export const incubation = z.number().min(0.1).max(1);
