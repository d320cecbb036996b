/** Ink against rim, lip, base, handle and seam: where each begins, what is said, and that its hints hold. */
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../src/job/job.ts";
import { stretchOf } from "../../src/plan/rim.ts";
import type { Plan } from "../../src/plan/types.ts";
import { sheetChart } from "../../src/vessel/chart.ts";
import { revolved } from "../../src/vessel/revolved.ts";
import { coneOutline } from "../../src/vessel/straight.ts";
import { rectangle as box, inkOf } from "../support/shapes.ts";
import { alone, drawing, reason, rectangle } from "./process-helpers.ts";

/** 82 mm across: 257.6 mm around by tape, so that a quarter of the way around is 64.4 mm. */
const diameterMm = 82;
const GIRTH = Math.PI * diameterMm;
type Vessel = NonNullable<JobFile["vessel"]>;
type Placement = NonNullable<JobFile["placement"]>;

const given = (svg: string, vessel: Vessel, placement: Placement = {}): Promise<Plan> =>
  alone(svg, { vessel: { diameterMm, ...vessel }, placement });
const codes = (plan: Plan): string[] =>
  plan.reasons.map((r) => r.code).filter((c) => /rim|lip|base|vessel|handle|seam/.test(c));
/** Two bars, 10 mm tall each, from 0 to 10 and 30 to 40 mm down the page: together 40 mm tall. */
const bars = drawing('<path id="upper" d="M0 0H20V10H0z"/><path id="lower" d="M0 30H20V40H0z"/>');

describe("rim, lip and base", () => {
  const ink = rectangle(20, 40);
  it.each<[Vessel, string[], string]>([
    // The ink's top is 20 mm above the placement point, its bottom 20 mm below it.
    [{}, [], "ready"],
    [{ belowRimMm: 19.99 }, ["ink-beyond-rim"], "stop"],
    [{ belowRimMm: 20 }, ["ink-near-lip"], "caution"],
    // The upper 20 mm (ASTM C927, ISO 6486: lip and rim area, from memory).
    [{ belowRimMm: 39.99 }, ["ink-near-lip"], "caution"],
    [{ belowRimMm: 40 }, [], "ready"],
    [{ belowRimMm: 40, heightMm: 60 }, [], "ready"],
    [{ belowRimMm: 40, heightMm: 59.99 }, ["ink-beyond-base"], "stop"],
    [{ belowRimMm: 10, heightMm: 29 }, ["ink-beyond-rim", "ink-beyond-base"], "stop"],
    [{ heightMm: 40 }, [], "ready"],
    [{ heightMm: 39.99 }, ["ink-taller-than-vessel"], "stop"],
  ])("%j: %j, %s", async (vessel, expected, verdict) => {
    const plan = await given(ink, vessel);
    expect(codes(plan)).toEqual(expected);
    expect(plan.verdict).toBe(verdict);
  });

  it("names what lies beyond, the topmost or the lowest first, and by how much", async () => {
    const rim = reason(await given(bars, { belowRimMm: 15.25 }), "ink-beyond-rim")!;
    expect(rim.message).toBe("ink reaches 4.8 mm beyond the rim: upper");
    expect(rim.where?.id).toBe("upper");
    const base = reason(await given(bars, { belowRimMm: 60, heightMm: 78 }), "ink-beyond-base")!;
    expect(base.message).toBe("ink reaches 2.0 mm beyond the base: lower");
    expect(base.where?.id).toBe("lower");
    const lip = reason(await given(bars, { belowRimMm: 32.34 }), "ink-near-lip")!;
    expect(lip.message).toMatch(/^ink begins 12\.3 mm below the rim/);
    expect(lip.where?.id).toBe("upper");
    expect(lip.hint).toBe(
      "move it 7.7 mm down with --at 0,7.7, which leaves the upper 20 mm free, or check that nobody drinks there",
    );
  });

  it("a line across has no height and still has a place", async () => {
    const line = drawing('<path fill="none" stroke="#000" d="M0 0H20"/>');
    const plan = await alone(line, {
      vessel: { diameterMm, belowRimMm: 5, heightMm: 10 },
      ink: { strokes: "centre-line" },
    });
    expect(reason(plan, "ink-near-lip")!.hint).toBe("check that nobody drinks there");
  });

  it.each<[string, Vessel, Placement]>([
    ["up past the rim", { belowRimMm: 10, heightMm: 120 }, {}],
    ["up past the rim, base not known", { belowRimMm: 10.03 }, { atMm: [3, -2.17] }],
    ["past the rim with little room", { belowRimMm: 10, heightMm: 45 }, {}],
    ["past the rim of a vessel it just fits into", { belowRimMm: 10, heightMm: 40.02 }, { atMm: [0, -3] }],
    ["near the lip", { belowRimMm: 33.33, heightMm: 120 }, {}],
    ["near the lip without room", { belowRimMm: 33.33, heightMm: 55 }, {}],
    ["past the base", { belowRimMm: 60, heightMm: 75.5 }, {}],
    ["past the base, to the left", { belowRimMm: 60, heightMm: 75.5 }, { atMm: [-4, 12.34] }],
    ["past both", { belowRimMm: 15, heightMm: 30 }, {}],
    ["past both, by its height", { belowRimMm: 30.04, heightMm: 70 }, { heightMm: 90 }],
    ["past both, by both sizes", { belowRimMm: 30, heightMm: 70 }, { heightMm: 90, widthMm: 30 }],
    ["taller than the vessel", { heightMm: 33.33 }, {}],
  ])("%s: what the hint says does", async (_, vessel, placement) => {
    const before = await given(ink, vessel, placement);
    const [first] = before.reasons.filter((r) => codes(before).includes(r.code));
    const after = await given(ink, vessel, { ...placement, ...changes(first!.hint) });
    expect(after.reasons.filter((r) => r.severity === "stop")).toEqual([]);
    if (/free/.test(first!.hint)) expect(codes(after)).toEqual([]);
  });

  /** Sizes and place that a hint names, as the job has them. */
  function changes(hint: string): Placement {
    const number = (option: string): number | undefined => {
      const text = new RegExp(`${option} (-?[\\d.]+)`).exec(hint)?.[1];
      return text === undefined ? undefined : Number(text);
    };
    const [width, height] = [number("--width"), number("--height")];
    const at = /--at (-?[\d.]+),(-?[\d.]+)/.exec(hint);
    expect(at ?? width ?? height, hint).not.toBeUndefined();
    return {
      ...(width === undefined ? {} : { widthMm: width }),
      ...(height === undefined ? {} : { heightMm: height }),
      ...(at ? { atMm: [Number(at[1]), Number(at[2])] as [number, number] } : {}),
    };
  }
});

