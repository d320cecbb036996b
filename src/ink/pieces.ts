/** Items of a drawing → pieces: what each adds to the ink or takes away, cut by its clips and the page. */
import type { Clip, Layer, Painted, Stroke } from "../artwork/types.ts";
import { clampPath } from "../geometry/clamp.ts";
import { convexOutline } from "../geometry/convex.ts";
import type { Box, Path } from "../geometry/path.ts";
import { pathBounds } from "../geometry/path.ts";
import { JobError } from "../problem.ts";
import { withoutRepeats } from "../region/pairs.ts";
import type { Plane, Polygons, Rule } from "../region/plane.ts";
import { outlineOrNull, placed } from "./placed.ts";

export interface Piece {
  readonly item: Painted;
  readonly does: "ink" | "hides";
  readonly box: Box;
  /** The outline as drawn, where nothing cuts it. */
  readonly whole: { readonly path: Path<"page">; readonly rule: Rule } | null;
  /** To be filled nonzero; nowhere wound negatively, so that regions can be put together. */
  polygons(): Polygons;
}

/** An item with its outline, as far as that reaches. */
export interface Outline {
  readonly item: Painted;
  readonly does: Piece["does"];
  readonly path: Path<"page">;
  readonly rule: Rule;
  readonly bounds: Box;
}

export const overlap = (a: Box, b: Box): boolean =>
  a.minX < b.maxX && b.minX < a.maxX && a.minY < b.maxY && b.minY < a.maxY;

/** Whether b lies in a. */
export const contains = (a: Box, b: Box): boolean =>
  b.minX >= a.minX && b.minY >= a.minY && b.maxX <= a.maxX && b.maxY <= a.maxY;

/** Where a layer is an upright rectangle: that rectangle. */
function rectangle({ path, stroke }: Layer): Box | null {
  const [c, more] = path.contours;
  if (!c || more || stroke || c.straight.length !== 4 || !c.straight.every(Boolean)) return null;
  const p = c.points;
  for (let k = 0; k < 4; k++) {
    if (p[6 * k] !== p[6 * k + 6] && p[6 * k + 1] !== p[6 * k + 7]) return null;
  }
  return pathBounds(path);
}

export class Pieces {
  readonly #plane: Plane<"page">;
  readonly #toleranceMm: number;
  readonly #shown = new WeakMap<readonly Layer[], Polygons>();
  readonly #rectangles = new WeakMap<readonly Layer[], Box | "no">();

  readonly #page: readonly Layer[] | null;
  /** Ink that the page's edge has cut off so far, mm², and whose it was. */
  readonly beyond = new Map<Painted, number>();

  /** Clips are needed as far as the pieces reach. */
  readonly #reach: Box;

