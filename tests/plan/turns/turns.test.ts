/** Turns: what they come to on the vessel, against the ink itself and plain geometry. */
import { describe, expect, it } from "vitest";
import type { Artwork } from "../../../src/artwork/types.ts";
import { flattenInto } from "../../../src/geometry/cubic.ts";
import type { Path } from "../../../src/geometry/path.ts";
import type { JobFile } from "../../../src/job/job.ts";
import { resolveJob } from "../../../src/job/resolve.ts";
import { planJob } from "../../../src/plan/plan.ts";
import type { Plan } from "../../../src/plan/types.ts";
import { profiles } from "../../support/profiles.ts";
import { seeded } from "../../support/pulses.ts";
import { circle, rectangle } from "../../support/shapes.ts";

/** A row of separate shapes, `count` of them, and one bar under all of them. */
function artwork(count: number, step: number, bar: boolean): Artwork {
  const shapes: Artwork["shapes"][number][] = [];
  const shape = (id: string, path: Path<"flat">) =>
    shapes.push({ id, where: { id }, paint: "fill", path: path as unknown as Path<"page"> });
  for (let i = 0; i < count; i++) {
    const x = i * step;
    const moved = (c: ReturnType<typeof circle>) => ({
      ...c,
      points: c.points.map((v, k) => v + (k % 2 ? 0 : x)),
    });
    if (i % 2) shape(`g${i}`, { contours: [moved(circle(0, 0, 0.36 * step))] });
    else shape(`g${i}`, { contours: [moved(rectangle(-0.3 * step, -0.4 * step, 0.6 * step, 0.8 * step))] });
  }
  if (bar) shape("bar", { contours: [rectangle(-0.5 * step, 0.6 * step, count * step, 1.5)] });
  return { widthMm: count * step, heightMm: 2 * step, shapes, problems: [] } as unknown as Artwork;
}

const planned = (art: Artwork, options: JobFile): Plan => planJob(art, resolveJob({}, options, profiles));

/** Even-odd, by chords: a test of its own. */
function insideOf(paths: readonly Path<"flat">[]): (a: number, b: number) => boolean {
  const edges: number[] = [];
  for (const { contours } of paths)
    for (const { points: p, straight } of contours) {
      let [x, y] = [p[0]!, p[1]!];
      for (let k = 0; k < straight.length; k++)
        flattenInto(p, 6 * k, false, 1e-4, (x1, y1) => {
          edges.push(x, y, x1, y1);
          [x, y] = [x1, y1];
        });
    }
  return (a, b) => {
    let inside = false;
    for (let i = 0; i < edges.length; i += 4) {
      const [x0, y0, x1, y1] = [edges[i]!, edges[i + 1]!, edges[i + 2]!, edges[i + 3]!];
      if (y0 > b !== y1 > b && a < x0 + ((b - y0) / (y1 - y0)) * (x1 - x0)) inside = !inside;
    }
    return inside;
  };
}

/** How often each of many places of the whole flat is marked, carried around by the vessel's own chart. */
function counted(plan: Plan): { once: number; twice: number; never: number; stray: number } {
  const { chart } = plan.warp.surface;
  const whole = insideOf(plan.ink.shapes.map((s) => s.path));
  const turns = plan.turns.map(({ ink, angle }) => ({
    angle,
    inside: insideOf(ink.shapes.map((s) => s.path)),
  }));
  const { minX, maxX, minY, maxY } = plan.ink.box;
  const random = seeded(6);
  const place = new Float64Array(6);
  const local = new Float64Array(2);
  const counts = { once: 0, twice: 0, never: 0, stray: 0 };
  for (let i = 0; i < 20_000; i++) {
    const [a, b] = [minX + random() * (maxX - minX), minY + random() * (maxY - minY)];
    chart.to(a, b, place);
    const marked = turns.filter(({ angle, inside }) => {
      chart.from(place[0]! - angle, place[1]!, local);
      return inside(local[0]!, local[1]!);
    }).length;
    if (!whole(a, b)) counts.stray += marked;
    else counts[marked === 0 ? "never" : marked === 1 ? "once" : "twice"]++;
  }
  return counts;
}

