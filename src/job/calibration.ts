/**
 * A calibration: what test marks told of one machine, one coat and one metal, in the job file's own words. A range is a 90 %
 * interval, low the 5 % and high the 95 % point of a log-normal distribution; errors that belong together have a correlation.
 */
import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { z } from "zod";
import { JobError } from "../problem.ts";
import { checked } from "./checked.ts";
import { day, figure, fluence, incubation, length, micrometres, pivot, rayleigh, words } from "./parts.ts";
import { readingSchema, stripFileSchema } from "./stripfile.ts";

/** Figures whose logarithms err together. */
const jointNames = [
  "spotUm",
  "rayleighMm",
  "thresholdJPerCm2",
  "depthUm",
  "metalThresholdJPerCm2",
  "incubation",
] as const;
export type JointName = (typeof jointNames)[number];

const number = z.number();
export const calibrationSchema = z.strictObject({
  schema: z.literal("fallaway-calibration-1"),
  date: day.describe("when the marks were read"),
  machine: words,
  lens: z.string(),
  source: z.string(),
  coating: z.string().nullable(),
  metal: z.string(),
  figures: z.strictObject({
    lens: z
      .strictObject({
        workingDistanceMm: length.optional(),
        spotUm: figure(micrometres).optional(),
        rayleighMm: figure(rayleigh).optional(),
        pivotMm: z.tuple([pivot, pivot]).optional(),
      })
      .optional(),
    coating: z
      .strictObject({
        thicknessUm: micrometres.describe("as taken: readings tell depth over thickness alone"),
        thresholdJPerCm2: figure(fluence),
        depthUm: figure(micrometres),
      })
      .optional(),
    metal: z.strictObject({ thresholdJPerCm2: figure(fluence), incubation: figure(incubation) }).optional(),
  }),
  correlation: z.strictObject({ names: z.array(z.enum(jointNames)), rows: z.array(z.array(number)) }),
  placed: z.array(z.strictObject({ strip: words, sidewaysMm: number, focusErrorMm: number })),
  strips: z
    .array(z.strictObject({ strip: stripFileSchema, readings: z.array(readingSchema) }))
    .describe("what was marked and read"),
});
export type Calibration = z.infer<typeof calibrationSchema>;

/** Checks parsed JSON; throws JobError `calibration-value` that names the key. `where` names the file. */
export function readCalibration(value: unknown, where: string): Calibration {
  const read = checked(calibrationSchema, value, where, {
    what: "the calibration",
    codes: { key: "calibration-value", value: "calibration-value" },
    allowed: "write it anew with fallaway fit, or put back what was there",
  });
  const wrong = (key: string, what: string, hint: string): never => {
    throw new JobError("calibration-value", `${where}: ${key} ${what}`, hint);
  };
  const { figures, correlation } = read;
  for (const [key, f] of ranged(figures)) {
    if (!(f.low <= f.value && f.value <= f.high))
      wrong(
        key,
        `has the value ${f.value}, which does not lie between ${f.low} and ${f.high}`,
        "write low, value and high in that order",
      );
  }
  if ((figures.lens?.spotUm === undefined) !== (figures.lens?.rayleighMm === undefined))
    wrong("figures.lens", "has one of spotUm and rayleighMm", "give both or neither");
  if (figures.coating && read.coating === null)
    wrong("coating", "is null, but there are figures of a coating", "name the coating that was marked");
  const there = jointNames.filter((name) => jointFigure(figures, name) !== undefined);
  const { names, rows } = correlation;
  const missing = there.find((name) => !names.includes(name));
  const strange = names.find((name, i) => !there.includes(name) || names.indexOf(name) !== i);
  if (missing || strange)
    wrong(
      "correlation.names",
      missing ? `lacks ${missing}` : `has ${strange}, which is there twice or not among the figures`,
      `name each of these once: ${there.join(", ")}`,
    );
  const fault = faultOf(names, rows);
  if (fault) wrong("correlation.rows", fault, "write the calibration anew with fallaway fit");
  return read;
}

/** What the correlation names, among a calibration's figures. */
export function jointFigure(
  { lens, coating, metal }: Calibration["figures"],
  name: JointName,
): number | { value: number; low: number; high: number } | undefined {
  if (name === "spotUm" || name === "rayleighMm") return lens?.[name];
  if (name === "metalThresholdJPerCm2") return metal?.thresholdJPerCm2;
  if (name === "incubation") return metal?.incubation;
  return coating?.[name];
}

function ranged(figures: Calibration["figures"]): [string, { value: number; low: number; high: number }][] {
  return Object.entries(figures).flatMap(([group, all]) =>
    Object.entries(all ?? {}).flatMap(([key, f]): [string, { value: number; low: number; high: number }][] =>
      typeof f === "object" && "low" in f ? [[`figures.${group}.${key}`, f]] : [],
    ),
  );
}

/** What rounding to three digits leaves of a matrix that was symmetric, or positive semidefinite. */
const ROUNDED = 1e-3;

/** Why the rows are no correlation of so many figures; null where they are one. */
function faultOf(names: readonly string[], rows: readonly (readonly number[])[]): string | null {
  const n = names.length;
  if (rows.length !== n || rows.some((row) => row.length !== n))
    return `must have ${n} rows of ${n} numbers, one for each name`;
  for (const [i, row] of rows.entries())
    for (const [j, r] of row.entries()) {
      if (i === j && r !== 1) return `has ${r} for ${names[i]} with itself, which must be 1`;
      if (Math.abs(r) > 1) return `has ${r} for ${names[i]} with ${names[j]}, beyond −1 to 1`;
      if (Math.abs(r - rows[j]![i]!) > ROUNDED)
        return `differs for ${names[i]} with ${names[j]} and the other way round`;
    }
  if (n === 0) return null;
  const { realEigenvalues } = new EigenvalueDecomposition(new Matrix(rows.map((row) => [...row])), {
    assumeSymmetric: true,
  });
  return Math.min(...realEigenvalues) < -n * ROUNDED
    ? "is no correlation: no figures can err together like that (it is not positive definite)"
    : null;
}
