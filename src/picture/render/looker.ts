/** Rays of one view: which part of the body each meets, and where on the flat that is. */
import { type Hit, hit, type Listed, type Ring } from "./lathe.ts";
import type { Scene } from "./scene.ts";

/** The frame around the vessel: its size in px, px per mm, and what of (sx, sy) lies at its top left corner. */
export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly perMm: number;
  readonly left: number;
  readonly top: number;
}

/** Free around the vessel, as a share of its larger side. */
const FREE = 0.07;

/** The frame of a scene whose longer side has `side` px. */
export function frameOf({ camera, radius, bottom, top }: Scene, side: number): Frame {
  const [low] = camera.span({ y0: bottom, r0: radius, y1: bottom, r1: radius });
  const [, high] = camera.span({ y0: top, r0: radius, y1: top, r1: radius });
  const free = FREE * Math.max(2 * radius, high - low);
  const [wide, tall] = [2 * (radius + free), high - low + 2 * free];
  const perMm = side / Math.max(wide, tall);
  return {
    width: Math.round(wide * perMm),
    height: Math.round(tall * perMm),
    perMm,
    left: -radius - free,
    top: high + free,
  };
}

/** What the corners of a row of pixels meet. */
export interface Corners {
  /** Index of the ring, −1 beside the vessel. */
  readonly ring: Int16Array;
  readonly a: Float64Array;
  readonly b: Float64Array;
  /** Of the normal, around from the camera. */
  readonly angle: Float64Array;
}

/** A pixel never spans so much of the flat but where it jumps. */
const SEAM_MM = 8;

/** True where a pixel's corners meet rings that run into each other, and no seam of the flat lies between them. */
export function alike(rings: readonly Ring[], above: Corners, below: Corners, i: number): boolean {
  const ring = above.ring[i]!;
  const r1 = above.ring[i + 1]!;
  const r2 = below.ring[i]!;
  const r3 = below.ring[i + 1]!;
  if (r1 !== ring || r2 !== ring || r3 !== ring) {
    if (ring < 0 || r1 < 0 || r2 < 0 || r3 < 0) return false;
    const { run } = rings[ring]!;
    return rings[r1]!.run === run && rings[r2]!.run === run && rings[r3]!.run === run;
  }
  const a = above.a[i]!;
  return ring < 0 || (joined(a, above.a[i + 1]!) && joined(a, below.a[i]!) && joined(a, below.a[i + 1]!));
}

/** False across a jump, and where there is no flat. */
const joined = (a: number, other: number): boolean => Math.abs(a - other) < SEAM_MM;

/** What a ray meets: its ring, its place on the flat, and the angle of its normal around from the camera. */
export interface Met {
  /** −1 where it passes by. */
  ring: number;
  a: number;
  b: number;
  angle: number;
}

/**
 * An upright wall that nothing stands before, on a flat that is the same all along: a column of the picture meets it at
 * one place around.
 */
interface Upright {
  readonly ring: number;
  readonly y0: number;
  readonly y1: number;
  readonly a: Float64Array;
  readonly angle: Float64Array;
  /** Toward the camera; NaN where the column passes by. */
  readonly z: Float64Array;
}

export class Looker {
  readonly #scene: Scene;
  readonly #frame: Frame;
  readonly #azimuth: number;
  readonly #hit: Hit = hit();
  readonly #met: Met = { ring: -1, a: 0, b: 0, angle: 0 };
  readonly #flat = new Float64Array(2);
  readonly #widest: number;
  /** Null where the scene has no such wall. */
  readonly upright: Upright | null;

  /** `azimuth` in radians around to the right of the crown line. */
  constructor(scene: Scene, frame: Frame, azimuth: number) {
    this.#scene = scene;
    this.#frame = frame;
    this.#azimuth = azimuth;
    this.#widest = scene.rings.reduce((r, { r0, r1 }) => Math.max(r, r0, r1), 0);
    this.upright = this.#uprightOf();
  }

  x(i: number): number {
    return this.#frame.left + i / this.#frame.perMm;
  }
  y(j: number): number {
    return this.#frame.top - j / this.#frame.perMm;
  }

  /** Rings that show in a row of pixels, its corners' rows among them. */
  listed(j: number): readonly Listed[] {
    return this.#scene.camera.listed(this.#scene.rings, this.y(j + 1), this.y(j));
  }

  /** Room for a row of corners. */
  corners(): Corners {
    const n = this.#frame.width + 1;
    return {
      ring: new Int16Array(n),
      a: new Float64Array(n),
      b: new Float64Array(n),
      angle: new Float64Array(n),
    };
  }

  /** Writes the corners on the line above row j; `listed`: rings that may show there. */
  row(j: number, listed: readonly Listed[], corners: Corners): Corners {
    const n = this.#frame.width + 1;
    const sy = this.y(j);
    const { sin, cos } = this.#scene.camera;
    const wall = this.upright;
    for (let i = 0; i < n; i++) {
      const y = wall ? (sy + wall.z[i]! * sin) / cos : Number.NaN;
      if (wall && y > wall.y0 && y < wall.y1) {
        corners.ring[i] = wall.ring;
        corners.a[i] = wall.a[i]!;
        corners.b[i] = -y;
        corners.angle[i] = wall.angle[i]!;
        continue;
      }
      const met = this.cast(this.x(i), sy, listed);
      corners.ring[i] = met.ring;
      corners.a[i] = met.a;
      corners.b[i] = met.b;
      corners.angle[i] = met.angle;
    }
    return corners;
  }

  /** The answer is good until the next is asked for. */
  cast(sx: number, sy: number, listed: readonly Listed[]): Met {
    const { camera, rings } = this.#scene;
    const [met, out] = [this.#hit, this.#met];
    camera.cast(rings, listed, sx, sy, met);
    const { ring, x, y, z } = met;
    out.ring = ring;
    out.a = 0;
    out.b = 0;
    out.angle = 0;
    if (ring < 0) return out;
    out.b = -y;
    const inside = rings[ring]!.part === "inside";
    out.angle = inside ? Math.atan2(-x, -z) : Math.atan2(x, z);
    if (!inside) out.a = this.#around(Math.sqrt(x * x + z * z), out.angle, -y);
    return out;
  }

  /** a of a place on the outside; ∞ past what the rule of the flat covers, where there is no ink. */
  #around(r: number, angle: number, b: number): number {
    const { surface, radius } = this.#scene;
    const turned = angle + this.#azimuth;
    const drop = radius - r * Math.cos(turned);
    if (surface.outside === "off-profile" && drop > surface.deepest) return Number.POSITIVE_INFINITY;
    surface.flatOf(r * Math.sin(turned), b, drop, this.#flat);
    return this.#flat[0]!;
  }

  #uprightOf(): Upright | null {
    const { rings, surface } = this.#scene;
    const ring = rings.findIndex(({ part, r0, r1 }) => part === "wall" && r0 === r1 && r0 === this.#widest);
    if (ring < 0 || !surface.alikeAlong) return null;
    const { r0: r, y0, y1 } = rings[ring]!;
    const n = this.#frame.width + 1;
    const columns = Float64Array.from({ length: n }, (_, i) => this.x(i));
    const z = columns.map((x) => Math.sqrt(r * r - x * x));
    const angle = columns.map((x, i) => Math.atan2(x, z[i]!));
    return {
      ring,
      y0,
      y1,
      z,
      angle,
      a: angle.map((one) => (Number.isNaN(one) ? 0 : this.#around(r, one, 0))),
    };
  }
}