const vessels: [string, JobFile["vessel"], JobFile["placement"]][] = [
  ["cylinder, girth", { diameterMm: 76.4 }, { fidelity: "girth" }],
  ["cone, girth", { taperMm: [88, 64, 110] }, { fidelity: "girth" }],
  ["cone, sheet", { taperMm: [88, 64, 110] }, { fidelity: "sheet" }],
  ["cone, true-width", { taperMm: [64, 88, 110] }, { fidelity: "true-width" }],
  ["sphere, true-width", { sphereMm: 84 }, { fidelity: "true-width" }],
  ["sphere, girth", { sphereMm: 84 }, { fidelity: "girth" }],
];

describe.each(vessels)("%s", (_, vessel, placement) => {
  it("letters beside each other: marked once each, no cut through ink", () => {
    const plan = planned(artwork(12, 12, false), { vessel, placement, turns: "auto" });
    expect(plan.turns.length).toBeGreaterThan(1);
    expect(plan.parting.cuts.map((cut) => cut.inkMm)).toEqual(plan.parting.cuts.map(() => 0));
    expect(plan.parting.overlapMm2).toBe(0);
    const { once, twice, never, stray } = counted(plan);
    expect([twice, never, stray]).toEqual([0, 0, 0]);
    expect(once).toBeGreaterThan(5000);
    const total = plan.turns.reduce((sum, turn) => sum + turn.ink.areaMm2, 0);
    // girth on a bulge, and a shift on a cone: the flat's area goes around unchanged.
    expect(total / plan.ink.areaMm2).toBeCloseTo(1, placement?.fidelity === "true-width" ? 4 : 9);
    expect(plan.zones.find((z) => z.zone === "usable")!.share).toBe(1);
  });

  it("a bar under them: all of it, twice only within a spot of a cut", () => {
    const plan = planned(artwork(12, 12, true), { vessel, placement, turns: "auto" });
    const crossing = plan.parting.cuts.filter((cut) => cut.inkMm > 0);
    expect(crossing).toHaveLength(plan.parting.cuts.length);
    const { never, stray } = counted(plan);
    expect([never, stray]).toEqual([0, 0]);
    const spot = plan.spot.waistDiameterMm;
    // 1.5 mm of bar across each cut; on the flat of a cone or ball its stretch goes in.
    expect(plan.parting.overlapMm2 / (crossing.length * 1.5 * spot)).toBeGreaterThan(0.8);
    expect(plan.parting.overlapMm2 / (crossing.length * 1.5 * spot)).toBeLessThan(1.3);
    expect(plan.reasons.map((r) => r.code)).toContain("cut-through-ink");
  });
});

describe("index angles", () => {
  it("the whole girth in equal steps that close", () => {
    const around = Math.PI * 76.4;
    const plan = planned(artwork(20, 12, true), {
      vessel: { diameterMm: 76.4 },
      placement: { widthMm: around },
      turns: 5,
    });
    expect(plan.turns.map(({ angle }) => (angle * 180) / Math.PI)).toEqual(
      [-144, -72, 0, 72, 144].map((deg) => expect.closeTo(deg, 9)),
    );
    expect(plan.parting.closing).toMatchObject({
      girthMm: expect.closeTo(around, 9),
      errorMm: expect.closeTo(0, 9),
    });
  });

  it("ends that do not meet are told, with the width that makes them", () => {
    const ask = (widthMm: number) =>
      planned(artwork(20, 12, true), { vessel: { diameterMm: 76.4 }, placement: { widthMm }, turns: "auto" });
    const plan = ask(239);
    const told = plan.reasons.find((r) => r.code === "ends-do-not-meet")!;
    // A tape around the cup: 76.4 π = 240.0177 mm.
    expect(told.message).toContain("leave a gap of 1.02 mm");
    const width = Number(/--width ([\d.]+)/.exec(told.hint)![1]);
    expect(ask(width).reasons.map((r) => r.code)).not.toContain("ends-do-not-meet");
  });

  it("one turn where it fits as it lies, indexed to its middle where it does not", () => {
    const ask = (atMm: [number, number]) =>
      planned(artwork(4, 10, false), { vessel: { diameterMm: 76.4 }, placement: { atMm }, turns: "auto" });
    expect(ask([5, 0]).turns.map((t) => t.angle)).toEqual([0]);
    const [turn, more] = ask([60, 0]).turns;
    expect(more).toBeUndefined();
    expect(turn!.angle).toBeCloseTo(60 / 38.2, 6);
    expect(ask([60, 0]).verdict).not.toBe("stop");
  });

  it("each turn's marks lie where the head reaches the ink of the vessel indexed by its angle", () => {
    const plan = planned(artwork(12, 12, false), { vessel: { taperMm: [88, 64, 110] }, turns: "auto" });
    const { warp } = plan;
    const place = new Float64Array(6);
    for (const turn of plan.turns)
      for (const mark of turn.marks.get("usable")!) {
        const source = plan.ink.shapes.find((s) => s.id === mark.id)!;
        const at = warp.inverse({
          x: mark.path.contours[0]!.points[0]!,
          y: mark.path.contours[0]!.points[1]!,
        });
        if (typeof at === "string") throw new Error(at);
        warp.surface.chart.to(at.x, at.y, place);
        const start = source.path.contours[0]!.points;
        const local = place[0]! + turn.angle;
        warp.surface.chart.to(start[0]!, start[1]!, place);
        expect(Math.abs(local - place[0]!) * 38).toBeLessThan(0.002);
      }
  });
});

