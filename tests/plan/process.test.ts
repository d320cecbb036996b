/** The process at a point, over the possible worlds and over the ink: by hand, by closed forms, by trade facts. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../src/job/job.ts";
import { effect, outcomeOf, Process } from "../../src/plan/process/process.ts";
import { spreadOf } from "../../src/plan/process/spread.ts";
import { DRAWS, quantile, type World, worldsOf } from "../../src/plan/process/worlds.ts";
import { reportOf } from "../../src/plan/report.ts";
import { cylinder } from "../../src/vessel/cylinder.ts";
import { Warp } from "../../src/warp/warp.ts";
import { profiles } from "../support/profiles.ts";
import {
  alone,
  byHand,
  drawing,
  exact,
  type Figures,
  known,
  planned,
  R,
  reason,
  rectangle,
  relative,
  settings,
  stuff,
  usual,
  vessel,
} from "./process-helpers.ts";

const lenses = profiles.lenses.filter((l) => ["field-300", "field-110"].includes(l.id));
const stations: [string, number, readonly [number, number]][] = [
  ...lenses.map((l) => [l.id, l.focalLengthMm.value, l.pivotMm.value] as [string, number, [number, number]]),
  ["telecentric", 254, [Infinity, Infinity]],
];

describe.each(stations)("the process at a point, %s", (_, f, pivots) => {
  it.each([
    // T µm, δ_c µm, F_c, F_m, S, power W, passes: left, cleared with few and with many pulses after
    [70, 2.5, 0.6, 8, 0.88, 27, 1],
    [400, 1, 1.1, 2, 0.8, 40, 1],
    [20, 3, 0.3, 5, 0.95, 12, 4],
  ])(
    "T %d, δ %d, F_c %d, F_m %d, S %d, %d W, %d passes: model §3 to §6 by hand",
    (T, depth, Fc, Fm, S, powerW, passes) => {
      const figures: Figures = {
        ...known,
        m2: exact(1.3),
        beamDiameterMm: exact(6.5),
        thicknessUm: exact(T),
        depthUm: exact(depth),
        coatThreshold: exact(Fc),
        metalThreshold: exact(Fm),
        incubation: exact(S),
      };
      const set = { ...settings, powerW, passes };
      const process = new Process(set, worldsOf(stuff(figures, f), 0));
      const bare = new Process(set, worldsOf(stuff(figures, f, false), 0));
      for (const delta of [0, 4.1, -1.5]) {
        const head = { pivotAcross: pivots[0], pivotAlong: pivots[1], field: 1000, belowCrown: delta };
        const warp = new Warp(cylinder(R, "girth"), head);
        const c = { m2: 1.3, entering: 6.5, thickness: T / 1000, depth: depth / 1000, coat: Fc, metal: Fm };
        for (const a of [0, -13.7, 27]) {
          for (const b of [0, 22]) {
            const met = warp.meeting(a, b);
            if (typeof met === "string") throw new Error(met);
            const { dose, ...rest } = byHand({ ...c, incubation: S, f, pivots, delta }, a, b, set);
            expect(relative(process.dose(met), dose)).toBeLessThan(1e-10);
            const out = process.at(met, process.worlds[0]!, effect());
            for (const [key, value] of Object.entries(rest) as [keyof typeof rest, number][])
              expect(Math.abs(out[key] - value)).toBeLessThanOrEqual(1e-9 * Math.abs(value));
            expect(outcomeOf(out)).toBe(rest.cleared < 1 ? "residue" : rest.margin > 1 ? "metal" : "clean");
            // Without a coating all pulses reach the metal.
            const on = bare.at(met, bare.worlds[0]!, effect());
            expect(relative(on.margin, rest.fluence / (Fm * rest.pulses ** (S - 1)))).toBeLessThan(1e-9);
            expect([on.depthMm, on.cleared]).toEqual([0, 0]);
          }
        }
      }
    },
  );
});

describe("possible worlds", () => {
  const around = (v: number, k: number) => ({ value: v, low: v / k, high: v * k });
  const spread: Figures = {
    beamDiameterMm: around(7, 1.2),
    m2: around(1.5, 1.25),
    thicknessUm: around(70, 1.7),
    coatThreshold: around(0.6, 3),
    depthUm: around(2.5, 2),
    metalThreshold: around(8, 4),
    incubation: around(0.88, 1.1),
  };
  const names = Object.keys(spread) as (keyof Figures)[];
  /** The figures back from a world: M² = πw₀²/(λz_R), D = 2M²λf/(πw₀). */
  const figuresOf = (w: World): Record<keyof Figures, number> => {
    const m2 = (Math.PI * w.waistRadiusMm ** 2) / (1.064e-3 * w.rayleighMm);
    return {
      m2,
      beamDiameterMm: (2 * m2 * 1.064e-3 * 420) / (Math.PI * w.waistRadiusMm),
      thicknessUm: 1000 * w.coating!.thicknessMm,
      coatThreshold: w.coating!.threshold,
      depthUm: 1000 * w.coating!.depthMm,
      metalThreshold: w.metal.threshold,
      incubation: w.metal.incubation,
    };
  };
  const worlds = worldsOf(stuff(spread, 420)).map(figuresOf);
  /** Distribution function: half on either side of the value, thinning out on a line in the logarithm. */
  const cdf = ({ low, value, high }: { low: number; value: number; high: number }, v: number): number =>
    v < value
      ? 0.5 * (1 - Math.log(value / v) / Math.log(value / low)) ** 2
      : 1 - 0.5 * (1 - Math.log(v / value) / Math.log(high / value)) ** 2;

  it("the first is that of the middle figures, the rest lie in their ranges", () => {
    expect(worlds).toHaveLength(DRAWS + 1);
    for (const name of names) {
      expect(relative(worlds[0]![name], spread[name].value)).toBeLessThan(1e-12);
      for (const world of worlds) {
        expect(world[name]).toBeGreaterThanOrEqual(spread[name].low * (1 - 1e-12));
        expect(world[name]).toBeLessThanOrEqual(spread[name].high * (1 + 1e-12));
      }
    }
  });

  it("each figure follows its two slopes in the logarithm: empirical against closed-form distribution", () => {
    for (const name of names) {
      const sorted = worlds
        .slice(1)
        .map((w) => w[name])
        .sort((p, q) => p - q);
      const off = sorted.map((v, i) => Math.abs((i + 0.5) / sorted.length - cdf(spread[name], v)));
      // 512 points drawn by chance would be off by 0.04 (Kolmogorov, the middle of its distribution; from memory).
      expect(Math.max(...off)).toBeLessThan(0.02);
      // The value is the median.
      expect(relative(sorted[256]!, spread[name].value)).toBeLessThan(0.03);
    }
  });

  it("no two figures go together", () => {
    const logs = names.map((name) => {
      const l = worlds.slice(1).map((w) => Math.log(w[name]));
      const mean = l.reduce((p, q) => p + q) / l.length;
      const spreadOut = Math.sqrt(l.reduce((p, q) => p + (q - mean) ** 2, 0));
      return l.map((v) => (v - mean) / spreadOut);
    });
    for (const [i, p] of logs.entries())
      for (const q of logs.slice(0, i))
        expect(Math.abs(p.reduce((s, v, k) => s + v * q[k]!, 0))).toBeLessThan(0.1);
  });

  it("a figure that is known does not vary, nor do two runs differ", () => {
    const worldsHalf = worldsOf(stuff({ ...spread, m2: exact(1.5), depthUm: exact(2.5) }, 420));
    for (const w of worldsHalf) {
      expect(w.coating!.depthMm).toBe(0.0025);
      expect(relative(figuresOf(w).m2, 1.5)).toBeLessThan(1e-12);
    }
    expect(new Set(worldsHalf.map((w) => w.metal.threshold)).size).toBeGreaterThan(500);
    expect(worldsOf(stuff(spread, 420))).toEqual(worldsOf(stuff(spread, 420)));
    expect(worldsOf(stuff(spread, 420, false)).every((w) => w.coating === null)).toBe(true);
  });

  it("quantile is the inverse of that, also where the value is not in the middle: it is the median", () => {
    const part = fc.double({ min: 0, max: 1, noNaN: true });
    const ratio = fc.double({ min: 1.05, max: 300, noNaN: true });
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 100, noNaN: true }), ratio, ratio, part, (value, k, l, u) => {
        const figure = { low: value / k, value, high: value * l };
        const v = quantile(figure, u);
        expect(v).toBeGreaterThanOrEqual(figure.low * (1 - 1e-9));
        expect(v).toBeLessThanOrEqual(figure.high * (1 + 1e-9));
        expect(v < value).toBe(u < 0.5 && v !== value);
        expect(Math.abs(cdf(figure, v) - u)).toBeLessThan(1e-9);
      }),
      { seed: 41, numRuns: 500 },
    );
    const skewed = { low: 0.5, value: 1, high: 256 };
    expect(quantile(skewed, 0.5)).toBe(1);
    // (1 − t)² = 2(1 − u) = ¼ at t = ½: half of the way up and down in the logarithm.
    expect(quantile(skewed, 0.875)).toBeCloseTo(16, 9);
    expect(quantile(skewed, 0.125)).toBeCloseTo(Math.SQRT1_2, 9);
    expect([
      quantile({ low: 1, value: 1, high: 4 }, 0.3),
      quantile({ low: 1, value: 4, high: 4 }, 0.8),
    ]).toEqual([1, 4]);
  });
});

