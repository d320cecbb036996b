/**
 * Removal of a coating by Gaussian pulses, logarithmic law (model §6).
 *
 *   depth of one pulse at fluence F       δ ln(F/F_c)  for F > F_c, else 0
 *   diameter that one pulse removes       D² = 2 w² ln(F/F_c)                 (J. M. Liu, Opt. Lett. 7, 196, 1982)
 *   volume of one pulse                   V = (π/4) (w²/cos i) δ ln²(F/F_c)
 *   mean depth after N sets of ρ pulses   z = N ρ V
 *
 * V is the depth integrated over the footprint; V/E is largest at F = e² F_c (Furmanski 2007; Neuenschwander 2010,
 * from memory). The law is that of vaporising; ejection of a whole film, incubation of the coating, heat that
 * builds up and shielding by the plume are not in it. Lengths mm, fluences in one unit of their own.
 */

/** Depth of one pulse where its fluence is F. */
export const pulseDepth = (fluence: number, threshold: number, depthConstant: number): number =>
  fluence > threshold ? depthConstant * Math.log(fluence / threshold) : 0;

/** Diameter of what one pulse of peak fluence F removes at normal incidence; 0 below the threshold. */
export const removedDiameter = (fluence: number, threshold: number, radius: number): number =>
  fluence > threshold ? radius * Math.sqrt(2 * Math.log(fluence / threshold)) : 0;

/** Volume of one pulse of peak fluence F, for w²/cos i = `area`/π: `area` is the footprint's. */
export function pulseVolume(fluence: number, threshold: number, depthConstant: number, area: number): number {
  if (!(fluence > threshold)) return 0;
  const log = Math.log(fluence / threshold);
  return (area / 4) * depthConstant * log * log;
}
