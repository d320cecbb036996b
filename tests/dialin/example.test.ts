/**
 * The worked example of the README: Heron Reach's black cups, their strips read by simulation. The filled forms in
 * fixtures/demo/dial-in are written by this test (`-u`); what the fit makes of them must be what was put in.
 */
import { describe, expect, it } from "vitest";
import { readingsForm } from "../../src/cli/readingsform.ts";
import { checkTogether } from "../../src/dialin/contradictions.ts";
import { dialIn } from "../../src/dialin/dialin.ts";
import { stripOf } from "../../src/plan/strip/layout.ts";
import type { Ladder, Reading, ReadStrip, Strip } from "../../src/plan/strip/types.ts";
import { jobOf } from "../plan/process-helpers.ts";
import { seeded } from "../support/pulses.ts";
import { readBySimulation } from "./simulated.ts";
import { truthOf } from "./trials.ts";
import type { Truth } from "./truth.ts";

/** As in tests/demo.js and the README. */
const job = jobOf({
  vessel: { diameterMm: 76.4 },
  source: { id: "fibre-60" },
  coating: { id: "powder-black" },
  settings: { powerW: 27, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.025 },
});
/** Invented, within what the profiles allow. */
const truth: Truth = {
  ...{ sidewaysMm: 0.8, focusErrorMm: -1.1, m2: 1.42, beamDiameterMm: 6.7 },
  ...{ thresholdJPerCm2: 0.52, depthUm: 2.4, thicknessUm: 70 },
  ...{ metalThresholdJPerCm2: 6.2, incubation: 0.81, pivotMm: [561, 547] as const },
};

const filled = (strip: Strip, readings: readonly Reading[]): string => {
  const lines = readingsForm(strip).trimEnd().split("\n");
  const ends = (e: Reading["clear"]): string =>
    e === undefined ? "," : e === "none" ? "none,none" : e.join(",");
  return `${lines
    .map((line) => {
      const reading = readings.find(({ mark }) => line.startsWith(`${mark},`));
      if (!reading) return line;
      const set = line.replace(/,+$/, "");
      const { clear, gap, metal, sidesMm } = reading;
      return sidesMm ? `${set},${sidesMm.join(",")}` : `${set},${[clear, gap, metal].map(ends).join(",")}`;
    })
    .join("\n")}\n`;
};
const read = (ladder: Ladder, seed: number): ReadStrip => {
  const strip = stripOf(job, { ladder });
  return {
    strip,
    readings: readBySimulation(
      strip,
      { ...truth, focusErrorMm: ladder === "squares" ? 0 : truth.focusErrorMm },
      seeded(seed),
    ),
  };
};

describe("Heron Reach's black cup", () => {
  const strips = (["settings", "focus", "squares"] as const).map((ladder, i) => read(ladder, 20 + i));

  it.each(strips.map((one) => [one.strip.name, one] as const))(
    "the form of the strip %s is filled in",
    async (name, one) => {
      checkTogether(one);
      await expect(filled(one.strip, one.readings)).toMatchFileSnapshot(
        `../../fixtures/demo/dial-in/${name}.readings.csv`,
      );
    },
  );

  it("the fit tells everything, each figure's interval holds what was put in but for one in ten", () => {
    const { estimates, unresolved } = dialIn(strips);
    expect(unresolved).toEqual([]);
    const put: Record<string, number> = {
      ...truthOf(job, truth),
      pivotXMm: truth.pivotMm[0] as number,
      pivotYMm: truth.pivotMm[1] as number,
    };
    const missed = Object.entries(put).filter(([name, value]) => {
      const { low, high } = estimates[name]!;
      return !(low <= value && value <= high!);
    });
    expect(missed.length).toBeLessThanOrEqual(1);
    expect(Math.abs(estimates.sidewaysMm!.value - truth.sidewaysMm)).toBeLessThan(0.3);
    expect(Math.abs(estimates.rayleighMm!.value / put.rayleighMm! - 1)).toBeLessThan(0.08);
    expect(Math.abs(estimates.thresholdRatio!.value / put.thresholdRatio! - 1)).toBeLessThan(0.1);
    expect(Math.abs(estimates.pivotXMm!.value / put.pivotXMm! - 1)).toBeLessThan(0.02);
  });
});