describe("spread over the worlds", () => {
  it("is the value with the 5th and 95th percentile: 0.07, 0.05, 0.95 of a hundred and one even steps", () => {
    const steps = Array.from({ length: 101 }, (_, i) => ((i * 37) % 101) / 100);
    expect(spreadOf(Float64Array.of(0.07, ...steps))).toEqual({ value: 0.07, low: 0.05, high: 0.95 });
    expect(spreadOf(Float64Array.of(2, ...steps))).toEqual({ value: 2, low: 0.05, high: 2 });
  });

  it("value always lies from low to high, and nine in ten of the others with it", () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ noNaN: true, min: -1e6, max: 1e6 }), { minLength: 102, maxLength: 102 }),
        (list) => {
          const { value, low, high } = spreadOf(Float64Array.from(list));
          expect(value).toBe(list[0]);
          expect(low).toBeLessThanOrEqual(value);
          expect(value).toBeLessThanOrEqual(high);
          const inside = list.slice(1).filter((v) => v >= low && v <= high).length;
          expect(inside / (list.length - 1)).toBeGreaterThanOrEqual(0.9);
        },
      ),
      { seed: 42, numRuns: 200 },
    );
  });
});

/** Common practice, no published source: these settings clear a powder coat and leave brushed steel unmarked. */
describe("900 mm/s, 45 % of 60 W, 50 kHz, 0.025 mm crossed, on a vessel of 76.4 mm", () => {
  const coats = profiles.coatings.filter(
    (c) => c.kind === "powder coat" && !["red", "white"].includes(c.colour),
  );
  const job = (id: string, lens: string): JobFile => ({
    vessel,
    lens: { id: lens },
    source: { id: "fibre-60" },
    coating: { id },
    settings: usual,
  });

  it.each(coats)("field-300, 60 mm around, $id: clear and unmarked lie within the range", async ({ id }) => {
    const { process, verdict } = reportOf(await planned(rectangle(60, 40), job(id, "field-300")));
    expect(process!.weakest!.cleared!.high).toBeGreaterThanOrEqual(1);
    expect(process!.chance!.allCleared).toBeGreaterThan(0.5);
    expect(process!.strongest!.metalMargin.low).toBeLessThan(1);
    expect(process!.chance!.allClean).toBeGreaterThanOrEqual(0.1);
    expect(verdict).not.toBe("stop");
  });

  it.each(coats)("field-110 in focus, $id: the steel is at risk", async ({ id, colour }) => {
    const { process } = reportOf(await planned(rectangle(20, 20), job(id, "field-110")));
    expect(process!.strongest!.metalMargin.low).toBeGreaterThan(1);
    expect(process!.chance!.allClean).toBe(0);
    // Where all coating comes off there is no world without harm; a coat of unknown colour stays here and there.
    if (colour !== "any") expect(process!.chance!.noMetal).toBeLessThanOrEqual(0.1);
    expect(process!.chance!.noMetal).toBeLessThanOrEqual(1 - process!.chance!.allCleared);
  });
});