describe("handle and seam", () => {
  // 20 mm wide, its middle a quarter of the girth to the right: where a handle at 90° is.
  const bar = rectangle(20, 10);
  const right: Placement = { atMm: [GIRTH / 4, 0] };
  it.each<[number, Placement, boolean]>([
    [90, right, true],
    [-90, right, false],
    [-90, { atMm: [-GIRTH / 4, 0] }, true],
    // 10 mm of 257.6 mm are 13.975° to either side.
    [90 + 13.97, right, true],
    [90 + 13.98, right, false],
    [90 - 13.97, right, true],
    [90 - 13.98, right, false],
    [0, {}, true],
    // Opposite the crown line, reached from either side: half the girth is 128.8 mm.
    [180, { atMm: [GIRTH / 2 - 9, 0] }, true],
    [180, { atMm: [-GIRTH / 2 + 9, 0] }, true],
    [-179, { atMm: [GIRTH / 2 - 9, 0] }, true],
    [180, {}, false],
    // Seen from the front the half-chord is R sin θ (Machinery's Handbook): 30° are at 20.5 mm of 41 mm.
    [30, { fidelity: "sight", atMm: [30.4, 0] }, true],
    [30, { fidelity: "sight", atMm: [30.6, 0] }, false],
    [30, { fidelity: "girth", atMm: [31.4, 0] }, true],
    [30, { fidelity: "girth", atMm: [31.5, 0] }, false],
    [150, { fidelity: "sight", atMm: [20.5, 0] }, false],
    [89.9, { fidelity: "sight", atMm: [31, 0] }, true],
    [90, { fidelity: "sight", atMm: [31, 0] }, false],
  ])("a line at %d°, ink placed %j: %s", async (degrees, placement, on) => {
    const plan = await given(bar, { handleDeg: degrees, seamDeg: degrees }, placement);
    expect(codes(plan)).toEqual(on ? ["ink-on-handle", "ink-on-seam"] : []);
    for (const r of plan.reasons.filter((one) => /handle|seam/.test(one.code)))
      expect(r).toMatchObject({ severity: "caution", where: { element: "path" } });
  });

  it("ink on both sides of the line with none on it: the handle is in the way, the seam is not", async () => {
    // 20 mm each, 20 mm apart; merged into one artwork about the crown line.
    const pair = drawing('<path d="M0 0H20V10H0zM40 0H60V10H40z"/>');
    expect(codes(await given(pair, { handleDeg: 0, seamDeg: 0 }))).toEqual(["ink-on-handle"]);
    expect(codes(await given(pair, { seamDeg: 45 }))).toEqual([]);
    // 20 mm from the crown line are 20/41 = 27.95°.
    expect(codes(await given(pair, { seamDeg: 27.9 }))).toEqual(["ink-on-seam"]);
  });

  it("inside a ring lies no ink, but the ring crosses the line above and below", async () => {
    const ring = drawing('<path fill-rule="evenodd" d="M0 0H40V40H0zM5 5H35V35H5z"/>');
    expect(codes(await given(ring, { seamDeg: 0 }))).toEqual(["ink-on-seam"]);
  });

  it("says which way, and a part by its name", async () => {
    const said = async (handleDeg: number, atMm: [number, number]) =>
      reason(
        await given(drawing('<path id="oar" d="M0 0H20V10H0z"/>'), { handleDeg }, { atMm }),
        "ink-on-handle",
      );
    expect((await said(90, [60, 0]))?.message).toMatch(/90° to the right of the crown line$/);
    expect((await said(-45.04, [-32, 0]))?.message).toMatch(/45° to the left of the crown line$/);
    expect((await said(0, [0, 0]))?.message).toMatch(/which is the crown line$/);
    expect((await said(180, [125, 0]))?.message).toMatch(/opposite the crown line$/);
    expect((await said(0, [0, 0]))?.where?.id).toBe("oar");
  });
});

it("a straight edge bends on a developed cone: its middle is nearest the apex, there it is measured", () => {
  // r² = (ka)² + (r₀ + kb)², m = (r − r₀)/k: on the row b = −20 least at a = 0, where m = b.
  const outline = coneOutline(64, 88, 110, 55);
  const surface = revolved(outline, sheetChart(outline), 0);
  const shape = inkOf([{ contours: [box(-40, -20, 80, 30)] }]).shapes[0]!;
  const { top, bottom } = stretchOf(shape, surface);
  expect(top).toBeCloseTo(-20, 3);
  const k = 12 / Math.hypot(12, 110);
  expect(bottom).toBeCloseTo((Math.hypot(k * 40, 38 + k * 10) - 38) / k, 9);
});