it("a drawn view is not marked in turns", () => {
  expect(() =>
    planned(artwork(4, 10, false), {
      vessel: { diameterMm: 76.4 },
      placement: { fidelity: "sight" },
      turns: 2,
    }),
  ).toThrow(/straight-on view/);
});

it("witness marks: one at each seam, met by the pointer of the next turn", () => {
  const plan = planned(artwork(20, 12, false), {
    vessel: { diameterMm: 76.4, heightMm: 120, belowRimMm: 60 },
    placement: { widthMm: 200 },
    turns: "auto",
    witnessMarks: true,
  });
  expect(plan.turns.length).toBeGreaterThan(2);
  for (const [i, turn] of plan.turns.entries()) {
    const marks = turn.ink.shapes.filter((s) => s.id.startsWith("witness"));
    expect(marks).toHaveLength(i + 1 < plan.turns.length ? 1 : 0);
    const before = plan.turns[i - 1];
    if (!before) {
      expect(turn.aimMm).toBeNull();
      continue;
    }
    const mark = before.ink.shapes.find((s) => s.id === `witness-${i}`)!;
    // On the girth flat the vessel's turn is a shift by the arc.
    const shift = (turn.angle - before.angle) * 38.2;
    const aim = plan.warp.forward({
      x: (mark.box.minX + mark.box.maxX) / 2 - shift,
      y: (mark.box.minY + mark.box.maxY) / 2,
    });
    if (typeof aim === "string") throw new Error(aim);
    expect(turn.aimMm![0]).toBeCloseTo(aim.x, 6);
    expect(turn.aimMm![1]).toBeCloseTo(aim.y, 6);
    // 2 mm above the base, 2 mm tall.
    expect(mark.box.maxY).toBeCloseTo(58, 9);
  }
});

it("a blocked area goes around with the vessel", () => {
  const ask = (aroundDeg: [number, number]) =>
    planned(artwork(12, 12, false), {
      vessel: { diameterMm: 76.4, blocked: [{ name: "seam", aroundDeg }] },
      turns: 3,
    });
  expect(ask([170, 190]).reasons.map((r) => r.code)).not.toContain("ink-blocked");
  const met = ask([60, 64]);
  expect(met.verdict).toBe("stop");
  expect(met.reasons.find((r) => r.code === "ink-blocked")!.message).toContain("seam");
  expect(met.turns.map((t) => t.zones.some((z) => z.zone === "blocked" && z.areaMm2 > 0))).toEqual([
    false,
    false,
    true,
  ]);
});

