/**
 * Robust non-linear least squares: the x that makes Σ ρ(r_i(x)) least, by Levenberg and Marquardt's method (ml-levenberg-
 * marquardt) under weights that are worked out anew from round to round, since a residual that is far off shall count with its
 * size, not its square (P. J. Huber, Ann. Math. Stat. 35, 73, 1964):
 *
 *   ρ(r) = r²/2 for |r| ≤ k, else k|r| − k²/2;   weight 1, else k/|r|
 *
 * The covariance is (JᵀJ)⁻¹ at the answer, residuals being in standard deviations; robust residuals count there by their 95 %.
 */
import { levenbergMarquardt } from "ml-levenberg-marquardt";
import { EigenvalueDecomposition, Matrix } from "ml-matrix";

export interface Problem {
  readonly start: readonly number[];
  readonly low: readonly number[];
  readonly high: readonly number[];
  /** r(x), each in standard deviations; of the same length for every x. */
  residuals(x: readonly number[]): readonly number[];
  /** How many of the residuals, from the first, are robust; none where left out. */
  readonly robust?: number;
}

/** How near to the least the answer is to come; x is best scaled to about 1. */
export interface Accuracy {
  /** Of the differences that derivatives are taken by. */
  readonly step: number;
  /** By steps to both sides: twice the work. */
  readonly central: boolean;
  /** A round that gains less than this share ends it. */
  readonly gain: number;
  readonly rounds: number;
}

export interface Answer {
  readonly x: readonly number[];
  readonly residuals: readonly number[];
  /** ∂r_i/∂x_j. */
  readonly jacobian: Matrix;
  /** Of x. */
  readonly covariance: Matrix;
  /** Σ ρ(r). */
  readonly cost: number;
}

/** Huber's k: 95 % as good as least squares where nothing is far off. */
const HUBER = 1.345;
const EFFICIENCY = 0.95;
/** To about a thousandth of a standard deviation. */
const USUAL: Accuracy = { step: 1e-3, central: false, gain: 1e-4, rounds: 4 };
/** Steps of each round. */
const STEPS = 6;

const rho = (r: number, robust: boolean): number =>
  !robust || Math.abs(r) <= HUBER ? (r * r) / 2 : HUBER * Math.abs(r) - (HUBER * HUBER) / 2;
const weight = (r: number, robust: boolean): number =>
  !robust || Math.abs(r) <= HUBER ? 1 : HUBER / Math.abs(r);

/** RangeError where there are fewer than two residuals, or one is no number at the start. */
export function leastSquares(problem: Problem, accuracy: Accuracy = USUAL): Answer {
  const last = problem.robust ?? 0;
  const costOf = (list: readonly number[]): number => list.reduce((sum, r, i) => sum + rho(r, i < last), 0);
  let x: readonly number[] = problem.start;
  let residuals = problem.residuals(x);
  if (residuals.length < 2 || !residuals.every(Number.isFinite))
    throw new RangeError("least squares need residuals that are numbers");
  let cost = costOf(residuals);
  for (let round = 0; round < accuracy.rounds; round++) {
    const weights = residuals.map((r, i) => Math.sqrt(weight(r, i < last)));
    const next = stepped(problem, x, weights, accuracy);
    const found = problem.residuals(next);
    const better = costOf(found);
    if (!(better < cost)) break;
    const gain = cost - better;
    [x, residuals, cost] = [next, found, better];
    if (gain <= accuracy.gain * (1 + cost)) break;
  }
  const counted = residuals.map((_, i) => (i < last ? Math.sqrt(EFFICIENCY) : 1));
  const jacobian = jacobianOf(problem, x, counted, accuracy.step);
  return { x, residuals, jacobian, covariance: inverseOf(jacobian.transpose().mmul(jacobian)), cost };
}

function stepped(
  problem: Problem,
  x: readonly number[],
  weights: readonly number[],
  { step, central }: Accuracy,
): readonly number[] {
  const index = weights.map((_, i) => i);
  const { parameterValues } = levenbergMarquardt(
    { x: index, y: index.map(() => 0) },
    (at) => {
      const r = problem.residuals(at);
      return (i) => r[i]! * weights[i]!;
    },
    {
      initialValues: [...x],
      minValues: [...problem.low],
      maxValues: [...problem.high],
      gradientDifference: step,
      centralDifference: central,
      damping: 0.1,
      maxIterations: STEPS,
      errorTolerance: Number.MIN_VALUE,
    },
  );
  return parameterValues;
}

/** By central differences, each row times its weight. */
export function jacobianOf(
  { residuals }: Pick<Problem, "residuals">,
  x: readonly number[],
  weights: readonly number[],
  step = USUAL.step,
): Matrix {
  const columns = x.map((_, j) => {
    const moved = (by: number): readonly number[] => residuals(x.map((v, i) => (i === j ? v + by : v)));
    const [up, down] = [moved(step), moved(-step)];
    return weights.map((w, i) => ((up[i]! - down[i]!) / (2 * step)) * w);
  });
  return new Matrix(columns).transpose();
}

/** Of a symmetric matrix that is positive or nearly so: what is not told at all comes out as a large number. */
export function inverseOf(information: Matrix): Matrix {
  const { eigenvectorMatrix: vectors, realEigenvalues } = new EigenvalueDecomposition(information, {
    assumeSymmetric: true,
  });
  const most = Math.max(...realEigenvalues, 0);
  const scale = Matrix.diag(realEigenvalues.map((v) => 1 / Math.max(v, 1e-12 * most, 1e-300)));
  return vectors.mmul(scale).mmul(vectors.transpose());
}
