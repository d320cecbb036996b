/**
 * One view of the vessel as pixels: every pixel's corners are cast onto the body; where all four meet the same part,
 * its light is looked up and its ink is the mean of 16 looks into the mask; where they do not, 16 rays decide.
 *
 * Light is summed up linear and written once (encode.ts). A part's light depends on where its normal points alone,
 * since the camera is far away: it is worked out beforehand around each ring.
 */
import { encoder } from "./encode.ts";
import { type Streaks, streaks } from "./grain.ts";
import { type Listed, type Ring, slopeOf } from "./lathe.ts";
import { alike, type Corners, type Frame, frameOf, Looker } from "./looker.ts";
import type { InkMask } from "./mask.ts";
import { type Remaining, veil } from "./reveal.ts";
import type { Scene } from "./scene.ts";
import { coatLight, type Light, metalLight, type Rgb, studioLight } from "./studio.ts";

/** A picture, three bytes a pixel. */
export interface Pixels {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}

/** Looks a pixel's side has. */
const LOOKS = 4;
/** Light is worked out so often around a ring. */
const AROUND = 512;

/** A ring taller than this is worth a fine table (mm). */
const LARGE_MM = 5;

/** Light of coat and metal around a ring, by the angle of its normal: R G B at each step. */
interface RingLight {
  readonly coat: Float64Array;
  readonly metal: Float64Array;
}

/** All that is the same in every view of a scene. */
export class Renderer {
  readonly scene: Scene;
  readonly frame: Frame;
  readonly #lights: readonly RingLight[];
  readonly #streaks: Streaks;
  readonly #encode = encoder();

  constructor(scene: Scene, side: number, light: Light = studioLight()) {
    this.scene = scene;
    this.frame = frameOf(scene, side);
    this.#lights = scene.rings.map((ring) => ringLight(scene, ring, light));
    this.#streaks = streaks(1 / this.frame.perMm);
  }

  /** The vessel seen from `azimuth` (radians around to the right of its crown line), its ink revealed as `remaining` says. */
  view(azimuth: number, mask: InkMask, remaining: Remaining): Pixels {
    const { width, height } = this.frame;
    const rgb = new Uint8Array(3 * width * height);
    const looker = new Looker(this.scene, this.frame, azimuth);
    const light = new Float64Array(3);
    const bare = this.#columns(looker);
    const wall = looker.upright?.ring;
    let above = looker.row(0, looker.listed(0), looker.corners());
    let below = looker.corners();
    for (let j = 0; j < height; j++) {
      const listed = looker.listed(j);
      looker.row(j + 1, listed, below);
      for (let i = 0; i < width; i++) {
        const at = 3 * (j * width + i);
        const even = alike(this.scene.rings, above, below, i);
        if (even && above.ring[i] === wall && !this.#near(above, below, i, mask)) {
          rgb[at] = bare[3 * i]!;
          rgb[at + 1] = bare[3 * i + 1]!;
          rgb[at + 2] = bare[3 * i + 2]!;
          continue;
        }
        light[0] = 0;
        light[1] = 0;
        light[2] = 0;
        if (even) this.#smooth(looker, above, below, i, j, mask, remaining, light);
        else this.#edge(looker, listed, i, j, mask, remaining, light);
        rgb[at] = this.#encode(light[0]);
        rgb[at + 1] = this.#encode(light[1]);
        rgb[at + 2] = this.#encode(light[2]);
      }
      [above, below] = [below, above];
    }
    return { width, height, rgb };
  }

