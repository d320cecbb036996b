/**
 * What readings tell of machines, coats and lays that nobody knows: two strips each (settings, then focus aimed by the first),
 * marked and read by the removal simulation with noise and rounding to bars, all seeded.
 */
import { beforeAll, expect, it } from "vitest";
import type { JobFile } from "../../src/job/job.ts";
import { jobOf, usual } from "../plan/process-helpers.ts";
import { trialOf, truthOf } from "./trials.ts";

const settings = { ...usual, powerPercent: undefined, powerW: 27 } as never;
const machines: JobFile[] = [
  { vessel: { diameterMm: 76.4 }, source: { id: "fibre-60" }, coating: { id: "powder-black" }, settings },
  { vessel: { diameterMm: 65 }, source: { id: "fibre-50" }, coating: { id: "powder-any" }, settings },
  {
    vessel: { taperMm: [88, 70, 150] },
    source: { id: "fibre-100" },
    coating: { id: "powder-red" },
    settings,
  },
  {
    ...{ vessel: { diameterMm: 82 }, source: { id: "fibre-60" }, coating: { id: "powder-blue" }, settings },
    lens: { id: "field-220" },
  },
];
const EACH = 50;

interface Seen {
  readonly off: number;
  readonly share: number;
  readonly held: boolean;
}
/** By name, in the order of the trials. */
const seen: Record<string, Seen[]> = {};
let refused = 0;

beforeAll(() => {
  machines.forEach((asked, m) => {
    const job = jobOf(asked);
    for (let k = 0; k < EACH; k++) {
      let trial: ReturnType<typeof trialOf>;
      try {
        trial = trialOf(job, 1000 * m + k);
      } catch {
        refused++;
        continue;
      }
      for (const [name, value] of Object.entries(truthOf(job, trial.truth))) {
        const { value: found, low, high } = trial.estimates[name]!;
        seen[name] = seen[name] ?? [];
        seen[name].push({
          off: found - value,
          share: found / value - 1,
          held: low <= value && value <= high!,
        });
      }
    }
  });
}, 900_000);

it("no honest set of readings is refused but one or two of 200", () => {
  expect(refused).toBeLessThanOrEqual(2);
});

it("misalignment within 0.3 mm, Rayleigh range within 8 %, threshold ratio within 10 % in 90 % of them", () => {
  const good = seen.sidewaysMm!.filter(
    ({ off }, i) =>
      Math.abs(off) <= 0.3 &&
      Math.abs(seen.rayleighMm![i]!.share) <= 0.08 &&
      Math.abs(seen.thresholdRatio![i]!.share) <= 0.1,
  );
  expect(good.length / (machines.length * EACH)).toBeGreaterThanOrEqual(0.9);
});

it.each([
  "sidewaysMm",
  "focusErrorMm",
  "spotUm",
  "rayleighMm",
  "thresholdRatio",
  "thresholdJPerCm2",
  "depthUm",
  "metalThresholdJPerCm2",
])("the 90 %% interval of %s holds the truth in 85 to 95 %% of them", (name) => {
  const held = seen[name]!.filter((one) => one.held).length / seen[name]!.length;
  // 200 draws of 90 % scatter by 2.1 % (binomial): the upper bound is widened by half of that.
  expect(held).toBeGreaterThanOrEqual(0.85);
  expect(held).toBeLessThanOrEqual(0.96);
});
