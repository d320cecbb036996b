/** Numbers between nodes: what a beam removes on a cylinder, the error of bilinear interpolation, and where it ends. */
import { describe, expect, it } from "vitest";
import { footprintArea } from "../../../src/beam/pulse.ts";
import { pulseVolume } from "../../../src/beam/removal.ts";
import { focusedSpot, relativeFluence } from "../../../src/beam/spot.ts";
import { gridOver } from "../../../src/plan/fill/coverage.ts";
import { Lattice } from "../../../src/plan/fill/lattice.ts";
import { seeded } from "../../support/pulses.ts";

describe("numbers between the lattice's nodes", () => {
  // A level cylinder of radius 38 under a beam straight down, focus 1.5 mm below the crown.
  const radius = 38;
  const spot = focusedSpot({ wavelengthNm: 1064, beamDiameterMm: 7, m2: 1.5 }, 254);
  const volumeAt = (a: number): number => {
    const cosIncidence = Math.cos(a / radius);
    const defocus = radius * (1 - cosIncidence) - 1.5;
    const grown = 1 + (defocus / spot.rayleighMm) ** 2;
    const fluence = 8 * relativeFluence({ defocus, slant: 1, cosIncidence }, spot);
    const area = footprintArea(spot.waistDiameterMm / 2, cosIncidence) * grown;
    return 100 * pulseVolume(fluence, 1, 0.002, area);
  };

  it("are near to what a beam removes on a cylinder, and no further off than bilinear is", () => {
    const grid = gridOver({ minX: -33, minY: -40, maxX: 33, maxY: 40 }, 0.1);
    const smooth = (a: number, b: number): number => Math.cos(a / 38) * Math.exp(b / 100);
    const lattice = new Lattice(grid, volumeAt, smooth);
    const out = new Float64Array(2);
    const random = seeded(2);
    const peak = Math.max(...Array.from({ length: 330 }, (_, k) => volumeAt(k / 10)));
    let [strong, all, other] = [0, 0, 0];
    for (let k = 0; k < 20_000; k++) {
      const [x, y] = [grid.columns * random(), grid.rows * random()];
      const [a, b] = [grid.left + x * 0.1, grid.top + y * 0.1];
      lattice.at(x, y, out);
      const [volume, off] = [volumeAt(a), Math.abs(out[0]! - volumeAt(a))];
      if (volume > peak / 2) strong = Math.max(strong, off / volume);
      all = Math.max(all, off / peak);
      other = Math.max(other, Math.abs(out[1]! - smooth(a, b)));
    }
    expect(strong).toBeLessThan(0.0015);
    expect(all).toBeLessThan(0.004);
    // h²/8 of both second derivatives at most, h = 0.5 (any text on numerical analysis).
    expect(other).toBeLessThan((Math.exp(0.42) * (1 / 38 ** 2 + 1 / 100 ** 2)) / 32);
    expect(other).toBeGreaterThan(0);
  });

  it("are exact beside what is not known and beside the grid", () => {
    const grid = gridOver({ minX: -5, minY: -5, maxX: 5, maxY: 5 }, 0.1);
    const f = (a: number, b: number): number => (a > 2.03 ? Number.NaN : Math.sin(a) + b * b);
    const lattice = new Lattice(grid, f);
    const out = new Float64Array(1);
    for (const [x, y] of [
      [72.2, 31],
      [20, -3.3],
      [-0.4, 50],
      [20, 300],
    ] as const) {
      lattice.at(x, y, out);
      expect(out[0]).toBe(f(grid.left + x * 0.1, grid.top + y * 0.1));
    }
    lattice.at(90, 20, out);
    expect(out[0]).toBeNaN();
  });
});
