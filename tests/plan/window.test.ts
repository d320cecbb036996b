/** Ink in cells, and the safe window of the power: closed forms, both ends looked at again, and the hint kept. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../src/job/job.ts";
import { type Cell, cellsOf } from "../../src/plan/process/cells.ts";
import { effect, type Met, type Process } from "../../src/plan/process/process.ts";
import { safeWindow, safeWindows } from "../../src/plan/process/window.ts";
import { reportOf } from "../../src/plan/report.ts";
import {
  drawing,
  exact,
  planned,
  processWith,
  reason,
  rectangle,
  relative,
  usual,
  vessel,
} from "./process-helpers.ts";

const upTo = (mostW: number) => ({ leastW: 0, mostW });

describe("ink in cells", () => {
  const cellsIn = async (content: string, at: [number, number] = [0, 0]) => {
    const plan = await planned(drawing(content), { vessel, placement: { atMm: at } });
    const cells = cellsOf(plan.ink.shapes, plan.warp);
    const sum = (of: (c: Cell) => number): number => cells.reduce((s, c) => s + of(c), 0);
    expect(
      relative(
        sum((c) => c.areaMm2),
        plan.ink.areaMm2,
      ),
    ).toBeLessThan(1e-9);
    for (const { a, met, b } of cells) {
      expect(a).toBeGreaterThanOrEqual(0);
      expect(met).toEqual(plan.warp.meeting(a, b));
    }
    return {
      cells,
      mean: (of: (c: Cell) => number) => sum((c) => of(c) * c.areaMm2) / sum((c) => c.areaMm2),
    };
  };

  it("a rectangle: mean |a| is a quarter of its width, mean b 0; both sides are one", async () => {
    const { cells, mean } = await cellsIn(`<path d="M0 0H60V40H0z"/>`);
    expect(mean((c) => c.a)).toBeCloseTo(15, 2);
    expect(mean((c) => c.b)).toBeCloseTo(0, 2);
    // Of a²: w²/12 less a cell's own (w/192)²/12.
    expect(
      relative(
        mean((c) => c.a ** 2),
        300,
      ),
    ).toBeLessThan(1e-3);
    expect(cells.length).toBeLessThanOrEqual(96 * 48);
  });

  it("beside the crown line, on either side alike: mean |a| is where its middle is", async () => {
    const right = await cellsIn(`<path d="M0 0H20V30H0z"/>`, [14, 5]);
    const left = await cellsIn(`<path d="M0 0H20V30H0z"/>`, [-14, 5]);
    for (const { mean } of [right, left]) {
      expect(mean((c) => c.a)).toBeCloseTo(14, 1);
      expect(mean((c) => c.b)).toBeCloseTo(5, 1);
    }
    expect(left.cells).toHaveLength(right.cells.length);
  });

  it("a disc: mean |a| is 4r/(3π)", async () => {
    const { mean } = await cellsIn(`<circle cx="50" cy="50" r="24"/>`);
    expect(
      relative(
        mean((c) => c.a),
        (4 * 24) / (3 * Math.PI),
      ),
    ).toBeLessThan(2e-3);
  });

  it("specks between the rows are not lost", async () => {
    // 0.01 mm squares at the corners of 60 × 60 mm and none else: four shapes, two cells at |a| = 30.
    const speck = (x: number, y: number): string => `<path d="M${x} ${y}h.01v.01h-.01z"/>`;
    const { cells, mean } = await cellsIn(
      [speck(0, 0), speck(60, 0), speck(0, 60.003), speck(60, 60.003)].join(""),
    );
    expect(cells.map((c) => Math.round(c.b))).toEqual([-29, 29]);
    expect(mean((c) => c.a)).toBeCloseTo(30, 0);
    expect(cells[0]!.areaMm2).toBeCloseTo(2e-4, 6);
  });
});

const cell = (met: Partial<Met> = {}): Cell => ({
  a: 0,
  b: 0,
  areaMm2: 1,
  met: { defocus: 0, slant: 1, cosIncidence: 1, areaRatio: 1, ...met },
});

describe("one point, by closed form", () => {
  // w₀ = 2M²λf/(πD) and z_R = πw₀²/(M²λ), M² = 1.5, D = 7 mm, f = 420 mm.
  const w0 = (2 * 1.5 * 1.064e-3 * 420) / (Math.PI * 7);
  const zR = (Math.PI * w0 * w0) / (1.5 * 1.064e-3);
  const points: [string, Met][] = [
    ["in focus", cell().met],
    ["at the depth limit, met at 50°", { defocus: zR, slant: 1, cosIncidence: 0.643, areaRatio: 0.62 }],
    ["on a slanting beam", { defocus: -3, slant: 1.02, cosIncidence: 0.8, areaRatio: 0.9 }],
  ];

  it.each(points)("%s: ln(F/F_c) = √(T/(NρJV₁)), P = Fπw²f/(2 cos i)", (_, met) => {
    const w = w0 * Math.hypot(1, (met.defocus * met.slant) / zR);
    // W at which the peak fluence is F J/cm², at 50 kHz: E = F·π(w/10)²/(2 cos i) in J.
    const powerAt = (F: number): number => ((F * Math.PI * (w / 10) ** 2) / (2 * met.cosIncidence)) * 50_000;
    for (const passes of [1, 3, 6]) {
      const perLog = 2 * passes * (50_000 / 22.5) * met.areaRatio;
      const volume = ((Math.PI / 4) * w * w * 0.0025) / met.cosIncidence;
      const least = powerAt(0.6 * Math.exp(Math.sqrt(0.07 / (perLog * volume))));
      // Without incubation the metal stands up to F_m whatever came before.
      const process = processWith({ incubation: exact(1), metalThreshold: exact(30) });
      const { clearsFromW, sparesUpToW, bestW, chance } = safeWindow(process, [cell(met)], passes, upTo(1e4));
      expect(relative(clearsFromW.value, least)).toBeLessThan(1e-3);
      expect(relative(sparesUpToW.value, powerAt(30))).toBeLessThan(1e-3);
      expect(bestW!).toBeGreaterThanOrEqual(least);
      expect(bestW!).toBeLessThanOrEqual(powerAt(30));
      expect(bestW).toBe(Number(bestW!.toPrecision(2)));
      expect(chance).toBe(1);
      for (const f of [clearsFromW, sparesUpToW]) expect([f.low, f.high]).toEqual([f.value, f.value]);
    }
  });

  it("the source's power is the end of it: no more is named, and less than the least shuts", () => {
    const process = processWith();
    const { clearsFromW, sparesUpToW } = safeWindow(process, [cell()], 1, upTo(1e4));
    const most = 1.1 * clearsFromW.value;
    const near = safeWindow(process, [cell()], 1, upTo(most));
    expect(near.bestW!).toBeLessThanOrEqual(most);
    expect(near.chance).toBe(1);
    expect(safeWindow(process, [cell()], 1, upTo(0.99 * clearsFromW.value))).toEqual({
      passes: 1,
      clearsFromW,
      sparesUpToW,
      bestW: null,
      chance: 0,
    });
  });
});

describe("over the ink, 60 × 40 mm at its best focus", async () => {
  const plan = await planned(rectangle(60, 40), { vessel });
  const cells = cellsOf(plan.ink.shapes, plan.warp);
  /** Least cleared over all cells, and the largest margin of those that are bare. */
  const worst = (process: Process): { cleared: number; margin: number } => {
    const out = effect();
    let [cleared, margin] = [Infinity, 0];
    for (const { met } of cells) {
      process.at(met, process.worlds[0]!, out);
      cleared = Math.min(cleared, out.cleared);
      if (out.cleared >= 1) margin = Math.max(margin, out.margin);
    }
    return { cleared, margin };
  };

  it("by known figures: clears from where the least cleared of all cells is 1, spares up to a margin of 1", () => {
    const process = processWith();
    for (const w of safeWindows(process, cells, upTo(1e4))) {
      const at = (powerW: number) => worst(process.under({ passes: w.passes, powerW }));
      expect(Math.abs(at(w.clearsFromW.value).cleared - 1)).toBeLessThan(1e-3);
      expect(Math.abs(at(w.sparesUpToW.value).margin - 1)).toBeLessThan(2e-3); // 24 points stand for the cells
      const best = at(w.bestW!);
      expect(best.cleared).toBeGreaterThan(1);
      expect(best.margin).toBeLessThan(1);
      expect(w.chance).toBe(1);
    }
  });

  it("whatever the figures: both ends hold, shut and open as they say, more passes clear from less", () => {
    const known = (min: number, max: number) =>
      fc.double({ min: Math.log(min), max: Math.log(max), noNaN: true }).map((v) => exact(Math.exp(v)));
    let [open, shut] = [0, 0];
    fc.assert(
      fc.property(
        fc.record({
          thicknessUm: known(5, 400),
          coatThreshold: known(0.1, 2),
          depthUm: known(0.5, 20),
          metalThreshold: known(1, 40),
          incubation: known(0.8, 1),
        }),
        known(1, 100),
        (figures, { value: mostW }) => {
          const process = processWith(figures, {}, 1);
          const windows = safeWindows(process, cells, upTo(mostW), 3);
          windows.forEach((w, i) => {
            const [from, upTo] = [w.clearsFromW.value, w.sparesUpToW.value];
            const at = (powerW: number) => worst(process.under({ passes: w.passes, powerW }));
            expect(at(from * 0.997).cleared).toBeLessThan(1);
            // 24 points stand for the cells: the least cleared and the first one bare need not be among them.
            expect(at(from * 1.04).cleared).toBeGreaterThan(1);
            expect(at(upTo * 0.96).margin).toBeLessThan(1);
            expect(at(upTo * 1.01).margin).toBeGreaterThan(1);
            if (w.bestW === null) {
              shut++;
              expect(w.chance).toBe(0);
              // Powers of two digits are tried: a window as wide as they are apart is not missed.
              expect(upTo > 1.3 * from && mostW > 1.3 * from).toBe(false);
            } else {
              open++;
              expect(w.chance).toBe(1);
              expect(w.bestW).toBeLessThanOrEqual(mostW);
              expect(w.bestW).toBeGreaterThanOrEqual(from * 0.999);
              expect(w.bestW).toBeLessThanOrEqual(upTo * 1.001);
            }
            if (i > 0) expect(from).toBeLessThan(windows[i - 1]!.clearsFromW.value);
          });
        },
      ),
      { seed: 51, numRuns: 60, endOnFailure: true },
    );
    expect(Math.min(open, shut)).toBeGreaterThan(5); // both kinds were met
  });

  it("by figures with ranges: the value is the middle world's, and the ends lie apart", () => {
    const process = processWith({ coatThreshold: { value: 0.6, low: 0.3, high: 1.2 } });
    const ranged = safeWindow(process, cells, 2, upTo(1e4));
    const middle = safeWindow(processWith(), cells, 2, upTo(1e4));
    expect(ranged.clearsFromW.value).toBe(middle.clearsFromW.value);
    expect(ranged.clearsFromW.high / ranged.clearsFromW.low).toBeGreaterThan(1.5);
    // A tougher coating asks for more power: within the ends of its own range.
    const at = (v: number) =>
      safeWindow(processWith({ coatThreshold: exact(v) }), cells, 2, upTo(1e4)).clearsFromW.value;
    expect(ranged.clearsFromW.low).toBeGreaterThan(at(0.3));
    expect(ranged.clearsFromW.high).toBeLessThan(at(1.2));
  });
});

