/** Thin places: widths in closed form, tapers and corners, dots and holes, and a distance transform as oracle. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { focusedSpot, type Spot } from "../../src/beam/spot.ts";
import { type Contour, type Path, PathBuilder } from "../../src/geometry/path.ts";
import { thinSvg, thinWords } from "../../src/picture/thinplaces.ts";
import { inkShape } from "../../src/plan/ink.ts";
import { inkPoints } from "../../src/plan/inkpoints.ts";
import { spotAcross } from "../../src/plan/thin/spot.ts";
import { type Thin, thinPlaces } from "../../src/plan/thin/thin.ts";
import { thinProblems } from "../../src/plan/thin/words.ts";
import { cylinder } from "../../src/vessel/cylinder.ts";
import { Warp } from "../../src/warp/warp.ts";
import { raster, residue, wave } from "../support/opening.ts";
import { circle, glyph, inkOf, line, rectangle, resolved } from "../support/shapes.ts";

type Outlines = readonly Contour<"flat">[];
const SPOT = 0.08;
/** So large a vessel, so deep a focus, that the spot is the same everywhere. */
const plate = new Warp(cylinder(1e6, "girth"), {
  pivotAcross: Infinity,
  pivotAlong: Infinity,
  field: 1e4,
  belowCrown: 0,
});
const limits = { usableDepthMm: 100, maxIncidenceDeg: 60 };
const even: Spot = { waistDiameterMm: SPOT, rayleighMm: 1e6 };

function thin(shapes: readonly Outlines[], spot = even): Thin {
  const ink = inkOf(...shapes.map((contours): [Path<"flat">] => [{ contours }]));
  return thinPlaces(ink, inkPoints(ink, plate.surface), plate, spot, limits, false);
}

const evenOdd = (...contours: Contour<"flat">[]): Outlines => resolved({ contours }, "evenodd").contours;

const polygon = (points: readonly (readonly [number, number])[]): Contour<"flat"> => {
  const b = new PathBuilder<"flat">();
  points.forEach(([x, y], i) => void (i === 0 ? b.move(x, y) : b.line(x, y)));
  return b.close().build().contours[0]!;
};

/** Turned by an angle, made k times as large, moved. */
function placed(c: Contour<"flat">, deg: number, k: number, x: number, y: number): Contour<"flat"> {
  const [cos, sin] = [k * Math.cos((deg * Math.PI) / 180), k * Math.sin((deg * Math.PI) / 180)];
  const points = c.points.slice();
  for (let i = 0; i < points.length; i += 2) {
    const [a, b] = [c.points[i]!, c.points[i + 1]!];
    points[i] = a * cos - b * sin + x;
    points[i + 1] = a * sin + b * cos + y;
  }
  return { ...c, points };
}

