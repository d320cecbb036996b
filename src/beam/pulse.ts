/**
 * One pulse on the surface, and how densely pulses lie (ISO 11146: w the 1/e² radius; model §4, §5).
 *
 *   E = P / f                      pulse energy of mean power P at repetition rate f
 *   F = 2 E cos i / (π w²)         peak fluence on a surface met at incidence i
 *   footprint: an ellipse of half-axes w and w / cos i, area A = π w² / cos i
 *   ρ = f / (v h) · J              pulses per area of one set of lines: speed v, pitch h, J = |∂(u,v)/∂(surface area)|
 *   D = N · P / (v h) · J          areal dose of N sets
 *
 * Peak fluence of a Gaussian beam: F₀ = 2E/(πw₀²), e.g. 1 mJ in w₀ = 25 µm gives 101.859 J/cm². J is h′k′ on a
 * sphere (Snyder, USGS PP 1395, 1987, eq. 23-2, 23-3). Units: W, kHz, mJ, mm, mm/s, J/cm².
 */

/** mJ, from mean power in W and repetition rate in kHz (both > 0). */
export const pulseEnergy = (powerW: number, frequencyKHz: number): number => powerW / frequencyKHz;

/** J/cm², from mJ and mm; 0 where the surface turns away (cos i ≤ 0). 1 mJ/mm² is 0.1 J/cm². */
export const peakFluence = (energyMj: number, radiusMm: number, cosIncidence: number): number =>
  cosIncidence > 0 ? (0.2 * energyMj * cosIncidence) / (Math.PI * radiusMm ** 2) : 0;

/** Half-axes (mm) of the 1/e² footprint on a surface met at incidence i (cos i > 0): across the lean and along it. */
export const footprint = (radiusMm: number, cosIncidence: number): { acrossMm: number; alongMm: number } => ({
  acrossMm: radiusMm,
  alongMm: radiusMm / cosIncidence,
});

/** A (mm²); `cosIncidence` > 0. */
export const footprintArea = (radiusMm: number, cosIncidence: number): number =>
  (Math.PI * radiusMm ** 2) / cosIncidence;

/** How lines are laid: one set, in the command plane. */
export interface Lines {
  readonly speedMmS: number;
  readonly pitchMm: number;
}

/** Pulses per mm² in the command plane, of one set. Times J: on the surface. */
export const pulseDensity = (frequencyKHz: number, { speedMmS, pitchMm }: Lines): number =>
  (1000 * frequencyKHz) / (speedMmS * pitchMm);

/** J/cm² in the command plane, of `sets` sets. Times J: on the surface. 1 J/mm² is 100 J/cm². */
export const arealDose = (powerW: number, { speedMmS, pitchMm }: Lines, sets: number): number =>
  (100 * sets * powerW) / (speedMmS * pitchMm);
