/**
 * What a paint does to the ink below it. Relative luminance (IEC 61966-2-1, WCAG 2) of the paint composited with
 * its opacities over a page: white for dark ink, black for light ink.
 *
 * Thin paint: a light glaze over ink lets the dark shine through, and a dark one over light is judged over white;
 * so a glaze takes ink away only if it would even on the darkest ground.
 */
import { luminanceOver } from "../artwork/paint.ts";
import type { Rgba } from "../artwork/types.ts";
import type { InkOptions } from "./options.ts";

/** `ink` marks, `hides` takes the ink below away, `nothing` leaves all as it is. */
export interface Tone {
  readonly does: "ink" | "hides" | "nothing";
  /** Mean luminance over the page, 0…1. */
  readonly luminance: number;
}

/** Of one colour or of a gradient's stops, which count alike. */
export function toneOf(
  colours: readonly Rgba[],
  { from, below, colours: chosen }: Pick<InkOptions, "from" | "below" | "colours">,
): Tone {
  const mean = (page: number): number =>
    colours.reduce((sum, c) => sum + luminanceOver(c, page), 0) / Math.max(1, colours.length);
  const luminance = mean(from === "light" && chosen.length === 0 ? 0 : 1);
  if (colours.every((c) => c.a <= 0)) return { does: "nothing", luminance };
  if (chosen.length > 0) {
    const one = (c: Rgba): boolean => chosen.some((want) => sameBytes(c, want));
    return { does: colours.every(one) ? "ink" : "hides", luminance };
  }
  if (from === "any") return { does: "ink", luminance };
  const ink = (value: number): boolean => (from === "dark" ? value < below : value >= below);
  if (ink(luminance)) return { does: "ink", luminance };
  return { does: ink(mean(from === "dark" ? 0 : 1)) ? "nothing" : "hides", luminance };
}

/** The colour as seen over white, in 8 bits a channel. */
function sameBytes(c: Rgba, want: Rgba): boolean {
  const over = (v: number): number => Math.round(255 * (1 - c.a + v * c.a));
  return (
    over(c.r) === Math.round(255 * want.r) &&
    over(c.g) === Math.round(255 * want.g) &&
    over(c.b) === Math.round(255 * want.b)
  );
}