describe("what becomes of the ink", () => {
  // E = 0.6 mJ and w₀ = 61.0 µm: 10.3 J/cm² in focus, at least half of it on this ink (no sides-fade). Two sets of 2222
  // pulses per mm²: z = 2·2222·(π/4)w₀²·3 µm·ln²(10.3/0.5) = 0.36 mm on 10 µm of coat; the metal stands 100 J/cm².
  const clean: JobFile = {
    vessel,
    source: { id: "fibre-60", beamDiameterMm: 7, m2: 1.5 },
    coating: { id: "powder-black", thicknessUm: 10, thresholdJPerCm2: 0.5, depthUm: 3 },
    metal: { thresholdJPerCm2: 100, incubation: 1 },
    settings: { ...usual, powerPercent: 50 },
  };
  const weak: JobFile = { ...clean, metal: { thresholdJPerCm2: 1, incubation: 1 } };
  const made: [string, JobFile, { allCleared: number; noMetal: number; allClean: number }][] = [
    ["clean", clean, { allCleared: 1, noMetal: 1, allClean: 1 }],
    // 5.1 to 10.3 J/cm² against 1 J/cm².
    ["metal", weak, { allCleared: 1, noMetal: 0, allClean: 0 }],
    // At most 0.36 mm of 5 mm: under what stays even a weak metal is safe.
    [
      "residue",
      { ...weak, coating: { ...clean.coating, thicknessUm: 5000 } },
      { allCleared: 0, noMetal: 1, allClean: 0 },
    ],
  ];

  it.each(made)("%s where all figures are known and leave no choice", async (outcome, job, chance) => {
    const plan = await planned(rectangle(50, 30), job);
    const { process, zones } = reportOf(plan);
    expect(process!.chance).toEqual(chance);
    expect(process!.share![outcome as "clean"]).toEqual({ value: 1, low: 1, high: 1 });
    const row = zones.find((z) => z.zone === outcome)!;
    expect(row.share).toBeCloseTo(1, 9);
    expect(row.areaMm2).toBeCloseTo(1500, 6);
    expect(plan.verdict).toBe(outcome === "clean" ? "ready" : "caution");
    expect(plan.reasons.map((r) => r.code)).toEqual(
      { clean: [], metal: ["metal-at-risk"], residue: ["coating-stays"] }[outcome],
    );
  });

  it("in focus: 0.6 mJ, 10.28 J/cm², 2 × 61.0 µm, 2222 π w₀² pulses of each set, 266.7 J/cm²", async () => {
    const { process } = reportOf(await planned(rectangle(50, 30), clean));
    const w0 = (2 * 1.5 * 1.064e-3 * 420) / (Math.PI * 7);
    const { inFocus, weakest, profile } = process!;
    expect(process!.calibrated).toBe(false);
    expect(process!.pulseEnergyMj).toBeCloseTo(0.6, 9);
    expect(process!.pulseSpacingMm).toBeCloseTo(0.018, 9);
    expect(
      relative(inFocus.peakFluenceJPerCm2.value, (2 * 0.6e-3) / (Math.PI * (w0 / 10) ** 2)),
    ).toBeLessThan(1e-5);
    expect(relative(inFocus.spotMm.acrossMm.value, 2 * w0)).toBeLessThan(1e-5);
    expect(relative(inFocus.pulsesPerSpot.value, 2 * (50_000 / 22.5) * Math.PI * w0 * w0)).toBeLessThan(1e-5);
    expect(relative(inFocus.doseJPerCm2, (2 * 30 * 100) / 22.5)).toBeLessThan(1e-5);
    // The weakest ink is as weak as any of the profile within the ink.
    const within = profile.filter((p) => Math.abs(p.atMm[0]) <= 25);
    expect(weakest!.cleared!.value).toBeLessThanOrEqual(
      Math.min(...within.map((p) => p.cleared!.value)) * 1.001,
    );
  });
});

