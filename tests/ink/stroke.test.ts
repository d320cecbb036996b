import { areaPathsD, FillRule, type PathsD, unionD } from "clipper2-ts";
import { expect, it } from "vitest";
import type { Stroke } from "../../src/artwork/types.ts";
import type { Affine } from "../../src/geometry/affine.ts";
import { identity } from "../../src/geometry/affine.ts";
import { evalCubic, flattenInto } from "../../src/geometry/cubic.ts";
import type { MappedCurve } from "../../src/geometry/curve.ts";
import { type Contour, type Path, PathBuilder, signedArea, transformPath } from "../../src/geometry/path.ts";
import { strokeOutline } from "../../src/ink/strokes/outline.ts";
import { JobError } from "../../src/problem.ts";
import { sampledError } from "../support/sampling.ts";

type Page = Path<"page">;
const plain: Stroke = {
  width: 2,
  cap: "butt",
  join: "miter",
  miterLimit: 4,
  dashes: [],
  dashOffset: 0,
  space: identity,
};
const tolerance = 1e-4;
const outline = (path: Page, change: Partial<Stroke> = {}, mm = tolerance): Page =>
  strokeOutline(path, { ...plain, ...change }, mm);

const polygons = (path: Page, flatness = 1e-5): PathsD =>
  path.contours.map((c) => {
    const out = [{ x: c.points[0]!, y: c.points[1]! }];
    c.straight.forEach((flag, k) => {
      flattenInto(c.points, 6 * k, flag === 1, flatness, (x, y) => out.push({ x, y }));
    });
    return out;
  });
const union = (path: Page): PathsD => unionD(polygons(path), [], FillRule.NonZero, 7);
const area = (path: Page): number => areaPathsD(union(path));

const lines = (...at: [number, number][]): Page => {
  const builder = new PathBuilder<"page">();
  at.forEach(([x, y], k) => void (k === 0 ? builder.move(x, y) : builder.line(x, y)));
  return builder.build();
};
const closedLines = (...at: [number, number][]): Page => {
  const [c] = lines(...at, at[0]!).contours;
  return { contours: [{ ...c!, closed: true }] };
};
const curve = (...p: number[]): Page => ({
  contours: [{ closed: false, points: Float64Array.from(p), straight: new Uint8Array((p.length - 2) / 6) }],
});
/** Arms 4/3 tan(π/4n): off the circle by less than 1e-8 of its radius with n = 16. */
function circle(r: number, n = 16): Page {
  const builder = new PathBuilder<"page">().move(r, 0);
  const k = (4 / 3) * Math.tan(Math.PI / (2 * n)) * r;
  for (let m = 0; m < n; m++) {
    const [a, b] = [(2 * Math.PI * m) / n, (2 * Math.PI * (m + 1)) / n];
    const [x, y] = m + 1 === n ? [r, 0] : [r * Math.cos(b), r * Math.sin(b)];
    builder.cubic(
      r * Math.cos(a) - k * Math.sin(a),
      r * Math.sin(a) + k * Math.cos(a),
      x + k * Math.sin(b),
      y - k * Math.cos(b),
      x,
      y,
    );
  }
  return builder.close().build();
}

it.each([
  ["butt", 20],
  ["round", 20 + Math.PI],
  ["square", 24],
] as const)("a line of 10 by 2 with %s caps covers %f", (cap, expected) => {
  expect(area(outline(lines([0, 0], [10, 0]), { cap }))).toBeCloseTo(expected, 3);
});

// SVG 2, 13.5.4: a right angle's miter is √2 half widths long. Strips 20 + 20, overlap 1.
it.each([
  ["bevel", 4, 39.5],
  ["round", 4, 39 + Math.PI / 4],
  ["miter", 4, 40],
  ["miter", Math.SQRT2 + 1e-4, 40],
  ["miter", Math.SQRT2 - 1e-4, 39.5],
  ["miter-clip", 4, 40],
  // The corner of the square beyond 1.2 half widths: a right isosceles triangle of that height.
  ["miter-clip", 1.2, 40 - (Math.SQRT2 - 1.2) ** 2],
] as const)("a right angle joined by %s, limit %f", (join, miterLimit, expected) => {
  const corner = lines([0, 0], [10, 0], [10, 10]);
  expect(area(outline(corner, { join, miterLimit }))).toBeCloseTo(expected, 3);
});

