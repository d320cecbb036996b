/**
 * The process at a point that the beam meets, in one possible world (model §4 to §6):
 *
 *   w² = w₀² (1 + (d·slant/z_R)²)     F = 2 E cos i/(π w²)      n = N ρ A,  ρ = f/(v h) J,  A = π w²/cos i
 *   D = N P/(v h) J                   z = N ρ V                 V = (A/4) δ_c ln²(F/F_c)
 *   margin = F / (F_m(1) m^(S−1)),    m = n (1 − T/z): the pulses that come after the coating is gone
 *
 * N counts sets times passes. Where a coating stays (z < T) the metal is not at risk, whatever the margin. Nothing is
 * said of the ripple between lines: z is the mean depth, right where pitch and pulse spacing are below the spot.
 */
import { metalThreshold } from "../../beam/metal.ts";
import { arealDose, footprintArea, peakFluence, pulseDensity, pulseEnergy } from "../../beam/pulse.ts";
import { pulseVolume } from "../../beam/removal.ts";
import type { Job, Settings } from "../../job/job.ts";
import type { Meeting } from "../../warp/warp.ts";
import { type World, worldsOf } from "./worlds.ts";

/** `power`: the power there over that of the settings, 1 where left out. */
export interface Met extends Pick<Meeting, "defocus" | "slant" | "cosIncidence" | "areaRatio"> {
  readonly power?: number;
}

/** What the beam does at one point in one world; made once and written anew for each. */
export interface Effect {
  /** 1/e² radius across the beam (mm). */
  radiusMm: number;
  /** J/cm². */
  fluence: number;
  /** Pulses within one footprint, after all sets and passes. */
  pulses: number;
  /** Mean depth after all sets and passes (mm), and how many coatings thick it is; 0 without a coating. */
  depthMm: number;
  cleared: number;
  /** Fluence over the metal's threshold after incubation; above 1 the bare metal is at risk. */
  margin: number;
}
export const effect = (): Effect => ({
  radiusMm: 0,
  fluence: 0,
  pulses: 0,
  depthMm: 0,
  cleared: 0,
  margin: 0,
});

export type Outcome = "residue" | "metal" | "clean";
export const outcomeOf = ({ cleared, margin }: Effect): Outcome =>
  cleared < 1 ? "residue" : margin > 1 ? "metal" : "clean";

export class Process {
  readonly settings: Settings;
  /** Sets times passes. */
  readonly sets: number;
  readonly energyMj: number;
  /** ρ/J, pulses per mm² of the command plane and set. */
  readonly density: number;
  /** D/J, J/cm². */
  readonly commandDose: number;
  /** World 0 is the middle one. */
  readonly worlds: readonly World[];

  constructor(settings: Settings, worlds: readonly World[]) {
    this.settings = settings;
    this.sets = settings.anglesDeg.length * settings.passes;
    this.energyMj = pulseEnergy(settings.powerW, settings.frequencyKHz);
    this.density = pulseDensity(settings.frequencyKHz, settings);
    this.commandDose = arealDose(settings.powerW, settings, this.sets);
    this.worlds = worlds;
  }

  /** The same worlds under other settings. */
  under(change: Partial<Settings>): Process {
    return new Process({ ...this.settings, ...change }, this.worlds);
  }

  /** Areal dose at a point (J/cm²): the same in every world. */
  dose(met: Met): number {
    return this.commandDose * met.areaRatio * (met.power ?? 1);
  }

  /** Writes what happens at a point with cos i > 0 in a world. */
  at(met: Met, world: World, out: Effect): Effect {
    const { cosIncidence: cos, areaRatio } = met;
    const q = (met.defocus * met.slant) / world.rayleighMm;
    const radius = world.waistRadiusMm * Math.sqrt(1 + q * q);
    const area = footprintArea(radius, cos);
    const laid = this.sets * this.density * areaRatio;
    const { coating, metal } = world;
    out.radiusMm = radius;
    out.fluence = peakFluence(this.energyMj * (met.power ?? 1), radius, cos);
    out.pulses = laid * area;
    out.depthMm = coating ? laid * pulseVolume(out.fluence, coating.threshold, coating.depthMm, area) : 0;
    out.cleared = coating ? out.depthMm / coating.thicknessMm : 0;
    const bare = coating ? (out.cleared > 1 ? out.pulses * (1 - 1 / out.cleared) : 0) : out.pulses;
    out.margin = out.fluence / metalThreshold(metal.threshold, metal.incubation, bare);
    return out;
  }
}

/** The job's process, or null where it has no settings. */
export const processOf = (job: Job): Process | null =>
  job.settings ? new Process(job.settings, worldsOf(job)) : null;
