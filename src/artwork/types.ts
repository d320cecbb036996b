/** What reading an SVG yields: every unit, style, transform, use and arc resolved, in mm on the artwork's page. */
import type { Affine } from "../geometry/affine.ts";
import type { Path } from "../geometry/path.ts";
import type { Problem, Where } from "../problem.ts";

/** `fill`: the area inside, by its rule. `centre-line`: the line itself, marked once along its middle. */
export type Paint = "fill" | "centre-line";
export type FillRule = "nonzero" | "evenodd";

/** An sRGB colour, every part 0…1. */
export interface Rgba {
  readonly r: number;
  readonly g: number;
  readonly b: number;
  readonly a: number;
}

/** How a line is drawn: SVG 2, 13.5. Lengths in the stroke's own space, which `space` maps onto the page. */
export interface Stroke {
  readonly width: number;
  readonly cap: "butt" | "round" | "square";
  readonly join: "miter" | "miter-clip" | "round" | "bevel";
  readonly miterLimit: number;
  /** On, off, on, … of even length, sum above 0; empty for a whole line. */
  readonly dashes: readonly number[];
  readonly dashOffset: number;
  /** Only its linear part counts. */
  readonly space: Affine;
}

/** A fill or a stroke of one element. */
export interface Painted {
  readonly kind: "painted";
  readonly id: string;
  readonly where: Where;
  /** mm on the page. For a fill every contour is closed; for a stroke this is the line itself. */
  readonly path: Path<"page">;
  readonly rule: FillRule;
  readonly stroke: Stroke | null;
  /** One colour, or those of a gradient at equal shares, all opacities in their alpha. */
  readonly colours: readonly Rgba[];
  readonly clip: Clip | null;
}

/** An embedded bitmap, still packed. */
export interface Bitmap {
  readonly kind: "bitmap";
  readonly id: string;
  readonly where: Where;
  /** As in the data URI, e.g. `image/png`. */
  readonly type: string;
  readonly bytes: Uint8Array;
  /** Maps the unit square (0, 0 its top left) onto the page, for the whole picture's width and height. */
  place(widthPx: number, heightPx: number): Affine;
  readonly opacity: number;
  readonly clip: Clip | null;
}

export type Item = Painted | Bitmap;

/** One area of a clip or a mask: what it covers is shown (`shows`) or hidden, in order. */
export interface Layer {
  readonly path: Path<"page">;
  readonly rule: FillRule;
  readonly stroke: Stroke | null;
  readonly shows: boolean;
  readonly clip: Clip | null;
}

/** Only what all clips of the chain show is drawn. */
export interface Clip {
  readonly layers: readonly Layer[];
  readonly outer: Clip | null;
}

/** The artwork as it was painted, in paint order. */
export interface Drawing {
  /** Null: the file gives no size, and the page is to be the box around the ink. */
  readonly size: { readonly widthMm: number; readonly heightMm: number } | null;
  /** The root element. */
  readonly root: Where;
  readonly items: readonly Item[];
  readonly problems: readonly Problem[];
}

/** One shape of the ink. */
export interface Shape {
  /** The element's id, or a made one (`path-12`) that is unique in the document. */
  readonly id: string;
  readonly where: Where;
  readonly paint: Paint;
  /** A fill's outlines do not meet; holes turn against them, so that nonzero and even-odd fill it alike. */
  readonly path: Path<"page">;
}

export interface Artwork {
  readonly widthMm: number;
  readonly heightMm: number;
  /** In paint order. */
  readonly shapes: readonly Shape[];
  readonly problems: readonly Problem[];
}