  /** The coat of an upright wall has one colour all down a column. */
  #columns({ upright }: Looker): Uint8Array {
    const { width } = this.frame;
    const rgb = new Uint8Array(3 * width);
    if (!upright) return rgb;
    const light = new Float64Array(3);
    for (let i = 0; i < width; i++) {
      const angle = (upright.angle[i]! + upright.angle[i + 1]!) / 2;
      if (Number.isNaN(angle)) continue;
      light.fill(0);
      this.#shade(upright.ring, angle, 0, 0, 0, 1, light);
      for (let c = 0; c < 3; c++) rgb[3 * i + c] = this.#encode(light[c]!);
    }
    return rgb;
  }

  /** False where a pixel surely lies beside the mask. */
  #near(above: Corners, below: Corners, i: number, { place }: InkMask): boolean {
    const { minA, minB, width, height, perMm } = place;
    const [a, b] = [above.a[i]!, above.b[i]!];
    return (
      Math.max(below.b[i]!, below.b[i + 1]!) > minB &&
      Math.min(b, above.b[i + 1]!) < minB + height / perMm &&
      Math.max(a, above.a[i + 1]!) > minA &&
      Math.min(a, above.a[i + 1]!) < minA + width / perMm
    );
  }

  /** A pixel whose corners all lie on one ring, or all beside the vessel. */
  #smooth(
    looker: Looker,
    above: Corners,
    below: Corners,
    i: number,
    j: number,
    mask: InkMask,
    remaining: Remaining,
    light: Float64Array,
  ): void {
    const ring = above.ring[i]!;
    if (ring < 0) {
      this.#floor(looker.x(i + 0.5), looker.y(j + 0.5), 1, light);
      return;
    }
    if (this.scene.rings[ring]!.part !== "wall") {
      // Nothing is drawn here, and rings turn a little from one to the next: the mean of the corners.
      for (const row of [above, below])
        for (let k = i; k <= i + 1; k++)
          this.#shade(row.ring[k]!, row.angle[k]!, 0, row.a[k]!, row.b[k]!, 0.25, light);
      return;
    }
    const angle = (above.angle[i]! + above.angle[i + 1]! + below.angle[i]! + below.angle[i + 1]!) / 4;
    const a00 = above.a[i]!;
    const a10 = above.a[i + 1]!;
    const a01 = below.a[i]!;
    const a11 = below.a[i + 1]!;
    const b00 = above.b[i]!;
    const b10 = above.b[i + 1]!;
    const b01 = below.b[i]!;
    const b11 = below.b[i + 1]!;
    const a = (a00 + a10 + a01 + a11) / 4;
    const b = (b00 + b10 + b01 + b11) / 4;
    let ink = mask.within(
      Math.min(a00, a10, a01, a11),
      Math.max(a00, a10, a01, a11),
      Math.min(b00, b10, b01, b11),
      Math.max(b00, b10, b01, b11),
    );
    if (Number.isNaN(ink)) {
      ink = 0;
      for (let q = 0; q < LOOKS; q++) {
        const v = (q + 0.5) / LOOKS;
        for (let p = 0; p < LOOKS; p++) {
          const u = (p + 0.5) / LOOKS;
          ink += mask.at(between(a00, a10, a01, a11, u, v), between(b00, b10, b01, b11, u, v));
        }
      }
      ink /= LOOKS * LOOKS;
    }
    const bare = ink > 0 ? ink * (1 - veil(remaining(a, b))) : 0;
    this.#shade(ring, angle, bare, a, b, 1, light);
  }

  /** A pixel on an edge: 16 rays. */
  #edge(
    looker: Looker,
    listed: readonly Listed[],
    i: number,
    j: number,
    mask: InkMask,
    remaining: Remaining,
    light: Float64Array,
  ): void {
    const one = 1 / (LOOKS * LOOKS);
    for (let q = 0; q < LOOKS; q++) {
      for (let p = 0; p < LOOKS; p++) {
        const [x, y] = [looker.x(i + (p + 0.5) / LOOKS), looker.y(j + (q + 0.5) / LOOKS)];
        const { ring, a, b, angle } = looker.cast(x, y, listed);
        if (ring < 0) {
          this.#floor(x, y, one, light);
          continue;
        }
        const ink = this.scene.rings[ring]!.part === "wall" ? mask.at(a, b) : 0;
        const bare = ink > 0 ? ink * (1 - veil(remaining(a, b))) : 0;
        this.#shade(ring, angle, bare, a, b, one, light);
      }
    }
  }

  /** Adds a ring's light, `bare` of it metal, `share` of the pixel. */
  #shade(
    ring: number,
    angle: number,
    bare: number,
    a: number,
    b: number,
    share: number,
    light: Float64Array,
  ): void {
    const { coat, metal } = this.#lights[ring]!;
    const { part } = this.scene.rings[ring]!;
    const at = Math.min(AROUND - 1e-6, Math.max(0, (angle / (2 * Math.PI) + 0.5) * AROUND));
    const k = Math.floor(at);
    const t = at - k;
    const along = this.scene.metal.grain === "along";
    const metalShare =
      part === "inside"
        ? share * this.#depth(b)
        : bare > 0
          ? share * bare * (along ? this.#streaks(b, a) : this.#streaks(a, b))
          : 0;
    const coatShare = part === "inside" ? 0 : share * (1 - bare);
    for (let c = 0; c < 3; c++) {
      const i = 3 * k + c;
      light[c]! +=
        coatShare * (coat[i]! + t * (coat[i + 3]! - coat[i]!)) +
        (metalShare > 0 ? metalShare * (metal[i]! + t * (metal[i + 3]! - metal[i]!)) : 0);
    }
  }

  /** Less light comes back from further down inside (a look, not worked out). */
  #depth(b: number): number {
    const down = this.scene.top + b;
    return 0.12 + 0.6 * Math.exp(-down / (1.1 * this.scene.radius));
  }

  /** White ground with the vessel's soft shadow, gone before the picture ends (a look, not worked out). */
  #floor(sx: number, sy: number, share: number, light: Float64Array): void {
    const { camera, bottom, foot } = this.scene;
    const t = (bottom - sy * camera.cos) / camera.sin;
    const z = -sy * camera.sin + t * camera.cos;
    const away = Math.max(0, Math.sqrt(sx * sx + z * z) - foot) / (-this.frame.left - foot);
    const left = away < 1 ? share * (1 - 0.62 * Math.exp(-away / 0.16) * (1 - away) ** 2) : share;
    for (let c = 0; c < 3; c++) light[c]! += left;
  }
}

