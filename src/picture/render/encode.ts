/**
 * sRGB's transfer function (IEC 61966-2-1): light is linear until it is written.
 *
 *   encoded = 12.92 L for L ≤ 0.0031308, else 1.055 L^(1/2.4) − 0.055
 */

/** 0…1 → 0…1. */
export const linearToSrgb = (light: number): number =>
  light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055;

/** 0…1 → 0…1. */
export const srgbToLinear = (value: number): number =>
  value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;

const STEPS = 16_384;

/** Encodes light to 8 bits by a table, off by no more than one; what is brighter than white is white. */
export function encoder(): (light: number) => number {
  const table = Uint8Array.from({ length: STEPS + 1 }, (_, i) => Math.round(255 * linearToSrgb(i / STEPS)));
  return (light) => table[light >= 1 ? STEPS : light > 0 ? Math.round(light * STEPS) : 0]!;
}
