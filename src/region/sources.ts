/** Where each vertex of a polygon came from: the segments it lies on, with its parameter on each. */
import type { Path64 } from "clipper2-ts";
import type { Contour, Space } from "../geometry/path.ts";

type Z = { x: number; y: number; z?: number };

/** A point on segments: segment, parameter, segment, parameter, … */
export type Places = readonly number[];

const nowhere: Places = [];
/** Where more segments than this meet in one point, the others are forgotten. */
const mostMeeting = 12;

/** Two points on one segment. */
export interface Shared {
  segment: number;
  t0: number;
  t1: number;
}

interface Known<S extends Space> {
  readonly contour: Contour<S>;
  readonly owner: number;
  /** The number of its first segment. */
  readonly first: number;
}

function addPlace(places: number[], segment: number, t: number): void {
  for (let i = 0; i < places.length; i += 2) {
    if (places[i] === segment && Math.abs(places[i + 1]! - t) < 0.5) return;
  }
  if (places.length < 2 * mostMeeting) places.push(segment, t);
}

export class Sources<S extends Space> {
  /** Of the contours begun from now on. */
  owner = Number.POSITIVE_INFINITY;
  readonly #contours: Known<S>[] = [];
  /** By segment: the index of its contour. */
  #contourOf: Int32Array;
  #segments = 0;
  // z is 1 + an index; 0 is nothing known. Vertices above 0, crossings below, so that both lists can grow.
  #segmentOf: Int32Array;
  #parameterOf: Float64Array;
  #vertices = 0;
  readonly #crossings: Places[] = [];
  readonly #shared: Shared = { segment: 0, t0: 0, t1: 0 };

  /** With room for so many segments, and for vertices on them, before it has to grow. */
  constructor(segments: number) {
    this.#contourOf = new Int32Array(segments + 64);
    this.#segmentOf = new Int32Array(3 * segments + 64);
    this.#parameterOf = new Float64Array(3 * segments + 64);
  }

  /** Makes a contour's segments known; returns the number of its first. */
  begin(contour: Contour<S>): number {
    const first = this.#segments;
    const index = this.#contours.push({ contour, owner: this.owner, first }) - 1;
    this.#segments += contour.straight.length;
    if (this.#segments > this.#contourOf.length) {
      const contourOf = this.#contourOf;
      this.#contourOf = new Int32Array(2 * this.#segments);
      this.#contourOf.set(contourOf);
    }
    this.#contourOf.fill(index, first, this.#segments);
    return first;
  }

  vertex(segment: number, t: number): number {
    if (this.#vertices === this.#segmentOf.length) this.#grow();
    this.#segmentOf[this.#vertices] = segment;
    this.#parameterOf[this.#vertices] = t;
    return ++this.#vertices;
  }

  #grow(): void {
    const [segmentOf, parameterOf] = [this.#segmentOf, this.#parameterOf];
    this.#segmentOf = new Int32Array(2 * segmentOf.length);
    this.#parameterOf = new Float64Array(2 * parameterOf.length);
    this.#segmentOf.set(segmentOf);
    this.#parameterOf.set(parameterOf);
  }

  /** The z of a point where two edges meet, given by their ends. */
  crossing(b1: Z, t1: Z, b2: Z, t2: Z, at: Z): number {
    const places: number[] = [];
    this.#placesOn(b1, t1, at, places);
    this.#placesOn(b2, t2, at, places);
    if (places.length === 0) return 0;
    this.#crossings.push(places);
    return -this.#crossings.length;
  }

  /** Adds where a point on an edge lies. */
  #placesOn(from: Z, to: Z, at: Z, places: number[]): void {
    const end = from.x === at.x && from.y === at.y ? from : to.x === at.x && to.y === at.y ? to : null;
    if (end) {
      const known = this.places(end.z ?? 0);
      for (let i = 0; i < known.length; i += 2) addPlace(places, known[i]!, known[i + 1]!);
      return;
    }
    const shared = this.shared(from.z ?? 0, to.z ?? 0);
    if (!shared) return;
    const { segment, t0, t1 } = shared;
    const dx = to.x - from.x;
    const dy = to.y - from.y;
    const along = ((at.x - from.x) * dx + (at.y - from.y) * dy) / (dx * dx + dy * dy);
    addPlace(places, segment, t0 + (t1 - t0) * Math.min(1, Math.max(0, along)));
  }

  /** Where a vertex lies. A joint lies on the segment it begins and on the one before. */
  places(z: number): Places {
    if (z < 0) return this.#crossings[-z - 1]!;
    if (z === 0) return nowhere;
    const segment = this.#segmentOf[z - 1]!;
    const t = this.#parameterOf[z - 1]!;
    return t === 0 ? [segment, 0, this.#before(segment), 1] : [segment, t];
  }

  /** The segment on which both vertices lie; of several a straight one, or the one with them nearest. Until the next. */
  shared(z0: number, z1: number): Shared | null {
    if (z0 > 0 && z1 > 0) {
      // Vertices that follow each other on one segment, as most do.
      const segment = this.#segmentOf[z0 - 1]!;
      const after = this.#segmentOf[z1 - 1]!;
      const t0 = this.#parameterOf[z0 - 1]!;
      const t1 = this.#parameterOf[z1 - 1]!;
      if (segment === after && t0 < t1 && this.#before(segment) !== segment)
        return this.#set(segment, t0, t1);
      if (segment !== after && t1 === 0 && this.#before(after) === segment) return this.#set(segment, t0, 1);
    }
    const a = this.places(z0);
    const b = this.places(z1);
    let best: Shared | null = null;
    let least = Number.POSITIVE_INFINITY;
    for (let i = 0; i < a.length; i += 2) {
      for (let j = 0; j < b.length; j += 2) {
        if (a[i] !== b[j]) continue;
        const apart = this.isStraight(a[i]!) ? -1 : Math.abs(a[i + 1]! - b[j + 1]!);
        if (apart >= least || a[i + 1] === b[j + 1]) continue;
        least = apart;
        best = this.#set(a[i]!, a[i + 1]!, b[j + 1]!);
      }
    }
    return best;
  }

  #set(segment: number, t0: number, t1: number): Shared {
    this.#shared.segment = segment;
    this.#shared.t0 = t0;
    this.#shared.t1 = t1;
    return this.#shared;
  }

  contourOf(segment: number): Contour<S> {
    return this.#known(segment).contour;
  }

  /** Where a segment's eight numbers begin in its contour's points. */
  offsetOf(segment: number): number {
    return 6 * (segment - this.#known(segment).first);
  }

  isStraight(segment: number): boolean {
    const { contour, first } = this.#known(segment);
    return contour.straight[segment - first] === 1;
  }

  /** The least owner of the segments along a polygon. */
  ownerOf(polygon: Path64): number {
    let least = Number.POSITIVE_INFINITY;
    for (let i = 0; i < polygon.length; i++) {
      const next = polygon[i + 1] ?? polygon[0]!;
      const shared = this.shared(polygon[i]!.z ?? 0, next.z ?? 0);
      if (shared) least = Math.min(least, this.#known(shared.segment).owner);
    }
    return least;
  }

  #known(segment: number): Known<S> {
    return this.#contours[this.#contourOf[segment]!]!;
  }

  /** The segment before, around a contour. */
  #before(segment: number): number {
    const { contour, first } = this.#known(segment);
    return segment > first ? segment - 1 : first + contour.straight.length - 1;
  }
}
