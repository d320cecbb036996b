/**
 * Light that the parts of a body send to the camera, by where their normals point alone, since the camera is far away:
 * around each ring, and for the wall in rows from its lowest-facing normal to its highest, straight in between.
 */
import { type Ring, slopeOf } from "./lathe.ts";
import type { Scene } from "./scene.ts";
import { coatLight, type Light, metalLight, type Rgb } from "./studio.ts";

/** Light is worked out so often around a ring. */
export const AROUND = 512;
/** A ring taller than this is worth a fine table (mm). */
const LARGE_MM = 5;
/** From one row of a curved wall to the next, and what of its angles around is worked out: the eye sees no steps. */
const ROW = (2 * Math.PI) / 180;
const CURVED_STEP = 4;

/** Light of coat and metal around a ring, by the angle of its normal: R G B at each step. */
export interface RingLight {
  readonly coat: Float64Array;
  readonly metal: Float64Array;
}

/** A wall's light, by how far its normal leans up. */
export interface WallLight {
  readonly rows: readonly RingLight[];
  /** The first row's lean (radians), and rows to a radian. */
  readonly low: number;
  readonly perRadian: number;
}

const none = new Float64Array(0);

/** Of all that is no wall; walls have an empty place. */
export const ringLights = (scene: Scene, light: Light): RingLight[] =>
  scene.rings.map((ring) =>
    ring.part === "wall" ? { coat: none, metal: none } : ringLight(scene, ring, light),
  );

function ringLight({ camera, coat, inside }: Scene, ring: Ring, light: Light): RingLight {
  const { up, out } = slopeOf(ring);
  const v: Rgb = [0, camera.sin, camera.cos];
  // Round edges show small.
  const step = ring.y1 - ring.y0 > LARGE_MM ? 2 : 16;
  if (ring.part !== "inside")
    return { coat: around(up, out, step, (n) => coatLight(light, coat, n, v)), metal: none };
  return {
    coat: around(up, out, AROUND, () => [0, 0, 0]),
    metal: around(up, out, step, (n) => metalLight(light, inside, n, v)),
  };
}

export function wallLight({ rings, camera, coat, metal, surface }: Scene, light: Light): WallLight {
  const walls = rings.filter(({ part }) => part === "wall").map(slopeOf);
  const leans = walls.map(({ up, out }) => Math.atan2(up, out));
  const low = leans.reduce((least, one) => Math.min(least, one), Infinity);
  const high = leans.reduce((most, one) => Math.max(most, one), -Infinity);
  const straight = surface.meridian.slope !== null;
  const count = straight ? 0 : Math.max(1, Math.ceil((high - low) / ROW));
  const v: Rgb = [0, camera.sin, camera.cos];
  const rowAt = (lean: number): RingLight => {
    const [up, out] = [Math.sin(lean), Math.cos(lean)];
    const step = straight ? 1 : CURVED_STEP;
    return {
      coat: around(up, out, step, (n) => coatLight(light, coat, n, v)),
      metal: around(up, out, step, (n) => metalLight(light, metal, n, v)),
    };
  };
  const rows = Array.from({ length: count + 1 }, (_, i) =>
    rowAt(count === 0 ? low : low + ((high - low) * i) / count),
  );
  return { rows, low, perRadian: high > low ? count / (high - low) : 0 };
}

/** R G B at AROUND + 1 angles from −π to π, every `step`th worked out and straight in between. */
function around(up: number, out: number, step: number, each: (n: Rgb) => Rgb): Float64Array {
  const level = Math.abs(out);
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
}
