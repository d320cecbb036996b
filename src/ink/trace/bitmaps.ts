/** Bitmaps → painted outlines, where tracing is asked for; else a problem each. */
import { luminanceOver } from "../../artwork/paint.ts";
import type { Bitmap, Painted, Rgba } from "../../artwork/types.ts";
import { type Affine, multiply, scale } from "../../geometry/affine.ts";
import type { Path } from "../../geometry/path.ts";
import type { Problem } from "../../problem.ts";
import type { InkOptions, Pixels } from "../options.ts";
import { chosenField, isSeen, paintedField } from "./chosen.ts";
import type { InkField } from "./field.ts";
import type { Choice } from "./mix.ts";
import { evenColours } from "./palette.ts";
import { type Colour, Seen, seenOver } from "./seen.ts";
import { type Tone, type Traced, toldOf } from "./told.ts";
import { inkField } from "./tone.ts";
import { traceField } from "./trace.ts";

/** What stands for each bitmap: its ground, which hides, and its ink. Bitmaps that cannot be had are in `problems`. */
export async function tracedBitmaps(
  bitmaps: readonly Bitmap[],
  options: InkOptions,
  problems: Problem[],
): Promise<Map<Bitmap, Painted[]>> {
  const traced = new Map<Bitmap, Painted[]>();
  for (const bitmap of bitmaps) {
    const where = { ...bitmap.where, id: bitmap.id };
    const refuse = (code: string, message: string, hint: string): void => {
      problems.push({ code, severity: "error", message, where, hint });
    };
    if (!options.trace || !options.decode) {
      const message = "an embedded picture is made of pixels, not of outlines: it was left out";
      refuse(
        "picture-not-traced",
        message,
        "give --trace to have it traced, or trace it in the drawing program",
      );
      continue;
    }
    const pixels = await options.decode(bitmap.bytes, bitmap.type);
    if ("reason" in pixels) {
      const message = `an embedded picture cannot be read: ${pixels.reason}`;
      refuse("picture-not-read", message, "embed it again as PNG, or trace it in the drawing program");
      continue;
    }
    const { ground, ink, found } = traceOf(bitmap, pixels, options);
    problems.push(...toldOf(found, where));
    const { id, clip } = bitmap;
    const item = (path: Path<"page">, name: string, colour: Rgba): Painted => ({
      kind: "painted",
      id: name,
      where: bitmap.where,
      path,
      rule: "nonzero",
      stroke: null,
      colours: [colour],
      clip,
    });
    const [dark, light] = inkAndGround(options);
    const items = [item(ground, `${id}-ground`, light), item(ink, id, dark)];
    traced.set(
      bitmap,
      items.filter(({ path }) => path.contours.length > 0),
    );
  }
  return traced;
}

const black: Rgba = { r: 0, g: 0, b: 0, a: 1 };
const white: Rgba = { r: 1, g: 1, b: 1, a: 1 };
const nothing: Rgba = { r: 0, g: 0, b: 0, a: 0 };

/** Colours that are ink, and not, by the options. */
function inkAndGround({ from, colours }: InkOptions): [Rgba, Rgba] {
  const [first] = colours;
  if (first) {
    const isChosen = (grey: number): boolean =>
      colours.some(({ r, g, b }) => [r, g, b].every((v) => v === grey));
    const grey = [1, 0, 0.6, 0.4].find((v) => !isChosen(v)) ?? 0.2;
    return [first, { r: grey, g: grey, b: grey, a: 1 }];
  }
  if (from === "any") return [black, nothing];
  return from === "dark" ? [black, white] : [white, black];
}

function traceOf(
  bitmap: Bitmap,
  pixels: Pixels,
  options: InkOptions,
): { ground: Path<"page">; ink: Path<"page">; found: Traced } {
  const { width, height, rgba } = pixels;
  const place: Affine = multiply(bitmap.place(width, height), scale(1 / width, 1 / height));
  const { field, by, tones } = fieldOf(bitmap, pixels, options);
  const alpha = Float32Array.from(
    { length: width * height },
    (_, i) => (rgba[4 * i + 3]! / 255) * bitmap.opacity,
  );
  const { offTone, busy, faint, value } = field;
  const inkPixels = value.reduce((n, v) => (v >= 0.5 ? n + 1 : n), 0);
  const found = { width, height, place, offTone, busy, faint, inkPixels, tones, by, below: options.below };
  return {
    ground: traceField(width, height, alpha, 0.5, place, options.toleranceMm),
    ink: traceField(width, height, value, 0.5, place, options.toleranceMm),
    found,
  };
}

function fieldOf(
  { opacity }: Bitmap,
  { width, height, rgba }: Pixels,
  { from, below, colours }: InkOptions,
): Pick<Traced, "by" | "tones"> & { field: InkField } {
  const toneOf =
    (page: number, isPainted: (colour: Colour) => boolean) =>
    ({ colour, chosen }: Choice): Tone[] => {
      if (!isPainted(colour)) return [];
      const [r, g, b] = seenOver(colour, opacity, page) as [number, number, number];
      const seen: Rgba = { r, g, b, a: 1 };
      return [{ colour: seen, luminance: luminanceOver(seen, page), isInk: chosen }];
    };
  if (colours.length > 0) {
    const field = chosenField(rgba, width, height, colours, opacity);
    return { field, by: "colours", tones: field.colours.flatMap(toneOf(1, isSeen)) };
  }
  if (from === "any") {
    const field = paintedField(rgba, width, height);
    const over = new Seen(rgba, width * height, "white");
    const isOpaque = field.colours.every(({ chosen }) => chosen);
    const all = isOpaque ? evenColours(over, width, height).map((one) => ({ ...one, chosen: true })) : [];
    return { field, by: "any", tones: all.flatMap(toneOf(1, () => true)) };
  }
  const page = from === "light" ? 0 : 1;
  const lightness = (r: number, g: number, b: number, a: number): number => {
    const luminance = luminanceOver({ r, g, b, a: a * opacity }, page);
    return page === 1 ? luminance : 1 - luminance;
  };
  const limit = page === 1 ? below : 1 - below;
  const field = inkField(rgba, width, height, lightness, limit, page === 1 ? "white" : "black");
  return { field, by: from, tones: field.colours.flatMap(toneOf(page, () => true)) };
}
