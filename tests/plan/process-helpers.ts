/** Drawings, jobs and plans for the tests of the forecast; every stored lens may be tried. */
import { readFileSync } from "node:fs";
import { readInk } from "../../src/ink/ink.ts";
import type { Figure, JobFile, Settings } from "../../src/job/job.ts";
import { lensOf, type Profiles } from "../../src/job/profiles.ts";
import { resolveJob } from "../../src/job/resolve.ts";
import { planJob } from "../../src/plan/plan.ts";
import { Process } from "../../src/plan/process/process.ts";
import { worldsOf } from "../../src/plan/process/worlds.ts";
import type { Plan } from "../../src/plan/types.ts";
import { profiles } from "../support/profiles.ts";

export const drawing = (content: string): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">${content}</svg>`;

/** A filled rectangle w × h mm: its middle lands on the placement point. */
export const rectangle = (w: number, h: number): string => drawing(`<path d="M0 0H${w}V${h}H0z"/>`);

export const crest = (): string =>
  readFileSync(new URL("../../fixtures/demo/heron-reach-crest.svg", import.meta.url), "utf8");

export const jobOf = (options: JobFile) => resolveJob({}, options, profiles);

/** `lenses`: the profiles at hand to try where the job's own does not do. */
export async function planned(
  svg: string,
  options: JobFile,
  lenses: Profiles["lenses"] = profiles.lenses,
): Promise<Plan> {
  const job = jobOf(options);
  const { strokes, keepShapes, allow } = job.ink;
  return planJob(await readInk(svg, { strokes, keepShapes, allow }), job, () => {}, lenses.map(lensOf));
}

/** With no other lens at hand. */
export const alone = (svg: string, options: JobFile): Promise<Plan> => planned(svg, options, []);

/** A vessel of 76.4 mm, as in the trade facts. */
export const vessel = { diameterMm: 76.4 };

/** Common practice, no published source: 45 % of 60 W, 900 mm/s, 50 kHz, 0.025 mm in two crossed sets, one pass. */
export const usual = {
  powerPercent: 45,
  speedMmS: 900,
  frequencyKHz: 50,
  pitchMm: 0.025,
  anglesDeg: [90, 0],
  passes: 1,
};

export const reason = (plan: Plan, code: string) => plan.reasons.find((r) => r.code === code);

export const relative = (value: number, expected: number): number => Math.abs(value / expected - 1);

export const exact = (value: number): Figure => ({ value, low: value, high: value });

/** The figures of one possible world as the profiles give them. */
export interface Figures {
  readonly beamDiameterMm: Figure;
  readonly m2: Figure;
  readonly thicknessUm: Figure;
  readonly coatThreshold: Figure;
  readonly depthUm: Figure;
  readonly metalThreshold: Figure;
  readonly incubation: Figure;
}

/** Made-up figures, all known. */
export const known: Figures = {
  beamDiameterMm: exact(7),
  m2: exact(1.5),
  thicknessUm: exact(70),
  coatThreshold: exact(0.6),
  depthUm: exact(2.5),
  metalThreshold: exact(8),
  incubation: exact(0.88),
};

/** What `worldsOf` asks of a job. */
export function stuff(figures: Figures, focalLengthMm: number, coated = true) {
  const pulseNs = [80, 140] as const;
  const { beamDiameterMm, m2, thicknessUm, coatThreshold, depthUm, metalThreshold, incubation } = figures;
  return {
    source: {
      id: "own",
      beamDiameterMm,
      m2,
      wavelengthNm: 1064,
      pulseNs,
      repetitionKHz: [1, 4000] as const,
      maxPulseEnergyMj: 1e6,
    },
    lens: {
      id: "own",
      focalLengthMm,
      fieldMm: 300,
      workingDistanceMm: 400,
      pivotMm: [500, 500] as [number, number],
    },
    ...(coated
      ? { coating: { id: "own", thicknessUm, thresholdJPerCm2: coatThreshold, depthUm, pulseNs } }
      : {}),
    metal: { id: "own", grain: "around" as const, thresholdJPerCm2: metalThreshold, incubation, pulseNs },
  };
}

export const settings = {
  powerW: 20,
  speedMmS: 900,
  frequencyKHz: 50,
  pitchMm: 0.025,
  anglesDeg: [90, 0],
  passes: 1,
  jumpSpeedMmS: 3000,
};

export const processWith = (
  figures: Partial<Figures> = {},
  change: Partial<Settings> = {},
  draws = 512,
): Process => new Process({ ...settings, ...change }, worldsOf(stuff({ ...known, ...figures }, 420), draws));

/** The numbers of one world, and where and how it is marked. */
export interface Case {
  readonly m2: number;
  readonly entering: number; // mm, 1/e²
  readonly thickness: number; // mm
  readonly depth: number; // mm
  readonly coat: number; // J/cm²
  readonly metal: number; // J/cm²
  readonly incubation: number;
  readonly f: number; // mm
  readonly pivots: readonly [number, number];
  readonly delta: number; // mm
}

/** Half of the vessel's diameter (mm). */
export const R = 38.2;

/** Model §3 to §6 written out for a lying cylinder, girth kept; nothing of the source is used. */
export function byHand(c: Case, a: number, b: number, s: Settings) {
  const theta = a / R;
  const d = R * (1 - Math.cos(theta)) - c.delta;
  const [px, py] = c.pivots;
  const across = (x: number): number =>
    (R * Math.sin(x / R)) / (1 + (R * (1 - Math.cos(x / R)) - c.delta) / px);
  // The beam from pivot to point: X per mm of depth, Y per mm of depth, straight down one.
  const [lx, ly] = [(R * Math.sin(theta)) / (px + d), b / (py + d)];
  const length = Math.hypot(px === Infinity ? 0 : lx, py === Infinity ? 0 : ly, 1);
  const cos = (Math.cos(theta) - (px === Infinity ? 0 : lx) * Math.sin(theta)) / length;
  // ∂v/∂a does not matter: ∂u/∂b is 0. ∂u/∂a by a five-point difference.
  const h = 1e-2;
  const dudA = (8 * (across(a + h) - across(a - h)) - (across(a + 2 * h) - across(a - 2 * h))) / (12 * h);
  const J = Math.abs(dudA) / (1 + d / py);
  const w0 = (2 * c.m2 * 1.064e-3 * c.f) / (Math.PI * c.entering);
  const zR = (Math.PI * w0 * w0) / (c.m2 * 1.064e-3);
  const w = w0 * Math.sqrt(1 + ((d * length) / zR) ** 2);
  const joules = s.powerW / (1000 * s.frequencyKHz);
  const F = (2 * joules * cos) / (Math.PI * (w / 10) ** 2);
  const N = s.passes * s.anglesDeg.length;
  const rho = ((1000 * s.frequencyKHz) / (s.speedMmS * s.pitchMm)) * J;
  const pulses = (N * rho * Math.PI * w * w) / cos;
  const log = Math.max(0, Math.log(F / c.coat));
  const z = N * rho * (Math.PI / 4) * ((w * w) / cos) * c.depth * log * log;
  const bare = z > c.thickness ? pulses * (1 - c.thickness / z) : 0;
  return {
    dose: ((N * s.powerW) / (s.speedMmS * s.pitchMm)) * J * 100, // J/mm² → J/cm²
    radiusMm: w,
    fluence: F,
    pulses,
    depthMm: z,
    cleared: z / c.thickness,
    margin: F / (bare > 1 ? c.metal * bare ** (c.incubation - 1) : c.metal),
  };
}
