/** What lines leave: closed forms, a comb's harmonics, conservation, and craters laid down one by one. */
import { describe, expect, it } from "vitest";
import { footprintArea, peakFluence } from "../../../src/beam/pulse.ts";
import { pulseDepth, pulseVolume, removedDiameter } from "../../../src/beam/removal.ts";
import { gaussLegendre } from "../../../src/geometry/quadrature.ts";
import { directions, rowsAt } from "../../../src/geometry/rows.ts";
import { type Grid, gridOver } from "../../../src/plan/fill/coverage.ts";
import {
  removalMap,
  shareBelow,
  shareSummed,
  spreadOf,
  type Trace,
} from "../../../src/plan/fill/removalmap.ts";
import { layLines, Patch, seeded } from "../../support/pulses.ts";
import { rectangle } from "../../support/shapes.ts";

const rule = gaussLegendre(40);
/** ∫ from x0 to x1 for |x| ≤ 1, by x = sin u, which makes what ends like a power of √(1 − x²) smooth. */
function integral(f: (x: number) => number, x0: number, x1: number): number {
  const [u0, u1] = [Math.asin(x0), Math.asin(x1)];
  return rule.nodes.reduce((sum, node, i) => {
    const u = u0 + node * (u1 - u0);
    return sum + rule.weights[i]! * (u1 - u0) * Math.cos(u) * f(Math.sin(u));
  }, 0);
}

const ones = (): number => 1;
const everyCell = (grid: Grid): Uint8Array => new Uint8Array(grid.columns * grid.rows).fill(1);
const volumeOf = (map: Float32Array, { cellMm }: Grid, ratio = 1): number =>
  map.reduce((sum, z) => sum + z, 0) * cellMm * cellMm * ratio;
const square = (half: number, cellMm: number): Grid =>
  gridOver({ minX: -half, minY: -half, maxX: half, maxY: half }, cellMm);

/** Single lines, each from s0 to s1 at t, all leaving the same. */
function lines(angleDeg: number, list: [t: number, s0: number, s1: number][], v: number, y: number): Trace {
  return {
    angleDeg,
    at: Float64Array.from(list, ([t]) => t),
    rows: {
      from: Int32Array.from({ length: list.length + 1 }, (_, i) => 2 * i),
      s: Float64Array.from(list.flatMap(([, s0, s1]) => [s0, s1])),
    },
    volumeAt: () => v,
    halfWidthAt: () => y,
  };
}

/** Endless lines over a square, one of them at `phase`. */
function comb(angleDeg: number, half: number, pitch: number, v: number, y: number, phase = 0): Trace {
  const n = Math.ceil((1.5 * half) / pitch) + 1;
  const all = Array.from({ length: 2 * n + 1 }, (_, k): [number, number, number] => [
    phase + (k - n) * pitch,
    -1.6 * half,
    1.6 * half,
  ]);
  return lines(angleDeg, all, v, y);
}