describe("widths in closed form, to 1e-4 mm", () => {
  it("a bar of any width, angle and place", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 0.7, noNaN: true }),
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.double({ min: -30, max: 30, noNaN: true }),
        (w, deg, at) => {
          const { line, gap } = thin([[placed(rectangle(-2, -w / 2, 4, w), deg, 1, at, -at / 2)]]);
          expect(line.narrowest!.widthMm).toBeCloseTo(w, 6);
          expect(line.narrowest!.spotMm).toBeCloseTo(SPOT, 6);
          expect(line.worst === null).toBe(w >= SPOT);
          expect(line.places).toBe(w < SPOT ? 1 : 0);
          // All of its length but half a width at its ends.
          if (w < SPOT) expect(Math.abs(line.lengthMm - (4 - w))).toBeLessThan(0.06);
          const [a, b] = line.narrowest!.atMm;
          expect(Math.hypot(a - at, b + at / 2)).toBeLessThan(2.01);
          expect(gap.narrowest).toBeNull();
        },
      ),
      { numRuns: 60 },
    );
  });

  it("two bars with a gap between them", () => {
    for (const [g, deg] of [
      [0.03, 0],
      [0.03, 57],
      [0.3, 20],
    ] as const) {
      const { line, gap } = thin([
        [placed(rectangle(0, 0, 3, 1), deg, 1, 0, 0)],
        [placed(rectangle(0, 1 + g, 3, 1), deg, 1, 0, 0)],
      ]);
      expect(gap.narrowest!.widthMm).toBeCloseTo(g, 6);
      expect(gap.lengthMm).toBeCloseTo(g < SPOT ? 3 : 0, 1);
      expect(line.narrowest).toBeNull();
    }
  });

  it("a round ring, and one whose hole stands off its middle", () => {
    for (const [r, off] of [
      [1.95, 0],
      [1.9, 0.06],
    ] as const) {
      const { line, gap } = thin([evenOdd(circle(0, 0, 2, 16), circle(off, 0, r, 16))]);
      expect(Math.abs(line.narrowest!.widthMm - (2 - r - off))).toBeLessThan(1e-4);
      if (off > 0) expect(line.narrowest!.atMm[0]).toBeCloseTo(1.98, 2);
      expect(gap.places).toBe(0);
    }
  });

  it("a part of a ring", () => {
    const b = new PathBuilder<"flat">();
    const [outer, inner] = [circle(0, 0, 3, 24).points, circle(0, 0, 2.94, 24).points];
    b.move(outer[0]!, outer[1]!);
    for (let k = 0; k < 6; k++) b.cubic(...(outer.slice(2 + 6 * k, 8 + 6 * k) as unknown as Six));
    b.line(inner[36]!, inner[37]!);
    for (let k = 5; k >= 0; k--) {
      const i = 6 * k;
      b.cubic(inner[i + 4]!, inner[i + 5]!, inner[i + 2]!, inner[i + 3]!, inner[i]!, inner[i + 1]!);
    }
    const { line } = thin([[b.close().build().contours[0]!]]);
    expect(Math.abs(line.narrowest!.widthMm - 0.06)).toBeLessThan(1e-4);
    expect(line.lengthMm).toBeCloseTo((Math.PI / 2) * 2.97 - 0.06, 1);
  });

  it("the neck between two round sides, and corners that point at each other or at an edge", () => {
    const necks: [Outlines, Outlines, number][] = [
      [[circle(-1, 0, 1)], [circle(1.0123, 0, 1)], 0.0123],
      [[diamond(-1)], [diamond(1.02)], 0.02],
      [[diamond(-1)], [rectangle(0.03, -2, 1, 4)], 0.03],
    ];
    for (const [one, other, g] of necks) {
      for (const deg of [0, 33]) {
        const { gap } = thin([one, other].map((s) => s.map((c) => placed(c, deg, 1, 3, 1))));
        expect(Math.abs(gap.narrowest!.widthMm - g)).toBeLessThan(1e-4);
        expect(gap.places).toBe(1);
      }
    }
  });

  it("a dot and a hole smaller than the spot", () => {
    for (const n of [4, 16]) {
      const dot = thin([[circle(1, 2, 0.03, n)]]);
      expect(Math.abs(dot.line.worst!.widthMm - 0.06)).toBeLessThan(1e-4);
      const hole = thin([evenOdd(rectangle(-2, -2, 4, 4), circle(0, 0, 0.03, n))]);
      expect(Math.abs(hole.gap.worst!.widthMm - 0.06)).toBeLessThan(1e-4);
      expect([hole.gap.places, hole.line.places]).toEqual([1, 0]);
    }
    expect(thin([[circle(0, 0, 0.05)]]).line.places).toBe(0);
  });

  it("a comb: as many lines and gaps as there are", () => {
    const { line, gap } = thin([
      Array.from({ length: 12 }, (_, i) => placed(rectangle(0, 0.1 * i, 3, 0.05), 15, 1, 0, 0)),
    ]);
    expect(line.narrowest!.widthMm).toBeCloseTo(0.05, 6);
    expect(gap.narrowest!.widthMm).toBeCloseTo(0.05, 6);
    expect([line.places, gap.places]).toEqual([12, 11]);
    expect(Math.abs(line.lengthMm - 12 * 2.95)).toBeLessThan(0.6);
    expect(Math.abs(gap.lengthMm - 11 * 3)).toBeLessThan(0.6);
  });
});
type Six = [number, number, number, number, number, number];
const diamond = (x: number): Contour<"flat"> =>
  polygon([
    [x - 1, 0],
    [x, -1],
    [x + 1, 0],
    [x, 1],
  ]);

