/**
 * The light that the proof is seen in, and what coat and metal send to the camera in it, in linear light.
 *
 * The room is fixed to the camera: x to the right, y up, z toward the camera. All is neutral; a white diffuser that
 * faces the camera comes out at WHITE. In flat light the room is even and gloss is left out, as a colour is measured
 * (CIE 15, geometry diffuse : 8°, specular component excluded): there a coat shows its own colour.
 *
 *   coat:  E_s = mean F G₂/G₁ over its gloss; light = mean F G₂/G₁ L + c (1 − E_s) ∫ L cosθ dω / π
 *   metal: light = mean F G₂/G₁ L · (1 + F₀ (1 − E)/E)
 */
import { BINDER_INDEX, bounce, disk, fresnel, type Roughness, reflect, schlick } from "./ggx.ts";

export type Rgb = readonly [number, number, number];

/** Radiance that arrives from a direction (unit vector). */
export type Room = (x: number, y: number, z: number) => number;

/** What a white diffuser facing the camera comes out at: some room is left for the highlights. */
const WHITE = 0.86;

const smooth = (low: number, high: number, v: number): number => {
  const t = Math.min(1, Math.max(0, (v - low) / (high - low)));
  return t * t * (3 - 2 * t);
};

/** A soft-edged window of light: its middle around and up (degrees), its half sizes, and how soft its edges are. */
interface Window {
  readonly around: number;
  readonly up: number;
  readonly half: readonly [number, number];
  readonly soft: number;
  readonly light: number;
}

/** A large window to the left, a tall narrow one to the right, strips behind, and one overhead: our own choice. */
const windows: readonly Window[] = [
  { around: -52, up: 24, half: [11, 42], soft: 7, light: 4.2 },
  { around: 66, up: 16, half: [5, 48], soft: 4, light: 3.2 },
  { around: -128, up: 10, half: [14, 55], soft: 14, light: 1.5 },
  { around: 128, up: 10, half: [16, 55], soft: 14, light: 1.7 },
];

/** The windows in a grey room over a light floor; darker behind the camera, so that metal has something to show. */
function lit(x: number, y: number, z: number): number {
  const up = (Math.asin(Math.min(1, Math.max(-1, y))) * 180) / Math.PI;
  const around = (Math.atan2(x, z) * 180) / Math.PI;
  let light = 0.5 + 0.35 * smooth(-0.2, 0.9, y) - 0.18 * smooth(0.55, 1, z) - 0.08 * smooth(0.1, -0.6, y);
  for (const w of windows) {
    const da = Math.abs(around - w.around);
    const wide = Math.min(da, 360 - da);
    const inside =
      (1 - smooth(w.half[0] - w.soft, w.half[0] + w.soft, wide)) *
      (1 - smooth(w.half[1] - w.soft, w.half[1] + w.soft, Math.abs(up - w.up)));
    light += w.light * inside;
  }
  return light + 1.6 * smooth(0.72, 0.98, y);
}

/** The room's light, ready to be looked up. */
export interface Light {
  /** Radiance from a direction (unit vector). */
  at(x: number, y: number, z: number): number;
  /** ∫ L cosθ dω / π over the hemisphere about n: 1 in even light of radiance 1. */
  diffuse(n: Rgb): number;
  /** Whether gloss is seen. */
  readonly gloss: boolean;
}

/** The proof's own light. */
export function studioLight(): Light {
  const scale = WHITE / diffuseOf(lit)([0, 0, 1]);
  return lightOf((x, y, z) => scale * lit(x, y, z), true);
}
/** Even light, and gloss left out: a colour shows as it is measured. */
export const flatLight = (): Light => lightOf(() => 1, false);

export const lightOf = (room: Room, gloss: boolean): Light => ({
  at: tabled(room),
  diffuse: diffuseOf(room),
  gloss,
});

const SIDE = 192;

/** The room as a table over the octahedron that its directions are laid on, straight between its points. */
function tabled(room: Room): Room {
  const table = new Float64Array((SIDE + 1) ** 2);
  for (let j = 0, at = 0; j <= SIDE; j++) {
    for (let i = 0; i <= SIDE; i++, at++) {
      const [u, v] = [(2 * i) / SIDE - 1, (2 * j) / SIDE - 1];
      const z = 1 - Math.abs(u) - Math.abs(v);
      // The back is folded out over the corners.
      const x = z < 0 ? (1 - Math.abs(v)) * Math.sign(u) : u;
      const y = z < 0 ? (1 - Math.abs(u)) * Math.sign(v) : v;
      const one = 1 / Math.hypot(x, y, z);
      table[at] = room(x * one, y * one, z * one);
    }
  }
  return (x, y, z) => {
    const sum = Math.abs(x) + Math.abs(y) + Math.abs(z);
    let [u, v] = [x / sum, y / sum];
    if (z < 0) [u, v] = [(1 - Math.abs(v)) * (u < 0 ? -1 : 1), (1 - Math.abs(u)) * (v < 0 ? -1 : 1)];
    const [p, q] = [((u + 1) / 2) * SIDE, ((v + 1) / 2) * SIDE];
    const [i, j] = [Math.min(SIDE - 1, Math.floor(p)), Math.min(SIDE - 1, Math.floor(q))];
    const k = j * (SIDE + 1) + i;
    const top = table[k]! + (p - i) * (table[k + 1]! - table[k]!);
    const low = table[k + SIDE + 1]! + (p - i) * (table[k + SIDE + 2]! - table[k + SIDE + 1]!);
    return top + (q - j) * (low - top);
  };
}