/** Straight between four corners. */
const between = (v00: number, v10: number, v01: number, v11: number, u: number, v: number): number =>
  (1 - v) * ((1 - u) * v00 + u * v10) + v * ((1 - u) * v01 + u * v11);

function ringLight({ camera, coat, metal, inside }: Scene, ring: Ring, light: Light): RingLight {
  const { up, out } = slopeOf(ring);
  const level = Math.abs(out);
  const v: Rgb = [0, camera.sin, camera.cos];
  const wall = ring.part === "wall";
  // Round edges show small.
  const step = wall ? 1 : ring.y1 - ring.y0 > LARGE_MM ? 2 : 16;
  const made = (each: (n: Rgb) => Rgb): Float64Array => {
    const list = new Float64Array(3 * (AROUND + 1));
    for (let k = 0; k <= AROUND; k += step) {
      const angle = (k / AROUND - 0.5) * 2 * Math.PI;
      list.set(each([level * Math.sin(angle), up, level * Math.cos(angle)]), 3 * k);
    }
    for (let i = 0; i + 3 < list.length; i++) {
      const from = Math.floor(i / (3 * step)) * 3 * step;
      const t = (Math.floor(i / 3) % step) / step;
      if (t > 0) list[i] = list[from + (i % 3)]! * (1 - t) + list[from + 3 * step + (i % 3)]! * t;
    }
    return list;
  };
  const none = new Float64Array(0);
  if (ring.part === "inside")
    return { coat: made(() => [0, 0, 0]), metal: made((n) => metalLight(light, inside, n, v)) };
  return {
    coat: made((n) => coatLight(light, coat, n, v)),
    metal: wall ? made((n) => metalLight(light, metal, n, v)) : none,
  };
}
