/** Profiles: stored data on lenses and sources, each figure with where it comes from. */
import { z } from "zod";

const sourced = <T extends z.ZodType>(value: T) => z.strictObject({ value, source: z.string().min(1) });
const positive = z.number().positive();

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
  m2: sourced(z.number().min(1)),
  beamDiameterMm: sourced(positive),
});

export type LensProfile = z.infer<typeof lensSchema>;
export type SourceProfile = z.infer<typeof sourceSchema>;

export interface Profiles {
  readonly lenses: readonly LensProfile[];
  readonly sources: readonly SourceProfile[];
}

/** Reads the two profile lists from parsed JSON; throws where a figure is missing or has no source. */
export const readProfiles = (lenses: unknown, sources: unknown): Profiles => ({
  lenses: z.array(lensSchema).parse(lenses),
  sources: z.array(sourceSchema).parse(sources),
});
