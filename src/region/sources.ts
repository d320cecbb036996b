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
  readonly segment: number;
  readonly t0: number;
  readonly t1: number;
}

export class Sources<S extends Space> {
  /** Of the contours begun from now on. */
  owner = Number.POSITIVE_INFINITY;
  readonly #contours: Contour<S>[] = [];
  readonly #offsets: number[] = [];
  readonly #previous: number[] = [];
  readonly #owners: number[] = [];
  // z is 1 + an index; 0 is nothing known. Vertices above 0, crossings below, so that both lists can grow.
  readonly #segmentOf: number[] = [];
  readonly #parameterOf: number[] = [];
  readonly #crossings: Places[] = [];

  /** Makes a contour's segments known; returns the number of its first. */
  begin(contour: Contour<S>): number {
    const first = this.#contours.length;
    const n = contour.straight.length;
    for (let k = 0; k < n; k++) {
      this.#contours.push(contour);
      this.#offsets.push(k);
      this.#previous.push(first + (k === 0 ? n - 1 : k - 1));
      this.#owners.push(this.owner);
    }
    return first;
  }

  vertex(segment: number, t: number): number {
    this.#segmentOf.push(segment);
    this.#parameterOf.push(t);
    return this.#segmentOf.length;
  }

  /** The z of a point where two edges meet, given by their ends. */
  crossing(b1: Z, t1: Z, b2: Z, t2: Z, at: Z): number {
    const places: number[] = [];
    const add = (segment: number, t: number): void => {
      for (let i = 0; i < places.length; i += 2) {
        if (places[i] === segment && Math.abs(places[i + 1]! - t) < 0.5) return;
      }
      if (places.length < 2 * mostMeeting) places.push(segment, t);
    };
    const edge = (from: Z, to: Z): void => {
      for (const end of [from, to]) {
        if (end.x !== at.x || end.y !== at.y) continue;
        const known = this.places(end.z ?? 0);
        for (let i = 0; i < known.length; i += 2) add(known[i]!, known[i + 1]!);
        return;
      }
      const shared = this.shared(from.z ?? 0, to.z ?? 0);
      if (!shared) return;
      const dx = to.x - from.x;
      const dy = to.y - from.y;
      const along = ((at.x - from.x) * dx + (at.y - from.y) * dy) / (dx * dx + dy * dy);
      add(shared.segment, shared.t0 + (shared.t1 - shared.t0) * Math.min(1, Math.max(0, along)));
    };
    edge(b1, t1);
    edge(b2, t2);
    if (places.length === 0) return 0;
    this.#crossings.push(places);
    return -this.#crossings.length;
  }

  /** Where a vertex lies. A joint lies on the segment it begins and on the one before. */
  places(z: number): Places {
    if (z < 0) return this.#crossings[-z - 1]!;
    if (z === 0) return nowhere;
    const segment = this.#segmentOf[z - 1]!;
    const t = this.#parameterOf[z - 1]!;
    return t === 0 ? [segment, 0, this.#previous[segment]!, 1] : [segment, t];
  }

  /** The segment on which both vertices lie; of several a straight one, or the one with them nearest. */
  shared(z0: number, z1: number): Shared | null {
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
        best = { segment: a[i]!, t0: a[i + 1]!, t1: b[j + 1]! };
      }
    }
    return best;
  }

  contourOf(segment: number): Contour<S> {
    return this.#contours[segment]!;
  }

  /** Where a segment's eight numbers begin in its contour's points. */
  offsetOf(segment: number): number {
    return 6 * this.#offsets[segment]!;
  }

  isStraight(segment: number): boolean {
    return this.#contours[segment]!.straight[this.#offsets[segment]!] === 1;
  }

  /** The least owner of the segments along a polygon. */
  ownerOf(polygon: Path64): number {
    let least = Number.POSITIVE_INFINITY;
    for (let i = 0; i < polygon.length; i++) {
      const next = polygon[i + 1] ?? polygon[0]!;
      const shared = this.shared(polygon[i]!.z ?? 0, next.z ?? 0);
      if (shared) least = Math.min(least, this.#owners[shared.segment]!);
    }
    return least;
  }
}
