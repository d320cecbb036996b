/**
 * The vessel's body, turned about its upright axis, and a camera far away: rays run side by side.
 *
 * Body: x to the right, y up along the axis (0 at the placement point), z toward the camera; mm. It is a stack of
 * rings, each a piece of a cone between two radii: r(y) = r₀ + k (y − y₀). A ray through the picture's (sx, sy), mm to
 * the right and up of the placement point's axis, is
 *
 *   P(t) = (sx, sy cos e + t sin e, −sy sin e + t cos e),    e how far the camera looks down
 *
 * and meets a ring where x² + z² = r(y)², a quadratic in t; the largest t that lies on a ring is what is seen.
 */

export type Part = "wall" | "edge" | "inside";

export interface Ring {
  readonly part: Part;
  /** Rings of one number run into each other without an edge. */
  readonly run: number;
  /** Lower and upper end, y₀ < y₁ but for a level ring, where y₀ = y₁ and r₀ ≠ r₁. */
  readonly y0: number;
  readonly r0: number;
  readonly y1: number;
  readonly r1: number;
}

/** A ring that may show: its index, and between which distances from the axis. */
export interface Listed {
  readonly index: number;
  readonly from: number;
  readonly to: number;
}

/** Where a ray meets the body. */
export interface Hit {
  /** Index of the ring; −1 where it passes by. */
  ring: number;
  x: number;
  y: number;
  z: number;
  t: number;
}
export const hit = (): Hit => ({ ring: -1, x: 0, y: 0, z: 0, t: 0 });

export class Camera {
  readonly sin: number;
  readonly cos: number;

  /** `down`: e, in radians, from 0 to below π/2. */
  constructor(down: number) {
    this.sin = Math.sin(down);
    this.cos = Math.cos(down);
  }

  /** How far up and down a ring shows. */
  span({ y0, r0, y1, r1 }: Pick<Ring, "y0" | "r0" | "y1" | "r1">): readonly [number, number] {
    return [
      Math.min(y0 * this.cos - r0 * this.sin, y1 * this.cos - r1 * this.sin),
      Math.max(y0 * this.cos + r0 * this.sin, y1 * this.cos + r1 * this.sin),
    ];
  }

  /** The rings that may show between two heights of the picture, each with how far beside the axis. */
  listed(rings: readonly Ring[], low: number, high: number): Listed[] {
    const { sin, cos } = this;
    return rings.flatMap((ring, index) => {
      const [from, to] = this.span(ring);
      if (from > high || to < low) return [];
      const [small, large] = [Math.min(ring.r0, ring.r1), Math.max(ring.r0, ring.r1)];
      if (sin === 0) return [{ index, from: 0, to: large }];
      // z = (y cos e − sy)/sin e, and x² = r² − z².
      const [back, front] = [(ring.y0 * cos - high) / sin, (ring.y1 * cos - low) / sin];
      const near = back <= 0 && front >= 0 ? 0 : Math.min(Math.abs(back), Math.abs(front));
      const far = Math.max(Math.abs(back), Math.abs(front));
      if (near > large) return [];
      const least = far < small ? Math.sqrt(small * small - far * far) : 0;
      return [{ index, from: least * (1 - 1e-9), to: Math.sqrt(large * large - near * near) * (1 + 1e-9) }];
    });
  }

  /** Writes what the ray through (sx, sy) meets first of the rings listed. */
  cast(rings: readonly Ring[], listed: readonly Listed[], sx: number, sy: number, out: Hit): void {
    const { sin, cos } = this;
    const [a, b] = [sy * cos, -sy * sin];
    const beside = Math.abs(sx);
    out.ring = -1;
    out.t = -Infinity;
    for (const { index, from, to } of listed) {
      if (beside < from || beside > to) continue;
      const { y0, r0, y1, r1 } = rings[index]!;
      if (y0 === y1) {
        const t = sin > 0 ? (y0 - a) / sin : Number.NaN;
        const z = b + t * cos;
        const r = Math.sqrt(sx * sx + z * z);
        if (t > out.t && r >= Math.min(r0, r1) && r <= Math.max(r0, r1)) this.#keep(out, index, sx, a, b, t);
        continue;
      }
      const k = (r1 - r0) / (y1 - y0);
      const base = r0 + k * (a - y0);
      const qa = cos * cos - k * k * sin * sin;
      const qb = b * cos - base * k * sin;
      const qc = sx * sx + b * b - base * base;
      const root = qb * qb - qa * qc;
      if (root < 0) continue;
      // Stable where a ring is as steep as the rays (qa near 0): one of the two is then far away.
      const q = -(qb + (qb < 0 ? -1 : 1) * Math.sqrt(root));
      const [t1, t2] = [q / qa, qc / q];
      const [u1, u2] = [a + t1 * sin, a + t2 * sin];
      if (t1 > out.t && u1 >= y0 && u1 <= y1) this.#keep(out, index, sx, a, b, t1);
      if (t2 > out.t && u2 >= y0 && u2 <= y1) this.#keep(out, index, sx, a, b, t2);
    }
  }

  #keep(out: Hit, ring: number, sx: number, a: number, b: number, t: number): void {
    out.ring = ring;
    out.t = t;
    out.x = sx;
    out.y = a + t * this.sin;
    out.z = b + t * this.cos;
  }
}

/** The upright part of a ring's normal, and its level part: of the side that the camera sees (the inside of `inside`). */
export function slopeOf({ part, y0, r0, y1, r1 }: Omit<Ring, "run">): {
  readonly up: number;
  readonly out: number;
} {
  const length = Math.hypot(y1 - y0, r1 - r0);
  const way = part === "inside" ? -1 : 1;
  if (y0 === y1) return { up: 1, out: 0 };
  return { up: (-way * (r1 - r0)) / length, out: (way * (y1 - y0)) / length };
}