describe("the profile across a line", () => {
  // ∫ (1 − x²)^{3/2} from −1 to 1 is 3π/8 (Wallis; DLMF 5.12.1).
  const profile = (x: number): number => (8 / (3 * Math.PI)) * (1 - x * x) ** 1.5;

  it("its share below and the integral of that, by quadrature", () => {
    for (const x of [-1, -0.999, -0.8, -0.31, 0, 0.02, 0.5, 0.77, 0.9999, 1]) {
      expect(shareBelow(x)).toBeCloseTo(integral(profile, -1, x), 13);
      expect(shareSummed(x)).toBeCloseTo(integral(shareBelow, -1, x), 10);
    }
    expect([shareBelow(-1.2), shareBelow(7), shareSummed(-3), shareSummed(2.5)]).toEqual([0, 1, 0, 2.5]);
  });

  it("is what craters of the logarithmic law leave, round or slanted, along any line", () => {
    const [w, delta, log, perMm] = [0.03, 0.002, 2.3, 400];
    for (const [cosIncidence, turn] of [
      [1, 0],
      [0.5, 0],
      [0.5, 1.1],
      [0.7, Math.PI / 2],
    ] as const) {
      // The crater δ (L − 2(p²/w² + q²cos²i/w²)); the line runs along (cos, sin) of `turn` in (p, q).
      const [c, s] = [Math.cos(turn), Math.sin(turn)];
      const half = Math.sqrt(log / 2) * w * Math.hypot(s, c / cosIncidence);
      if (cosIncidence === 1) expect(2 * half).toBeCloseTo(removedDiameter(Math.exp(log), 1, w), 12);
      const volume = pulseVolume(Math.exp(log), 1, delta, footprintArea(w, cosIncidence));
      for (const share of [0, 0.3, -0.75, 0.98]) {
        const y = share * half;
        let depth = 0;
        const step = w / 4000;
        for (let x = -3 * w; x < 3 * w; x += step) {
          const [p, q] = [x * c - y * s, x * s + y * c];
          const fluence = Math.exp(log - 2 * ((p / w) ** 2 + ((q * cosIncidence) / w) ** 2));
          depth += perMm * step * pulseDepth(fluence, 1, delta);
        }
        const peak = ((perMm * volume) / half) * profile(0);
        expect(Math.abs(depth - ((perMm * volume) / half) * profile(share)) / peak).toBeLessThan(1e-5);
      }
    }
  });

  it("a single line's variance is that of the beta distribution, (1 + x)/2 ~ B(5/2, 5/2)", () => {
    // Variance 1/6 in x (Johnson, Kotz & Balakrishnan 1995, ch. 25, from memory); cells add c²/12 (Sheppard 1898).
    const grid = square(2, 0.05);
    for (const angle of [0, 90]) {
      const map = removalMap(grid, [lines(angle, [[0.013, -1.5, 1.5]], 1e-4, 0.6)], ones);
      let [sum, first, second] = [0, 0, 0];
      map.forEach((z, n) => {
        const [i, j] = [n % grid.columns, Math.floor(n / grid.columns)];
        const t = angle === 0 ? grid.top + (j + 0.5) * 0.05 : -(grid.left + (i + 0.5) * 0.05);
        sum += z;
        first += z * t;
        second += z * t * t;
      });
      expect(first / sum).toBeCloseTo(0.013, 5);
      expect(second / sum - (first / sum) ** 2).toBeCloseTo(0.36 / 6 + 0.0025 / 12, 5);
    }
  });
});

describe("volume", () => {
  it("is conserved by lines at any angle, however wide, with everything changing linearly", () => {
    const random = seeded(3);
    const grid = square(10, 0.07);
    for (const angle of [0, 90, 180, -90, 30, 45, 135, 90.001, 117]) {
      const list = Array.from({ length: 40 }, (): [number, number, number] => {
        const [t, s, length] = [12 * random() - 6, 6 * random() - 6, 6 * random()];
        return [t, s, s + length];
      });
      const [ax, ay, px, py] = directions(angle);
      const volumeAt = (a: number, b: number): number => 1e-4 * (1 + 0.03 * a - 0.02 * b);
      const left = { ...lines(angle, list, 0, 0), volumeAt };
      const laid = list.reduce((sum, [t, s0, s1]) => {
        const s = (s0 + s1) / 2;
        return sum + (s1 - s0) * volumeAt(s * ax + t * px, s * ay + t * py);
      }, 0);
      for (const half of [0, 1e-5, 0.03, 0.4]) {
        const halfWidthAt = (a: number): number => half * (1 + 0.02 * a);
        const map = removalMap(grid, [{ ...left, halfWidthAt }], () => 1.6);
        expect(Math.abs(volumeOf(map, grid, 1.6) / laid - 1)).toBeLessThan(1e-6);
      }
    }
  });

  it("of a line without width on a border is in one of the cells beside it", () => {
    const grid: Grid = { left: 0, top: 0, cellMm: 1, columns: 4, rows: 4 };
    const map = removalMap(grid, [lines(0, [[2, 1, 3]], 5, 0)], ones);
    expect(Array.from(map)).toEqual([0, 0, 0, 0, 0, 0, 0, 0, 0, 5, 5, 0, 0, 0, 0, 0]);
  });

  it("lies on the vessel's area, cell by cell", () => {
    const grid = square(3, 0.1);
    const trace = comb(30, 3, 0.08, 1e-4, 0.05);
    const flat = removalMap(grid, [trace], ones);
    const areaAt = (a: number, b: number): number => 1 + 0.1 * a + 0.05 * b;
    removalMap(grid, [trace], areaAt).forEach((z, n) => {
      const [i, j] = [n % grid.columns, Math.floor(n / grid.columns)];
      const area = areaAt(grid.left + (i + 0.5) * 0.1, grid.top + (j + 0.5) * 0.1);
      expect(z * area).toBeCloseTo(flat[n]!, 8);
    });
  });

  it("of lines beside the grid and across its edges: what falls on it", () => {
    const small = square(1, 0.1);
    const large = square(5, 0.1);
    for (const angle of [0, 90, 30, 120]) {
      const trace = comb(angle, 5, 0.9, 1e-4, 0.4);
      const whole = removalMap(large, [trace], ones);
      const off = (large.columns - small.columns) / 2;
      removalMap(small, [trace], ones).forEach((z, n) => {
        const [i, j] = [n % small.columns, Math.floor(n / small.columns)];
        expect(z).toBeCloseTo(whole[(j + off) * large.columns + i + off]!, 9);
      });
    }
  });
});