// SVG 2, 13.4.4: miter length / stroke width = 1 / sin(θ/2), θ between the segments.
it.each([20, 45, 90, 140])("the miter limit bites at 1/sin(θ/2), θ = %i°", (degrees) => {
  const theta = (degrees * Math.PI) / 180;
  const path = lines([100, 0], [0, 0], [100 * Math.cos(theta), 100 * Math.sin(theta)]);
  const ratio = 1 / Math.sin(theta / 2);
  const of = (miterLimit: number): number => area(outline(path, { miterLimit }));
  const turn = Math.PI - theta;
  // Kite h² tan(turn/2) against the bevel's triangle h² sin(turn)/2.
  const more = Math.tan(turn / 2) - Math.sin(turn) / 2;
  expect(of(ratio + 1e-4) - of(ratio - 1e-4)).toBeCloseTo(more, 3);
});

it("a circle becomes an annulus: one contour out, one in", () => {
  const path = outline(circle(10), { width: 3 });
  expect(path.contours.length).toBe(2);
  expect(area(path)).toBeCloseTo(Math.PI * (11.5 ** 2 - 8.5 ** 2), 2);
  expect(path.contours.map(signedArea).sort((a, b) => a - b)).toEqual([
    expect.closeTo(-Math.PI * 8.5 ** 2, 2),
    expect.closeTo(Math.PI * 11.5 ** 2, 2),
  ]);
});

it.each<[string, Affine]>([
  ["stretched", { a: 3, b: 0, c: 0, d: 0.5, e: 7, f: 8 }],
  ["skewed", { a: 1, b: 0.2, c: 0.9, d: 1, e: 0, f: 0 }],
  ["mirrored", { a: -1, b: 0.3, c: 0.2, d: 2, e: 0, f: 0 }],
])("under a %s map the area is the determinant's share, and contours stay positive", (_, space) => {
  const { a, b, c, d } = space;
  const share = Math.abs(a * d - b * c);
  const ring = transformPath<"page", "page">(circle(5), space);
  expect(area(outline(ring, { space })) / share).toBeCloseTo(Math.PI * (36 - 16), 2);
  const corner = transformPath<"page", "page">(lines([0, 0], [10, 0], [10, 10]), space);
  const drawn = outline(corner, { space, join: "round", cap: "round" });
  expect(area(drawn) / share).toBeCloseTo(39 + Math.PI / 4 + Math.PI, 3);
  for (const contour of drawn.contours) expect(signedArea(contour)).toBeGreaterThan(0);
});

it.each([1e-1, 1e-2, 1e-3, 1e-4])("sides lie within %f mm of the true ones", (mm) => {
  const space: Affine = { a: 2, b: 0.3, c: -0.4, d: 1, e: 0, f: 0 };
  const user = [0, 0, 20, 30, 40, -30, 60, 5, 68, 19, 75, 20, 90, 20];
  const path = transformPath<"page", "page">(curve(...user), space);
  const [strip, more] = outline(path, { space, width: 3 }, mm).contours;
  expect(more).toBeUndefined();
  // By differences of the curve's own directions: shares nothing with what is tested.
  const own = Float64Array.from(user);
  const side = (h: number): MappedCurve<"page"> => ({
    pieces: 2,
    closed: false,
    straight: new Uint8Array(2),
    at(k, t, out) {
      const at = (u: number): [number, number] => {
        const j = new Float64Array(4);
        evalCubic(own, 6 * k, u, j);
        const speed = Math.hypot(j[2]!, j[3]!);
        const x = j[0]! - (h * j[3]!) / speed;
        const y = j[1]! + (h * j[2]!) / speed;
        return [space.a * x + space.c * y, space.b * x + space.d * y];
      };
      const [x, y] = at(t);
      out.set([x, y, 0, 0, 1]);
    },
  });
  const p = strip!.points;
  // The two butt ends are lines between the sides.
  const ends = [...strip!.straight.keys()].filter((k) => strip!.straight[k] === 1);
  expect(ends.length).toBe(2);
  const part = (from: number, to: number): Contour<"page"> => ({
    closed: false,
    points: p.slice(6 * from, 6 * to + 2),
    straight: strip!.straight.slice(from, to),
  });
  expect(sampledError(side(-1.5), part(0, ends[0]!), 11)).toBeLessThanOrEqual(mm);
  expect(sampledError(side(1.5), part(ends[0]! + 1, ends[1]!), 11)).toBeLessThanOrEqual(mm);
});

/** How often nonzero winds around a point. */
function winding(polys: PathsD, x: number, y: number): number {
  let turns = 0;
  for (const poly of polys) {
    for (let k = 0; k < poly.length; k++) {
      const a = poly[k]!;
      const b = poly[(k + 1) % poly.length]!;
      if (a.y > y === b.y > y) continue;
      const left = (b.x - a.x) * (y - a.y) - (x - a.x) * (b.y - a.y) > 0;
      if (b.y > a.y && left) turns++;
      else if (b.y <= a.y && !left) turns--;
    }
  }
  return turns;
}

