/** The stored profiles: read from shared/, listed as a table or JSON. */
import { readFileSync } from "node:fs";
import { nearest } from "../job/nearest.ts";
import {
  type ProfileKind,
  type Profiles,
  profileKinds,
  readProfiles,
  type VesselProfile,
} from "../job/profiles.ts";
import { JobError } from "../problem.ts";
import { table } from "./rows.ts";

const shared = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../../shared/${name}`, import.meta.url), "utf8"));

export const loadProfiles = (): Profiles =>
  readProfiles({
    lenses: shared("lenses.json"),
    sources: shared("sources.json"),
    coatings: shared("coatings.json"),
    metals: shared("metals.json"),
    vessels: shared("vessels.json"),
  });

export function listProfiles(kind: string | undefined, json: boolean): void {
  const profiles = loadProfiles();
  const chosen = profileKinds.find((k) => k === kind);
  if (kind !== undefined && chosen === undefined) {
    const near = nearest(kind, profileKinds);
    throw new JobError(
      "profiles-kind",
      `there are no profiles called "${kind}"`,
      `give lenses, sources, coatings, metals or vessels${near[0] ? ` (did you mean ${near[0]}?)` : ""}`,
    );
  }
  if (json) {
    process.stdout.write(`${JSON.stringify(chosen === undefined ? profiles : profiles[chosen], null, 2)}\n`);
    return;
  }
  const text = (chosen ? [chosen] : profileKinds).map((k) => `${table(rows[k](profiles)).join("\n")}\n`);
  text.push(
    "Generic figures; --json gives where each comes from. Use your own lens's and source's data where you have it, and measure your own vessel.\n",
  );
  process.stdout.write(text.join("\n"));
}

const range = (f: { value: number; low: number; high: number }, unit = ""): string =>
  `${f.value}${unit} (${f.low} to ${f.high})`;

const rows: Record<ProfileKind, (profiles: Profiles) => string[][]> = {
  lenses: ({ lenses }) => [
    ["lens", "focal length", "field", "working distance", "pivots x, y"],
    ...lenses.map((l) => [
      l.id,
      `${l.focalLengthMm.value} mm`,
      `${l.fieldMm.value} mm`,
      `${l.workingDistanceMm.value} mm`,
      `${l.pivotMm.value.join(", ")} mm`,
    ]),
  ],
  sources: ({ sources }) => [
    [
      "source",
      "mean power",
      "wavelength",
      "M²",
      "beam diameter",
      "pulse length",
      "repetition",
      "pulse energy",
    ],
    ...sources.map((s) => [
      s.id,
      s.meanPowerW ? `${s.meanPowerW.value} W` : "any",
      `${s.wavelengthNm.value} nm`,
      range(s.m2),
      range(s.beamDiameterMm, " mm"),
      `${s.pulseNs.value.join(" to ")} ns`,
      `${s.repetitionKHz.value.join(" to ")} kHz`,
      `up to ${s.maxPulseEnergyMj.value} mJ`,
    ]),
  ],
  coatings: ({ coatings }) => [
    ["coating", "thickness", "threshold", "depth constant"],
    ...coatings.map((c) => [
      c.id,
      range(c.thicknessUm, " µm"),
      range(c.thresholdJPerCm2, " J/cm²"),
      range(c.depthUm, " µm"),
    ]),
  ],
  metals: ({ metals }) => [
    ["metal", "threshold of one pulse", "incubation S", "grain"],
    ...metals.map((m) => [m.id, range(m.thresholdJPerCm2, " J/cm²"), range(m.incubation), m.grain.value]),
  ],
  vessels: ({ vessels }) => [
    ["vessel", "shape", "height", "below rim", "what it is"],
    ...vessels.map((v) => [v.id, shapeWords(v), heightWords(v), mmOr(v.belowRimMm?.value), v.name]),
  ],
};

const mmOr = (mm: number | undefined): string => (mm === undefined ? "—" : `${mm} mm`);

/** The shape and its diameters, from the rim down. */
function shapeWords({ diameterMm, taperMm, sphereMm, profile }: VesselProfile): string {
  if (diameterMm) return `cylinder ${diameterMm.value} mm`;
  if (sphereMm) return `sphere ${sphereMm.value} mm`;
  if (taperMm) return `cone ${taperMm.value[0]} to ${taperMm.value[1]} mm`;
  const across = (profile?.value ?? []).map((row) => row.diameterMm);
  return `outline ${across.at(-1)} to ${across[0]} mm, at most ${Math.max(...across)} mm`;
}

const heightWords = ({ heightMm, taperMm, profile }: VesselProfile): string =>
  mmOr(heightMm?.value ?? taperMm?.value[2] ?? profile?.value.at(-1)?.heightMm);
