/**
 * Ink cut into bands along the seams between them, curves kept: each piece is the ink between two seams, and both neighbours
 * have the same seam. Centre lines are cut at the meridian itself.
 */
import {
  areaOf,
  type Box,
  type Contour,
  type Path,
  PathBuilder,
  pathBounds,
  segmentCount,
  uniteBoxes,
} from "../../geometry/path.ts";
import type { Problem } from "../../problem.ts";
import { Effort } from "../../region/effort.ts";
import { Plane } from "../../region/plane.ts";
import type { Surface } from "../../vessel/surface.ts";
import { type InkShape, inkShape } from "../ink.ts";
import type { Border } from "../turns/border.ts";
import { grown, meets, type Patch, patchOf } from "../turns/chords.ts";
import { type Range, rangeOf } from "../zones.ts";
import { type Meridian, Seams } from "./bandborder.ts";
import { type ByBand, linesByBand } from "./bandlines.ts";
import type { Bands } from "./types.ts";

/** Pieces smaller than this (mm²) are no pieces: the shape is not cut for them. */
const CRUMB = 1e-6;
/** The region between two seams goes on around the ink by so much (mm). */
const ROOM = 1;

/**
 * The pieces of each band, in the order of the shapes; their ids have the band's number appended. The shapes are ink that the
 * beam reaches. `problems`: told of what could only be cut as polygons. Throws JobError `outlines-too-dense`.
 */
export function cutIntoBands(
  shapes: readonly InkShape[],
  surface: Surface,
  bands: Bands,
  spotMm: number,
  problems: Problem[] = [],
): InkShape[][] {
  const pieces = bands.bands.map((): InkShape[] => []);
  const put = (shape: InkShape, band: number, path: Path<"flat">): void => {
    const piece = inkShape({ ...shape, id: `${shape.id}-band-${band + 1}` }, path);
    if (piece) pieces[band]!.push(piece);
  };
  const cutter = new Cutter(surface, bands, spotMm);
  for (const shape of shapes) {
    if (shape.paint !== "fill") {
      for (const [band, path] of linesByBand(shape.path, bands)) put(shape, band, path);
      continue;
    }
    const { paths, asPolygons } = cutter.cut(shape);
    for (const [band, path] of paths) put(shape, band, path);
    if (asPolygons) {
      problems.push({
        code: "cut-as-polygon",
        severity: "caution",
        message: `"${shape.id}" was cut into bands as polygons, not curves`,
        where: shape.where,
        hint: "unite its overlapping outlines in the drawing program for a smoother cut",
      });
    }
  }
  return pieces;
}

class Cutter {
  readonly #surface: Surface;
  readonly #bands: Bands;
  readonly #seams: Seams;
  readonly #spotMm: number;
  /** From left to right, and the bands between them: one more. */
  readonly #meridians: readonly Meridian[];
  readonly #between: readonly number[];
  readonly #effort = new Effort();

  constructor(surface: Surface, bands: Bands, spotMm: number) {
    this.#surface = surface;
    this.#bands = bands;
    this.#seams = new Seams(surface, spotMm);
    this.#spotMm = spotMm;
    const stretches = bands.bands
      .flatMap(({ intervalsDeg }, band) => intervalsDeg.map(([from, to]) => ({ from, to, band })))
      .sort((one, other) => one.from - other.from);
    const right = stretches.slice(0, -1).map(({ from, to }, i): Meridian => {
      const next = stretches[i + 1]!;
      // Seams keep apart, however narrow the vessel gets.
      const gap = Math.min(to - (i > 0 ? from : 0), next.to - next.from);
      return { theta: radians(to), most: radians(gap) / 4 };
    });
    const left = right.map(({ theta, most }) => ({ theta: -theta, most }));
    this.#meridians = [...left.reverse(), ...right];
    const numbers = stretches.map(({ band }) => band);
    this.#between = [...numbers.slice(1).reverse(), ...numbers];
  }

  cut(shape: InkShape): { paths: ByBand; asPolygons: boolean } {
    const { path, box } = shape;
    const whole = (band: number) => ({ paths: new Map([[band, path]]), asPolygons: false });
    const ink = patchOf(path);
    const range = rangeOf(this.#surface, box);
    const seams = ink && range ? this.#seamsOver(box, range, ink) : [];
    if (seams.length === 0) {
      return whole(this.#bands.bandAt((box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2));
    }
    const room = grown(
      seams.reduce<Box>((all, { seam }) => uniteBoxes(all, seam.box)!, box),
      ROOM,
    );
    const sides = [
      upright(room.minX, room),
      ...seams.map(({ seam }) => seam.points),
      upright(room.maxX, room),
    ];
    const plane = new Plane<"flat">(room, segmentCount(path), this.#effort);
    const contours = path.contours.map((contour) => ({
      box: pathBounds({ contours: [contour] })!,
      polygons: plane.polygons({ contours: [contour] }),
    }));
    const paths = new Map<number, Contour<"flat">[]>();
    let asPolygons = false;
    for (let i = 0; i + 1 < sides.length; i++) {
      const region = regionOf(sides[i]!, sides[i + 1]!);
      const over = pathBounds(region)!;
      // What holes lie in is at hand where they are.
      const near = contours.flatMap((contour) => (meets(contour.box, over) ? contour.polygons : []));
      const window = plane.resolve(plane.polygons(region), "nonzero");
      const piece = plane.outlines(plane.intersection(near, window));
      const area = areaOf(piece);
      if (!(area > CRUMB)) continue;
      const band = this.#between[i === 0 ? seams[0]!.at : seams[i - 1]!.at + 1]!;
      if (shape.areaMm2 - area < CRUMB) return whole(band);
      paths.set(band, [...(paths.get(band) ?? []), ...piece.contours]);
      asPolygons ||= piece.asPolygons;
    }
    return { paths: new Map([...paths].map(([band, list]) => [band, { contours: list }])), asPolygons };
  }

  /** The seams that may go through the box and all between them, with the number of each meridian. */
  #seamsOver(box: Box, range: Range, ink: Patch): { at: number; seam: Border }[] {
    const through = this.#meridians.map((meridian) => {
      const border = this.#seams.plain(meridian, range, box);
      return border !== null && meets(grown(border.box, this.#spotMm), box);
    });
    const [first, last] = [through.indexOf(true), through.lastIndexOf(true)];
    return this.#meridians.flatMap((meridian, at) => {
      if (first < 0 || at < first || at > last) return [];
      const seam = this.#seams.toothed(meridian, range, box, ink);
      return seam ? [{ at, seam }] : [];
    });
  }
}

const radians = (deg: number): number => (deg * Math.PI) / 180;

/** A line from top to bottom. */
const upright = (x: number, { minY, maxY }: Box): Float64Array => Float64Array.of(x, minY, x, maxY);

function regionOf(left: Float64Array, right: Float64Array): Path<"flat"> {
  const builder = new PathBuilder<"flat">(left.length + right.length);
  builder.move(left[0]!, left[1]!);
  for (let i = 2; i < left.length; i += 2) builder.line(left[i]!, left[i + 1]!);
  for (let i = right.length - 2; i >= 0; i -= 2) builder.line(right[i]!, right[i + 1]!);
  return builder.close().build();
}
