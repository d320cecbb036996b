/**
 * How a surface reflects: the microfacet model with the GGX distribution, stretched along a grain where there is one.
 *
 *   f(l, v) = D(h) F(l·h) G₂(l, v) / (4 cosθ_l cosθ_v),   h the half vector
 *   D(h)   = 1 / (π α_x α_y (h_x²/α_x² + h_y²/α_y² + h_z²)²)
 *   Λ(w)   = (−1 + √(1 + (α_x² w_x² + α_y² w_y²)/w_z²)) / 2,   G₂ = 1/(1 + Λ(l) + Λ(v)),   G₁ = 1/(1 + Λ)
 *
 * D and Λ: T. S. Trowbridge, K. P. Reitz, J. Opt. Soc. Am. 65, 531, 1975; B. Walter et al., EGSR 2007 (GGX); for a
 * grain and with height-correlated shadowing G₂: E. Heitz, JCGT 3(2), 2014. Half vectors are drawn from those that v
 * sees: E. Heitz, JCGT 7(4), 2018. What single reflections lose is given back by 1 + F₀ (1 − E)/E: E. Turquin,
 * "Practical multiple scattering compensation for microfacet models", 2019. (All from memory; checked by quadrature: the
 * facets' projected area, Smith's condition, and the light of the drawn directions.)
 *
 * Directions are unit vectors in the surface's own frame: x along the grain, y across it, z the normal.
 */

export interface Roughness {
  /** α along the grain and across it, 0 < α ≤ 1. */
  readonly along: number;
  readonly across: number;
}

/** D(h), per steradian; h_z > 0. */
export function distribution({ along, across }: Roughness, hx: number, hy: number, hz: number): number {
  const t = (hx / along) ** 2 + (hy / across) ** 2 + hz * hz;
  return 1 / (Math.PI * along * across * t * t);
}

/** Λ(w), w_z > 0. */
export const shadowing = ({ along, across }: Roughness, wx: number, wy: number, wz: number): number =>
  (Math.sqrt(1 + ((along * wx) ** 2 + (across * wy) ** 2) / (wz * wz)) - 1) / 2;

/** Reflectance of a clear film of index n, unpolarised, at cos i (Fresnel; form of Cook and Torrance, 1982). */
export function fresnel(n: number, cos: number): number {
  const g = Math.sqrt(n * n - 1 + cos * cos);
  const a = (g - cos) / (g + cos);
  const b = (cos * (g + cos) - 1) / (cos * (g - cos) + 1);
  return 0.5 * a * a * (1 + b * b);
}

/** Schlick's approximation for a metal (Computer Graphics Forum 13, 233, 1994). */
export const schlick = (f0: number, cos: number): number => f0 + (1 - f0) * (1 - cos) ** 5;

/** Light that arrives from v, weighed: l is where it comes from, `weight` G₂/G₁, `cosHalf` l·h. */
export interface Bounce {
  lx: number;
  ly: number;
  lz: number;
  weight: number;
  cosHalf: number;
}
export const bounce = (): Bounce => ({ lx: 0, ly: 0, lz: 0, weight: 0, cosHalf: 0 });

/**
 * Writes the reflection about the half vector that (dx, dy) of the unit disk stands for; v_z > 0. The mean of
 * F · weight · L(l) over a disk evenly filled is the light sent to v. Weight 0 where l dips below the surface.
 */
export function reflect(
  { along, across }: Roughness,
  vx: number,
  vy: number,
  vz: number,
  dx: number,
  dy: number,
  out: Bounce,
): void {
  // v as the stretched hemisphere sees it, and a frame about it.
  const [ax, ay] = [along * vx, across * vy];
  const one = 1 / Math.sqrt(ax * ax + ay * ay + vz * vz);
  const [sx, sy, sz] = [ax * one, ay * one, vz * one];
  const root = Math.sqrt(sx * sx + sy * sy);
  const level = root > 1e-7;
  const t1x = level ? -sy / root : 1;
  const t1y = level ? sx / root : 0;
  const half = 0.5 * (1 + sz);
  const p2 = (1 - half) * Math.sqrt(1 - dx * dx) + half * dy;
  const p3 = Math.sqrt(Math.max(0, 1 - dx * dx - p2 * p2));
  // Back from the stretched hemisphere; the frame's other tangent is s × t₁.
  let hx = along * (dx * t1x - p2 * sz * t1y + p3 * sx);
  let hy = across * (dx * t1y + p2 * sz * t1x + p3 * sy);
  let hz = Math.max(1e-9, p2 * (sx * t1y - sy * t1x) + p3 * sz);
  const norm = 1 / Math.sqrt(hx * hx + hy * hy + hz * hz);
  hx *= norm;
  hy *= norm;
  hz *= norm;
  const cos = vx * hx + vy * hy + vz * hz;
  const lx = 2 * cos * hx - vx;
  const ly = 2 * cos * hy - vy;
  const lz = 2 * cos * hz - vz;
  out.cosHalf = cos;
  out.lx = lx;
  out.ly = ly;
  out.lz = lz;
  if (!(lz > 1e-9)) {
    out.weight = 0;
    return;
  }
  const v = (Math.sqrt(1 + (ax * ax + ay * ay) / (vz * vz)) - 1) / 2;
  const l = (Math.sqrt(1 + ((along * lx) ** 2 + (across * ly) ** 2) / (lz * lz)) - 1) / 2;
  out.weight = (1 + v) / (1 + v + l);
}

