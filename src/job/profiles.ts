/** Profiles: stored data on lenses, sources, coatings, metals and vessels, each figure with where it comes from. */
import { z } from "zod";
import type { Job, JobFile } from "./job.ts";

const sourced = <T extends z.ZodType>(value: T) => z.strictObject({ value, source: z.string().min(1) });
const positive = z.number().positive();
/** A figure with the range that it may lie in. */
const ranged = (value: z.ZodNumber) =>
  z
    .strictObject({ value, low: value, high: value, source: z.string().min(1) })
    .refine((f) => f.low <= f.value && f.value <= f.high, "low ≤ value ≤ high");
const span = z.tuple([positive, positive]).refine(([low, high]) => low <= high, "low ≤ high");

const lensSchema = z.strictObject({
  id: z.string(),
  name: z.string(),
  focalLengthMm: sourced(positive),
  fieldMm: sourced(positive),
  workingDistanceMm: sourced(positive),
  pivotMm: sourced(z.tuple([positive, positive])),
});
const sourceSchema = z.strictObject({
  id: z.string(),
  name: z.string(),
  wavelengthNm: sourced(positive),
  m2: ranged(z.number().min(1)),
  beamDiameterMm: ranged(positive),
  /** Largest mean power; left out where the profile stands for any. */
  meanPowerW: sourced(positive).optional(),
  pulseNs: sourced(span),
  repetitionKHz: sourced(span),
  maxPulseEnergyMj: sourced(positive),
});
const coatingSchema = z.strictObject({
  id: z.string(),
  name: z.string(),
  kind: z.string(),
  colour: z.string(),
  /** As it looks: `#rrggbb`, and gloss units at 60° (ISO 2813). */
  look: z.strictObject({
    colour: z.string().regex(/^#[0-9a-f]{6}$/),
    gloss: z.number().min(0).max(100),
    source: z.string().min(1),
  }),
  thicknessUm: ranged(positive),
  /** F_c, threshold of the logarithmic law. */
  thresholdJPerCm2: ranged(positive),
  /** δ_c, depth per pulse and e-fold of fluence. */
  depthUm: ranged(positive),
  /** Pulse lengths that the figures hold for. */
  pulseNs: sourced(span),
});
const metalSchema = z.strictObject({
  id: z.string(),
  name: z.string(),
  grain: sourced(z.enum(["around", "along"])),
  /** F_m(1), one pulse. */
  thresholdJPerCm2: ranged(positive),
  /** S of F_m(n) = F_m(1) n^(S−1). */
  incubation: ranged(z.number().positive().max(1)),
  pulseNs: sourced(span),
});

const rowsSchema = z
  .array(z.strictObject({ heightMm: z.number().min(0), diameterMm: positive }))
  .min(3)
  .refine((rows) => rows.every((row, i) => i === 0 || row.heightMm > rows[i - 1]!.heightMm), "heights rise");
const blockedSchema = z.strictObject({
  name: z.string().min(1),
  aroundDeg: z.tuple([z.number(), z.number()]),
  belowRimMm: z.tuple([z.number(), z.number()]).optional(),
});
const shapeKeys = ["diameterMm", "taperMm", "sphereMm", "profile"] as const;
const vesselSchema = z
  .strictObject({
    id: z.string().min(1),
    name: z.string().min(1),
    diameterMm: sourced(positive).optional(),
    /** Diameters at rim and base, and the height between them. */
    taperMm: sourced(z.tuple([positive, positive, positive])).optional(),
    sphereMm: sourced(positive).optional(),
    /** From the base up. */
    profile: sourced(rowsSchema).optional(),
    /** Rim to base, where the shape does not say it. */
    heightMm: sourced(positive).optional(),
    belowRimMm: sourced(z.number().min(0)).optional(),
    blocked: sourced(z.array(blockedSchema).min(1)).optional(),
  })
  .refine((v) => shapeKeys.filter((key) => v[key]).length === 1, "exactly one shape")
  .refine((v) => (v.sphereMm === undefined) === (v.belowRimMm !== undefined), "all but a sphere have a rim")
  .refine(
    (v) => (v.diameterMm === undefined) === (v.heightMm === undefined),
    "a cylinder alone has a height",
  );

export type LensProfile = z.infer<typeof lensSchema>;
export type SourceProfile = z.infer<typeof sourceSchema>;
export type CoatingProfile = z.infer<typeof coatingSchema>;
export type MetalProfile = z.infer<typeof metalSchema>;
export type VesselProfile = z.infer<typeof vesselSchema>;

export interface Profiles {
  readonly lenses: readonly LensProfile[];
  readonly sources: readonly SourceProfile[];
  readonly coatings: readonly CoatingProfile[];
  readonly metals: readonly MetalProfile[];
  readonly vessels: readonly VesselProfile[];
}

export const profileKinds = ["lenses", "sources", "coatings", "metals", "vessels"] as const;
export type ProfileKind = (typeof profileKinds)[number];

const listSchema = z.strictObject({
  lenses: z.array(lensSchema),
  sources: z.array(sourceSchema),
  coatings: z.array(coatingSchema),
  metals: z.array(metalSchema),
  vessels: z.array(vesselSchema),
});

/** Reads the profile lists from parsed JSON; throws where a figure is missing, out of order or has no source. */
export const readProfiles = (lists: Record<ProfileKind, unknown>): Profiles => listSchema.parse(lists);

/** A lens as a job has it, with the profile's own figures. */
export const lensOf = (p: LensProfile): Job["lens"] => ({
  id: p.id,
  focalLengthMm: p.focalLengthMm.value,
  fieldMm: p.fieldMm.value,
  workingDistanceMm: p.workingDistanceMm.value,
  pivotMm: p.pivotMm.value,
});

/** What a job file would say of such a vessel: its shape, its ends and what stands in the way on it. */
export const vesselOf = (p: VesselProfile): NonNullable<JobFile["vessel"]> => ({
  ...(p.diameterMm ? { diameterMm: p.diameterMm.value } : {}),
  ...(p.taperMm ? { taperMm: p.taperMm.value } : {}),
  ...(p.sphereMm ? { sphereMm: p.sphereMm.value } : {}),
  ...(p.profile ? { profile: p.profile.value } : {}),
  ...(p.heightMm ? { heightMm: p.heightMm.value } : {}),
  ...(p.belowRimMm ? { belowRimMm: p.belowRimMm.value } : {}),
  ...(p.blocked ? { blocked: p.blocked.value } : {}),
});