describe("an even comb", () => {
  /** Bessel's integral (Abramowitz & Stegun 9.1.21); the trapezoids converge exponentially. */
  const j2 = (z: number): number => {
    const n = 64 + 2 * Math.ceil(z);
    let sum = 0;
    for (let k = 0; k < n; k++) {
      const u = (2 * Math.PI * k) / n;
      sum += Math.cos(z * Math.sin(u) - 2 * u);
    }
    return sum / n;
  };
  const sinc = (x: number): number => (x === 0 ? 1 : Math.sin(x) / x);

  /**
   * Over the mean, in the cell whose middle is (a, b): the comb's harmonics. The profile's transform is 8 J₂(kY)/(kY)²
   * (Poisson's integral, Abramowitz & Stegun 9.1.20, ν = 2), a square cell's a sinc along either side.
   */
  function harmonics(
    angle: number,
    pitch: number,
    y: number,
    cell: number,
  ): (a: number, b: number) => number {
    const [, , px, py] = directions(angle);
    const parts = Array.from({ length: 150 }, (_, i) => {
      const k = (2 * Math.PI * (i + 1)) / pitch;
      return [k, ((16 * j2(k * y)) / (k * y) ** 2) * sinc((k * px * cell) / 2) * sinc((k * py * cell) / 2)];
    });
    return (a, b) => parts.reduce((sum, [k, h]) => sum + h! * Math.cos(k! * (a * px + b * py)), 1);
  }

  it("leaves its harmonics in every cell, at any angle, pitch and cell", () => {
    for (const [angle, pitch, y, cell] of [
      [0, 0.05, 0.04, 0.033],
      [90, 0.05, 0.04, 0.1],
      [30, 0.05, 0.05, 0.043],
      [45, 0.11, 0.04, 0.02],
      [100, 0.06, 0.1, 0.1],
      [-33, 0.2, 0.05, 0.1],
    ] as const) {
      const grid = square(8 * cell, cell);
      const map = removalMap(grid, [comb(angle, grid.columns * cell, pitch, 1e-5, y)], ones);
      const expected = harmonics(angle, pitch, y, cell);
      let most = 0;
      map.forEach((z, n) => {
        const a = grid.left + ((n % grid.columns) + 0.5) * cell;
        const b = grid.top + (Math.floor(n / grid.columns) + 0.5) * cell;
        most = Math.max(most, Math.abs(z / (1e-5 / pitch) - expected(a, b)));
      });
      expect(most).toBeLessThan(2e-5);
    }
  });

  it("at half the profile's width is even over cells of two lines, at right angles", () => {
    const grid = square(4, 0.1);
    for (const angle of [0, 90]) {
      const spread = spreadOf(removalMap(grid, [comb(angle, 5, 0.05, 1e-5, 0.05)], ones), everyCell(grid))!;
      expect(spread.mean).toBeCloseTo(1e-5 / 0.05, 9);
      expect(spread.spread).toBeLessThan(1e-6);
    }
  });

  it("two sets at 0 and 90 at half the width are even to the ripple that is there, whatever the cells", () => {
    const grid = square(4, 0.087);
    const sets = [0, 90].map((angle) => comb(angle, 5, 0.05, 1e-5, 0.05));
    const spread = spreadOf(removalMap(grid, sets, ones), everyCell(grid))!;
    expect(spread.mean).toBeCloseTo(2e-5 / 0.05, 6);
    // Both first harmonics at their crests, over those at their troughs.
    const crest = ((16 * Math.abs(j2(2 * Math.PI))) / (2 * Math.PI) ** 2) * sinc((Math.PI * 0.087) / 0.05);
    expect(spread.spread).toBeLessThan(2.05 * Math.abs(crest));
    expect(spread.spread).toBeGreaterThan(Math.abs(crest));
  });

  it("at twice the profile's width is striped as its closed form says", () => {
    const y = 0.5;
    const grid = square(10, 0.01 * y * 4);
    const spread = spreadOf(removalMap(grid, [comb(0, 12, 4 * y, 1e-5, y)], ones), everyCell(grid))!;
    // 5 % of the cells lie nearer to a line than 0.1 Y; half of them, beside it, are bare.
    const mean = 1e-5 / (4 * y);
    const high = ((1e-5 * 8) / (3 * Math.PI * y)) * (1 - 0.1 ** 2) ** 1.5;
    expect(spread.low).toBe(0);
    expect(spread.mean / mean).toBeCloseTo(1, 1);
    expect(spread.high / high).toBeCloseTo(1, 2);
  });
});

