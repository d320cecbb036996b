/** A calibration as fallaway fit writes one, of the boathouse's station; all figures made up. */
import type { Calibration } from "../../src/job/calibration.ts";

/** Loadings of one common cause: l_i l_j off the diagonal is a correlation whatever they are below 1. */
const loadings = {
  spotUm: 0.9,
  rayleighMm: 0.7,
  thresholdJPerCm2: -0.85,
  depthUm: -0.6,
  metalThresholdJPerCm2: 0.3,
  incubation: 0.2,
};
export const names = Object.keys(loadings) as (keyof typeof loadings)[];

export const correlationOf = (some: readonly (keyof typeof loadings)[]): Calibration["correlation"] => ({
  names: [...some],
  rows: some.map((a) => some.map((b) => (a === b ? 1 : loadings[a] * loadings[b]))),
});

/** Low and high so that the value is the median. */
const about = (value: number, factor: number) => ({ value, low: value / factor, high: value * factor });

const strip: Calibration["strips"][number]["strip"] = {
  schema: "fallaway-strip-1",
  name: "settings",
  ladder: "settings",
  calibrated: false,
  barHeightMm: 3,
  numbersWith: 1,
  marks: [
    {
      number: 1,
      belowCrownMm: 0,
      settings: {
        ...{ powerW: 27, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.025 },
        ...{ anglesDeg: [90, 0], passes: 1, jumpSpeedMmS: 3000 },
      },
      rowMm: 0,
    },
  ],
  bars: [-10, 0, 10, 20].map((atMm, i) => ({ number: i + 1, atMm, widthMm: 0.6 })),
  job: { vessel: { diameterMm: 82 } },
};

export function boathouse(change: Partial<Calibration> = {}): Calibration {
  return {
    schema: "fallaway-calibration-1",
    date: "2026-11-02",
    machine: "Boathouse",
    lens: "field-300",
    source: "fibre-60",
    coating: "powder-black",
    metal: "steel-brushed",
    figures: {
      lens: {
        workingDistanceMm: 441.5,
        pivotMm: [480, 512],
        spotUm: about(128, 1.05),
        rayleighMm: about(7.9, 1.06),
      },
      coating: { thicknessUm: 60, thresholdJPerCm2: about(0.45, 1.08), depthUm: about(4.1, 1.1) },
      metal: { thresholdJPerCm2: about(5, 1.15), incubation: about(0.8, 1.03) },
    },
    correlation: correlationOf(names),
    placed: [{ strip: "settings", sidewaysMm: 0.8, focusErrorMm: -0.4 }],
    strips: [{ strip, readings: [{ mark: 1, row: 1, clear: [2, 3] }] }],
    ...change,
  };
}
