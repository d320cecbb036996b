import { describe, expect, it } from "vitest";
import type { JobFile } from "../../../src/job/job.ts";
import { surfaceOf } from "../../../src/plan/body.ts";
import { stationOf } from "../../../src/plan/station.ts";
import { leftOf, rightOf } from "../../../src/plan/strip/edges.ts";
import { halfReachOf, heightOf, lensHeights, stripNotes, stripOf } from "../../../src/plan/strip/layout.ts";
import { bentWith, faceOf } from "../../../src/plan/strip/meets.ts";
import type { Ladder, Strip } from "../../../src/plan/strip/types.ts";
import { jobOf, usual, vessel } from "../process-helpers.ts";

const asked: JobFile = {
  vessel,
  source: { id: "fibre-60" },
  coating: { id: "powder-black" },
  settings: { ...usual, powerPercent: undefined, powerW: 27 } as never,
};
const strip = (ladder: Ladder, more: JobFile = {}, own = {}): Strip =>
  stripOf(jobOf({ ...asked, ...more }), { ladder, ...own });
const refused = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    return (error as { problem?: { code: string } }).problem?.code ?? String(error);
  }
  return "nothing";
};

const vessels: [string, JobFile["vessel"]][] = [
  ["straight", vessel],
  ["tapered", { taperMm: [88, 64, 110] }],
  ["ball", { sphereMm: 80 }],
  [
    "measured",
    { profile: [0, 30, 60, 90, 120].map((heightMm) => ({ heightMm, diameterMm: 70 + heightMm / 8 })) },
  ],
];

describe.each(vessels)("on a %s vessel", (_, body) => {
  const made = strip("settings", { vessel: body });

  it("one bar stands on the crown line, the others mirror each other, numbered from the left", () => {
    const { bars } = made;
    expect(bars.length % 2).toBe(1);
    expect(bars.map((bar) => bar.number)).toEqual(bars.map((_bar, i) => i + 1));
    bars.forEach((bar, i) => {
      expect(bar.atMm).toBeCloseTo(-bars[bars.length - 1 - i]!.atMm, 12);
    });
    expect(bars[(bars.length - 1) / 2]!.atMm).toBe(0);
  });

  it("the bars run past the reach on both sides, and no farther than the beam grazes (70°)", () => {
    const end = rightOf(made.bars.at(-1)!);
    expect(end).toBeGreaterThan(halfReachOf(made) + 2 * (made.bars[1]!.atMm - made.bars[0]!.atMm));
    const mark = made.marks[0]!;
    const met = bentWith(made, { ...mark, rowMm: 0 }).meeting(end, 0);
    expect(typeof met).not.toBe("string");
    expect((met as { cosIncidence: number }).cosIncidence).toBeGreaterThan(Math.cos((70.01 * Math.PI) / 180));
    expect(stripNotes(made).map(({ code }) => code)).not.toContain("strip-ends-within-reach");
  });

  it("every corner of every bar has an image in its mark's own map, and comes back from it", () => {
    const half = made.barHeightMm / 2;
    for (const mark of made.marks) {
      const warp = bentWith(made, mark);
      for (const bar of made.bars) {
        for (const a of [leftOf(bar), rightOf(bar)]) {
          for (const b of [mark.rowMm - half, mark.rowMm + half]) {
            const command = warp.forward({ x: a, y: b });
            if (typeof command === "string") throw new Error(`bar ${bar.number}: ${command}`);
            const back = warp.inverse(command);
            if (typeof back === "string") throw new Error(`bar ${bar.number}: ${back}`);
            expect(Math.hypot(back.x - a, back.y - b)).toBeLessThan(1e-6);
          }
        }
      }
    }
  });
});

