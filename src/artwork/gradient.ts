/** A gradient as the colours that it shows, each as often as its share of it. */
import type { Rgba } from "./types.ts";

export interface Stop {
  /** 0…1; a smaller one than that of the stop before counts as that one (SVG 2, 14.2.4). */
  readonly offset: number;
  readonly colour: Rgba;
}

/** So many samples know a mean luminance to about a hundredth. */
const samples = 64;

/**
 * Colours at equal shares of a linear gradient's length, or of a radial one's area; between stops they go in a
 * straight line in sRGB. One colour throughout gives that one; no stops give none.
 */
export function rampOf(stops: readonly Stop[], radial: boolean): readonly Rgba[] {
  const [first] = stops;
  if (!first) return [];
  if (stops.every(({ colour }) => same(colour, first.colour))) return [first.colour];
  return Array.from({ length: samples }, (_, i) => {
    const share = (i + 0.5) / samples;
    return at(stops, radial ? Math.sqrt(share) : share);
  });
}

function at(stops: readonly Stop[], t: number): Rgba {
  let before: Stop | null = null;
  for (const stop of stops) {
    const offset = Math.max(stop.offset, before?.offset ?? 0);
    if (offset > t) return before ? mixed(before, { ...stop, offset }, t) : stop.colour;
    before = { ...stop, offset };
  }
  return before?.colour ?? { r: 0, g: 0, b: 0, a: 0 };
}

function mixed(from: Stop, to: Stop, t: number): Rgba {
  const k = (t - from.offset) / (to.offset - from.offset);
  const mix = (a: number, b: number): number => a + k * (b - a);
  const [p, q] = [from.colour, to.colour];
  return { r: mix(p.r, q.r), g: mix(p.g, q.g), b: mix(p.b, q.b), a: mix(p.a, q.a) };
}

const same = (p: Rgba, q: Rgba): boolean => p.r === q.r && p.g === q.g && p.b === q.b && p.a === q.a;
