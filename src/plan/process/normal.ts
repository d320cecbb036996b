/**
 * The normal distribution's quantile Φ⁻¹(u): M. J. Wichura, "Algorithm AS 241: the percentage points of the normal
 * distribution", Applied Statistics 37, 477 (1988), its PPND7, good to seven digits (coefficients from memory; checked
 * in tests against the distribution itself).
 */

const quotient = (over: readonly number[], under: readonly number[], r: number): number =>
  horner(over, r) / horner(under, r);
const horner = (c: readonly number[], r: number): number => c.reduceRight((sum, one) => sum * r + one, 0);

const NEAR = [
  [3.3871327179, 50.434271938, 159.29113202, 59.10937472],
  [1, 17.895169469, 78.757757664, 67.1875636],
] as const;
const FAR = [
  [1.4234372777, 2.75681539, 1.3067284816, 0.17023821103],
  [1, 0.7370016425, 0.12021132975],
] as const;
const FARTHEST = [
  [6.657905115, 3.081226386, 0.42868294337, 0.017337203997],
  [1, 0.24197894225, 0.012258202635],
] as const;

/** `u` in 0…1; at its ends, where there is no number, that of the nearest double inside. */
export function normalQuantile(u: number): number {
  const q = u - 0.5;
  if (Math.abs(q) <= 0.425) return q * quotient(NEAR[0], NEAR[1], 0.180625 - q * q);
  const tail = Math.max(Number.EPSILON, q < 0 ? u : 1 - u);
  const r = Math.sqrt(-Math.log(tail));
  const z = r <= 5 ? quotient(FAR[0], FAR[1], r - 1.6) : quotient(FARTHEST[0], FARTHEST[1], r - 5);
  return Math.sign(q) * z;
}
