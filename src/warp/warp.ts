/**
 * The job's one map, flat (a, b) → vessel (X, Y, s) → command (u, v), with its exact derivative and inverse.
 *
 *   ∂(u,v)/∂(a,b) by the chain rule through the surface and the head.
 *   scale      σ = smallest singular value of ∂(u,v)/∂(surface): an error e in the command plane is at most
 *              e/σ on the vessel (model §11)
 *   areaRatio  J = |∂(u,v)/∂(surface area)| = |det ∂(u,v)/∂(a,b)| / √det G, G the surface's first fundamental
 *              form; on a sphere J = h′k′ (Snyder 1987, eq. 23-2, 23-3)
 *   cos i      = −t·n, t the unit beam direction, n the outward normal
 */

import { evalCubic } from "../geometry/cubic.ts";
import type { MappedCurve } from "../geometry/curve.ts";
import type { Contour, Point } from "../geometry/path.ts";
import { lean, type ScanHead, shrink } from "../head/scanhead.ts";
import type { Face, Surface } from "../vessel/surface.ts";

/** Why a point has no image. */
export type NoImage = Face["outside"] | "over-horizon" | "above-pivot" | "misses-vessel";

/** Everything the beam meets at one point of the surface. Lengths mm, cosIncidence and areaRatio pure numbers. */
export interface Meeting {
  readonly u: number;
  readonly v: number;
  /** Fall below the crown. */
  readonly drop: number;
  /** d: below the focal plane positive. */
  readonly defocus: number;
  /** Length of the beam per mm of depth, ≥ 1: d·slant is the defocus along the beam. */
  readonly slant: number;
  readonly cosIncidence: number;
  readonly areaRatio: number;
}

/**
 * The scale counts as no smaller than this: past an incidence of about 84° an error on the vessel can grow to
 * more than its tolerance, since at the horizon itself nothing could hold it.
 */
const SMALLEST_SCALE = 0.1;

/** A vessel unless told: `Warp<Face>` is of anything that lies under the lens. */
export class Warp<S extends Face = Surface> {
  readonly surface: S;
  readonly head: ScanHead;
  readonly #s = new Float64Array(12);

  constructor(surface: S, head: ScanHead) {
    this.surface = surface;
    this.head = head;
  }

  /** Writes u, v, ∂u/∂a, ∂u/∂b, ∂v/∂a, ∂v/∂b, scale into out[0..6]. For points that `failureAt` lets pass. */
  at(a: number, b: number, out: Float64Array): void {
    const s = this.#s;
    const { pivotAcross: px, pivotAlong: py, belowCrown } = this.head;
    this.surface.at(a, b, s);
    const d = s[2]! - belowCrown;
    const kx = shrink(d, px);
    const ky = shrink(d, py);
    const u = s[0]! * kx;
    const v = s[1]! * ky;
    const gx = lean(u, px) * kx;
    const gy = lean(v, py) * ky;
    const ua = s[3]! * kx - gx * s[7]!;
    const ub = s[4]! * kx - gx * s[8]!;
    const va = s[5]! * ky - gy * s[7]!;
    const vb = s[6]! * ky - gy * s[8]!;
    out[0] = u;
    out[1] = v;
    out[2] = ua;
    out[3] = ub;
    out[4] = va;
    out[5] = vb;
    // S = J G⁻¹ Jᵀ has the squared singular values of ∂(u,v)/∂(surface).
    const E = s[3]! * s[3]! + s[5]! * s[5]! + s[7]! * s[7]!;
    const F = s[3]! * s[4]! + s[5]! * s[6]! + s[7]! * s[8]!;
    const G = s[4]! * s[4]! + s[6]! * s[6]! + s[8]! * s[8]!;
    const g = E * G - F * F;
    const s11 = (G * ua * ua - 2 * F * ua * ub + E * ub * ub) / g;
    const s22 = (G * va * va - 2 * F * va * vb + E * vb * vb) / g;
    const s12 = (G * ua * va - F * (ua * vb + ub * va) + E * ub * vb) / g;
    const mean = (s11 + s22) / 2;
    const spread = Math.sqrt(((s11 - s22) / 2) ** 2 + s12 * s12);
    const least = mean - spread;
    out[6] = least > SMALLEST_SCALE * SMALLEST_SCALE ? Math.sqrt(least) : SMALLEST_SCALE;
  }

