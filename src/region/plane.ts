/**
 * Booleans of regions bounded by cubics, curves kept as curves.
 *
 * Contours are flattened onto an integer grid and combined by clipper2-ts, whose sweep is robust and n log n. Every
 * vertex of a polygon carries where it came from: segment and parameter; where two edges cross, both. In the
 * answer a run of edges from one segment is that segment between two parameters, and the ends of a run are the
 * crossing of the two curves themselves, found by Newton's method on A(s) − B(t) = 0. The grid and the chords
 * thus decide which crossings there are; they do not move the outline.
 *
 * Areas that are closer than a chord's sagitta may be taken as touching. Where no crossing of the curves is found
 * beside a crossing of the chords (tangents), the grid's point stands: off by a sagitta at most.
 */
import { FillRule as ClipperRule, ClipType, type Path64, type Paths64 } from "clipper2-ts";
import { flattenSteps } from "../geometry/cubic.ts";
import { type Box, type Contour, type Path, type Space, signedArea } from "../geometry/path.ts";
import { Outlines } from "./crowd/outlines.ts";
import { type Union, unitedCrowd } from "./crowd/united.ts";
import { Effort } from "./effort.ts";
import { GRID } from "./grid.ts";
import { withoutPairs } from "./pairs.ts";
import { Recovery } from "./recover.ts";
import { separatePolygons } from "./separate.ts";
import { isSimple } from "./simple.ts";
import { Sources } from "./sources.ts";
import { type Meet, sweep } from "./sweep.ts";

/** Regions on the grid of one Plane. Their points' z is known to that plane only. */
export type Polygons = Paths64;
export type Rule = "nonzero" | "evenodd";

/** A chord's sagitta, as a share of the longer side, up to so many segments. */
const sagittas = [
  [2e-5, 2_000],
  [5e-5, 50_000],
  [1e-4, Number.POSITIVE_INFINITY],
] as const;
/** More regions than this are united in batches first, lest each of them be swept with all the others. */
const SEVERAL = 300;
const BATCH = 16;
/** So many vertices that lie together are united as a crowd. */
const CROWD = 2_000;
/** Share of the area by which curves may differ from their polygons. */
const MISMATCH = 1e-3;

const clipperRule = (rule: Rule): ClipperRule =>
  rule === "evenodd" ? ClipperRule.EvenOdd : ClipperRule.NonZero;

export interface Curves<S extends Space> {
  readonly contours: Contour<S>[];
  readonly asPolygons: boolean;
}

export class Plane<S extends Space> {
  /** Largest distance of a chord from its curve, mm. */
  readonly sagitta: number;
  readonly #scale: number;
  readonly #sources: Sources<S>;
  readonly #recovery: Recovery<S>;
  readonly #meet: Meet;
  readonly #effort: Effort;
  /** What is being flattened. */
  readonly #outlines = new Outlines();