// SVG 2, 13.5: all points on the perpendicular within half the width. (x, y) is on one where (P − q)·T changes sign.
function onNormal(p: Float64Array, h: number, x: number, y: number): boolean {
  const j = new Float64Array(4);
  let before = 0;
  const n = 4000;
  for (let k = 0; k <= n; k++) {
    evalCubic(p, 0, k / n, j);
    const dot = (x - j[0]!) * j[2]! + (y - j[1]!) * j[3]!;
    if (k > 0 && dot > 0 !== before > 0 && Math.hypot(x - j[0]!, y - j[1]!) <= h) return true;
    before = dot;
  }
  return false;
}

it.each([
  ["a hairpin", [0, 0, 30, 0, 30, 2, 0, 2]],
  ["a loop", [0, 0, 22, 9, -12, 9, 10, 0]],
  ["a nearly sharp turn", [0, 0, 12.2, 8, -2, 8, 10, 0]],
  ["an S with tight ends", [0, 0, 0, 9, 10, -9, 10, 0]],
  ["zero arms", [0, 0, 0, 0, 12, 10, 12, 0]],
] as const)("bends tighter than the half width: %s", (_, points) => {
  const p = Float64Array.from(points);
  const h = 3;
  const polys = polygons(outline(curve(...points), { width: 2 * h }, 0.005), 1e-3);
  const near = 0.02;
  let inside = 0;
  let outside = 0;
  for (let x = -8; x < 32; x += 0.61) {
    for (let y = -8; y < 16; y += 0.57) {
      const truths = [-near, 0, near].flatMap((dx) =>
        [-near, 0, near].map((dy) => onNormal(p, h, x + dx, y + dy)),
      );
      // Points at an edge are left out.
      if (new Set(truths).size > 1) continue;
      const turns = winding(polys, x, y);
      if (truths[0]) {
        inside++;
        expect(turns, `${x}, ${y}`).toBeGreaterThan(0);
      } else {
        outside++;
        expect(turns, `${x}, ${y}`).toBe(0);
      }
    }
  }
  expect(Math.min(inside, outside)).toBeGreaterThan(100);
});

/** Dash positions as SVG 2, 13.5 defines them, from its steps. */
function positions(list: number[], shift: number, length: number): [number, number][] {
  const sum = list.reduce((a, b) => a + b, 0);
  const offset = (shift < 0 ? sum - (-shift % sum) : shift) % sum;
  let index = 0;
  let upTo = list[0]!;
  while (!(upTo >= offset)) upTo += list[++index]!;
  let position = Math.min(upTo - offset, length);
  const out: [number, number][] = index % 2 === 0 ? [[0, position]] : [];
  while (position < length) {
    index = (index + 1) % list.length;
    const dash = Math.min(list[index]!, length - position);
    if (index % 2 === 0) out.push([position, position + dash]);
    position += dash;
  }
  return out;
}

it.each([
  [[5, 5], 0],
  [[5, 3], -3],
  [[7, 2, 1, 4], 11],
  [[7, 2, 1, 4], -29.5],
  [[30, 80], 12],
])("dashes %j with offset %f are where the standard puts them", (dashes, dashOffset) => {
  const boxes = union(outline(lines([0, 0], [99, 0]), { dashes, dashOffset }));
  const found = boxes.map((box) => [Math.min(...box.map((q) => q.x)), Math.max(...box.map((q) => q.x))]);
  found.sort((a, b) => a[0]! - b[0]!);
  // One that ends where it begins shows nothing with butt caps.
  const expected = positions(dashes, dashOffset, 99).filter(([from, to]) => to > from);
  expect(found.length).toBe(expected.length);
  found.forEach(([from, to], k) => {
    expect(from).toBeCloseTo(expected[k]![0], 6);
    expect(to).toBeCloseTo(expected[k]![1], 6);
  });
});

it("dashes of a circle have their arc length, in the stroke's own units", () => {
  const space: Affine = { a: 4, b: 0, c: 0, d: 1, e: 0, f: 0 };
  const step = (2 * Math.PI * 10) / 40;
  const ring = transformPath<"page", "page">(circle(10), space);
  const parts = union(outline(ring, { space, dashes: [step, step] }));
  expect(parts.length).toBe(20);
  // A sector of the annulus, whose middle radius is 10, four times as wide on the page.
  for (const part of parts) expect(areaPathsD([part])).toBeCloseTo(4 * step * 2, 3);
});

it("the last and the first dash of a closed line are one", () => {
  const square = closedLines([0, 0], [10, 0], [10, 10], [0, 10]);
  const parts = union(outline(square, { dashes: [4, 6], dashOffset: 2 }));
  expect(parts.length).toBe(4);
  // Both legs and the miter between them: 2·2 + 2·2 − 1 + 1.
  for (const part of parts) expect(areaPathsD([part])).toBeCloseTo(8, 6);
});

