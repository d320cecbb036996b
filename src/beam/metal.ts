/**
 * Incubation: a metal's threshold falls with the pulses that reach one place.
 *
 *   F_m(n) = F_m(1) n^(S−1)        (Jee, Becker, Walser, J. Opt. Soc. Am. B 5, 648, 1988)
 *
 * n counts the pulses that reach a place after it is bare; below one pulse the single-pulse threshold stands.
 */

/** F_m(n), in the unit of `single`; 0 < `exponent` ≤ 1, where 1 is no incubation. */
export const metalThreshold = (single: number, exponent: number, pulses: number): number =>
  pulses > 1 ? single * pulses ** (exponent - 1) : single;
