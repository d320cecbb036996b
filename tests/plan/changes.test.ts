/** What would help a job that does not fit: each figure named is tried by planning anew with it. */
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../src/job/job.ts";
import { reportOf } from "../../src/plan/report.ts";
import type { Plan } from "../../src/plan/types.ts";
import { profiles } from "../support/profiles.ts";
import { alone, crest, planned, reason, rectangle, relative, vessel } from "./process-helpers.ts";

const ratioOf = ({ falloff }: Plan): number => falloff.min / falloff.max;
/** All ink within the limits, the weakest with no less than half of the strongest. */
const fitsAll = (plan: Plan): boolean => {
  const usable = plan.zones.find((z) => z.zone === "usable")!.share > 1 - 1e-9;
  const quiet = !reason(plan, "sides-fade") && !plan.reasons.some((r) => r.severity === "stop");
  expect(usable && ratioOf(plan) >= 0.5).toBe(quiet);
  return quiet;
};
const hints = (plan: Plan): string => plan.reasons.map((r) => r.hint).join("\n");
const R = 38.2; // mm, of the vessel

describe("largest width", () => {
  const cases: [string, string, JobFile][] = [
    ["beyond the reach", rectangle(100, 40), {}],
    ["within the reach but fading", rectangle(66, 40), {}],
    ["through a short lens", rectangle(60, 30), { lens: { id: "field-110" } }],
    ["seen straight on", rectangle(75, 30), { placement: { fidelity: "sight" } }],
    ["with the focus on the crown", rectangle(60, 30), { focus: "crown" }],
    ["taller than the field: it shrinks as a whole", rectangle(20, 290), { lens: { id: "field-70" } }],
    ["beside the crown line", rectangle(50, 30), { placement: { atMm: [9, 0] } }],
    ["a drawing", crest(), { placement: { widthMm: 95 } }],
  ];

  it.each(cases)("%s: at that width all fits, 0.2 mm wider it does not", async (_, svg, options) => {
    const plan = await alone(svg, { vessel, ...options });
    expect(fitsAll(plan)).toBe(false);
    const { widthMm } = plan.changes!;
    const at = (width: number) =>
      alone(svg, { vessel, ...options, placement: { ...options.placement, widthMm: width } });
    const narrow = await at(widthMm!);
    expect(fitsAll(narrow)).toBe(true);
    expect(narrow.changes).toBeNull();
    const wider = await at(widthMm! + 0.2);
    expect(fitsAll(wider)).toBe(false);
    expect(wider.changes).not.toBeNull();
    expect(widthMm! * 10).toBeCloseTo(Math.round(widthMm! * 10), 9); // a tenth of a millimetre
  });

  it("by hand: a 100 mm strip with its best focus at the depth limit fades where φ of the edge is half the most", async () => {
    // The strip has no height to speak of: φ along it is that of b = 0, written out.
    const { changes, spot, job } = await alone(rectangle(100, 0.5), { vessel });
    const [px] = job.lens.pivotMm as [number, number];
    const zR = spot.rayleighMm;
    const phi = (a: number, delta: number): number => {
      const d = R * (1 - Math.cos(a / R)) - delta;
      const lean = (R * Math.sin(a / R)) / (px + d);
      const slant = Math.hypot(1, lean);
      return (Math.cos(a / R) - lean * Math.sin(a / R)) / slant / (1 + ((d * slant) / zR) ** 2);
    };
    /** Best over δ within the depth of the least over most along the width. */
    const best = (width: number): number => {
      let found = [0, 0];
      for (let delta = 0; delta <= zR; delta += zR / 2000) {
        const edge = R * (1 - Math.cos(width / 2 / R));
        if (edge - delta > zR) continue;
        const least = Math.min(phi(0, delta), phi(width / 2, delta));
        const most = Math.max(...Array.from({ length: 101 }, (_, i) => phi((i / 200) * width, delta)));
        // The focus is the one of the largest least, whatever its ratio.
        if (least > found[0]!) found = [least, least / most];
      }
      return found[1]!;
    };
    expect(best(changes!.widthMm!)).toBeGreaterThan(0.499);
    expect(best(changes!.widthMm! + 0.2)).toBeLessThan(0.501);
  });

  it("is told in the hint, and in the report", async () => {
    const plan = await planned(rectangle(100, 40), { vessel });
    const { widthMm } = plan.changes!;
    expect(reason(plan, "ink-out-of-depth")!.hint).toContain(`give --width ${widthMm!.toFixed(1)} or less`);
    expect(reportOf(plan).changes).toEqual(plan.changes);
    const fading = await planned(rectangle(66, 40), { vessel });
    expect(reason(fading, "sides-fade")!.hint).toContain(
      `give --width ${fading.changes!.widthMm!.toFixed(1)} or less`,
    );
  });
});