  /** `page`: the layer that everything is cut by at last, if any; `box` holds all pieces that will be made. */
  constructor(plane: Plane<"page">, toleranceMm: number, page: Layer | null, box: Box) {
    const some = 0.01 * Math.max(box.maxX - box.minX, box.maxY - box.minY);
    this.#reach = {
      minX: box.minX - some,
      minY: box.minY - some,
      maxX: box.maxX + some,
      maxY: box.maxY + some,
    };
    this.#plane = plane;
    this.#toleranceMm = toleranceMm;
    this.#page = page && [page];
  }

  /**
   * The piece of an item whose outline is `path` by `rule`, cut by the item's clips; null where nothing is left
   * for certain. `owner` is what the plane's polygons are to be known by.
   */
  of({ item, does, path, rule, bounds }: Outline, owner: number): Piece | null {
    const cuts = this.#cutsOf(item.clip, bounds);
    if (!cuts) return null;
    const { box, clips } = cuts;
    let polygons: Polygons | null = null;
    return {
      item,
      does,
      box,
      whole: clips.length === 0 ? { path, rule } : null,
      polygons: () => {
        polygons ??= placed(item.where, () => this.#cut(item, does, path, rule, owner, clips));
        return polygons;
      },
    };
  }

  /** What cuts an outline that lies in `bounds`, and how far it reaches then; null where nothing is left for certain. */
  #cutsOf(clip: Clip | null, bounds: Box): { box: Box; clips: readonly (readonly Layer[])[] } | null {
    if (!clip && (!this.#page || this.#holds(this.#page, bounds))) return { box: bounds, clips: [] };
    let box: Box = bounds;
    const clips: (readonly Layer[])[] = [];
    const chain: (readonly Layer[])[] = [];
    for (let c: Clip | null = clip; c; c = c.outer) chain.push(c.layers);
    if (this.#page) chain.push(this.#page);
    for (const layers of chain) {
      if (layers.length === 0) return null;
      if (this.#holds(layers, bounds)) continue;
      const rect = this.#rectangle(layers);
      if (rect) {
        if (layers !== this.#page && !overlap(box, rect)) return null;
        box = {
          minX: Math.max(box.minX, rect.minX),
          minY: Math.max(box.minY, rect.minY),
          maxX: Math.min(box.maxX, rect.maxX),
          maxY: Math.min(box.maxY, rect.maxY),
        };
      }
      clips.push(layers);
    }
    return { box, clips };
  }

  #holds(layers: readonly Layer[], box: Box): boolean {
    const rect = this.#rectangle(layers);
    return rect !== null && contains(rect, box);
  }

  #cut(
    item: Painted,
    does: Piece["does"],
    path: Path<"page">,
    rule: Rule,
    owner: number,
    clips: readonly (readonly Layer[])[],
  ): Polygons {
    this.#plane.own(does === "ink" ? owner : Number.POSITIVE_INFINITY);
    // The outlines of a stroke wind one way only, by how they are made.
    let polygons = item.stroke ? this.#stroked(item, path) : this.#resolved(path, rule);
    for (const layers of clips) {
      if (polygons.length === 0) break;
      const before = polygons;
      polygons = this.#plane.intersection(before, this.#showing(layers));
      if (layers === this.#page && does === "ink") {
        this.beyond.set(item, this.#plane.area(before) - this.#plane.area(polygons));
      }
    }
    return polygons;
  }

  #rectangle(layers: readonly Layer[]): Box | null {
    if (layers.length !== 1) return null;
    const known = this.#rectangles.get(layers);
    if (known !== undefined) return known === "no" ? null : known;
    const [layer] = layers;
    const found = layer?.shows && !layer.clip ? rectangle(layer) : null;
    this.#rectangles.set(layers, found ?? "no");
    return found;
  }

  #resolved(path: Path<"page">, rule: Rule): Polygons {
    const outline = convexOutline(path);
    return outline
      ? this.#plane.polygons({ contours: [outline] })
      : this.#plane.resolve(this.#plane.polygons(path), rule);
  }

  #outline(path: Path<"page">, stroke: Stroke): Path<"page"> {
    const outline = outlineOrNull(path, stroke, this.#toleranceMm);
    if (outline) return outline;
    throw new JobError(
      "stroke-not-outlined",
      "the outline of a stroke in its mask is not found within the tolerance",
      "expand the strokes of the mask to outlines in the drawing program",
    );
  }

  /** The outlines of a stroke; many of them partly united, unless some may be the two sides of a closed line. */
  #stroked(line: Painted, path: Path<"page">): Polygons {
    const polygons = this.#plane.polygons(path);
    if (line.path.contours.some((c) => c.closed)) return polygons;
    return this.#plane.gathered(withoutRepeats(polygons).map((polygon) => [polygon]));
  }

  #areaOf(layer: Layer): Polygons {
    const whole = layer.stroke ? this.#outline(layer.path, layer.stroke) : layer.path;
    const bounds = pathBounds(whole);
    const path = bounds && !contains(this.#reach, bounds) ? clampPath(whole, this.#reach) : whole;
    let area = this.#resolved(path, layer.stroke ? "nonzero" : layer.rule);
    for (let clip = layer.clip; clip; clip = clip.outer) {
      area = this.#plane.intersection(area, this.#showing(clip.layers));
    }
    return area;
  }

  /** What the layers of a clip show, in order: white on black. */
  #showing(layers: readonly Layer[]): Polygons {
    const known = this.#shown.get(layers);
    if (known) return known;
    this.#plane.own(Number.POSITIVE_INFINITY);
    let shown: Polygons = [];
    let more: Polygons[] = [];
    const united = (): Polygons =>
      more.length === 0
        ? shown
        : shown.length === 0 && more.length === 1
          ? more[0]!
          : this.#plane.union([...shown, ...this.#plane.gathered(more)]);
    for (const layer of layers) {
      const area = this.#areaOf(layer);
      if (layer.shows) {
        more.push(area);
        continue;
      }
      shown = united();
      more = [];
      if (shown.length > 0) shown = this.#plane.difference(shown, area);
    }
    shown = united();
    this.#shown.set(layers, shown);
    return shown;
  }
}
