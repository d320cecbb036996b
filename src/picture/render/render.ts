/**
 * One view of the vessel as pixels: every pixel's corners are cast onto the body; where all four meet the same part,
 * its light is looked up and its ink is the mean of 16 looks into the mask; where they do not, 16 rays decide.
 *
 * Light is summed up linear and written once (encode.ts); that of each part is worked out beforehand (walllight.ts).
 */
import { encoder } from "./encode.ts";
import { type Streaks, streaks } from "./grain.ts";
import type { Listed } from "./lathe.ts";
import { alike, type Corners, type Frame, frameOf, Looker } from "./looker.ts";
import type { InkMask } from "./mask.ts";
import { type Remaining, veil } from "./reveal.ts";
import type { Scene } from "./scene.ts";
import { type Light, studioLight } from "./studio.ts";
import { AROUND, type RingLight, ringLights, type WallLight, wallLight } from "./walllight.ts";

/** A picture, three bytes a pixel. */
export interface Pixels {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}

/** Looks a pixel's side has. */
const LOOKS = 4;

/** What one picture is made with, and the light of the pixel at hand. */
interface View {
  readonly looker: Looker;
  readonly mask: InkMask;
  readonly remaining: Remaining;
  readonly light: Float64Array;
}

/** All that is the same in every view of a scene. */
export class Renderer {
  readonly scene: Scene;
  readonly frame: Frame;
  readonly #lights: readonly RingLight[];
  readonly #wall: WallLight;
  readonly #streaks: Streaks;
  readonly #encode = encoder();

  constructor(scene: Scene, side: number, light: Light = studioLight()) {
    this.scene = scene;
    this.frame = frameOf(scene, side);
    this.#lights = ringLights(scene, light);
    this.#wall = wallLight(scene, light);
    this.#streaks = streaks(1 / this.frame.perMm);
  }

  /** The vessel seen from `azimuth` (radians around to the right of its crown line), its ink revealed as `remaining` says. */
  view(azimuth: number, mask: InkMask, remaining: Remaining): Pixels {
    const { width, height, perMm } = this.frame;
    const rgb = new Uint8Array(3 * width * height);
    const looker = new Looker(this.scene, this.frame, azimuth);
    const light = new Float64Array(3);
    const view: View = { looker, mask, remaining, light };
    const bare = this.#columns(view);
    const wall = looker.upright?.ring;
    let above = looker.row(0, looker.listed(0), looker.corners());
    let below = looker.corners();
    for (let j = 0; j < height; j++) {
      const listed = looker.listed(j);
      looker.row(j + 1, listed, below);
      for (let i = 0; i < width; i++) {
        const at = 3 * (j * width + i);
        const even = alike(this.scene.rings, above, below, i, perMm);
        if (even && above.ring[i] === wall && !this.#near(above, below, i, mask)) {
          rgb[at] = bare[3 * i]!;
          rgb[at + 1] = bare[3 * i + 1]!;
          rgb[at + 2] = bare[3 * i + 2]!;
          continue;
        }
        light[0] = 0;
        light[1] = 0;
        light[2] = 0;
        if (even) this.#smooth(view, above, below, i, j);
        else this.#edge(view, listed, i, j);
        rgb[at] = this.#encode(light[0]);
        rgb[at + 1] = this.#encode(light[1]);
        rgb[at + 2] = this.#encode(light[2]);
      }
      [above, below] = [below, above];
    }
    return { width, height, rgb };
  }

  /** The coat of an upright wall has one colour all down a column. */
  #columns(view: View): Uint8Array {
    const { width } = this.frame;
    const rgb = new Uint8Array(3 * width);
    const { light, looker } = view;
    const { upright } = looker;
    if (!upright) return rgb;
    for (let i = 0; i < width; i++) {
      const angle = (upright.angle[i]! + upright.angle[i + 1]!) / 2;
      if (Number.isNaN(angle)) continue;
      light.fill(0);
      this.#shade(view, upright.ring, angle, 0, 0, 0, 1);
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

  /** A pixel whose corners all lie on parts that run into each other, or all beside the vessel. */
  #smooth(view: View, above: Corners, below: Corners, i: number, j: number): void {
    const { looker, mask, remaining } = view;
    const ring = above.ring[i]!;
    if (ring < 0) {
      this.#floor(looker.x(i + 0.5), looker.y(j + 0.5), 1, view.light);
      return;
    }
    if (this.scene.rings[ring]!.part !== "wall") {
      // Nothing is drawn here, and rings turn a little from one to the next: the mean of the corners.
      for (const row of [above, below])
        for (let k = i; k <= i + 1; k++)
          this.#shade(view, row.ring[k]!, row.angle[k]!, row.lean[k]!, 0, row.y[k]!, 0.25);
      return;
    }
    const a00 = above.a[i]!;
    const a10 = above.a[i + 1]!;
    const a01 = below.a[i]!;
    const a11 = below.a[i + 1]!;
    const b00 = above.b[i]!;
    const b10 = above.b[i + 1]!;
    const b01 = below.b[i]!;
    const b11 = below.b[i + 1]!;
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
    const bare =
      ink > 0 ? ink * (1 - veil(remaining((a00 + a10 + a01 + a11) / 4, (b00 + b10 + b01 + b11) / 4))) : 0;
    const angle = mean(above.angle, below.angle, i);
    const lean = mean(above.lean, below.lean, i);
    this.#shade(view, ring, angle, lean, bare, mean(above.y, below.y, i), 1);
  }