describe("marks", () => {
  it("stand below each other, centred on the placement point, uppermost first", () => {
    const { marks, barHeightMm } = strip("settings");
    expect(marks.map((mark) => mark.number)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    for (let i = 1; i < marks.length; i++)
      expect(marks[i]!.rowMm - marks[i - 1]!.rowMm).toBeGreaterThan(barHeightMm + 1.6);
    expect(marks[0]!.rowMm).toBeCloseTo(-marks.at(-1)!.rowMm, 12);
  });

  it("power and speed ladders change that alone, in equal ratios, within what the source gives", () => {
    const power = strip("power").marks.map((mark) => mark.settings);
    expect(new Set(power.map((s) => s.speedMmS))).toEqual(new Set([900]));
    const ratios = power.slice(1).map((s, i) => s.powerW / power[i]!.powerW);
    // Three digits are set.
    for (const ratio of ratios) expect(Math.abs(ratio / ratios[0]! - 1)).toBeLessThan(0.01);
    expect(Math.max(...power.map((s) => s.powerW))).toBeLessThanOrEqual(60);
    const speed = strip("speed").marks.map((mark) => mark.settings);
    expect(new Set(speed.map((s) => s.powerW))).toEqual(new Set([27]));
    expect(speed.at(-1)!.speedMmS).toBeGreaterThan(4 * speed[0]!.speedMmS);
  });

  it("a focus ladder has lens heights above and below the crown line, and its heads stand so much higher", () => {
    const made = strip("focus");
    const focus = made.marks.map((mark) => mark.belowCrownMm);
    expect(Math.min(...focus)).toBeLessThan(-2);
    expect(Math.max(...focus)).toBeGreaterThan(4);
    expect(lensHeights(made)).toEqual(focus.map((f) => made.job.lens.workingDistanceMm - f));
  });

  it("squares are the same on a plate at two heights; --range sets them", () => {
    const made = strip("squares", {}, { range: [-5, 15], marks: 3 });
    expect(made.bars).toEqual([]);
    expect(made.marks.map((mark) => mark.belowCrownMm)).toEqual([5, -5, -15]);
    expect(made.sideMm).toBeCloseTo(0.6 * made.job.lens.fieldMm, 12);
  });

  it("a ramp's ends lie 2.5 Rayleigh ranges off the focal plane", () => {
    const made = strip("ramp");
    const mark = made.marks[0]!;
    const met = bentWith(made, mark, faceOf(made)).meeting(rightOf(made.bars.at(-1)!), 0);
    const { rayleighMm } = stationOf(made.job, made.job.lens).spot;
    expect((met as { defocus: number }).defocus / rayleighMm).toBeGreaterThan(2.3);
    expect((met as { defocus: number }).defocus / rayleighMm).toBeLessThan(2.6);
  });

  it("with a coat that is better known the marks are aimed nearer to each other", () => {
    const wide = strip("power").marks.map((mark) => mark.settings.powerW);
    const known = strip("power", {
      coating: {
        id: "powder-black",
        thresholdJPerCm2: { value: 0.5, low: 0.45, high: 0.55 },
        depthUm: { value: 3, low: 2.6, high: 3.4 },
      },
    }).marks.map((mark) => mark.settings.powerW);
    expect(known.at(-1)! / known[0]!).toBeLessThan(wide.at(-1)! / wide[0]!);
  });
});

describe("what is in the way", () => {
  it("bars on a blocked area are left out, the others keep their numbers", () => {
    const made = strip("settings", {
      vessel: { ...vessel, blocked: [{ name: "badge", aroundDeg: [40, 50] }] },
    });
    const whole = strip("settings");
    const degrees = (a: number): number => (a / surfaceOf(made.job).meridian.radius) * (180 / Math.PI);
    expect(made.bars.length).toBeLessThan(whole.bars.length);
    for (const bar of made.bars) expect(degrees(rightOf(bar)) <= 40 || degrees(leftOf(bar)) >= 50).toBe(true);
    for (const bar of made.bars) expect(whole.bars[bar.number - 1]).toEqual(bar);
    expect(stripNotes(made).map(({ code }) => code)).toContain("strip-bars-left-out");
  });

  it("says why a strip cannot be", () => {
    const { settings: _, ...without } = asked;
    expect(refused(() => stripOf(jobOf(without), { ladder: "settings" }))).toBe("strip-without-settings");
    const { coating: __, ...bare } = asked;
    expect(refused(() => stripOf(jobOf(bare), { ladder: "settings" }))).toBe("strip-without-coating");
    expect(refused(() => strip("settings", {}, { barPitchMm: 0.5 }))).toBe("strip-too-many-bars");
    expect(refused(() => strip("settings", {}, { barPitchMm: 1, barWidthMm: 1 }))).toBe("strip-bars-touch");
    expect(refused(() => strip("settings", {}, { barPitchMm: 20, barWidthMm: 1 }))).toBe("strip-too-narrow");
    expect(refused(() => strip("settings", { vessel: { ...vessel, heightMm: 40 } }))).toBe("strip-too-tall");
    expect(refused(() => strip("focus", { column: { travelMm: 530 } }))).toBe("strip-column-short");
    expect(refused(() => strip("power", {}, { range: [0, 10] }))).toBe("strip-range");
  });

  it("as tall as the vessel has room for", () => {
    const made = strip("settings", {}, { marks: 4 });
    const room = heightOf(made);
    const fits = { ...vessel, heightMm: room + 2, belowRimMm: room / 2 + 1 };
    expect(strip("settings", { vessel: fits }, { marks: 4 }).marks).toHaveLength(4);
    expect(
      refused(() => strip("settings", { vessel: { ...fits, belowRimMm: room / 2 - 1 } }, { marks: 4 })),
    ).toBe("strip-too-tall");
  });
});
