/**
 * Gauss–Legendre quadrature on [0, 1]: ∫f ≈ Σ wᵢ f(xᵢ), exact for polynomials of degree 2n − 1.
 * The nodes are the roots of the Legendre polynomial P_n, found by Newton's method from Tricomi's guess
 * (Abramowitz & Stegun 25.4.29–30 and 22.16.6).
 */
export interface Rule {
  readonly nodes: Float64Array;
  readonly weights: Float64Array;
}

export function gaussLegendre(n: number): Rule {
  const nodes = new Float64Array(n);
  const weights = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let x = Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    let slope = 0;
    for (let pass = 0; pass < 100; pass++) {
      let p0 = 1;
      let p1 = x;
      for (let k = 2; k <= n; k++) [p0, p1] = [p1, ((2 * k - 1) * x * p1 - (k - 1) * p0) / k];
      slope = (n * (x * p1 - p0)) / (x * x - 1);
      const step = p1 / slope;
      x -= step;
      if (Math.abs(step) < 1e-15) break;
    }
    nodes[n - 1 - i] = (1 + x) / 2;
    weights[n - 1 - i] = 1 / ((1 - x * x) * slope * slope);
  }
  return { nodes, weights };
}

export const gauss8: Rule = gaussLegendre(8);
