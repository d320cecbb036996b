/** The artwork's bytes → its ink, with the fonts and the unpacking of pictures that it may need. */
import { parseColour } from "../artwork/paint.ts";
import { readDrawing } from "../artwork/read.ts";
import type { Artwork, Drawing, Rgba } from "../artwork/types.ts";
import { pathBounds, uniteBoxes } from "../geometry/path.ts";
import { inkOf } from "../ink/ink.ts";
import type { InkAsked, Job } from "../job/job.ts";
import { JobError, ProblemsError } from "../problem.ts";
import { decode } from "./decode.ts";
import { fontsOf } from "./fonts.ts";

export interface ArtAsked {
  readonly artPath: string;
  readonly bytes: Buffer;
}

/** Strokes' outlines may take this share of the curves' tolerance. */
const STROKE_SHARE = 0.25;

/** `tolerance` gives what strokes' outlines may be off, in mm on the drawing's page. */
export async function readArt(
  { artPath, bytes, job: { ink } }: ArtAsked & { job: { ink: InkAsked } },
  step: (text: string) => void,
  tolerance: (drawing: Drawing) => number,
): Promise<Artwork> {
  step("reading the artwork");
  const text = decode(bytes, artPath);
  const fonts = ink.fonts.length > 0 ? await fontsOf(ink.fonts) : null;
  const drawing = readDrawing(text, { fonts, substitute: ink.allow.includes("font-substitute") });
  step("finding the ink");
  return inkOf(drawing, {
    ...ink,
    colours: ink.colours.map((colour) => parseColour(colour) as Rgba),
    toleranceMm: tolerance(drawing),
    decode: ink.trace ? (await import("./decode-image.ts")).decodeImage : null,
  });
}

/** A share of the job's tolerance, for outlines that will be sized with the ink. */
export function pageTolerance(drawing: Drawing, { toleranceMm, placement }: Job): number {
  const box = drawing.items
    .map((item) => (item.kind === "painted" ? pathBounds(item.path) : null))
    .reduce(uniteBoxes, null);
  const width = box ? box.maxX - box.minX : 0;
  const height = box ? box.maxY - box.minY : 0;
  const grown = (size: number | undefined, own: number): number =>
    size !== undefined && own > 0 ? size / own : 1;
  const scale = Math.max(grown(placement.widthMm, width), grown(placement.heightMm, height));
  return (STROKE_SHARE * toleranceMm) / scale;
}

/** The error with the artwork's path in front. */
export function named(error: unknown, artPath: string): unknown {
  if (error instanceof ProblemsError) return new ProblemsError(error.problems, `${artPath}: `);
  if (!(error instanceof JobError)) return error;
  const { code, hint, where } = error.problem;
  const elsewhere = code === "focus-too-deep" || code === "font-unreadable";
  if (elsewhere || error.message.includes(artPath)) return error;
  return new JobError(code, `${artPath}: ${error.message}`, hint, where);
}
