/**
 * The brushed ground's fine streaks: a factor on the metal's light, 1 on average. Value noise, long along the grain and
 * fine across it, the same in every run; streaks finer than the picture's pixels are left out, so that nothing shimmers.
 */

/** Streak widths (mm), how long one is in widths, and how strong it is: our own choice, for the look. */
const STREAKS = [
  { width: 0.16, strength: 0.07 },
  { width: 0.4, strength: 0.06 },
  { width: 1.1, strength: 0.045 },
];
const LENGTH = 60;

/** The factor at a place `along` and `across` the grain (mm), in a picture of `pixel` mm. */
export type Streaks = (along: number, across: number) => number;

export function streaks(pixel: number): Streaks {
  const shown = STREAKS.filter(({ width }) => width > 1.5 * pixel);
  return (along, across) => {
    let factor = 1;
    shown.forEach(({ width, strength }, seed) => {
      factor += strength * noise(along / (LENGTH * width), across / width, seed);
    });
    return factor;
  };
}

/** Smooth noise from −1 to 1 between whole numbers. */
function noise(x: number, y: number, seed: number): number {
  const [i, j] = [Math.floor(x), Math.floor(y)];
  const [u, v] = [ease(x - i), ease(y - j)];
  const top = mix(lattice(i, j, seed), lattice(i + 1, j, seed), u);
  return mix(top, mix(lattice(i, j + 1, seed), lattice(i + 1, j + 1, seed), u), v);
}
const ease = (t: number): number => t * t * (3 - 2 * t);
const mix = (a: number, b: number, t: number): number => a + t * (b - a);

/** A number from −1 to 1 for a lattice point: an integer hash with good mixing (constants of MurmurHash3's end). */
function lattice(i: number, j: number, seed: number): number {
  let h = Math.imul(i, 0x9e3779b1) ^ Math.imul(j, 0x85ebca77) ^ Math.imul(seed + 1, 0xc2b2ae3d);
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return ((h ^ (h >>> 16)) >>> 0) / 2147483648 - 1;
}