/** Points x₀ y₀ x₁ y₁ … that fill the unit disk evenly: Hammersley's spread, wrapped into rings of equal area. */
export function disk(count: number): Float64Array {
  const points = new Float64Array(2 * count);
  for (let i = 0; i < count; i++) {
    const [r, angle] = [Math.sqrt((i + 0.5) / count), 2 * Math.PI * radicalInverse(i)];
    points[2 * i] = r * Math.cos(angle);
    points[2 * i + 1] = r * Math.sin(angle);
  }
  return points;
}

/** Radical inverse in base 2 of a whole number. */
function radicalInverse(i: number): number {
  let [sum, unit] = [0, 0.5];
  for (let n = i; n > 0; n = Math.floor(n / 2), unit /= 2) if (n % 2 === 1) sum += unit;
  return sum;
}

/** Index of refraction of a coat's binder, and of the black glass that gloss is measured against (ISO 2813). */
export const BINDER_INDEX = 1.5;
const GLASS_INDEX = 1.567;
/** Receptor's aperture at 60° (ISO 2813, from memory): in the plane of incidence and across it. */
const APERTURE_DEG = [4.4, 11.7] as const;

/** Gloss units at 60° of a coat of roughness α: light into the receptor, over that of polished black glass, × 100. */
export function glossOf(alpha: number): number {
  const rough = { along: alpha, across: alpha };
  const deg = Math.PI / 180;
  const [inX, inZ] = [-Math.sin(60 * deg), Math.cos(60 * deg)];
  // Looks crowd about the mirror direction, so that the narrow lobe of a smooth coat is not missed.
  const steps = 32;
  const looks = Array.from({ length: steps }, (_, i) => {
    const u = (2 * (i + 0.5)) / steps - 1;
    return { at: u ** 3 / 2, weight: (3 * u * u) / steps };
  });
  const [wide, high] = [APERTURE_DEG[0] * deg, APERTURE_DEG[1] * deg];
  let sum = 0;
  for (const p of looks) {
    for (const q of looks) {
      const [angle, side] = [60 * deg + wide * p.at, high * q.at];
      const [x, y, z] = [Math.sin(angle) * Math.cos(side), Math.sin(side), Math.cos(angle) * Math.cos(side)];
      const length = Math.hypot(x + inX, y, z + inZ);
      const [hx, hy, hz] = [(x + inX) / length, y / length, (z + inZ) / length];
      const dim = 1 / (1 + shadowing(rough, inX, 0, inZ) + shadowing(rough, x, y, z));
      const cos = x * hx + y * hy + z * hz;
      // f · cosθ of the receptor: one cosine of the denominator goes.
      const share = (distribution(rough, hx, hy, hz) * fresnel(BINDER_INDEX, cos) * dim) / (4 * inZ);
      sum += share * Math.cos(side) * p.weight * q.weight;
    }
  }
  const lit = sum * wide * high;
  return (100 * lit) / fresnel(GLASS_INDEX, 0.5);
}

/** The roughness α whose gloss at 60° is `gloss`; the smoothest (0.003, gloss 88) or the roughest (1) where none is. */
export function roughnessOfGloss(gloss: number): number {
  let [low, high] = [Math.log(0.003), 0];
  for (let i = 0; i < 30; i++) {
    const middle = (low + high) / 2;
    if (glossOf(Math.exp(middle)) > gloss) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}