describe("rows of the report's zones", () => {
  const coated: JobFile = {
    vessel,
    source: { id: "fibre-60" },
    coating: { id: "powder-blue" },
    settings: usual,
  };
  const names = (zones: { zone: string }[]): string[] => zones.map((z) => z.zone);
  const usableParts = ["clean", "metal", "residue"];

  it.each([
    // Reach of this lens and vessel 69.2 mm: within it, and past it.
    [60, 0],
    [100, 0.308],
  ])("%d mm around: shares sum to 1, areas to the ink's", async (width, beyond) => {
    const plan = await alone(rectangle(width, 40), coated);
    const { zones, artwork } = reportOf(plan);
    const sum = (key: "share" | "areaMm2"): number => zones.reduce((s, z) => s + z[key], 0);
    expect(sum("share")).toBeCloseTo(1, 6);
    expect(relative(sum("areaMm2"), artwork.inkAreaMm2)).toBeLessThan(1e-6);
    expect(relative(sum("areaMm2"), 40 * width)).toBeLessThan(1e-6);
    expect(names(zones).filter((z) => usableParts.includes(z))).toEqual(usableParts);
    expect(names(zones)).not.toContain("usable");
    // 1 − 69.21/100, the reach by cos θ = 1 − 2z_R/R (model §8).
    const out = zones.find((z) => z.zone === "out-of-depth")!.share;
    expect(Math.abs(out - beyond)).toBeLessThan(1e-3);
    const parts = zones.filter((z) => usableParts.includes(z.zone));
    expect(parts.reduce((s, z) => s + z.share, 0)).toBeCloseTo(1 - out, 6);
  });

  it("usable stays whole where there are no settings, or no coating", async () => {
    const { settings: set, coating, ...bare } = coated;
    for (const job of [bare, { ...bare, coating }, { ...bare, settings: set }] as JobFile[]) {
      const { zones, process } = reportOf(await planned(rectangle(60, 40), job));
      expect(zones[0]).toMatchObject({ zone: "usable", share: 1, areaMm2: expect.closeTo(2400, 6) });
      expect(names(zones).filter((z) => usableParts.includes(z))).toEqual([]);
      expect(process === null).toBe(job.settings === undefined);
      expect(process?.chance ?? null).toBeNull();
    }
  });
});