describe("pulses laid down one by one", () => {
  const [w, delta, energyMj, threshold] = [0.03, 0.002, 0.1, 1.1];

  it("along a few lines: the same depth in every cell, at any angle", () => {
    const log = Math.log(peakFluence(energyMj, w, 1) / threshold);
    const half = w * Math.sqrt(log / 2);
    const [cell, fine] = [0.02, 8];
    const grid = square(0.2, cell);
    for (const angle of [0, 30, 90, 160]) {
      const [ax, ay, px, py] = directions(angle);
      const step = w / 6;
      const at = [-0.23, -0.1, -0.01, 0.05, 0.19];
      const [wide, high] = [fine * grid.columns, fine * grid.rows];
      const small = new Float64Array(wide * high);
      const nth = (x: number): number => Math.floor((x * fine) / cell);
      for (const t of at) {
        for (let s = -0.6; s <= 0.6; s += step) {
          const [x, y] = [s * ax + t * px - grid.left, s * ay + t * py - grid.top];
          for (let j = Math.max(0, nth(y - half)); j <= Math.min(high - 1, nth(y + half)); j++) {
            for (let i = Math.max(0, nth(x - half)); i <= Math.min(wide - 1, nth(x + half)); i++) {
              const r2 = (((i + 0.5) * cell) / fine - x) ** 2 + (((j + 0.5) * cell) / fine - y) ** 2;
              small[j * wide + i]! += Math.max(0, delta * (log - (2 * r2) / (w * w)));
            }
          }
        }
      }
      const volume = pulseVolume(Math.exp(log), 1, delta, footprintArea(w, 1));
      const trace = lines(
        angle,
        at.map((t) => [t, -0.6, 0.6]),
        volume / step,
        half,
      );
      const map = removalMap(grid, [trace], ones);
      const peak = Math.max(...map);
      map.forEach((z, n) => {
        const [i, j] = [n % grid.columns, Math.floor(n / grid.columns)];
        let sum = 0;
        for (let k = 0; k < fine * fine; k++) {
          sum += small[(j * fine + Math.floor(k / fine)) * fine * grid.columns + i * fine + (k % fine)]!;
        }
        expect(Math.abs(z - sum / (fine * fine)) / peak).toBeLessThan(0.005);
      });
    }
  });

  it.each([
    [0, 0],
    [0, 0.6],
    [0.9, 0],
    [0.9, 0.6],
    [0.9, 1.2],
  ])("jittered, on a plane that leans by %f, lines turned by %f: the mean depth, and N ρ V", (lean, turn) => {
    const [speedMmS, frequencyKHz, pitchMm] = [600, 50, 0.04];
    const stepMm = speedMmS / (1000 * frequencyKHz);
    const cosIncidence = Math.cos(lean);
    const fluence = peakFluence(energyMj, w, cosIncidence);
    const random = seeded(17);
    const half = 6 * w;
    const patch = new Patch({ dropMm: 0, angle: lean }, { a: 0, b: 0 }, { a: half, b: half }, w / 16);
    layLines({ pitchMm, stepMm, turn }, { u: 0, v: 0, radius: 14 * w }, random, (u, v) => {
      patch.strike(
        u,
        v,
        { radiusMm: w, energyMj, pivotMm: Infinity },
        1.2 * removedDiameter(fluence, threshold, w),
        (f) => pulseDepth(f, threshold, delta),
      );
    });
    const volume = pulseVolume(fluence, threshold, delta, footprintArea(w, cosIncidence));
    // The set on the plane: v = b cos i.
    const [c, s] = [Math.cos(turn), Math.sin(turn) / cosIncidence];
    const stretch = Math.hypot(c, s);
    const log = Math.log(fluence / threshold);
    const across = Math.sqrt(log / 2) * w * Math.hypot(s / stretch, c / stretch / cosIncidence);
    const trace = comb(
      (Math.atan2(s, c) * 180) / Math.PI,
      4 * half,
      pitchMm / cosIncidence / stretch,
      volume / stepMm / stretch,
      across,
    );
    const grid = square(3 * half, half / 20);
    const map = removalMap(grid, [trace], ones);
    const inner = spreadOf(map, everyCell(grid))!;
    // ρ = f J/(v h), J = cos i.
    const density = (1000 * frequencyKHz * cosIncidence) / (speedMmS * pitchMm);
    expect(Math.abs(inner.mean / (density * volume) - 1)).toBeLessThan(0.01);
    expect(Math.abs(patch.mean() / inner.mean - 1)).toBeLessThan(0.02);
  });
});