describe("corners and tapers", () => {
  const wedge = (deg: number): Contour<"flat"> => {
    const h = 5 * Math.tan((deg * Math.PI) / 360);
    return polygon([
      [0, 0],
      [5, -h],
      [5, h],
    ]);
  };

  it("a wedge of 10° is thin as far as it is narrower than the spot; one of 25° is a corner", () => {
    const { line } = thin([[wedge(10)]]);
    expect(line.narrowest!.widthMm).toBeLessThan(1e-4);
    expect(Math.hypot(...line.narrowest!.atMm)).toBeLessThan(0.001);
    // A disc of diameter d touches both sides d/(2 tan 5°) from the tip.
    expect(line.lengthMm).toBeCloseTo(SPOT / 2 / Math.tan(Math.PI / 36), 1);
    expect(thin([[wedge(25)]]).line.places).toBe(0);
  });

  it("a steady hairline is named before a taper's tip", () => {
    const { line } = thin([[wedge(15)], [rectangle(0, 4, 3, 0.05)]]);
    expect(line.narrowest!.widthMm).toBeCloseTo(0.05, 6);
    expect(line.places).toBe(2);
  });

  it("a star, a square and a glyph have no thin place", () => {
    const star = polygon(
      Array.from({ length: 10 }, (_, i): [number, number] => {
        const r = i % 2 ? 1.15 : 3;
        return [r * Math.sin((i * Math.PI) / 5), -r * Math.cos((i * Math.PI) / 5)];
      }),
    );
    for (const c of [star, rectangle(0, 0, 1, 1), glyph()]) {
      const { line, gap } = thin([[c]]);
      expect([line.places, gap.places]).toEqual([0, 0]);
    }
  });
});

describe("shapes that overlap count as one region", () => {
  it("edges inside the ink are no edges", () => {
    const overlapping: Outlines[][] = [
      [[rectangle(0, 0, 3, 3)], [rectangle(2.95, 1, 3, 1)]],
      [[rectangle(0, 0, 3, 3)], [rectangle(0.02, 0.02, 1, 1)]],
      [[rectangle(0, 0, 3, 3)], [rectangle(3, 1, 1, 1)]],
    ];
    for (const shapes of overlapping) {
      const { compared, line, gap } = thin(shapes);
      expect([compared, line.places, gap.places]).toEqual([true, 0, 0]);
    }
    // By even-odd the same two squares leave a frame 0.02 mm wide.
    const frame = thin([evenOdd(rectangle(0, 0, 3, 3), rectangle(0.02, 0.02, 2.96, 2.96))]);
    expect(frame.line.narrowest!.widthMm).toBeCloseTo(0.02, 6);
  });

  it("directions of contours do not matter", () => {
    const back = (c: Contour<"flat">): Contour<"flat"> => {
      const points = new Float64Array(c.points.length);
      for (let i = 0; i < points.length; i += 2) {
        points[i] = c.points[points.length - 2 - i]!;
        points[i + 1] = c.points[points.length - 1 - i]!;
      }
      return { ...c, points, straight: c.straight.slice().reverse() };
    };
    for (const ring of [
      [circle(0, 0, 2), back(circle(0, 0, 1.95))],
      [back(circle(0, 0, 2)), circle(0, 0, 1.95)],
    ]) {
      const { line, gap } = thin([ring]);
      expect(Math.abs(line.narrowest!.widthMm - 0.05)).toBeLessThan(1e-4);
      expect(gap.places).toBe(0);
    }
  });

  it("centre lines have no width", () => {
    const s = inkShape(
      { id: "l", where: {}, paint: "centre-line" },
      { contours: [line(0, 0, 5, 5), line(0, 0.01, 5, 5.01)] },
    )!;
    const ink = { shapes: [s], box: s.box, segments: 2, areaMm2: 0, lengthMm: s.lengthMm };
    const { line: found, gap } = thinPlaces(ink, inkPoints(ink, plate.surface), plate, even, limits, true);
    expect([found.narrowest, gap.narrowest]).toEqual([null, null]);
  });
});

