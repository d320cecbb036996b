/**
 * Pieces in paint order → the ink's shapes, none of which overlaps another.
 *
 * The ink of a level of a cluster (see `clusters.ts`) loses what the knockouts of higher levels that meet it cover;
 * what is left of all levels is united. So a cluster takes as many sweeps as paint lies in turns on paint, not as many
 * as it has pieces.
 */
import type { Shape } from "../artwork/types.ts";
import { convexOutline } from "../geometry/convex.ts";
import { type Contour, reversed, segmentCount, signedArea } from "../geometry/path.ts";
import type { Problem } from "../problem.ts";
import { Outlines } from "../region/crowd/outlines.ts";
import type { Curves, Plane, Polygons } from "../region/plane.ts";
import { type Cluster, clusters, knockoutsOver } from "./clusters.ts";
import { enclosing } from "./nest.ts";
import type { Piece } from "./pieces.ts";
import { placed } from "./placed.ts";

export interface Merged {
  readonly shapes: Shape[];
  readonly problems: Problem[];
}

/** The region of a cluster. */
function regionOf(plane: Plane<"page">, pieces: readonly Piece[], cluster: Cluster): Polygons {
  const gather = (indices: Iterable<number>): Polygons =>
    plane.gathered(Array.from(indices, (i) => pieces[i]!.polygons()));
  const left: Polygons = [];
  for (const [level, ink] of cluster.ink) {
    const hides = cluster.hides.get(level);
    const here = gather(ink);
    for (const p of hides ? plane.difference(here, gather(hides)) : here) left.push(p);
  }
  return plane.union(left);
}

/** Contours by the piece that they are named after. */
type Found = Map<number, Contour<"page">[]>;

function put(found: Found, owner: number, contours: readonly Contour<"page">[]): void {
  const list = found.get(owner);
  if (list) for (const c of contours) list.push(c);
  else found.set(owner, [...contours]);
}

/** So many segments are united at once. */
const MANY = 1000;

export class Merger {
  readonly #plane: Plane<"page">;
  readonly #problems: Problem[] = [];

  constructor(plane: Plane<"page">) {
    this.#plane = plane;
  }

