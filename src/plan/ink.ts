/** Artwork on its page → ink on the flat: turned, sized and set down as the job asks, in mm, with its area. */

import type { Artwork, Paint } from "../artwork/types.ts";
import { multiply, rotate, scale, translate } from "../geometry/affine.ts";
import { contourLength } from "../geometry/cubic.ts";
import {
  areaOf,
  type Box,
  type Path,
  pathBounds,
  segmentCount,
  transformPath,
  uniteBoxes,
} from "../geometry/path.ts";
import type { Job } from "../job/job.ts";
import { JobError, type Where } from "../problem.ts";

export interface InkShape {
  readonly id: string;
  readonly where: Where;
  readonly paint: Paint;
  /** As in the artwork's Shape: a fill is its own area. */
  readonly path: Path<"flat">;
  readonly box: Box;
  /** 0 for centre lines. */
  readonly areaMm2: number;
  /** Length of a centre line; 0 for fills. */
  readonly lengthMm: number;
}

export interface Ink {
  readonly shapes: readonly InkShape[];
  readonly box: Box;
  readonly segments: number;
  /** Sum over the shapes: where shapes overlap, their common area counts for each. */
  readonly areaMm2: number;
  readonly lengthMm: number;
}

/** No vessel has room for ink of this size (mm). */
const LARGEST = 5000;

/** Throws a JobError where a size is asked for along which the ink has none, or the ink would be metres large. */
export function placeInk(artwork: Artwork, placement: Job["placement"]): Ink & { readonly pageMm: number } {
  const turn = rotate((placement.rotateDeg * Math.PI) / 180);
  const turned =
    placement.rotateDeg === 0
      ? artwork.shapes.map((shape) => shape.path)
      : artwork.shapes.map((shape) => transformPath<"page", "page">(shape.path, turn));
  const box = turned.reduce<Box | null>((all, path) => uniteBoxes(all, pathBounds(path)), null);
  if (!box) throw noInk();
  const width = box.maxX - box.minX;
  const height = box.maxY - box.minY;
  if (placement.widthMm !== undefined && !(width > 0)) throw noSize("width");
  if (placement.heightMm !== undefined && !(height > 0)) throw noSize("height");
  const sx = placement.widthMm === undefined ? undefined : placement.widthMm / width;
  const sy = placement.heightMm === undefined ? undefined : placement.heightMm / height;
  const place = [
    translate(placement.atMm[0], placement.atMm[1]),
    scale(sx ?? sy ?? 1, sy ?? sx ?? 1),
    translate(-(box.minX + box.maxX) / 2, -(box.minY + box.maxY) / 2),
  ].reduce(multiply);
  const largest = Math.max(width * Math.abs(sx ?? sy ?? 1), height * Math.abs(sy ?? sx ?? 1));
  if (!(largest <= LARGEST)) {
    throw new JobError(
      "ink-too-large",
      `the ink would be ${(largest / 1000).toPrecision(2)} m large`,
      "give --width or --height, or check the units of the artwork",
    );
  }
  const shapes: InkShape[] = [];
  artwork.shapes.forEach((shape, i) => {
    const path = transformPath<"page", "flat">(turned[i]!, place);
    const made = inkShape(shape, path);
    if (made) shapes.push(made);
  });
  // The page's side that goes around; none where the page stands askew.
  const quarters = placement.rotateDeg / 90;
  const side = quarters % 2 === 0 ? artwork.widthMm : Math.abs(quarters % 2) === 1 ? artwork.heightMm : 0;
  return { ...gather(shapes), pageMm: side * Math.abs(sx ?? sy ?? 1) };
}

/** A shape of the given path, or null where the path is empty. */
export function inkShape(
  like: Pick<InkShape, "id" | "where" | "paint">,
  path: Path<"flat">,
): InkShape | null {
  const box = pathBounds(path);
  if (!box) return null;
  const fill = like.paint === "fill";
  return {
    id: like.id,
    where: like.where,
    paint: like.paint,
    path,
    box,
    areaMm2: fill ? areaOf(path) : 0,
    lengthMm: fill ? 0 : path.contours.reduce((sum, c) => sum + contourLength(c), 0),
  };
}

/** Throws JobError `no-ink` where there are none. */
export function gather(shapes: readonly InkShape[]): Ink {
  let box: Box | null = null;
  let segments = 0;
  let areaMm2 = 0;
  let lengthMm = 0;
  for (const shape of shapes) {
    box = uniteBoxes(box, shape.box);
    segments += segmentCount(shape.path);
    areaMm2 += shape.areaMm2;
    lengthMm += shape.lengthMm;
  }
  if (!box) throw noInk();
  return { shapes, box, segments, areaMm2, lengthMm };
}

const noInk = (): JobError =>
  new JobError(
    "no-ink",
    "the artwork has no drawable ink",
    "check that its shapes are filled with a dark colour",
  );

const noSize = (side: string): JobError =>
  new JobError(
    "size-impossible",
    `the ink has no ${side} of its own, so --${side} cannot be met`,
    `leave --${side} out, or give the other size`,
  );