it("property: k times the ink and the spot have k times the widths, in as many places", () => {
  const art: Outlines = [
    placed(rectangle(0, 0, 2, 0.05), 31, 1, 4, 4),
    circle(0, 0, 2, 8),
    placed(glyph(), 0, 0.05, -3, 2),
    circle(2.03, 0, 0.0295, 4),
    circle(4.2, 0, 2.1, 8),
  ];
  const one = thin(art.map((c) => [c]));
  fc.assert(
    fc.property(fc.double({ min: 0.2, max: 20, noNaN: true }), (k) => {
      const scaled = thin(
        art.map((c) => [placed(c, 0, k, 0, 0)]),
        { ...even, waistDiameterMm: k * SPOT },
      );
      for (const kind of ["line", "gap"] as const) {
        expect(scaled[kind].narrowest!.widthMm / k).toBeCloseTo(one[kind].narrowest!.widthMm, 5);
        expect(scaled[kind].places).toBe(one[kind].places);
      }
    }),
    { numRuns: 20 },
  );
});

describe("against an opening by a disc on a fine grid", () => {
  const CELL = SPOT / 12;
  const wavy = fc.record({
    hole: fc.double({ min: 0.35, max: 0.6, noNaN: true }),
    thickness: fc.double({ min: 0.4, max: 2, noNaN: true }),
    shift: fc.double({ min: 0, max: 0.3, noNaN: true }),
    waves: fc.array(
      fc.tuple(
        fc.integer({ min: 2, max: 4 }),
        fc.double({ min: 0, max: 0.04, noNaN: true }),
        fc.double({ min: 0, max: 6.28, noNaN: true }),
      ),
      { maxLength: 2 },
    ),
  });

  it.each(["line", "gap"] as const)(
    "says the same of a random wavy %s, but for 15 % of doubt",
    (kind) => {
      const seen = { thin: 0, not: 0 };
      fc.assert(
        fc.property(wavy, ({ hole, thickness, shift, waves }) => {
          const band = [
            wave(0, 0, hole + thickness * SPOT, waves),
            wave(shift * thickness * SPOT, 0, hole, []),
          ];
          // For a gap the same band is left free within a sheet.
          const ink = kind === "line" ? band : [circle(0, 0, 1.1, 32), ...band];
          const found = thin([evenOdd(...ink)])[kind];
          const set = raster(band, 2.4, CELL);
          if (residue(set, (SPOT / CELL) * 0.85) > 3) {
            expect(found.places).toBeGreaterThan(0);
            seen.thin++;
          } else if (residue(set, (SPOT / CELL) * 1.15) === 0) {
            expect(found.places).toBe(0);
            seen.not++;
          }
        }),
        { numRuns: 30, seed: 5 },
      );
      expect(Math.min(seen.thin, seen.not)).toBeGreaterThan(5);
    },
    60_000,
  );
});