  /** Why (a, b) has no image in the command plane, or null where it has one. */
  failureAt(a: number, b: number): NoImage | null {
    if (!this.surface.covers(a, b)) return this.surface.outside;
    const m = this.meetingUnchecked(a, b);
    if (!(m.slant > 0)) return "above-pivot";
    return m.cosIncidence > 0 ? null : "over-horizon";
  }

  /** What the beam meets at (a, b), or the name of the failure. */
  meeting(a: number, b: number): Meeting | NoImage {
    return this.failureAt(a, b) ?? this.meetingUnchecked(a, b);
  }

  /** As `meeting`, for points that are covered; past the horizon cosIncidence is negative, above a pivot slant is NaN. */
  meetingUnchecked(a: number, b: number): Meeting {
    const s = this.#s;
    const { pivotAcross: px, pivotAlong: py, belowCrown } = this.head;
    this.surface.at(a, b, s);
    const drop = s[2]!;
    const d = drop - belowCrown;
    const kx = shrink(d, px);
    const ky = shrink(d, py);
    const u = s[0]! * kx;
    const v = s[1]! * ky;
    const lx = lean(u, px);
    const ly = lean(v, py);
    const slant = kx > 0 && ky > 0 ? Math.sqrt(1 + lx * lx + ly * ly) : Number.NaN;
    const cosIncidence = (s[11]! - lx * s[9]! - ly * s[10]!) / slant;
    const gx = lx * kx;
    const gy = ly * ky;
    const det =
      (s[3]! * kx - gx * s[7]!) * (s[6]! * ky - gy * s[8]!) -
      (s[4]! * kx - gx * s[8]!) * (s[5]! * ky - gy * s[7]!);
    const E = s[3]! * s[3]! + s[5]! * s[5]! + s[7]! * s[7]!;
    const F = s[3]! * s[4]! + s[5]! * s[6]! + s[7]! * s[8]!;
    const G = s[4]! * s[4]! + s[6]! * s[6]! + s[8]! * s[8]!;
    return {
      u,
      v,
      drop,
      defocus: d,
      slant,
      cosIncidence,
      areaRatio: Math.abs(det) / Math.sqrt(E * G - F * F),
    };
  }

  /** flat → command. */
  forward(p: Point<"flat">): Point<"command"> | NoImage {
    const m = this.meeting(p.x, p.y);
    return typeof m === "string" ? m : { x: m.u, y: m.v };
  }

  /** command → flat: the first point of the vessel that the beam for (u, v) meets. */
  inverse(p: Point<"command">): Point<"flat"> | NoImage {
    const { pivotAcross: px, pivotAlong: py, belowCrown } = this.head;
    // X = u(1 + d/p_x) with d = s − δ, a straight line in s.
    const x1 = lean(p.x, px);
    const y1 = lean(p.y, py);
    const s = this.surface.firstHit(p.x - x1 * belowCrown, x1, p.y - y1 * belowCrown, y1);
    if (Number.isNaN(s)) return "misses-vessel";
    const d = s - belowCrown;
    const out = new Float64Array(2);
    this.surface.flatOf(p.x + x1 * d, p.y + y1 * d, s, out);
    const flat = { x: out[0]!, y: out[1]! };
    if (Number.isNaN(flat.x)) return "misses-vessel";
    return this.failureAt(flat.x, flat.y) ?? flat;
  }
}

/** A flat contour seen through the warp: what the fitter takes. All of it must lie where the warp has an image. */
export function mapContour(contour: Contour<"flat">, warp: Warp<Face>): MappedCurve<"command"> {
  const flat = new Float64Array(4);
  const jet = new Float64Array(7);
  const { points, straight, closed } = contour;
  return {
    pieces: straight.length,
    closed,
    straight,
    at(piece, t, out) {
      evalCubic(points, 6 * piece, t, flat);
      warp.at(flat[0]!, flat[1]!, jet);
      out[0] = jet[0]!;
      out[1] = jet[1]!;
      out[2] = jet[2]! * flat[2]! + jet[3]! * flat[3]!;
      out[3] = jet[4]! * flat[2]! + jet[5]! * flat[3]!;
      out[4] = jet[6]!;
    },
  };
}
