/**
 * Distances between curves by plain search: dense samples find the neighbourhood, golden section the nearest point
 * in it. Shares no code with the fitter or its certificate.
 */
import type { MappedCurve } from "../../src/geometry/curve.ts";
import type { Contour, Space } from "../../src/geometry/path.ts";

/** A curve on [0, n] as a function that gives x, y and the local scale. */
interface Curve {
  readonly n: number;
  at(t: number): readonly [x: number, y: number, scale: number];
}

function ofPieces(curve: MappedCurve<Space>): Curve {
  const jet = new Float64Array(5);
  return {
    n: curve.pieces,
    at(t) {
      const k = Math.min(Math.floor(t), curve.pieces - 1);
      curve.at(k, t - k, jet);
      return [jet[0]!, jet[1]!, jet[4]!];
    },
  };
}

export function ofContour({ points: p, straight }: Contour<Space>): Curve {
  return {
    n: straight.length,
    at(t) {
      const k = Math.min(Math.floor(t), straight.length - 1);
      const s = t - k;
      const w = [(1 - s) ** 3, 3 * (1 - s) ** 2 * s, 3 * (1 - s) * s ** 2, s ** 3];
      let x = 0;
      let y = 0;
      for (let j = 0; j < 4; j++) {
        x += w[j]! * p[6 * k + 2 * j]!;
        y += w[j]! * p[6 * k + 2 * j + 1]!;
      }
      return [x, y, 1];
    },
  };
}

/** Largest distance from samples of `from` to `to`; each divided by the scale of the one that has a scale there. */
function oneWay(from: Curve, to: Curve, probes: number): number {
  const dense = 64;
  const marks = Array.from({ length: to.n * dense + 1 }, (_, i) => to.at(i / dense));
  let worst = 0;
  for (let i = 0; i <= from.n * probes; i++) {
    const [x, y, scale] = from.at(i / probes);
    const off = (t: number): number => Math.hypot(to.at(t)[0] - x, to.at(t)[1] - y);
    const coarse = marks.map((m) => Math.hypot(m[0] - x, m[1] - y));
    let least = Infinity;
    let place = 0;
    // Every valley is searched: where curves cross, the nearest sample may lie on the other branch.
    coarse.forEach((d, j) => {
      if (d > (coarse[j - 1] ?? Infinity) || d > (coarse[j + 1] ?? Infinity)) return;
      let lo = Math.max(0, (j - 1) / dense);
      let hi = Math.min(to.n, (j + 1) / dense);
      for (let pass = 0; pass < 60; pass++) {
        const a = lo + 0.382 * (hi - lo);
        const b = lo + 0.618 * (hi - lo);
        if (off(a) < off(b)) hi = b;
        else lo = a;
      }
      const found = Math.min(d, off((lo + hi) / 2));
      if (found < least) {
        least = found;
        place = (lo + hi) / 2;
      }
    });
    worst = Math.max(worst, least / (scale === 1 ? to.at(place)[2] : scale));
  }
  return worst;
}

/** Both directions, in units of the source; `probes` per segment. */
export function sampledError(curve: MappedCurve<Space>, contour: Contour<Space>, probes = 37): number {
  const source = ofPieces(curve);
  const fitted = ofContour(contour);
  return Math.max(oneWay(source, fitted, probes), oneWay(fitted, source, probes));
}
