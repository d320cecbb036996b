/** Rays of one view: which part of the body each meets, and where on the flat that is. */
import { type Hit, hit, type Listed, type Ring, slopeOf } from "./lathe.ts";
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
export function frameOf({ camera, rings, widest, bottom, top, base, mouth }: Scene, side: number): Frame {
  const spans = [
    ...rings.map((ring) => camera.span(ring)),
    camera.span({ y0: bottom, r0: base, y1: bottom, r1: base }),
    camera.span({ y0: top, r0: mouth, y1: top, r1: mouth }),
  ];
  const low = spans.reduce((least, span) => Math.min(least, span[0]), Infinity);
  const high = spans.reduce((most, span) => Math.max(most, span[1]), -Infinity);
  const free = FREE * Math.max(2 * widest, high - low);
  const [wide, tall] = [2 * (widest + free), high - low + 2 * free];
  const perMm = side / Math.max(wide, tall);
  return {
    width: Math.round(wide * perMm),
    height: Math.round(tall * perMm),
    perMm,
    left: -widest - free,
    top: high + free,
  };
}

/** What the corners of a row of pixels meet. */
export interface Corners {
  /** Index of the ring, −1 beside the vessel. */
  readonly ring: Int16Array;
  readonly a: Float64Array;
  readonly b: Float64Array;
  /** Up along the axis. */
  readonly y: Float64Array;
  /** Of the normal: around from the camera, and up from the level. */
  readonly angle: Float64Array;
  readonly lean: Float64Array;
}

/** A pixel never spans so much of the flat but where it jumps. */
const SEAM_MM = 8;
/** Between two rings of one run it spans no more of the height (px): what does is one part standing before another. */
const STEP_PX = 6;

/** True where a pixel's corners meet rings that run into each other, and no seam of the flat lies between them. */
export function alike(
  rings: readonly Ring[],
  above: Corners,
  below: Corners,
  i: number,
  perMm: number,
): boolean {
  const ring = above.ring[i]!;
  const r1 = above.ring[i + 1]!;
  const r2 = below.ring[i]!;
  const r3 = below.ring[i + 1]!;
  if (r1 !== ring || r2 !== ring || r3 !== ring) {
    if (ring < 0 || r1 < 0 || r2 < 0 || r3 < 0) return false;
    const { run } = rings[ring]!;
    if (rings[r1]!.run !== run || rings[r2]!.run !== run || rings[r3]!.run !== run) return false;
    const [y, step] = [above.y[i]!, STEP_PX / perMm];
    if (Math.abs(above.y[i + 1]! - y) > step || Math.abs(below.y[i]! - y) > step) return false;
    if (Math.abs(below.y[i + 1]! - y) > step) return false;
  }
  const a = above.a[i]!;
  return ring < 0 || (joined(a, above.a[i + 1]!) && joined(a, below.a[i]!) && joined(a, below.a[i + 1]!));
}

/** False across a jump, and at the end of the flat; off it all is one. */
const joined = (a: number, other: number): boolean => a === other || Math.abs(a - other) < SEAM_MM;

/** What a ray meets: its ring, its place on the flat, how high, and where its normal points. */
export interface Met {
  /** −1 where it passes by. */
  ring: number;
  a: number;
  b: number;
  y: number;
  angle: number;
  lean: number;
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
  readonly azimuth: number;
  readonly #scene: Scene;
  readonly #frame: Frame;
  readonly #hit: Hit = hit();
  readonly #met: Met = { ring: -1, a: 0, b: 0, y: 0, angle: 0, lean: 0 };
  readonly #flat = new Float64Array(2);
  readonly #at = new Float64Array(4);
  /** The upright part of each ring's normal as an angle: of what no ink stands on. */
  readonly #leans: Float64Array;
  /** Null where the scene has no such wall. */
  readonly upright: Upright | null;

  /** `azimuth` in radians around to the right of the crown line. */
  constructor(scene: Scene, frame: Frame, azimuth: number) {
    this.#scene = scene;
    this.#frame = frame;
    this.azimuth = azimuth;
    this.#leans = Float64Array.from(scene.rings, leanOf);
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
    const room = (): Float64Array => new Float64Array(n);
    return { ring: new Int16Array(n), a: room(), b: room(), y: room(), angle: room(), lean: room() };
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
        corners.y[i] = y;
        corners.angle[i] = wall.angle[i]!;
        corners.lean[i] = 0;
        continue;
      }
      const met = this.cast(this.x(i), sy, listed);
      corners.ring[i] = met.ring;
      corners.a[i] = met.a;
      corners.b[i] = met.b;
      corners.y[i] = met.y;
      corners.angle[i] = met.angle;
      corners.lean[i] = met.lean;
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
    out.y = y;
    out.angle = 0;
    out.lean = 0;
    if (ring < 0) return out;
    const { part } = rings[ring]!;
    out.angle = part === "inside" ? Math.atan2(-x, -z) : Math.atan2(x, z);
    out.lean = this.#leans[ring]!;
    if (part === "wall") this.#place(out);
    return out;
  }

  /** The flat's place of a point of the wall, a = ∞ where the flat does not show it, and where the wall faces. */
  #place(out: Met): void {
    const { meridian, chart } = this.#scene.surface;
    const [flat, at] = [this.#flat, this.#at];
    const m = meridian.arcAt(-out.y);
    out.a = Number.POSITIVE_INFINITY;
    if (Number.isNaN(m)) return;
    if (meridian.slope === null) {
      meridian.at(m, at);
      // Outward is (dy/dm, dr/dm) in (level, up): r grows downward where the wall faces up.
      out.lean = Math.atan2(at[2]!, at[3]!);
    }
    if (!chart.from(this.#around(out.angle), m, flat)) return;
    out.a = flat[0]!;
    out.b = flat[1]!;
  }

  /** θ on the flat, at most half a turn from the ink's middle. */
  #around(angle: number): number {
    const past = angle + this.azimuth - this.#scene.middle;
    return past - TURN * Math.round(past / TURN) + this.#scene.middle;
  }

  #uprightOf(): Upright | null {
    const { rings, surface, widest } = this.#scene;
    const ring = rings.findIndex(({ part, r0, r1 }) => part === "wall" && r0 === r1 && r0 === widest);
    const { meridian, chart } = surface;
    const even = meridian.slope === 0 && chart.alike;
    if (ring < 0 || !even) return null;
    const { r0: r, y0, y1 } = rings[ring]!;
    const n = this.#frame.width + 1;
    const columns = Float64Array.from({ length: n }, (_, i) => this.x(i));
    const z = columns.map((x) => Math.sqrt(r * r - x * x));
    const angle = columns.map((x, i) => Math.atan2(x, z[i]!));
    const a = angle.map((one) => {
      if (Number.isNaN(one)) return 0;
      return chart.from(this.#around(one), 0, this.#flat) ? this.#flat[0]! : Number.POSITIVE_INFINITY;
    });
    return { ring, y0, y1, z, angle, a };
  }
}
const TURN = 2 * Math.PI;

function leanOf(ring: Ring): number {
  const { up, out } = slopeOf(ring);
  return Math.atan2(up, Math.abs(out));
}