  /** A pixel on an edge: 16 rays. */
  #edge(view: View, listed: readonly Listed[], i: number, j: number): void {
    const { looker, mask, remaining, light } = view;
    const one = 1 / (LOOKS * LOOKS);
    for (let q = 0; q < LOOKS; q++) {
      for (let p = 0; p < LOOKS; p++) {
        const [x, y] = [looker.x(i + (p + 0.5) / LOOKS), looker.y(j + (q + 0.5) / LOOKS)];
        const met = looker.cast(x, y, listed);
        if (met.ring < 0) {
          this.#floor(x, y, one, light);
          continue;
        }
        const ink = this.scene.rings[met.ring]!.part === "wall" ? mask.at(met.a, met.b) : 0;
        const bare = ink > 0 ? ink * (1 - veil(remaining(met.a, met.b))) : 0;
        this.#shade(view, met.ring, met.angle, met.lean, bare, met.y, one);
      }
    }
  }

  /** Adds a part's light, `bare` of it metal, `share` of the pixel. */
  #shade(
    { looker, light }: View,
    ring: number,
    angle: number,
    lean: number,
    bare: number,
    y: number,
    share: number,
  ): void {
    const { part } = this.scene.rings[ring]!;
    if (part !== "wall") {
      const metal = part === "inside" ? share * this.#depth(y) : 0;
      add(this.#lights[ring]!, angle, part === "inside" ? 0 : share, metal, light);
      return;
    }
    const metal = bare > 0 ? share * bare * this.#grain(angle + looker.azimuth, y) : 0;
    const coat = share * (1 - bare);
    const { rows, low, perRadian } = this.#wall;
    const at = Math.min(rows.length - 1, Math.max(0, (lean - low) * perRadian));
    const k = Math.min(Math.max(0, rows.length - 2), Math.floor(at));
    const t = at - k;
    if (t < 1) add(rows[k]!, angle, coat * (1 - t), metal * (1 - t), light);
    if (t > 0) add(rows[k + 1]!, angle, coat * t, metal * t, light);
  }

  /** The metal's streaks, around from the crown line and down from the placement point. */
  #grain(around: number, y: number): number {
    const turned = around - 2 * Math.PI * Math.round(around / (2 * Math.PI));
    const a = this.scene.radius * turned;
    return this.scene.metal.grain === "along" ? this.#streaks(-y, a) : this.#streaks(a, -y);
  }

  /** Less light comes back from further down inside (a look, not worked out). */
  #depth(y: number): number {
    return 0.12 + 0.6 * Math.exp((y - this.scene.top) / (1.1 * this.scene.mouth));
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

/** Adds so much of a ring's coat and metal at an angle. */
function add(
  { coat, metal }: RingLight,
  angle: number,
  coatShare: number,
  metalShare: number,
  light: Float64Array,
): void {
  const at = Math.min(AROUND - 1e-6, Math.max(0, (angle / (2 * Math.PI) + 0.5) * AROUND));
  const k = Math.floor(at);
  const t = at - k;
  for (let c = 0; c < 3; c++) {
    const i = 3 * k + c;
    light[c]! +=
      coatShare * (coat[i]! + t * (coat[i + 3]! - coat[i]!)) +
      (metalShare > 0 ? metalShare * (metal[i]! + t * (metal[i + 3]! - metal[i]!)) : 0);
  }
}

const mean = (above: Float64Array, below: Float64Array, i: number): number =>
  (above[i]! + above[i + 1]! + below[i]! + below[i + 1]!) / 4;

/** Straight between four corners. */
const between = (v00: number, v10: number, v01: number, v11: number, u: number, v: number): number =>
  (1 - v) * ((1 - u) * v00 + u * v10) + v * ((1 - u) * v01 + u * v11);