it("no figure of the process stops a job that fits: caution at most, and each is called uncalibrated", async () => {
  const pick = <T>(...values: T[]) => fc.constantFrom(...values);
  const told = ["coating-stays", "metal-at-risk", "clean-not-sure"];
  const seen = new Set<string>();
  await fc.assert(
    fc.asyncProperty(
      fc.record({
        powerW: pick(0.01, 1, 8, 15, 30, 60),
        speedMmS: pick(50, 900, 3000),
        frequencyKHz: pick(20, 50, 600),
        pitchMm: pick(0.02, 0.06, 0.3),
        passes: pick(1, 3),
      }),
      pick(...profiles.coatings.map((c) => c.id)),
      pick("field-300", "field-200"),
      async (set, id, lens) => {
        const plan = await planned(rectangle(30, 8), {
          vessel,
          lens: { id: lens },
          source: { id: "fibre-60" },
          coating: { id },
          settings: set,
        });
        expect(plan.verdict).not.toBe("stop");
        expect(reportOf(plan).process!.calibrated).toBe(false);
        for (const r of plan.reasons) {
          seen.add(r.code);
          expect(["caution", "note"]).toContain(r.severity);
          if (told.includes(r.code) || /likely|clean in/.test(r.message))
            expect(r.message).toMatch(/^uncalibrated: /);
        }
        // One of them speaks up, unless nine in ten cases come out clean.
        if (!told.some((code) => reason(plan, code)))
          expect(plan.forecast!.outcome!.chance.allClean).toBeGreaterThanOrEqual(0.9);
      },
    ),
    {
      seed: 43,
      numRuns: 6,
      examples: [
        [
          { powerW: 60, speedMmS: 50, frequencyKHz: 20, pitchMm: 0.02, passes: 3 },
          "powder-black",
          "field-300",
        ],
        [
          { powerW: 0.01, speedMmS: 3000, frequencyKHz: 600, pitchMm: 0.3, passes: 1 },
          "paint-any",
          "field-300",
        ],
      ],
    },
  );
  expect([...seen]).toEqual(expect.arrayContaining(["coating-stays", "metal-at-risk"]));
});

it("a thin rule counts where it lies, alone or joined to a block", async () => {
  // 20 × 92 mm, and a rule 64 mm long below it: the rule alone reaches 45° around.
  const cells = async (high: number, joined: boolean): Promise<number> => {
    const rule = `M-22 93.5h64v${high}h-64z`;
    const block = `M0 0H20V92H0z`;
    const svg = joined
      ? drawing(`<g transform="translate(30 0)"><path d="${block}${rule}"/></g>`)
      : drawing(`<g transform="translate(30 0)"><path d="${block}"/><path d="${rule}"/></g>`);
    const { forecast } = await alone(svg, { vessel, source: { id: "fibre-60" }, settings: usual });
    return forecast!.cells.filter((c) => c.a > 30).reduce((sum, c) => sum + c.areaMm2, 0);
  };
  for (const high of [0.3, 0.15, 0.02]) {
    // Of the rule's 64 mm four lie beyond 30 mm on both sides.
    expect((await cells(high, false)) / (4 * high)).toBeCloseTo(1, 1);
    if (high > 0.1) expect((await cells(high, true)) / (4 * high)).toBeGreaterThan(0.7);
  }
});
