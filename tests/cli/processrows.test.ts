/** The summary's time: the same words as the station sheet's, whatever the time. */
import { expect, it } from "vitest";
import { processRows } from "../../src/cli/processrows.ts";
import { type Report, reportOf } from "../../src/plan/report.ts";
import { crestPlan } from "../picture/helpers.ts";

it.each([
  [99.7, "1 min 40 s"],
  [7440, "2 h 4 min"],
])("%d s are told as %s", async (seconds, words) => {
  const plan = await crestPlan({
    source: { id: "fibre-60" },
    settings: { powerW: 27, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.1 },
  });
  const report = reportOf(plan) as Report;
  const process = { ...report.process!, time: { ...report.process!.time, seconds } };
  expect(processRows({ ...report, process }).join("\n")).toMatch(new RegExp(`time +about ${words} marking`));
});