describe("lens", () => {
  const cases: [string, number, number, JobFile][] = [
    ["field-110", 60, 30, {}],
    ["field-145", 45, 30, {}],
    ["field-70", 20, 20, {}],
    // Wide enough, but not so far along.
    ["field-110", 10, 125, {}],
    // A slim vessel, its given focus left behind.
    ["field-110", 30, 30, { vessel: { diameterMm: 50 }, focus: 4 }],
  ];

  it.each(cases)(
    "instead of %s for %d × %d mm: its own best focus fits, no shorter one's does",
    async (id, w, h, options) => {
      const plan = await planned(rectangle(w, h), { vessel, ...options, lens: { id } });
      const { lens, lensesTried } = plan.changes!;
      expect(lensesTried).toBe(true);
      const at = (other: string) =>
        planned(rectangle(w, h), { vessel, ...options, lens: { id: other }, focus: "best" });
      const better = await at(lens!.id);
      expect(fitsAll(better)).toBe(true);
      expect(ratioOf(better)).toBeGreaterThanOrEqual(0.5);
      expect(relative(ratioOf(better), lens!.ratio)).toBeLessThan(1e-6);
      expect(Math.abs(better.focus.belowCrownMm - lens!.focusMm)).toBeLessThan(1e-4);
      const shorter = profiles.lenses.filter(
        (l) => l.focalLengthMm.value < better.job.lens.focalLengthMm && l.id !== id,
      );
      for (const l of shorter) expect(fitsAll(await at(l.id))).toBe(false);
    },
  );

  it("is told in the hint with what the weakest ink gets", async () => {
    const plan = await planned(rectangle(60, 30), { vessel, lens: { id: "field-110" } });
    const { lens } = plan.changes!;
    expect(hints(plan)).toContain(
      `use --lens ${lens!.id}, where the weakest ink gets ${(100 * lens!.ratio).toFixed(0)} % of the strongest`,
    );
  });

  it("must be one that the column can focus: field-300 needs 562 mm, a column of 500 mm leaves none", async () => {
    // 493 + 76.4 − 7.1 mm; field-200 and shorter do not reach 60 mm around.
    const job: JobFile = { vessel, lens: { id: "field-110" } };
    const free = await planned(rectangle(60, 30), job);
    expect(free.changes!.lens!.id).toBe("field-300");
    const held = await planned(rectangle(60, 30), { ...job, column: { travelMm: 500 } });
    expect(held.changes!.lens).toBeNull();
    const tall = await planned(rectangle(60, 30), { ...job, column: { travelMm: 563 } });
    expect(tall.changes!.lens).toEqual(free.changes!.lens);
  });

  it("where none does as it is, the one that lets it be widest, with that width", async () => {
    const job: JobFile = { vessel, lens: { id: "field-145" } };
    const plan = await planned(rectangle(100, 30), job);
    const { lens, lensAndWidth, widthMm } = plan.changes!;
    expect(lens).toBeNull();
    expect(lensAndWidth!.widthMm).toBeGreaterThan(widthMm!);
    const at = (id: string, width: number) =>
      alone(rectangle(100, 30), { ...job, lens: { id }, placement: { widthMm: width } });
    expect(fitsAll(await at(lensAndWidth!.id, lensAndWidth!.widthMm))).toBe(true);
    for (const { id } of profiles.lenses)
      expect(fitsAll(await at(id, lensAndWidth!.widthMm + 0.2))).toBe(false);
    expect(hints(plan)).toContain(
      `--lens ${lensAndWidth!.id} with --width ${lensAndWidth!.widthMm.toFixed(1)}`,
    );
    // Through the longest lens of all there is none wider.
    expect((await planned(rectangle(75, 8), { vessel })).changes!.lensAndWidth).toBeNull();
  });

  it("none at hand, none tried", async () => {
    const plan = await alone(rectangle(60, 30), { vessel, lens: { id: "field-110" } });
    expect(plan.changes).toMatchObject({ lens: null, lensAndWidth: null, lensesTried: false });
    expect(hints(plan)).not.toContain("--lens");
    expect(hints(plan)).not.toContain("lens profile");
  });
});

describe("focus", () => {
  it.each([
    // Out of depth: 12 mm below the crown, 0 of a drop of 11.2 mm. Fading: within depth, edge at φ < ½.
    [45, 12],
    [60, "crown"],
    [50, 0.8],
  ] as const)("%d mm around with the focus at %s: left out it fits", async (width, focus) => {
    const plan = await alone(rectangle(width, 30), { vessel, focus });
    expect(fitsAll(plan)).toBe(false);
    const { focusMm } = plan.changes!;
    expect(focusMm).toBeCloseTo(plan.focus.bestMm, 6);
    expect(fitsAll(await alone(rectangle(width, 30), { vessel, focus: focusMm! }))).toBe(true);
    expect(hints(plan)).toContain(`${focusMm!.toFixed(1)} mm`);
    expect(hints(plan)).toMatch(/leave --focus out|--focus best would be/);
  });

  it("is not named where it was the best already, nor where the best does not fit", async () => {
    expect((await alone(rectangle(100, 30), { vessel })).changes!.focusMm).toBeNull();
    expect((await alone(rectangle(100, 30), { vessel, focus: 2 })).changes!.focusMm).toBeNull();
  });
});

describe("nothing", () => {
  it("to change where all fits", async () => {
    const plan = await planned(rectangle(60, 30), { vessel });
    expect([plan.changes, plan.verdict]).toEqual([null, "ready"]);
    expect(reportOf(plan).changes).toBeNull();
  });

  it("helps where the ink lies around the back: no width, no focus, no lens", async () => {
    // 90 mm around is θ = 135°.
    const plan = await planned(rectangle(20, 30), { vessel, placement: { atMm: [90, 0] }, focus: 3 });
    expect(plan.changes).toEqual({
      widthMm: null,
      focusMm: null,
      lens: null,
      lensAndWidth: null,
      // But with the vessel indexed it lies on the crown line.
      turns: 1,
      lensesTried: true,
    });
    expect(plan.verdict).toBe("stop");
    expect(hints(plan)).toContain("--turns auto");
    expect(hints(plan)).not.toMatch(/--width|--lens/);
  });

  it("helps on a thread of a vessel", async () => {
    const plan = await alone(rectangle(30, 5), { vessel: { diameterMm: 3 }, focus: 50 });
    expect(plan.changes!.widthMm).toBeNull();
    expect(plan.verdict).toBe("stop");
  });
});
