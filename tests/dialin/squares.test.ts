/** Pivots from squares: published relation p = h L₁/(L₂ − L₁) (model of head/scanhead.ts), and 200 seeded readings to 0.1 mm. */
import { describe, expect, it } from "vitest";
import { dialIn, toldBy } from "../../src/dialin/dialin.ts";
import { findIn } from "../../src/dialin/estimate.ts";
import { pivotFromSquares } from "../../src/head/scanhead.ts";
import { stripOf } from "../../src/plan/strip/layout.ts";
import { jobOf, vessel } from "../plan/process-helpers.ts";
import { seeded } from "../support/pulses.ts";
import { readSquares } from "./simulated.ts";
import { drawTruth } from "./truth.ts";

const job = jobOf({ vessel, coating: { id: "powder-black" } });
const strip = stripOf(job, { ladder: "squares" });

describe("200 pairs of squares read to 0.1 mm", () => {
  const found = Array.from({ length: 200 }, (_, seed) => {
    const rng = seeded(seed);
    const truth = { ...drawTruth(job, rng, 0.2), focusErrorMm: 0 };
    const { estimates } = toldBy(findIn([{ strip, readings: readSquares(strip, truth, rng) }]));
    return (["pivotXMm", "pivotYMm"] as const).map((name, i) => ({
      ...estimates[name]!,
      true: truth.pivotMm[i] as number,
    }));
  }).flat();

  it("the pivots come out within 2 % in 90 % of them", () => {
    const near = found.filter((p) => Math.abs(p.value / p.true - 1) <= 0.02);
    expect(near.length / found.length).toBeGreaterThanOrEqual(0.9);
  });

  it("the 90 % intervals hold them in 85 to 95 %", () => {
    const held = found.filter((p) => p.low <= p.true && p.true <= p.high!).length / found.length;
    expect(held).toBeGreaterThanOrEqual(0.85);
    expect(held).toBeLessThanOrEqual(0.95);
  });
});

it("lengths without fault give the relation's own p", () => {
  const [l1, l2] = [180, 186.4];
  const readings = [
    { mark: 1, row: 1, sidesMm: [l1, l1] as const },
    { mark: 2, row: 2, sidesMm: [l2, l2] as const },
  ];
  const { estimates, unresolved } = dialIn([{ strip, readings }]);
  expect(Math.abs(estimates.pivotXMm!.value / pivotFromSquares(20, l1, l2) - 1)).toBeLessThan(0.01);
  expect(unresolved).not.toContain("pivotXMm");
});

it("a telecentric lens is told as one whose pivot nothing bounds", () => {
  const flat = stripOf(jobOf({ vessel, lens: { pivotMm: "telecentric" } }), { ladder: "squares" });
  const readings = [1, 2].map((mark) => ({ mark, row: mark, sidesMm: [180, 180] as const }));
  const { estimates } = dialIn([{ strip: flat, readings }]);
  expect(estimates.pivotXMm!.high).toBeNull();
  expect(estimates.pivotXMm!.low).toBeGreaterThan(2000);
});