it("one dash all along a closed line has two ends there", () => {
  const square = closedLines([0, 0], [10, 0], [10, 10], [0, 10]);
  const whole = area(outline(square));
  expect(whole).toBeCloseTo(80, 6);
  // SVG 2, 13.5: joins only between a dash's own segments, so the corner at the start lacks its miter.
  expect(area(outline(square, { dashes: [50, 5] }))).toBeCloseTo(79, 6);
  expect(area(outline(square, { dashes: [5, 0] }))).toBeCloseTo(80, 6);
});

it("dashes of no length are dots, square ones turned with the line", () => {
  const slant = lines([0, 0], [30, 40]);
  const dots = { dashes: [0, 20], dashOffset: 0 };
  expect(area(outline(slant, { ...dots, cap: "round" }))).toBeCloseTo(3 * Math.PI, 3);
  expect(outline(slant, dots).contours).toEqual([]);
  const squares = union(outline(slant, { ...dots, cap: "square" }));
  expect(squares.length).toBe(3);
  // A square of side 2 turned by atan(4/3) is 2 (0.6 + 0.8) wide.
  for (const s of squares)
    expect(Math.max(...s.map((q) => q.x)) - Math.min(...s.map((q) => q.x))).toBeCloseTo(2.8, 5);
});

it("refuses absurdly many dashes", () => {
  const draw = (): Page => outline(lines([0, 0], [100, 0]), { dashes: [1e-4, 1e-4] });
  expect(draw).toThrow(JobError);
  expect(draw).toThrow(/dashes/);
});

it("lines without length are dots by their caps", () => {
  const still = curve(3, 4, 3, 4, 3, 4, 3, 4);
  const bare: Page = {
    contours: [{ closed: false, points: Float64Array.of(3, 4), straight: new Uint8Array(0) }],
  };
  for (const path of [still, bare]) {
    expect(outline(path).contours).toEqual([]);
    expect(area(outline(path, { cap: "round" }))).toBeCloseTo(Math.PI, 3);
    expect(area(outline(path, { cap: "square" }))).toBeCloseTo(4, 6);
  }
});

it.each([
  ["doubling back", lines([0, 0], [10, 0], [4, 0])],
  ["a straight cubic that overshoots", curve(0, 0, 20, 0, -10, 0, 10, 0)],
  ["an exact cusp", curve(0, 0, 10, 8, 0, 8, 10, 0)],
  ["both arms zero", curve(0, 0, 0, 0, 10, 5, 10, 5)],
  ["a segment without length inside", curve(0, 0, 1, 1, 2, 1, 3, 0, 3, 0, 3, 0, 3, 0, 4, 1, 5, 1, 6, 0)],
  ["a closed line there and back", closedLines([0, 0], [5, 5])],
])("%s: finite numbers, closed and positive contours, with every join and cap", (_, path) => {
  for (const join of ["miter", "miter-clip", "round", "bevel"] as const) {
    for (const cap of ["butt", "round", "square"] as const) {
      for (const width of [1e-3, 1, 30]) {
        const { contours } = outline(path, { join, cap, width });
        expect(contours.length).toBeGreaterThan(0);
        for (const c of contours) {
          expect(c.points.every(Number.isFinite)).toBe(true);
          expect([...c.points.slice(-2)]).toEqual([...c.points.slice(0, 2)]);
          expect(signedArea(c)).toBeGreaterThan(-1e-12);
        }
      }
    }
  }
});

it("a cubic that doubles back on one line is round where it turns", () => {
  // x = 60 s²t − 30 st² + 10 t³ turns at 4.4 and 2.9…: both inside 0…10, so only the ends' caps show.
  expect(area(outline(curve(0, 0, 20, 0, -10, 0, 10, 0), { width: 2 }))).toBeCloseTo(20, 3);
  // Turns at x = 7.5 and ends at 0: a half disc beyond.
  expect(area(outline(curve(0, 0, 10, 0, 10, 0, 0, 0), { width: 2 }))).toBeCloseTo(15 + Math.PI / 2, 3);
});

it("a polygon that stands for a circle tighter than the half width has no hole", () => {
  const n = 240;
  const ring = closedLines(
    ...Array.from({ length: n }, (_, k): [number, number] => [
      Math.cos((2 * Math.PI * k) / n),
      Math.sin((2 * Math.PI * k) / n),
    ]),
  );
  const r = 5;
  expect(area(outline(ring, { width: 2 * r }, 0.05))).toBeCloseTo(Math.PI * (r + 1) ** 2, 1);
});