describe("further cases", () => {
  it("ink past the back of a developed cone is in the turns", () => {
    const plan = planned(artwork(6, 12, false), {
      vessel: { taperMm: [88, 64, 110] },
      placement: { fidelity: "sheet", atMm: [110, 0] },
      turns: "auto",
    });
    const { never, stray, twice } = counted(plan);
    expect([never, stray, twice]).toEqual([0, 0, 0]);
    expect(plan.zones.find((z) => z.zone === "hidden")!.areaMm2).toBe(0);
  });

  it("a turned page goes around by its height", () => {
    const tall: Artwork = { ...artwork(1, 230, false), widthMm: 60, heightMm: 239 };
    const plan = planned(tall, {
      vessel: { diameterMm: 239 / Math.PI },
      placement: { rotateDeg: 90 },
      turns: "auto",
    });
    expect(plan.parting.closing).toMatchObject({ periodMm: 239, errorMm: expect.closeTo(0, 9) });
  });

  it("one indexed turn is held against the handle where the whole artwork lies", () => {
    const codes = (handleDeg: number) =>
      planned(artwork(5, 12, false), {
        vessel: { diameterMm: 76, handleDeg },
        placement: { atMm: [100, 0] },
        turns: "auto",
      }).reasons.map((r) => r.code);
    // 100 mm around is 100/38 rad = 150.8°.
    expect(codes(150)).toContain("ink-on-handle");
    expect(codes(0)).not.toContain("ink-on-handle");
  });

  it("on a taper only girth lets the ends meet", () => {
    const codes = (fidelity: "girth" | "true-width" | "sheet") =>
      planned(artwork(20, 12, true), {
        vessel: { taperMm: [88, 64, 110] },
        placement: { fidelity, widthMm: 76 * Math.PI },
        turns: "auto",
      });
    expect(codes("girth").parting.closing!.errorMm).toBeCloseTo(0, 9);
    for (const fidelity of ["true-width", "sheet"] as const) {
      const plan = codes(fidelity);
      expect(plan.parting.closing).toBeNull();
      expect(plan.reasons.map((r) => r.code)).toContain("ends-aslant");
    }
  });

  it("turns that hold no ink are left out, and told", () => {
    const two = artwork(2, 100, false);
    const plan = planned(two, { vessel: { diameterMm: 76 }, placement: { widthMm: 120 }, turns: 8 });
    expect(plan.turns.length).toBeLessThan(8);
    expect(plan.turns.map((t) => t.index)).toEqual(plan.turns.map((_, i) => i + 1));
    for (const { between } of plan.parting.cuts) expect(between[1]).toBe(between[0] + 1);
    expect(plan.reasons.map((r) => r.code)).toContain("turns-without-ink");
  });
});

describe("one turn", () => {
  it("where not all ink can be in depth the focus is for most of it, also where it stands above the crown", () => {
    const lying = (focus: "best" | number) =>
      planned(artwork(1, 70, false), { vessel: { diameterMm: 76 }, pose: 12, focus }).zones.find(
        (z) => z.zone === "usable",
      )!.share;
    const tried = [-2, 0, 1, 2, 3, 4, 6, 8].map((focus) => lying(focus));
    expect(lying("best")).toBeGreaterThan(0.9 * Math.max(...tried));
  });

  it("a blocked area off the wall blocks nothing", () => {
    const plan = planned(artwork(3, 10, false), {
      vessel: {
        taperMm: [88, 64, 110],
        blocked: [{ name: "foot", aroundDeg: [-180, 180], belowRimMm: [120, 130] }],
      },
    });
    expect(plan.zones.find((z) => z.zone === "blocked")!.areaMm2).toBe(0);
  });

  it("a crown that no limit lets pass has no reach", () => {
    const plan = planned(artwork(3, 10, false), {
      vessel: { diameterMm: 76 },
      pose: 70,
      limits: { usableDepthMm: 40 },
    });
    expect(plan.reach).toEqual({ aroundMm: 0, limitedBy: "incidence" });
  });

  it("ink too wide for one reach is told how many turns would do, and they do", () => {
    const art = artwork(10, 12, false);
    const single = planned(art, { vessel: { diameterMm: 76.4 } });
    const { turns } = single.changes!;
    expect(turns).toBe(2);
    const parted = planned(art, { vessel: { diameterMm: 76.4 }, turns: turns! });
    expect(parted.zones.find((z) => z.zone === "usable")!.share).toBe(1);
  });
});
