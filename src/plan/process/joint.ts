/**
 * Figures that were read from the same marks err together: their logarithms are normal, with the correlation C of the
 * calibration, and low and high are their 5 % and 95 % points:
 *
 *   ln f = (ln low + ln high)/2 + σ C^½ S^−½ (z − z̄),   σ = ln(high/low) / (2 · 1.6449),   z = Φ⁻¹(u)
 *
 * z̄ and S are mean and covariance of the z that the sequence has: few hundred points lean a little to some side, and the
 * correlation that is asked for is then met as it is (moment matching; P. Glasserman, "Monte Carlo Methods in Financial
 * Engineering", 2003, §4.5, from memory). Roots by eigenvalues and eigenvectors, so that figures that hang together wholly do
 * no harm.
 */
import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import type { Figure, Job } from "../../job/job.ts";
import { normalQuantile } from "./normal.ts";

/** 95 % of a normal distribution lie below so many standard deviations. */
const NINETY = 1.6448536269514722;
/** Fewer draws than this do not tell how the sequence leans (our own choice). */
const FEW = 64;

type Calibration = NonNullable<Job["calibration"]>;
type Name = Calibration["correlation"]["names"][number];

/**
 * The draws, each a number for every figure, with those that a calibration holds drawn together. `drawn`: what each figure
 * is apart from the others, `us` the numbers in 0…1 that it was drawn with; `places`: where each is in a draw.
 */
export function drawnTogether(
  drawn: readonly (readonly number[])[],
  us: readonly (readonly number[])[],
  figures: readonly Figure[],
  places: Readonly<Record<Name, number>>,
  calibration: Calibration | undefined,
): readonly (readonly number[])[] {
  if (!calibration) return drawn;
  const { names, rows } = calibration.correlation;
  const held = names.flatMap((name, i) => (holds(calibration, name) ? [{ i, at: places[name] }] : []));
  if (held.length === 0) return drawn;
  const asked = power(new Matrix(held.map(({ i }) => held.map(({ i: j }) => rows[i]![j]!))), 0.5);
  const z = new Matrix(us.length, held.length);
  us.forEach((u, n) => {
    for (const [k, { at }] of held.entries()) z.set(n, k, normalQuantile(u[at]!));
  });
  const even = us.length < FEW ? z : z.center("column").mmul(power(covariance(z), -0.5));
  const joint = even.mmul(asked);
  const scales = held.map(({ at }) => {
    const { low, high } = figures[at]!;
    return { middle: (Math.log(low) + Math.log(high)) / 2, sd: Math.log(high / low) / (2 * NINETY) };
  });
  return drawn.map((apart, n) => {
    const draw = [...apart];
    for (const [k, { at }] of held.entries())
      draw[at] = Math.exp(scales[k]!.middle + scales[k]!.sd * joint.get(n, k));
    return draw;
  });
}

function holds({ spot, coating, metal }: Calibration, name: Name): boolean {
  if (name === "spotUm" || name === "rayleighMm") return spot;
  return name === "metalThresholdJPerCm2" || name === "incubation" ? metal : coating;
}

/** Of columns. */
function covariance(z: Matrix): Matrix {
  const centred = z.clone().center("column");
  return centred.transpose().mmul(centred).div(z.rows);
}

/** A symmetric matrix to a power, V Λᵖ Vᵀ; what rounding makes negative counts as 0. */
function power(matrix: Matrix, p: number): Matrix {
  const { eigenvectorMatrix: v, realEigenvalues } = new EigenvalueDecomposition(matrix, {
    assumeSymmetric: true,
  });
  const powers = Matrix.diag(realEigenvalues.map((one) => (one > 0 ? one ** p : 0)));
  return v.mmul(powers).mmul(v.transpose());
}