describe("the hint's power and passes, given as the settings", () => {
  const said = /--power ([\d.]+)W(?: --passes (\d+))? comes out clean in (\d+) % of the cases, now (\d+) %/;
  const jobs: [string, number, JobFile][] = [
    ["too much power", 60, { coating: { id: "powder-any" }, settings: usual }],
    ["far too little", 50, { coating: { id: "paint-black" }, settings: { ...usual, powerPercent: 2 } }],
    [
      "a short lens, on a small source",
      20,
      {
        source: { id: "fibre-20" },
        lens: { id: "field-110" },
        coating: { id: "powder-white" },
        settings: usual,
      },
    ],
  ];

  it.each(jobs)("%s: the chance is as said to 0.08, and better", async (_, width, options) => {
    const job: JobFile = { vessel, source: { id: "fibre-60" }, ...options };
    const before = await planned(rectangle(width, 20), job);
    const hint = (reason(before, "metal-at-risk") ?? reason(before, "coating-stays"))!.hint;
    const [, powerW, passes, chance, now] = said.exec(hint)!.map(Number);
    const was = before.forecast!.outcome!.chance.allClean;
    const { suggested } = reportOf(before).process!;
    expect(suggested!.powerW).toBe(powerW);
    expect(Math.abs(100 * suggested!.chance - chance!)).toBeLessThanOrEqual(0.5);
    expect(Math.abs(100 * was - now!)).toBeLessThanOrEqual(0.5);
    const { powerPercent: _asked, ...rest } = options.settings!;
    const after = await planned(rectangle(width, 20), {
      ...job,
      settings: { ...rest, powerW: powerW!, passes: Number.isNaN(passes) ? rest.passes! : passes! },
    });
    const is = after.forecast!.outcome!.chance.allClean;
    expect(Math.abs(is - chance! / 100)).toBeLessThanOrEqual(0.08);
    expect(is).toBeGreaterThan(was);
    expect(after.verdict).not.toBe("stop");
  });

  it("where no power will do it says so", async () => {
    const plan = await planned(rectangle(60, 40), {
      vessel,
      source: { id: "fibre-60", m2: 1.5, beamDiameterMm: 7 },
      coating: { id: "powder-any", thicknessUm: 3000, thresholdJPerCm2: 1, depthUm: 1 },
      metal: { thresholdJPerCm2: 2, incubation: 0.9 },
      settings: usual,
    });
    expect(plan.forecast!.windows.map((w) => w.bestW)).toEqual([null, null, null, null, null, null]);
    expect(plan.reasons.find((r) => r.code === "coating-stays")!.hint).toMatch(
      /no power clears all ink and spares the metal at up to 6 passes/,
    );
  });
});