/**
 * Diffuse light by the nine lowest spherical harmonics, here to within 5 % of the room's mean: R. Ramamoorthi,
 * P. Hanrahan, "An efficient representation for irradiance environment maps", SIGGRAPH 2001, eq. 13.
 */
function diffuseOf(room: Room): (n: Rgb) => number {
  const c = new Float64Array(9);
  const around = 96;
  const rows = 64;
  // Midpoints of bands of equal height: equal areas, and symmetric, so that even light stays even.
  for (let j = 0; j < rows; j++) {
    const z = (2 * (j + 0.5)) / rows - 1;
    const r = Math.sqrt(1 - z * z);
    for (let i = 0; i < around; i++) {
      const angle = (2 * Math.PI * (i + 0.5)) / around;
      const [x, y] = [r * Math.cos(angle), r * Math.sin(angle)];
      const light = (room(x, y, z) * 4 * Math.PI) / (rows * around);
      const basis = [
        0.282095,
        0.488603 * y,
        0.488603 * z,
        0.488603 * x,
        1.092548 * x * y,
        1.092548 * y * z,
        0.315392 * (3 * z * z - 1),
        1.092548 * x * z,
        0.546274 * (x * x - y * y),
      ];
      for (let k = 0; k < 9; k++) c[k]! += light * basis[k]!;
    }
  }
  const [c0, c1, c2, c3, c4, c5, c6, c7, c8] = c as unknown as number[];
  return ([x, y, z]) =>
    (0.429043 * c8! * (x * x - y * y) +
      0.743125 * c6! * z * z +
      0.886227 * c0! -
      0.247708 * c6! +
      2 * 0.429043 * (c4! * x * y + c7! * x * z + c5! * y * z) +
      2 * 0.511664 * (c3! * x + c1! * y + c2! * z)) /
    Math.PI;
}

/** A tangent that runs around a vessel of upright axis, and one across it: n is where its wall faces. */
function tangentsOf([nx, ny, nz]: Rgb): readonly [number, number, number, number, number, number] {
  const level = Math.hypot(nx, nz);
  const [tx, tz] = level > 1e-6 ? [nz / level, -nx / level] : [1, 0];
  // b = n × t
  return [tx, 0, tz, ny * tz, nz * tx - nx * tz, -ny * tx];
}

/** A coat: its colour in linear light, and its roughness. */
export interface Coat {
  readonly colour: Rgb;
  readonly alpha: number;
}
/** Bare metal: reflectance at normal incidence, roughness along and across its grain, which way the grain runs. */
export interface Metal {
  readonly f0: Rgb;
  readonly rough: Roughness;
  readonly grain: "around" | "along";
}

/** Surfaces that turn away a little are taken as just grazed, so that light runs on smoothly over an outline. */
const AWAY = -0.3;
const GRAZED = 1e-3;

/** Directions that a lobe's mean is taken over. */
const SAMPLES = 512;
const spread = disk(SAMPLES);

/** A lobe's mean over the room from a surface that faces n, seen from v: F and weight told by `each`. */
function gathered(
  light: Light,
  n: Rgb,
  v: Rgb,
  rough: Roughness,
  turned: boolean,
  each: (cosHalf: number, weight: number, light: number) => void,
): boolean {
  const [ax, ay, az, bx, by, bz] = tangentsOf(n);
  const [tx, ty, tz, sx, sy, sz] = turned ? [bx, by, bz, -ax, -ay, -az] : [ax, ay, az, bx, by, bz];
  const vx = v[0] * tx + v[1] * ty + v[2] * tz;
  const vy = v[0] * sx + v[1] * sy + v[2] * sz;
  const facing = v[0] * n[0] + v[1] * n[1] + v[2] * n[2];
  if (facing < AWAY) return false;
  const vz = Math.max(GRAZED, facing);
  const out = bounce();
  for (let i = 0; i < 2 * SAMPLES; i += 2) {
    reflect(rough, vx, vy, vz, spread[i]!, spread[i + 1]!, out);
    if (out.weight === 0) continue;
    const { lx, ly, lz } = out;
    const seen = light.at(
      lx * tx + ly * sx + lz * n[0],
      lx * ty + ly * sy + lz * n[1],
      lx * tz + ly * sz + lz * n[2],
    );
    each(out.cosHalf, out.weight / SAMPLES, seen);
  }
  return true;
}

/** Light that a coat facing n sends to v; all zero where it faces well away. */
export function coatLight(light: Light, { colour, alpha }: Coat, n: Rgb, v: Rgb): Rgb {
  let [mirrored, share] = [0, 0];
  const rough = { along: alpha, across: alpha };
  const seen = gathered(light, n, v, rough, false, (cos, weight, from) => {
    const f = fresnel(BINDER_INDEX, cos) * weight;
    share += f;
    mirrored += f * from;
  });
  if (!seen) return [0, 0, 0];
  const diffuse = (1 - share) * light.diffuse(n);
  return map3((i) => (light.gloss ? mirrored : 0) + colour[i] * diffuse);
}

/** Light that metal facing n sends to v; all zero where it faces well away. */
export function metalLight(light: Light, { f0, rough, grain }: Metal, n: Rgb, v: Rgb): Rgb {
  let whole = 0;
  const sums = [0, 0, 0];
  const seen = gathered(light, n, v, rough, grain === "along", (cos, weight, from) => {
    whole += weight;
    for (let i = 0; i < 3; i++) sums[i]! += schlick(f0[i]!, cos) * weight * from;
  });
  if (!seen) return [0, 0, 0];
  return map3((i) => sums[i]! * (1 + (f0[i] * (1 - whole)) / whole));
}

const map3 = (of: (i: 0 | 1 | 2) => number): Rgb => [of(0), of(1), of(2)];
