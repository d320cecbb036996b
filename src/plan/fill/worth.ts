/**
 * What a line is worth where it runs, by the middle figures. With a coating the volume that its pulses remove (model §6), without
 * one the relative fluence, so that worth over area is the areal, peak-weighted falloff:
 *
 *   volume per mm of commanded line   N f/v · V   (mm³)     or   φ
 *   half-width of what it leaves      w √(½ ln(F/F_c))      or   w, the 1/e² radius
 *
 * The half-width is the radius that one pulse removes (J. M. Liu, Opt. Lett. 7, 196, 1982).
 */
import { footprintArea, peakFluence, pulseEnergy } from "../../beam/pulse.ts";
import { pulseVolume } from "../../beam/removal.ts";
import { relativeFluence, type Spot, spotGrowth } from "../../beam/spot.ts";
import type { Job } from "../../job/job.ts";
import type { Met } from "../process/process.ts";

export interface Worth {
  /** True where it is a volume in mm³, so that worth over area is a depth in mm. */
  readonly removal: boolean;
  /** Per mm of commanded line and all passes, the power so many times that of the settings; 0 below the threshold. */
  perMm(met: Met, power?: number): number;
  /** Half-width (mm) over the 1/e² radius of the spot there; 0 below the threshold. */
  halfWidth(met: Met): number;
}

/** `passes`: how often each set is marked. */
export function worthOf(job: Job, spot: Spot, passes: number): Worth {
  const { settings, coating } = job;
  if (!settings || !coating) {
    return {
      removal: false,
      perMm: (met, power = 1) => passes * power * relativeFluence(met, spot),
      halfWidth: () => 1,
    };
  }
  const { powerW, frequencyKHz, speedMmS } = settings;
  const threshold = coating.thresholdJPerCm2.value;
  const depthMm = coating.depthUm.value / 1000;
  const fluence = (met: Met, power: number): { radius: number; peak: number } => {
    const radius = (spot.waistDiameterMm / 2) * spotGrowth(met.defocus * met.slant, spot);
    return { radius, peak: peakFluence(pulseEnergy(power * powerW, frequencyKHz), radius, met.cosIncidence) };
  };
  return {
    removal: true,
    perMm(met, power = 1) {
      const { radius, peak } = fluence(met, power);
      const volume = pulseVolume(peak, threshold, depthMm, footprintArea(radius, met.cosIncidence));
      return ((passes * 1000 * frequencyKHz) / speedMmS) * volume;
    },
    halfWidth(met) {
      const { peak } = fluence(met, 1);
      return peak > threshold ? Math.sqrt(Math.log(peak / threshold) / 2) : 0;
    },
  };
}
