/** What reading an SVG yields: every unit, style, transform, use and arc resolved, in mm on the artwork's page. */
import type { Path } from "../geometry/path.ts";
import type { Problem, Where } from "../problem.ts";

/** `fill`: the area inside, by its rule. `centre-line`: the line itself, marked once along its middle. */
export type Paint = "fill" | "centre-line";
export type FillRule = "nonzero" | "evenodd";

export interface Shape {
  /** The element's id, or a made one (`path-12`) that is unique in the document. */
  readonly id: string;
  readonly where: Where;
  readonly paint: Paint;
  readonly rule: FillRule;
  readonly path: Path<"page">;
}

export interface Artwork {
  readonly widthMm: number;
  readonly heightMm: number;
  /** In paint order. */
  readonly shapes: readonly Shape[];
  readonly problems: readonly Problem[];
}