  /** All ink united; a shape is named after the first piece that it was made of. */
  merged(pieces: readonly Piece[]): Merged {
    const found = this.#atOnce(pieces) ?? this.#byCluster(pieces);
    const owners = [...found.keys()].sort((a, b) => a - b);
    return {
      shapes: owners.flatMap((i) => this.#shape(pieces[i]!, found.get(i)!)),
      problems: this.#problems,
    };
  }

  #byCluster(pieces: readonly Piece[]): Found {
    const found: Found = new Map();
    for (const cluster of clusters(pieces)) {
      const { first, count } = cluster;
      const alone = count === 1 && cluster.hides.size === 0 ? pieces[first]! : null;
      const outline = alone?.whole && convexOutline(alone.whole.path);
      if (outline) {
        put(found, first, [outline]);
        continue;
      }
      const region = placed(pieces[first]!.item.where, () =>
        alone && !alone.item.stroke ? alone.polygons() : regionOf(this.#plane, pieces, cluster),
      );
      if (count > 1) this.#putByOwner(found, region, first, pieces);
      else put(found, first, this.#curves(region, pieces[first]!));
    }
    return found;
  }

  /**
   * Many pieces of which none hides another, as one crowd: what hangs together comes from the crossings. Null for few
   * pieces, and where their union is not told for certain.
   */
  #atOnce(pieces: readonly Piece[]): Found | null {
    const [first] = pieces;
    const segments = pieces.reduce((n, { whole }) => n + (whole ? segmentCount(whole.path) : 0), 0);
    if (!first || segments < MANY || pieces.some((piece) => piece.does === "hides")) return null;
    const outlines = new Outlines(3 * segments);
    /** By outline: the contour that it is as drawn. */
    const drawn: (Contour<"page"> | undefined)[] = [];
    for (const [i, { item, whole, polygons }] of pieces.entries()) {
      const [contour, more] = whole?.path.contours ?? [];
      this.#plane.own(i);
      if (contour && !more && !item.stroke && this.#plane.addSimple(contour, outlines)) {
        drawn[outlines.starts.length - 1] = contour;
      } else for (const p of polygons()) outlines.polygon(p, i);
    }
    const union = placed(first.item.where, () => this.#plane.unionOf(outlines));
    if (!union) return null;
    const groups = new Map<number, number[]>();
    union.along.forEach((p, ring) => {
      const list = groups.get(union.group[p]!);
      if (list) list.push(ring);
      else groups.set(union.group[p]!, [ring]);
    });
    const found: Found = new Map();
    for (const rings of groups.values()) {
      const outer = rings.filter((ring) => union.outlines.doubleArea(ring) > 0);
      const owner = outlines.owners[union.along[outer[0] ?? rings[0]!]!]!;
      const whole = drawn[union.whole[rings[0]!]!];
      if (rings.length === 1 && whole) put(found, owner, [signedArea(whole) < 0 ? reversed(whole) : whole]);
      else if (outer.length === 1) {
        put(found, owner, this.#told(this.#plane.curves(union.outlines, rings), pieces[owner]!));
      } else {
        const region = rings.map((ring) => union.outlines.polygonOf(ring));
        this.#putByOwner(found, region, owner, pieces);
      }
    }
    return found;
  }

  /** Every piece of ink by itself, less what is painted over it. */
  apart(pieces: readonly Piece[]): Merged {
    const above = knockoutsOver(pieces);
    const shapes = pieces.flatMap((piece, i) => {
      if (piece.does !== "ink") return [];
      const over = above.get(i);
      const outline = piece.whole && convexOutline(piece.whole.path);
      if (!over && outline) return this.#shape(piece, [outline]);
      let region = piece.polygons();
      if (over)
        region = this.#plane.difference(
          region,
          over.flatMap((p) => p.polygons()),
        );
      else if (piece.item.stroke) region = this.#plane.union(region);
      return this.#shape(piece, this.#curves(region, piece));
    });
    return { shapes, problems: this.#problems };
  }

  #shape({ item: { id, where } }: Piece, contours: readonly Contour<"page">[]): Shape[] {
    return contours.length > 0 ? [{ id, where, paint: "fill", path: { contours } }] : [];
  }

  /** Outlines with their holes, by the first piece that bounds them; `first` where no ink bounds them. */
  #putByOwner(found: Found, region: Polygons, first: number, pieces: readonly Piece[]): void {
    const outer = region
      .map((polygon) => ({ polygon, area: this.#plane.area([polygon]) }))
      .filter(({ area }) => area > 0)
      .map(({ polygon, area }) => ({ polygon, area, owner: this.#plane.ownerOf(polygon) }));
    const owners = new Map<number, Polygons>();
    const add = (owner: number, polygon: Polygons[number]): void => {
      const own = Number.isFinite(owner) ? owner : first;
      const list = owners.get(own);
      if (list) list.push(polygon);
      else owners.set(own, [polygon]);
    };
    for (const { polygon, owner } of outer) add(owner, polygon);
    if (owners.size === 1) {
      const [owner] = owners.keys();
      put(found, owner!, this.#curves(region, pieces[owner!]!));
      return;
    }
    // A hole goes with the smallest outline around it.
    outer.sort((a, b) => a.area - b.area);
    const holes = region.filter((p) => !(this.#plane.area([p]) > 0));
    const around = enclosing(
      outer.map(({ polygon }) => polygon),
      holes,
    );
    holes.forEach((hole, i) => {
      add(outer[around[i]!]?.owner ?? first, hole);
    });
    for (const [owner, polygons] of owners) put(found, owner, this.#curves(polygons, pieces[owner]!));
  }

  #curves(polygons: Polygons, piece: Piece): Contour<"page">[] {
    return this.#told(this.#plane.outlines(polygons), piece);
  }

  /** The contours, and whether they are polygons. */
  #told({ contours, asPolygons }: Curves<"page">, { item }: Piece): Contour<"page">[] {
    if (asPolygons) {
      this.#problems.push({
        code: "outline-as-polygons",
        severity: "caution",
        message: "its outline was united as polygons, not as curves, because their areas disagree",
        where: item.where,
        hint: "look at it in the zones drawing; unite it in the drawing program for smooth curves",
      });
    }
    return contours;
  }
}
