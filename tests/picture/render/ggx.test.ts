/** The reflection model: against quadrature and optics. */
import { describe, expect, it } from "vitest";
import {
  bounce,
  disk,
  distribution,
  fresnel,
  glossOf,
  reflect,
  roughnessOfGloss,
  schlick,
  shadowing,
} from "../../../src/picture/render/ggx.ts";

const roughnesses = [0.05, 0.1, 0.3, 0.6, 1].flatMap((along) =>
  [0.05, 0.2, 0.5, 1].map((across) => ({ along, across })),
);

/** ∫ over the hemisphere of `of`, midpoints in θ and φ. */
function overHemisphere(of: (x: number, y: number, z: number) => number): number {
  const [rows, columns] = [1200, 720];
  let sum = 0;
  for (let i = 0; i < rows; i++) {
    // Closer toward the normal, where a smooth lobe stands.
    const s = (i + 0.5) / rows;
    const theta = (Math.PI / 2) * s * s;
    const step = ((Math.PI / 2) * 2 * s) / rows;
    for (let j = 0; j < columns; j++) {
      const phi = (2 * Math.PI * (j + 0.5)) / columns;
      const r = Math.sin(theta);
      sum += of(r * Math.cos(phi), r * Math.sin(phi), Math.cos(theta)) * r * step;
    }
  }
  return (sum * 2 * Math.PI) / columns;
}

describe("GGX", () => {
  // What any distribution of facets must do: their projected area is the ground's (Walter et al., 2007, eq. 4).
  it.each(roughnesses)("the facets' projected area is 1 for α = $along, $across", (rough) => {
    expect(overHemisphere((x, y, z) => distribution(rough, x, y, z) * z)).toBeCloseTo(1, 3);
  });

  // What a viewer sees of the facets is what he sees of the ground (Smith's condition; Heitz, 2014, eq. 6).
  it.each(roughnesses.filter(({ along, across }) => along >= 0.1 && across >= 0.2))(
    "the facets seen from a side add up to the ground seen for α = $along, $across",
    (rough) => {
      const [vx, vy, vz] = [0.6, -0.36, Math.sqrt(1 - 0.36 - 0.1296)];
      const seen = overHemisphere(
        (x, y, z) => distribution(rough, x, y, z) * Math.max(0, x * vx + y * vy + z * vz),
      );
      expect(seen / (1 + shadowing(rough, vx, vy, vz)) / vz).toBeCloseTo(1, 2);
    },
  );

  it("directions are drawn as the lobe's own integral weighs them, along the grain, across it and between", () => {
    const points = disk(4096);
    for (const [along, across, deg, turn] of [
      [0.3, 0.3, 0, 0],
      [0.3, 0.6, 40, 0],
      [0.2, 0.5, 65, 90],
      [0.6, 0.2, 50, 30],
      [0.25, 0.9, 70, -120],
    ] as const) {
      const rough = { along, across };
      const [sin, vz] = [Math.sin((deg * Math.PI) / 180), Math.cos((deg * Math.PI) / 180)];
      const [vx, vy] = [sin * Math.cos((turn * Math.PI) / 180), sin * Math.sin((turn * Math.PI) / 180)];
      for (const light of [() => 1, (x: number, y: number, z: number) => 1 + x + 2 * y * y + 0.5 * y + z]) {
        for (const reflected of [(): number => 1, (cos: number): number => fresnel(1.5, cos)]) {
          const out = bounce();
          let drawn = 0;
          for (let i = 0; i < points.length; i += 2) {
            reflect(rough, vx, vy, vz, points[i]!, points[i + 1]!, out);
            drawn += (out.weight * reflected(out.cosHalf) * light(out.lx, out.ly, out.lz)) / 4096;
          }
          const summed = overHemisphere((x, y, z) => {
            const length = Math.hypot(x + vx, y + vy, z + vz);
            const [hx, hy, hz] = [(x + vx) / length, (y + vy) / length, (z + vz) / length];
            const dim = 1 / (1 + shadowing(rough, vx, vy, vz) + shadowing(rough, x, y, z));
            const facet = distribution(rough, hx, hy, hz) * reflected(x * hx + y * hy + z * hz);
            return (facet * dim * light(x, y, z)) / (4 * vz);
          });
          expect(drawn / summed).toBeCloseTo(1, 2);
        }
      }
    }
  });

  it("a smooth surface sends nearly all back, a rough one loses more", () => {
    const points = disk(1024);
    const out = bounce();
    const sent = (alpha: number): number => {
      let sum = 0;
      for (let i = 0; i < points.length; i += 2) {
        reflect({ along: alpha, across: alpha }, 0.5, 0, Math.sqrt(0.75), points[i]!, points[i + 1]!, out);
        sum += out.weight / 1024;
      }
      return sum;
    };
    expect(sent(0.05)).toBeGreaterThan(0.98);
    expect([0.05, 0.2, 0.5, 1].map(sent)).toEqual([0.05, 0.2, 0.5, 1].map(sent).sort((a, b) => b - a));
  });
});

describe("Fresnel", () => {
  it.each([
    // ((n − 1)/(n + 1))² at normal incidence: any textbook on optics.
    ["n = 1.5, square on", 1.5, 1, 0.04],
    ["n = 1.567, square on", 1.567, 1, (0.567 / 2.567) ** 2],
    // At Brewster's angle tan i = n only one polarisation is left: half of ((n² − 1)/(n² + 1))².
    ["n = 1.5 at Brewster's angle", 1.5, 1 / Math.sqrt(1 + 2.25), 0.5 * (1.25 / 3.25) ** 2],
    ["grazing", 1.5, 0, 1],
    // Polished black glass n = 1.567 at 60°: 0.1001, the basis of 100 gloss units (ISO 2813, from memory).
    ["black glass at 60°", 1.567, 0.5, 0.1001],
  ])("%s", (_, n, cos, expected) => {
    expect(fresnel(n, cos)).toBeCloseTo(expected, 4);
  });

  it("Schlick's form meets both ends", () => {
    expect(schlick(0.6, 1)).toBe(0.6);
    expect(schlick(0.6, 0)).toBe(1);
  });
});

describe("gloss at 60°", () => {
  it("falls with roughness, and finds its roughness again", () => {
    for (const gloss of [2, 5, 15, 30, 50, 70])
      expect(glossOf(roughnessOfGloss(gloss))).toBeCloseTo(gloss, 2);
    const list = [0.01, 0.03, 0.1, 0.3, 1].map(glossOf);
    expect([...list].sort((a, b) => b - a)).toEqual(list);
  });

  it("a polished coat has the glass's gloss times the ratio of their reflectances", () => {
    // All light goes into the receptor: F(1.5)/F(1.567) at 60°.
    expect(glossOf(0.003)).toBeCloseTo((100 * fresnel(1.5, 0.5)) / fresnel(1.567, 0.5), -0.7);
  });

  it("a gloss that no coat has is the nearest that one has", () => {
    expect(roughnessOfGloss(100)).toBeCloseTo(0.003, 5);
    expect(glossOf(0.003)).toBeCloseTo(88, 0);
    expect(roughnessOfGloss(0)).toBeCloseTo(1, 5);
  });
});
