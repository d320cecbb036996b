/** The falloff's range over ink against a dense grid of the ink's own points, straight from the definitions. */
import { describe, expect, it } from "vitest";
import { relativeFluence } from "../../src/beam/spot.ts";
import { readInk } from "../../src/ink/ink.ts";
import { resolveJob } from "../../src/job/resolve.ts";
import { falloffAt, falloffOver } from "../../src/plan/falloff.ts";
import { planJob } from "../../src/plan/plan.ts";
import { cylinder } from "../../src/vessel/cylinder.ts";
import { Warp } from "../../src/warp/warp.ts";
import { profiles } from "../support/profiles.ts";

const drawing = (content: string): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="300mm" viewBox="0 0 100 300">${content}</svg>`;

// Ink of width w, height h with its middle at (a, b); the frame has a hole that leaves a rim of 3 mm.
const cases: [string, number, number, number, number, boolean][] = [
  ["tall and narrow", 6, 270, 0, 0, false],
  ["tall", 30, 280, 0, 0, false],
  ["tall and wide", 60, 250, 0, 0, false],
  ["off the crown line and the placement point", 20, 150, 20, 40, false],
  ["a frame around the middle", 50, 90, 0, 0, true],
];

describe.each(cases)("%s", (_, w, h, a, b, frame) => {
  it("least and most relative fluence agree with the grid to 5e-4", async () => {
    const hole = frame ? `M3 3V${h - 3}H${w - 3}V3z` : "";
    const artwork = await readInk(drawing(`<path fill-rule="evenodd" d="M0 0H${w}V${h}H0z${hole}"/>`));
    const plan = planJob(
      artwork,
      resolveJob({}, { vessel: { diameterMm: 82 }, placement: { atMm: [a, b] } }, profiles),
    );
    let min = 1;
    let max = 0;
    for (let i = 0; i <= 400; i++) {
      for (let j = 0; j <= 400; j++) {
        const x = (w * i) / 400;
        const y = (h * j) / 400;
        if (frame && x > 3 && x < w - 3 && y > 3 && y < h - 3) continue;
        const m = plan.warp.meeting(a + x - w / 2, b + y - h / 2);
        if (typeof m === "string") continue;
        const phi = relativeFluence(m, plan.spot);
        min = Math.min(min, phi);
        max = Math.max(max, phi);
      }
    }
    expect(Math.abs(plan.falloff.min - min)).toBeLessThan(5e-4);
    expect(Math.abs(plan.falloff.max - max)).toBeLessThan(5e-4);
  });
});

describe("over a grid the falloff is that of its points", () => {
  const rows = Float64Array.from({ length: 31 }, (_, j) => 12 * (j - 15));
  const columns = Float64Array.from({ length: 61 }, (_, i) => 5 * (i - 30));
  it.each([
    ["girth", 545, 531, 7],
    ["sight", 545, 531, -3],
    ["girth", Infinity, Infinity, 0],
    ["girth", 60, 40, 30],
  ] as const)("%s, pivots %d and %d, focus %d mm below", (fidelity, pivotAcross, pivotAlong, belowCrown) => {
    const head = { pivotAcross, pivotAlong, field: 300, belowCrown };
    const surface = cylinder(41, fidelity);
    const spot = { waistDiameterMm: 0.12, rayleighMm: 7.3 };
    const out = new Float64Array(rows.length * columns.length).fill(-1);
    for (const alikeAlong of [true, false]) {
      const warp = new Warp({ ...surface, alikeAlong }, head);
      falloffOver(warp, spot, columns, rows, out);
      let met = 0;
      rows.forEach((b, j) => {
        columns.forEach((a, i) => {
          const phi = falloffAt(warp, spot, a, b);
          expect(Math.abs(out[j * columns.length + i]! - phi), `${a}, ${b}`).toBeLessThan(1e-13);
          if (phi > 0) met++;
        });
      });
      expect(met).toBeGreaterThan(300);
    }
  });
});
