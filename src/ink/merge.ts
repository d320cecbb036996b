/**
 * Pieces in paint order → the ink's shapes, none of which overlaps another.
 *
 * The ink of a level of a cluster (see `clusters.ts`) loses what the knockouts of higher levels that meet it cover;
 * what is left of all levels is united. So a cluster takes as many sweeps as paint lies in turns on paint, not as many
 * as it has pieces.
 */
import type { Shape } from "../artwork/types.ts";
import { convexOutline } from "../geometry/convex.ts";
import type { Contour } from "../geometry/path.ts";
import type { Problem } from "../problem.ts";
import { Outlines } from "../region/crowd/outlines.ts";
import type { Plane, Polygons } from "../region/plane.ts";
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

export class Merger {
  readonly #plane: Plane<"page">;
  readonly #problems: Problem[] = [];

  constructor(plane: Plane<"page">) {
    this.#plane = plane;
  }

  /** All ink united; a shape is named after the first piece that it was made of. */
  merged(pieces: readonly Piece[]): Merged {
    const found = new Map<number, Contour<"page">[]>();
    const put = (owner: number, contours: readonly Contour<"page">[]): void => {
      const list = found.get(owner);
      if (list) for (const c of contours) list.push(c);
      else found.set(owner, [...contours]);
    };
    const all = clusters(pieces);
    const plain = this.#plain(pieces, all);
    for (const cluster of all) {
      const { first, count } = cluster;
      const alone = count === 1 && cluster.hides.size === 0 ? pieces[first]! : null;
      const outline = alone?.whole && convexOutline(alone.whole.path);
      if (outline) {
        put(first, [outline]);
        continue;
      }
      const region =
        plain.get(cluster) ??
        placed(pieces[first]!.item.where, () =>
          alone && !alone.item.stroke ? alone.polygons() : regionOf(this.#plane, pieces, cluster),
        );
      for (const [owner, polygons] of count > 1 ? this.#byOwner(region, first) : [[first, region] as const]) {
        put(owner, this.#curves(polygons, pieces[owner]!));
      }
    }
    const owners = [...found.keys()].sort((a, b) => a - b);
    return {
      shapes: owners.flatMap((i) => this.#shape(pieces[i]!, found.get(i)!)),
      problems: this.#problems,
    };
  }

  /** The regions of all clusters of several pieces of ink that nothing cuts, united in one go. */
  #plain(pieces: readonly Piece[], all: readonly Cluster[]): ReadonlyMap<Cluster, Polygons> {
    const regions = new Map<Cluster, Polygons>();
    const clusterOf = new Map<number, Cluster>();
    for (const cluster of all) {
      const [ink, more] = cluster.ink.values();
      if (!ink || more || cluster.count === 1 || cluster.hides.size > 0) continue;
      if (!ink.every((i) => pieces[i]!.whole)) continue;
      regions.set(cluster, []);
      for (const i of ink) clusterOf.set(i, cluster);
    }
    const [first] = regions.keys();
    if (!first) return regions;
    const united = placed(pieces[first.first]!.item.where, () =>
      this.#unionOf(pieces, [...clusterOf.keys()]),
    );
    for (const p of united) regions.get(clusterOf.get(this.#plane.ownerOf(p)) ?? first)!.push(p);
    return regions;
  }

  #unionOf(pieces: readonly Piece[], indices: readonly number[]): Polygons {
    const outlines = new Outlines();
    for (const i of indices) {
      const { item, whole, polygons } = pieces[i]!;
      const [contour, more] = whole?.path.contours ?? [];
      this.#plane.own(i);
      if (contour && !more && !item.stroke && this.#plane.addSimple(contour, outlines)) continue;
      for (const p of polygons()) outlines.polygon(p);
    }
    return (
      this.#plane.unionOf(outlines) ??
      this.#plane.union(this.#plane.gathered(indices.map((i) => pieces[i]!.polygons())))
    );
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
  #byOwner(region: Polygons, first: number): (readonly [number, Polygons])[] {
    const outer = region
      .map((polygon) => ({ polygon, area: this.#plane.area([polygon]) }))
      .filter(({ area }) => area > 0)
      .map(({ polygon, area }) => ({ polygon, area, owner: this.#plane.ownerOf(polygon) }));
    const owners = new Map<number, Polygons>();
    const put = (owner: number, polygon: Polygons[number]): void => {
      const own = Number.isFinite(owner) ? owner : first;
      const list = owners.get(own);
      if (list) list.push(polygon);
      else owners.set(own, [polygon]);
    };
    for (const { polygon, owner } of outer) put(owner, polygon);
    if (owners.size === 1) return [[[...owners.keys()][0]!, region]];
    // A hole goes with the smallest outline around it.
    outer.sort((a, b) => a.area - b.area);
    const holes = region.filter((p) => !(this.#plane.area([p]) > 0));
    const around = enclosing(
      outer.map(({ polygon }) => polygon),
      holes,
    );
    holes.forEach((hole, i) => {
      put(outer[around[i]!]?.owner ?? first, hole);
    });
    return [...owners];
  }

  #curves(polygons: Polygons, { item }: Piece): Contour<"page">[] {
    const { contours, asPolygons } = this.#plane.outlines(polygons);
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
