/** Coverage of chosen colours, or of all that is painted, in a bitmap. */
import type { Rgba } from "../../artwork/types.ts";
import { type InkField, mixedField } from "./field.ts";
import { ALIKE, APART, distance, evenColours } from "./palette.ts";
import { type Colour, Seen, seenOver } from "./seen.ts";

/** Less opacity than this is none. */
const SEEN = 0.02;
/** Two colours this near are the same, but for rounding. */
const SAME = 1.01 / 255;

/**
 * Coverage of the even colours that are `wanted` (opaque, as seen over white; `opacity` is the whole picture's). The
 * very colour is taken where the picture has it, else those within 8 levels of 255 in each channel: lossy files
 * hold a colour no better. In such files two colours nearer than 25 levels are not told apart cleanly.
 */
export function chosenField(
  rgba: Uint8Array,
  width: number,
  height: number,
  wanted: readonly Rgba[],
  opacity: number,
): InkField {
  const seen = new Seen(rgba, width * height, "layers");
  const asked = wanted.map(({ r, g, b }): Colour => [r, g, b]);
  const exact = asked
    .map((colour) => colour.map((v) => (v - 1 + opacity) / opacity))
    .filter((colour) => colour.every((v) => v >= -1e-9))
    .map((colour) => [...colour, 1]);
  const even = evenColours(seen, width, height, exact);
  const shown = even.map(({ colour }) => seenOver(colour, opacity, 1));
  const painted = even.map(({ colour }) => isSeen(colour));
  const chosen = new Set<number>();
  for (const colour of asked) {
    const far = shown.map((one, k) => (painted[k] ? distance(one, colour) : 1));
    const least = Math.min(...far);
    const enough = least <= SAME ? least : APART;
    far.forEach((d, k) => {
      if (d <= enough) chosen.add(k);
    });
  }
  const colours = even.map((one, k) => ({ ...one, chosen: chosen.has(k) }));
  const isChosen = (i: number): boolean =>
    colours.some((one) => one.chosen && seen.far(i, one.colour) <= ALIKE);
  return mixedField(seen, width, height, colours, (i) => (isChosen(i) ? 1 : 0));
}

/** Coverage of all that is painted at all. */
export function paintedField(rgba: Uint8Array, width: number, height: number): InkField {
  const seen = new Seen(rgba, width * height, "opacity");
  const colours = evenColours(seen, width, height).map((even) => ({
    ...even,
    chosen: even.colour[0]! > SEEN,
  }));
  return mixedField(seen, width, height, colours, (i) => seen.at(i, 0));
}

/** Whether premultiplied colour and opacity show at all. */
export const isSeen = (colour: Colour): boolean => colour[3]! > SEEN;