  /**
   * A plane for paths within `box` (mm); `segments` is about how many of them there will be. Booleans throw JobError
   * `outlines-too-dense` where they take more than is left of `effort`.
   */
  constructor(box: Box, segments: number, effort = new Effort()) {
    this.#effort = effort;
    const side = Math.max(box.maxX - box.minX, box.maxY - box.minY, -box.minX, -box.minY, box.maxX, box.maxY);
    // A power of two: multiples of the grid are exact. 1 mm for an empty box.
    this.#scale = 2 ** Math.floor(Math.log2(GRID / (side > 0 ? side : 1)));
    const [share] = sagittas.find(([, most]) => segments <= most) ?? sagittas[0];
    this.sagitta = (side > 0 ? side : 1) * share;
    this.#sources = new Sources(segments);
    this.#recovery = new Recovery(this.#sources, this.#scale, this.sagitta);
    this.#meet = (b1, t1, b2, t2, at) => {
      at.z = this.#sources.crossing(b1, t1, b2, t2, at);
    };
  }

  /** Closed contours as polygons, as drawn: not yet resolved by a fill rule. */
  polygons(path: Path<S>): Polygons {
    return path.contours.map((c) => this.#polygon(c));
  }

  /** The area that a fill rule gives, as outlines (positive) and holes (negative) that do not meet. */
  resolve(polygons: Polygons, rule: Rule): Polygons {
    const [only, more] = polygons;
    if (only && !more) {
      const { x, y, length } = Outlines.of(polygons);
      if (isSimple(x, y, 0, length)) return [this.area(polygons) < 0 ? only.toReversed() : only];
    }
    const drawn = rule === "evenodd" && polygons.length > 1 ? withoutPairs(polygons) : polygons;
    return this.#run(ClipType.Union, drawn, [], clipperRule(rule));
  }

  /** The union of positively oriented regions. */
  union(regions: Polygons): Polygons {
    return this.#crowd(regions) ?? this.#groups(regions);
  }

  /**
   * Adds a closed contour of the present owner to others, turned to be positive; false, and nothing is added, where it
   * is not simple.
   */
  addSimple(contour: Contour<S>, to: Outlines): boolean {
    this.#flatten(contour, to);
    const p = to.starts.length - 1;
    if (!isSimple(to.x, to.y, to.starts[p]!, to.length)) {
      to.drop();
      return false;
    }
    if (to.doubleArea(p) < 0) to.reverse();
    return true;
  }

  /** The union of many positive outlines with their holes; null where `union` of them as polygons does better. */
  unionOf(outlines: Outlines): Union | null {
    return outlines.length > CROWD && outlines.starts.length > 1
      ? unitedCrowd(outlines, this.#meet, this.#effort)
      : null;
  }

  /** Regions as one list of polygons whose union they are: few of them as they are. */
  gathered(regions: readonly Polygons[]): Polygons {
    let left = regions;
    if (left.length > SEVERAL) {
      const united = this.#crowd(left.flat());
      if (united) return united;
    }
    while (left.length > SEVERAL) {
      const united: Polygons[] = [];
      for (let i = 0; i < left.length; i += BATCH) united.push(this.union(left.slice(i, i + BATCH).flat()));
      left = united;
    }
    return left.flat();
  }

  difference(from: Polygons, what: Polygons): Polygons {
    return this.#run(ClipType.Difference, from, what, ClipperRule.NonZero);
  }

  intersection(a: Polygons, b: Polygons): Polygons {
    return this.#run(ClipType.Intersection, a, b, ClipperRule.NonZero);
  }

  /**
   * Resolved polygons as curves; as they are on the grid, `asPolygons`, where the areas of the two disagree by
   * more than MISMATCH.
   */
  outlines(polygons: Polygons): Curves<S> {
    return this.curves(
      Outlines.of(polygons),
      polygons.map((_, p) => p),
    );
  }

  /** Some of resolved outlines as curves. */
  curves(outlines: Outlines, which: readonly number[]): Curves<S> {
    const contours = which.flatMap((p) => this.#recovery.contour(outlines, p) ?? []);
    const area = which.reduce((sum, p) => sum + outlines.doubleArea(p), 0) / 2 / this.#scale ** 2;
    const found = contours.reduce((sum, c) => sum + signedArea(c), 0);
    // Chords cut off up to two thirds of a sagitta along the outline.
    const chords = this.sagitta * contours.reduce((sum, c) => sum + armLength(c), 0);
    if (Math.abs(found - area) <= MISMATCH * area + chords) return { contours, asPolygons: false };
    return { contours: which.flatMap((p) => this.#recovery.lines(outlines, p) ?? []), asPolygons: true };
  }

  /** Signed area of the polygons themselves, mm². */
  area(polygons: Polygons): number {
    let sum = 0;
    for (const p of polygons) {
      for (let i = 0, j = p.length - 1; i < p.length; j = i++) {
        sum += (p[j]!.x + p[i]!.x) * (p[i]!.y - p[j]!.y);
      }
    }
    return sum / 2 / this.#scale ** 2;
  }

  /** The contours' owners as given to `own`: the least one, or Infinity. */
  ownerOf(polygon: Path64): number {
    return this.#sources.ownerOf(polygon);
  }

  /** From now on `polygons` belong to this owner (any number; Infinity for none). */
  own(owner: number): void {
    this.#sources.owner = owner;
  }

  #polygon(contour: Contour<S>): Path64 {
    this.#outlines.clear();
    this.#flatten(contour, this.#outlines);
    return this.#outlines.polygonOf(0);
  }

  #flatten(contour: Contour<S>, into: Outlines): void {
    const { points: p, straight } = contour;
    const n = straight.length;
    const scale = this.#scale;
    const sources = this.#sources;
    const first = sources.begin(contour);
    into.begin(sources.owner);
    let lastX = Number.NaN;
    let lastY = Number.NaN;
    for (let k = 0; k < n; k++) {
      const i = 6 * k;
      // At least two chords, so that a curve is never mistaken for the line between its ends.
      const steps = straight[k] ? 1 : Math.max(2, flattenSteps(p, i, this.sagitta));
      for (let j = 0; j < steps; j++) {
        const t = j / steps;
        const s = 1 - t;
        const a = s * s * s;
        const b = 3 * s * s * t;
        const c = 3 * s * t * t;
        const d = t * t * t;
        const x = a * p[i]! + b * p[i + 2]! + c * p[i + 4]! + d * p[i + 6]!;
        const y = a * p[i + 1]! + b * p[i + 3]! + c * p[i + 5]! + d * p[i + 7]!;
        const gx = Math.round(x * scale);
        const gy = Math.round(y * scale);
        if (gx === lastX && gy === lastY) continue;
        lastX = gx;
        lastY = gy;
        into.put(gx, gy, sources.vertex(first + k, t));
      }
    }
  }

  #crowd(regions: Polygons): Polygons | null {
    const vertices = regions.reduce((n, p) => n + p.length, 0);
    const united = vertices > CROWD ? this.unionOf(Outlines.of(regions)) : null;
    return united?.along.map((_, p) => united.outlines.polygonOf(p)) ?? null;
  }

  /** The union, group by group of polygons that keep apart. */
  #groups(regions: Polygons): Polygons {
    const answer: Polygons = [];
    for (const group of separatePolygons(regions)) {
      const polygons = group.map((i) => regions[i]!);
      const united = group.length < regions.length ? this.#crowd(polygons) : null;
      const found =
        united ?? sweep(ClipType.Union, ClipperRule.NonZero, polygons, [], this.#meet, this.#effort);
      for (const p of found) answer.push(p);
    }
    return answer;
  }

  /** Group by group of polygons that keep apart. */
  #run(type: ClipType, subject: Polygons, clip: Polygons, rule: ClipperRule): Polygons {
    const answer: Polygons = [];
    for (const group of separatePolygons([...subject, ...clip])) {
      const own = group.filter((i) => i < subject.length).map((i) => subject[i]!);
      const other = group.filter((i) => i >= subject.length).map((i) => clip[i - subject.length]!);
      if (own.length === 0 || (other.length === 0 && type === ClipType.Intersection)) continue;
      for (const p of sweep(type, rule, own, other, this.#meet, this.#effort)) answer.push(p);
    }
    return answer;
  }
}

/** Length of the arms' polygon: at least that of the curves. */
function armLength({ points: p }: Contour<Space>): number {
  let sum = 0;
  for (let i = 2; i < p.length; i += 2) {
    const dx = p[i]! - p[i - 2]!;
    const dy = p[i + 1]! - p[i - 1]!;
    sum += Math.sqrt(dx * dx + dy * dy);
  }
  return sum;
}
