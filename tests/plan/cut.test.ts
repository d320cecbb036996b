/** Zones and the cut along their edges: every bit of ink is in one zone, and in the right one. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { areaOf, type Path, PathBuilder } from "../../src/geometry/path.ts";
import { cutInk } from "../../src/plan/cut.ts";
import { strips, type Zone, zoneAt, zoneNames } from "../../src/plan/zones.ts";
import { cylinder } from "../../src/vessel/cylinder.ts";
import { Warp } from "../../src/warp/warp.ts";
import { circle, glyph, inkOf, line, rectangle, resolved } from "../support/shapes.ts";

const stations = {
  "long lens, in depth": {
    radius: 41,
    head: { pivotAcross: 545, pivotAlong: 531, field: 300, belowCrown: 6 },
    depth: 7.3,
  },
  "crown out of depth": {
    radius: 41,
    head: { pivotAcross: 545, pivotAlong: 531, field: 300, belowCrown: 10 },
    depth: 4,
  },
  "short lens, near pivot, deep": {
    radius: 41,
    head: { pivotAcross: 128, pivotAlong: 114, field: 70, belowCrown: 2 },
    depth: 40,
  },
  "field smaller than the vessel": {
    radius: 60,
    head: { pivotAcross: 128, pivotAlong: 114, field: 70, belowCrown: 0.4 },
    depth: 12,
  },
};

describe.each(Object.entries(stations))("%s", (_, { radius, head, depth }) => {
  const warp = new Warp(cylinder(radius, "girth"), head);
  const limits = { usableDepthMm: depth, maxIncidenceDeg: 60 };

  it("a large sheet of ink is cut into areas that agree with zoneAt point by point", async () => {
    const w = 2 * Math.PI * radius * 0.9;
    const ink = inkOf([{ contours: [rectangle(-w / 2, -60, w, 120)] }]);
    const { pieces } = await cutInk(ink, strips(warp, limits), warp.surface);
    const found = Object.fromEntries(
      zoneNames.map((zone) => [zone, (pieces.get(zone) ?? []).reduce((sum, s) => sum + s.areaMm2, 0)]),
    ) as Record<Zone, number>;
    expect(Object.values(found).reduce((a, b) => a + b)).toBeCloseTo(ink.areaMm2, 1);
    const counted = Object.fromEntries(zoneNames.map((z) => [z, 0])) as Record<Zone, number>;
    const n = 400;
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        counted[zoneAt(warp, limits, -w / 2 + ((i + 0.5) * w) / n, -60 + ((j + 0.5) * 120) / n)]++;
      }
    }
    // A grid of 400² points knows an area to about its rim's share, 1/400 of the sheet.
    for (const zone of zoneNames) {
      expect(Math.abs(found[zone] - (counted[zone] / n ** 2) * ink.areaMm2)).toBeLessThan(ink.areaMm2 / 200);
    }
  });

  it("lines are cut where they cross, and keep their length", async () => {
    const ink = inkOf([{ contours: [line(-90, -55, 90, 55)] }, "centre-line"]);
    const { pieces } = await cutInk(ink, strips(warp, limits), warp.surface);
    let length = 0;
    for (const [zone, shapes] of pieces) {
      for (const shape of shapes) {
        length += shape.lengthMm;
        for (const c of shape.path.contours) {
          const p = c.points;
          const [x, y] = [(p[0]! + p.at(-2)!) / 2, (p[1]! + p.at(-1)!) / 2];
          expect(zoneAt(warp, limits, x, y)).toBe(zone);
        }
      }
    }
    expect(length).toBeCloseTo(ink.lengthMm, 6);
  });
});

it("cuts a ring with a hole, a glyph and an even-odd star without losing or doubling area", async () => {
  const warp = new Warp(cylinder(41, "girth"), {
    pivotAcross: 545,
    pivotAlong: 531,
    field: 300,
    belowCrown: 6,
  });
  const star = new PathBuilder<"flat">();
  for (let i = 0; i < 5; i++) {
    const t = (i * 4 * Math.PI) / 5;
    const [x, y] = [35 + 14 * Math.sin(t), -14 * Math.cos(t)];
    if (i === 0) star.move(x, y);
    else star.line(x, y);
  }
  const ring: Path<"flat"> = { contours: [circle(35, 0, 12), circle(35, 0, 6)] };
  const moved: Path<"flat"> = {
    contours: [{ ...glyph(), points: glyph().points.map((v, i) => (i % 2 === 0 ? v + 38 : v)) }],
  };
  const ink = inkOf(
    [resolved(ring, "evenodd")],
    [resolved(moved, "nonzero")],
    [resolved(star.close().build(), "evenodd")],
  );
  expect(ink.shapes[0]!.areaMm2).toBeCloseTo(Math.PI * (144 - 36), 0);
  const { pieces, problems } = await cutInk(
    ink,
    strips(warp, { usableDepthMm: 7, maxIncidenceDeg: 60 }),
    warp.surface,
  );
  expect(problems).toEqual([]);
  for (const id of ["s0", "s1", "s2"]) {
    const parts = [...pieces].flatMap(([zone, shapes]) =>
      shapes.filter((s) => s.id === id).map((s) => ({ zone, s })),
    );
    expect(parts.length).toBe(2);
    const whole = ink.shapes.find((s) => s.id === id)!;
    expect(parts.reduce((sum, { s }) => sum + s.areaMm2, 0)).toBeCloseTo(whole.areaMm2, 3);
    for (const { s } of parts)
      expect(s.path.contours.some((c) => c.straight.includes(0)) || id === "s2").toBe(true);
  }
});

it("a pentagram holds its middle by nonzero and not by even-odd (areas in closed form)", () => {
  const b = new PathBuilder<"flat">();
  for (let i = 0; i < 5; i++) {
    const t = (i * 4 * Math.PI) / 5;
    if (i === 0) b.move(10 * Math.sin(t), -10 * Math.cos(t));
    else b.line(10 * Math.sin(t), -10 * Math.cos(t));
  }
  const path = b.close().build();
  // A pentagram of circumradius R: ten triangles R, r, 36° with r = R sin 18°/sin 126°; its pentagon has circumradius r.
  const r = (10 * Math.sin(Math.PI / 10)) / Math.sin((7 * Math.PI) / 10);
  const star = 10 * 0.5 * 10 * r * Math.sin(Math.PI / 5);
  const pentagon = 5 * 0.5 * r * r * Math.sin((2 * Math.PI) / 5);
  expect(areaOf(resolved(path, "nonzero"))).toBeCloseTo(star, 3);
  expect(areaOf(resolved(path, "evenodd"))).toBeCloseTo(star - pentagon, 3);
});

it("property: whatever the lens, the focus and the fidelity, no area is lost or doubled", async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.record({
        radius: fc.double({ min: 15, max: 80, noNaN: true }),
        pivot: fc.double({ min: 90, max: 800, noNaN: true }),
        below: fc.double({ min: -5, max: 15, noNaN: true }),
        depth: fc.double({ min: 0.3, max: 20, noNaN: true }),
        field: fc.double({ min: 40, max: 300, noNaN: true }),
        at: fc.double({ min: -40, max: 40, noNaN: true }),
        telecentric: fc.boolean(),
        fidelity: fc.constantFrom("girth" as const, "sight" as const),
      }),
      async ({ radius, pivot, below, depth, field, at, telecentric, fidelity }) => {
        const warp = new Warp(cylinder(radius, fidelity), {
          pivotAcross: telecentric ? Infinity : pivot,
          pivotAlong: telecentric ? Infinity : pivot - 10,
          field,
          belowCrown: below,
        });
        const limits = { usableDepthMm: depth, maxIncidenceDeg: 60 };
        const ink = inkOf([{ contours: [circle(at, 5, 22)] }]);
        const { pieces } = await cutInk(ink, strips(warp, limits), warp.surface);
        let total = 0;
        for (const [, shapes] of pieces) for (const s of shapes) total += s.areaMm2;
        expect(Math.abs(total - ink.areaMm2)).toBeLessThan(0.01);
      },
    ),
    { numRuns: 60, seed: 20 },
  );
});

it("cuts a tiny circle as curves: the check's own polygons are fine enough", async () => {
  const warp = new Warp(cylinder(41, "girth"), {
    pivotAcross: 545,
    pivotAlong: 531,
    field: 300,
    belowCrown: 6,
  });
  // s − δ = 7 at s = R (1 − cos θ) = 13.
  const edge = 41 * Math.acos(1 - 13 / 41);
  for (const r of [0.02, 0.2, 1]) {
    const ink = inkOf([{ contours: [circle(edge + 0.3 * r, 0, r)] }]);
    const { pieces, problems } = await cutInk(
      ink,
      strips(warp, { usableDepthMm: 7, maxIncidenceDeg: 60 }),
      warp.surface,
    );
    expect(problems).toEqual([]);
    expect([...pieces.keys()].sort()).toEqual(["out-of-depth", "usable"]);
  }
});
