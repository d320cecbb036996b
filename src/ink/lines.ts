/** Strokes kept as centre lines, for stations that engrave a single line. */
import type { Drawing, Painted, Shape } from "../artwork/types.ts";
import { contourLength } from "../geometry/cubic.ts";
import type { Box } from "../geometry/path.ts";
import { pathBounds, segmentCount, uniteBoxes } from "../geometry/path.ts";
import type { Problem } from "../problem.ts";
import { Plane, type Polygons, type Rule } from "../region/plane.ts";
import { overlap, Pieces } from "./pieces.ts";
import { outlineOrNull, placed } from "./placed.ts";
import { dashLines } from "./strokes/dashlines.ts";

/** A line is whole if no more than this share of its stroke's area would be taken: rounding, not drawing. */
const taken = 1e-3;

/** A stroke's width on the page, the mean of both directions, mm. */
const widthMm = ({ stroke }: Painted): number => {
  if (!stroke) return 0;
  const { a, b, c, d } = stroke.space;
  return stroke.width * Math.sqrt(Math.abs(a * d - b * c));
};

/** Light paint: its item, outline and rule. */
export interface Hiding {
  readonly item: Painted;
  readonly path: Painted["path"];
  readonly rule: Rule;
}

/**
 * The lines as shapes. A line is not cut: where a clip, the page's edge or light paint would take a part of its
 * stroke, that is an error in `problems`. `order` is the items' place in paint order by id, `hiding` the light
 * paint of the drawing.
 */
export function linesOf(
  drawing: Drawing,
  items: readonly Painted[],
  order: ReadonlyMap<string, number>,
  hiding: readonly Hiding[],
  toleranceMm: number,
  problems: Problem[],
): Shape[] {
  const shapes: Shape[] = [];
  const { size } = drawing;
  const page = size && { minX: 0, minY: 0, maxX: size.widthMm, maxY: size.heightMm };
  const place = ({ id }: Painted): number => order.get(id) ?? 0;
  const cutter = new Cutter(items, hiding, toleranceMm);
  for (const item of items) {
    const box = pathBounds(item.path);
    if (!box) continue;
    const { where } = item;
    const cutIt = "cut the line there in the drawing program, or have strokes as outlines";
    const refuse = (code: string, message: string, hint = cutIt): void => {
      problems.push({ code, severity: "error", message, where, hint });
    };
    if (cutter.clipped(item))
      refuse("clip-not-applied", "a clip cuts this centre line, which was kept whole");
    if (page && !contains(page, box)) {
      refuse("line-beyond-page", "this centre line reaches beyond the page and was kept whole");
    }
    if (cutter.covered(item, (other) => place(other) > place(item))) {
      refuse("knockout-not-applied", "light paint lies over this centre line, which was kept whole");
    }
    const { stroke, path } = item;
    const dashes = stroke ? placed(where, () => dashLines(path, stroke, toleranceMm)) : { path, dots: 0 };
    const contours = dashes.path.contours.filter((c) => contourLength(c) > 0);
    if ((dashes.dots > 0 || contours.length < dashes.path.contours.length) && item.stroke?.cap !== "butt") {
      refuse(
        "dot-without-line",
        "a dot (a line of no length with caps) has no centre line and was left out",
        "draw it as a filled shape, or have strokes as outlines",
      );
    }
    if (contours.length === 0) continue;
    const mm = widthMm(item);
    problems.push({
      code: "stroke-as-centre-line",
      severity: "note",
      message: `the stroke, ${mm >= 0.01 ? mm.toFixed(2) : mm.toPrecision(1)} mm wide in the artwork, is its centre line`,
      where,
      hint: "leave --strokes out to have strokes as wide as they are drawn",
    });
    shapes.push({
      id: item.id,
      where: item.where,
      paint: "centre-line",
      path: { contours },
    });
  }
  return shapes;
}

const contains = (a: Box, b: Box): boolean =>
  b.minX >= a.minX - 1e-6 && b.minY >= a.minY - 1e-6 && b.maxX <= a.maxX + 1e-6 && b.maxY <= a.maxY + 1e-6;

/** Tells what would be taken of the lines' strokes. */
class Cutter {
  readonly #plane: Plane<"page"> | null;
  readonly #pieces: Pieces | null;
  readonly #hiding: { readonly item: Painted; readonly box: Box; polygons(): Polygons }[] = [];
  readonly #toleranceMm: number;

  constructor(lines: readonly Painted[], hiding: readonly Hiding[], toleranceMm: number) {
    this.#toleranceMm = toleranceMm;
    const paths = [...lines.map(({ path }) => path), ...hiding.map(({ path }) => path)];
    const box =
      lines.length === 0 ? null : paths.reduce<Box | null>((all, p) => uniteBoxes(all, pathBounds(p)), null);
    this.#plane =
      box &&
      new Plane(
        box,
        paths.reduce((sum, p) => sum + segmentCount(p), 0),
      );
    this.#pieces = this.#plane && box && new Pieces(this.#plane, toleranceMm, null, box);
    for (const { item, path, rule } of hiding) {
      const bounds = pathBounds(path);
      const piece = bounds && this.#pieces?.of({ item, does: "hides", path, rule, bounds }, 0);
      if (piece) this.#hiding.push(piece);
    }
  }

  /** Null where it is not found. */
  #outline({ path, stroke, where }: Painted): Painted["path"] | null {
    return stroke ? placed(where, () => outlineOrNull(path, stroke, this.#toleranceMm)) : path;
  }

  clipped(line: Painted): boolean {
    if (!line.clip || !this.#plane || !this.#pieces) return false;
    const path = this.#outline(line);
    if (!path) return true;
    const bounds = pathBounds(path);
    const piece = bounds && this.#pieces.of({ item: line, does: "ink", path, rule: "nonzero", bounds }, 0);
    if (!piece) return true;
    if (piece.whole) return false;
    return this.#area(piece.polygons()) < (1 - taken) * this.#area(this.#plane.polygons(path));
  }

  /** Whether one of the light paints that `counts` lies over the line. */
  covered(line: Painted, counts: (light: Painted) => boolean): boolean {
    const path = this.#outline(line);
    const box = pathBounds(path ?? line.path);
    const plane = this.#plane;
    const near = this.#hiding.filter((light) => box && overlap(light.box, box) && counts(light.item));
    if (near.length === 0 || !plane) return false;
    if (!path) return true;
    const own = plane.union(plane.polygons(path));
    const left = plane.difference(
      own,
      near.flatMap((light) => light.polygons()),
    );
    return plane.area(left) < (1 - taken) * plane.area(own);
  }

  #area(polygons: Polygons): number {
    return this.#plane ? this.#plane.area(this.#plane.union(polygons)) : 0;
  }
}