describe("the spot on the vessel", () => {
  const head = { pivotAcross: Infinity, pivotAlong: Infinity, field: 300, belowCrown: 0 };
  const spot = focusedSpot({ wavelengthNm: 1064, beamDiameterMm: 7, m2: 1.3 }, 200);

  it("reaches d across the axis of the slope and d/cos i along it (a circle seen on a tilted plane)", () => {
    const warp = new Warp(cylinder(40, "girth"), head);
    for (const deg of [0, 20, 50]) {
      const theta = (deg * Math.PI) / 180;
      // From straight above the incidence is the angle itself, and the defocus the drop R(1 − cos θ).
      const z = 40 * (1 - Math.cos(theta));
      const d = spot.waistDiameterMm * Math.sqrt(1 + (z / spot.rayleighMm) ** 2);
      expect(spotAcross(warp, spot, 40 * theta, 3, 0, 0.01).spotMm).toBeCloseTo(d, 9);
      expect(spotAcross(warp, spot, 40 * theta, 3, 0.01, 0).spotMm).toBeCloseTo(d / Math.cos(theta), 9);
    }
  });

  it("straight-on art is wider on the vessel than on the flat", () => {
    const warp = new Warp(cylinder(40, "sight"), head);
    const { widthMm, spotMm } = spotAcross(warp, spot, 20, 0, 0.01, 0);
    // X = R sin θ = 20: θ = 30°, dX = cos θ of the width.
    expect(widthMm).toBeCloseTo(0.01 / Math.cos(Math.PI / 6), 9);
    expect(spotMm / widthMm).toBeCloseTo(spotAcross(warp, spot, 20, 0, 0, 0.01).spotMm / 0.01, 9);
  });

  it("the same bar is thin at the side and not at the crown, and is left to the zones beyond the limits", () => {
    const warp = new Warp(cylinder(40, "girth"), head);
    const found = (a: number, maxIncidenceDeg: number): Thin => {
      const ink = inkOf([{ contours: [rectangle(a, -1, spot.waistDiameterMm * 1.1, 2)] }]);
      return thinPlaces(
        ink,
        inkPoints(ink, warp.surface),
        warp,
        spot,
        { usableDepthMm: 20, maxIncidenceDeg },
        false,
      );
    };
    expect(found(0, 60).line.places).toBe(0);
    expect(found(0, 60).line.narrowest!.widthMm).toBeCloseTo(spot.waistDiameterMm * 1.1, 6);
    expect(found(25, 60).line.places).toBe(1);
    expect(found(25, 30).line.narrowest).toBeNull();
  });
});

it("cautions say how much, where and what to do, in short", () => {
  const [bar, gap] = thinProblems(
    thin([[rectangle(0, 0, 3, 0.05)], [rectangle(0, 0.06, 3, 1)], [rectangle(9, 9, 4, 0.03)]]),
  );
  expect(bar!.code).toBe("line-thinner-than-spot");
  expect(bar!.message).toBe(
    "lines down to 30 µm are thinner than the spot of 80 µm: 2 places, 6.9 mm in all, the worst at 11.0,9.0 mm",
  );
  expect(gap!.code).toBe("gap-thinner-than-spot");
  expect(gap!.message).toMatch(
    /^gaps down to 10 µm are narrower .* 1 place, 3\.0 mm in all, the worst at 1\.\d,0\.1 mm$/,
  );
  for (const p of [bar!, gap!]) {
    expect(p.severity).toBe("caution");
    expect(p.message.length).toBeLessThan(120);
    expect(p.hint).not.toMatch(/NaN|Infinity/);
  }
  expect(thinProblems(thin([[rectangle(0, 0, 3, 3)]]))).toEqual([]);
});

it("the drawing has the widths themselves, and a sign within a sign's size of each", () => {
  const found = thin([[rectangle(0, 0, 12, 0.05)], [circle(21, 5, 0.03)]]);
  const svg = thinSvg(found.line, "line", 2, 0.1, found.stepMm);
  expect(svg).not.toMatch(/NaN|undefined|Infinity/);
  const [widths, signs] = [...svg.matchAll(/ d="([^"]*)"/g)].map((m) => m[1]!);
  const starts = (d: string): [number, number][] =>
    [...d.matchAll(/M(\S+) ([^L]+)L/g)].map((m) => [Number(m[1]), Number(m[2])]);
  expect(starts(widths!).length).toBe(found.line.spans.length / 4);
  // A ring starts at its right, a radius from its middle.
  const middles = starts(signs!).map(([x, y]) => [x - 1, y] as const);
  expect(middles.length).toBe(7);
  for (const [x, y] of starts(widths!)) {
    expect(Math.min(...middles.map(([a, b]) => Math.hypot(a - x, b - y)))).toBeLessThan(2);
  }
  expect(thinWords({ thin: found }, "line")).toBe("line thinner than the spot: 2 places");
  expect(thinWords({ thin: found }, "gap")).toBeNull();
});