describe("what is not known", () => {
  const grid = square(3, 0.1);

  it("stops a line that lies there, and only such", () => {
    const volumeAt = (a: number): number => (a > 1.03 ? Number.NaN : 1e-4);
    const upTo = (s1: number): Trace => ({ ...lines(0, [[0.01, -1, s1]], 0, 0.05), volumeAt });
    expect(volumeOf(removalMap(grid, [upTo(1)], ones), grid) / 2e-4).toBeCloseTo(1, 6);
    expect(() => removalMap(grid, [upTo(1.2)], ones)).toThrow(RangeError);
    for (const wrong of [-1, Number.NaN, Infinity]) {
      expect(() => removalMap(grid, [lines(0, [[0, -1, 1]], wrong, 0.05)], ones)).toThrow(RangeError);
      expect(() => removalMap(grid, [lines(0, [[0, -1, 1]], 1, wrong)], ones)).toThrow(RangeError);
    }
    const trace = lines(0, [[0, -1, 1]], 1, 1);
    expect(() => removalMap(grid, [{ ...trace, at: new Float64Array(2) }], ones)).toThrow(RangeError);
  });

  it("leaves cells off the vessel without a depth, and they cannot count", () => {
    const areaAt = (a: number): number => (a > 1 ? Number.NaN : 2);
    const map = removalMap(grid, [comb(90, 4, 0.05, 1e-4, 0.05)], areaAt);
    const right = Uint8Array.from(map, (_, n) => (n % grid.columns > grid.columns - 4 ? 1 : 0));
    const left = Uint8Array.from(map, (_, n) => (n % grid.columns < 30 ? 1 : 0));
    expect(() => spreadOf(map, right)).toThrow(RangeError);
    expect(spreadOf(map, left)!.mean).toBeCloseTo(1e-3, 8);
  });
});

describe("spreadOf", () => {
  it("is what a sort of the counted cells says", () => {
    const random = seeded(8);
    const map = Float32Array.from({ length: 5000 }, () => random() ** 3);
    const counts = Uint8Array.from(map, () => (random() < 0.4 ? 1 : 0));
    const kept = Array.from(map).filter((_, i) => counts[i] === 1);
    const { mean, low, high, spread, cells } = spreadOf(map, counts)!;
    expect(cells).toBe(kept.length);
    expect(mean).toBeCloseTo(kept.reduce((sum, v) => sum + v, 0) / kept.length, 12);
    // Nearest rank: a twentieth lies below the one and above the other, to one cell.
    expect(kept).toContain(low);
    expect(kept).toContain(high);
    expect(Math.abs(kept.filter((v) => v < low).length - 0.05 * cells)).toBeLessThanOrEqual(1);
    expect(Math.abs(kept.filter((v) => v > high).length - 0.05 * cells)).toBeLessThanOrEqual(1);
    expect(spread).toBeCloseTo((high - low) / mean, 12);
  });

  it("is null where few cells count or nothing is removed", () => {
    const map = new Float32Array(100).fill(3);
    const some = (n: number): Uint8Array => new Uint8Array(100).fill(1, 0, n);
    expect(spreadOf(map, some(49))).toBeNull();
    expect(spreadOf(map, some(50))).toEqual({ mean: 3, low: 3, high: 3, spread: 0, cells: 50 });
    expect(spreadOf(new Float32Array(100), some(100))).toBeNull();
  });
});

it("takes lines as they are clipped", () => {
  const grid = square(5, 0.1);
  const at = Float64Array.from({ length: 60 }, (_, k) => (k - 29.5) * 0.05);
  const trace = lines(90, [], 1e-4, 0.04);
  const shape = { contours: [rectangle(-4, -1, 8, 2)] };
  const map = removalMap(grid, [{ ...trace, at, rows: rowsAt([shape], 90, at) }], ones);
  expect(volumeOf(map, grid) / (60 * 2 * 1e-4)).toBeCloseTo(1, 6);
});
