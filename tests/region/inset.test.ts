/** Insets against closed forms, plain distances to the outline, and the offset of a general-purpose library. */
import { areaPathsD, EndType, inflatePathsD, JoinType } from "clipper2-ts";
import { describe, expect, test } from "vitest";
import {
  areaOf,
  type Contour,
  type Path,
  PathBuilder,
  reversed,
  signedArea,
} from "../../src/geometry/path.ts";
import { inset, insetBy, untrimmed } from "../../src/region/inset.ts";
import { circle, glyph, rectangle, resolved } from "../support/shapes.ts";

type Points = [x: number, y: number][];

/** The minimal standard generator (Park and Miller, 1988), in [0, 1). */
function seeded(state: number): () => number {
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

const pathOf = (...contours: Contour<"flat">[]): Path<"flat"> => ({ contours });

function polygon(points: Points): Contour<"flat"> {
  const b = new PathBuilder<"flat">();
  points.forEach(([x, y], i) => void (i === 0 ? b.move(x, y) : b.line(x, y)));
  return b.close().build().contours[0]!;
}

/** Points along a contour, `each` on every piece, so near that a chord between them is the curve to 1e-6 mm. */
function sampled({ points: p, straight }: Contour<"flat">, each: number): Points {
  const out: Points = [];
  for (let k = 0; k < straight.length; k++) {
    for (let j = 0; j < each; j++) {
      const t = j / each;
      const w = [(1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t ** 2, t ** 3];
      const at = (axis: number): number => w.reduce((sum, v, i) => sum + v * p[6 * k + 2 * i + axis]!, 0);
      out.push([at(0), at(1)]);
    }
  }
  return out;
}

/** Distance to a closed polygon through the points. */
function distance([x, y]: readonly [number, number], rings: readonly Points[]): number {
  let least = Infinity;
  for (const ring of rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const [[px, py], [qx, qy]] = [ring[j]!, ring[i]!];
      const [dx, dy] = [qx - px, qy - py];
      const t = Math.max(0, Math.min(1, ((x - px) * dx + (y - py) * dy) / (dx * dx + dy * dy || 1)));
      least = Math.min(least, Math.hypot(x - px - t * dx, y - py - t * dy));
    }
  }
  return least;
}

/** By the even-odd rule. */
function contains([x, y]: readonly [number, number], rings: readonly Points[]): boolean {
  let odd = false;
  for (const ring of rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const [[px, py], [qx, qy]] = [ring[j]!, ring[i]!];
      if (py > y !== qy > y && x < px + ((y - py) / (qy - py)) * (qx - px)) odd = !odd;
    }
  }
  return odd;
}

/** Proper crossings of any two edges. */
function crossings(path: Path<"flat">): number {
  const edges = path.contours.flatMap((c) => {
    const ring = sampled(c, 1);
    return ring.map((p, i): [number, number, number, number] => [...p, ...ring[(i + 1) % ring.length]!]);
  });
  const side = (e: readonly number[], x: number, y: number): number =>
    (e[2]! - e[0]!) * (y - e[1]!) - (e[3]! - e[1]!) * (x - e[0]!);
  let count = 0;
  for (let i = 0; i < edges.length; i++) {
    for (let j = 0; j < i; j++) {
      const [e, f] = [edges[i]!, edges[j]!];
      const apart = side(e, f[0], f[1]) * side(e, f[2], f[3]);
      if (apart < -1e-12 && side(f, e[0], e[1]) * side(f, e[2], e[3]) < -1e-12) count++;
    }
  }
  return count;
}

const corners = (path: Path<"flat">): number => path.contours.reduce((n, c) => n + c.straight.length, 0);

/** A star-shaped outline of seeded corners, with a hole of the same kind. */
function ragged(random: () => number): Path<"flat"> {
  const ring = (n: number, least: number, most: number): Contour<"flat"> =>
    polygon(
      Array.from({ length: n }, (_, i): [number, number] => {
        const r = least + (most - least) * random();
        const phi = (2 * Math.PI * (i + 0.8 * random())) / n;
        return [3 + r * Math.cos(phi), -2 + r * Math.sin(phi)];
      }),
    );
  return pathOf(ring(23, 4, 11), reversed(ring(9, 1, 3.5)));
}

const ring = (): Path<"flat"> => pathOf(circle(2, 1, 9, 8), reversed(circle(3, 1, 4, 8)));

/** A square of 20 without its quarter at the right and below. */
const angle = (): Path<"flat"> =>
  pathOf(
    polygon([
      [0, 0],
      [20, 0],
      [20, 10],
      [10, 10],
      [10, 20],
      [0, 20],
    ]),
  );

describe("closed forms", () => {
  test.each([0.02, 0.5, 3])("a square's inset by %f is the square (s − 2d)²", (d) => {
    const within = inset(pathOf(rectangle(-4, 7, 10, 10)), d, 0.001);
    expect(corners(within)).toBe(4);
    expect(areaOf(within)).toBeCloseTo((10 - 2 * d) ** 2, 3);
    const xs = sampled(within.contours[0]!, 1).map(([x]) => x);
    expect(Math.min(...xs)).toBeCloseTo(-4 + d, 5);
    expect(Math.max(...xs)).toBeCloseTo(6 - d, 5);
  });

  test.each([0.02, 1, 4.9])("a disc's inset by %f is the disc of radius r − d", (d) => {
    const tolerance = 0.002;
    const within = inset(pathOf(circle(30, -10, 5, 16)), d, tolerance);
    expect(within.contours).toHaveLength(1);
    for (const [x, y] of sampled(within.contours[0]!, 7)) {
      expect(Math.abs(Math.hypot(x - 30, y + 10) - (5 - d))).toBeLessThan(tolerance);
    }
    expect(Math.abs(areaOf(within) - Math.PI * (5 - d) ** 2)).toBeLessThan(2 * Math.PI * 5 * tolerance);
    // Chords of the tolerance's sagitta s turn by 2 acos(1 − s/r): so many at least, and not twice as many.
    const fewest = Math.PI / Math.acos(Math.max(-1, 1 - tolerance / (5 - d)));
    expect(corners(within)).toBeLessThan(1.7 * fewest + 2);
  });

  // The inner parallel body of a polygon around a circle of radius ρ is the polygon made smaller (1 − d/ρ)-fold about the
  // circle's centre (R. Schneider, Convex Bodies, section 3.1); Steiner's A − P d + Σ cot(α/2) d² is the same.
  test("a triangle's inset is the triangle about its incircle, made smaller", () => {
    const triangle = pathOf(
      polygon([
        [0, 0],
        [12, 0],
        [0, 5],
      ]),
    );
    const [area, perimeter, d] = [30, 30, 0.7];
    const cot = (alpha: number): number => 1 / Math.tan(alpha / 2);
    const sharp = cot(Math.PI / 2) + cot(Math.atan2(5, 12)) + cot(Math.atan2(12, 5));
    const within = inset(triangle, d, 1e-4);
    expect(areaOf(within)).toBeCloseTo(area * (1 - d / ((2 * area) / perimeter)) ** 2, 3);
    expect(areaOf(within)).toBeCloseTo(area - perimeter * d + sharp * d * d, 3);
    expect(corners(within)).toBe(3);
  });

  test("a ring's inset is the ring of both radii moved, its hole turned against its outline", () => {
    const within = inset(pathOf(circle(0, 0, 9, 16), reversed(circle(0, 0, 4, 16))), 1.5, 0.001);
    const areas = within.contours.map(signedArea).sort((a, b) => a - b);
    expect(areas).toHaveLength(2);
    expect(areas[0]).toBeCloseTo(-Math.PI * 5.5 ** 2, 1);
    expect(areas[1]).toBeCloseTo(Math.PI * 7.5 ** 2, 1);
  });

  test("a reflex corner becomes a quarter of a circle", () => {
    const [d, tolerance] = [2, 0.001];
    const within = inset(angle(), d, tolerance);
    expect(Math.abs(areaOf(within) - ((20 - 2 * d) ** 2 - 100 + (1 - Math.PI / 4) * d * d))).toBeLessThan(
      4 * tolerance,
    );
    const near = sampled(within.contours[0]!, 1).filter(
      ([x, y]) => Math.hypot(x - 10, y - 10) < d + tolerance,
    );
    expect(near.length).toBeGreaterThan(6);
    for (const [x, y] of near) expect(Math.abs(Math.hypot(x - 10, y - 10) - d)).toBeLessThan(tolerance);
  });

  test("outlines may turn either way", () => {
    const [path, d] = [ring(), 0.4];
    const other = { contours: path.contours.map(reversed) };
    expect(areaOf(inset(other, d, 0.001))).toBeCloseTo(areaOf(inset(path, d, 0.001)), 6);
  });

  test("an ellipse for a distance: sides move by its half axes", () => {
    const form = (_x: number, _y: number, out: Float64Array): void => void out.set([0.09, 0, 0.25]);
    const within = insetBy(pathOf(rectangle(0, 0, 10, 10)), form, 1e-4);
    expect(areaOf(within)).toBeCloseTo((10 - 0.6) * (10 - 1), 4);
    expect(corners(within)).toBe(4);
  });

  test("a slanted ellipse is a disc after a shear", () => {
    // The shear (x, y) → (x, y + 0.6x) takes discs of radius d to ellipses d² [1, 0.6; 0.6, 1.36].
    const [d, k] = [0.5, 0.6];
    const form = (_x: number, _y: number, out: Float64Array): void =>
      void out.set([d * d, k * d * d, (1 + k * k) * d * d]);
    const sheared = (path: Path<"flat">): Path<"flat"> => ({
      contours: path.contours.map((c) => ({
        ...c,
        points: c.points.map((v, i) => (i % 2 === 1 ? v + k * c.points[i - 1]! : v)),
      })),
    });
    const expected = sheared(inset(angle(), d, 1e-4));
    const found = insetBy(sheared(angle()), form, 1e-4);
    expect(areaOf(found)).toBeCloseTo(areaOf(expected), 3);
    const rings = expected.contours.map((c) => sampled(c, 1));
    for (const c of found.contours)
      for (const p of sampled(c, 3)) expect(distance(p, rings)).toBeLessThan(3e-4);
  });
});

describe("distances to the outline by plain sampling", () => {
  const random = seeded(7);
  const shapes: [string, Path<"flat">, number, number][] = [
    ["a glyph", pathOf(glyph()), 0.6, 40],
    ["a glyph, finely", pathOf(glyph()), 0.025, 40],
    ["a glyph, much eaten away", pathOf(glyph()), 3.4, 40],
    ["a ring out of centre", ring(), 0.9, 40],
    ["an angle", angle(), 2.5, 1],
    ["two that touch nearly", pathOf(rectangle(0, 0, 5, 5), rectangle(5.1, 0, 5, 5)), 0.3, 1],
    ...Array.from({ length: 8 }, (_, i): [string, Path<"flat">, number, number] => [
      `a ragged ring, ${i}`,
      resolved(ragged(random), "nonzero"),
      [0.03, 0.2, 0.5, 0.9][i % 4]!,
      1,
    ]),
  ];
  test.each(shapes)("%s", (_, path, d, each) => {
    const tolerance = 0.004;
    const within = inset(path, d, tolerance);
    const outline = path.contours.map((c) => sampled(c, each * 4));
    // Chords of what is sampled.
    const slack = tolerance + 4e-5;
    for (const contour of within.contours) {
      for (const p of sampled(contour, 5)) {
        expect(Math.abs(distance(p, outline) - d)).toBeLessThan(slack);
      }
    }
    const rings = within.contours.map((c) => sampled(c, 1));
    const box = outline.flat();
    const range = (axis: 0 | 1): [number, number] => {
      const values = box.map((p) => p[axis]);
      return [Math.min(...values), Math.max(...values)];
    };
    const [[x0, x1], [y0, y1]] = [range(0), range(1)];
    let deep = 0;
    for (let k = 0; k < 1500; k++) {
      const p: [number, number] = [x0 + (x1 - x0) * random(), y0 + (y1 - y0) * random()];
      const depth = contains(p, outline) ? distance(p, outline) : -1;
      if (Math.abs(depth - d) < slack) continue;
      if (depth > d) deep++;
      expect(contains(p, rings)).toBe(depth > d);
    }
    expect(deep).toBeGreaterThan(0);
    expect(crossings(within)).toBe(0);
  });
});

test("areas agree with the offset of clipper2-ts", () => {
  const random = seeded(11);
  for (let k = 0; k < 12; k++) {
    const path = resolved(ragged(random), "nonzero");
    const d = 0.05 + 0.6 * random();
    const polygons = path.contours.map((c) => sampled(c, 1).map(([x, y]) => ({ x, y })));
    const other = inflatePathsD(polygons, -d, JoinType.Round, EndType.Polygon, 2, 6, 1e-5);
    expect(areaOf(inset(path, d, 1e-4))).toBeCloseTo(Math.abs(areaPathsD(other)), 2);
  }
});

describe("what is too narrow", () => {
  test("a bar thinner than twice the distance vanishes, and all of it is untrimmed", () => {
    const bar = pathOf(rectangle(0, 0, 12, 0.3));
    const within = inset(bar, 0.16, 0.001);
    expect(within.contours).toHaveLength(0);
    expect(untrimmed(bar, within, 0.16, 0.001)).toBeCloseTo(3.6, 6);
  });

  test("nor is anything left of one with a hole, beside one that stays", () => {
    const path = pathOf(
      rectangle(0, 0, 12, 0.3),
      reversed(rectangle(1, 0.1, 3, 0.1)),
      rectangle(0, 2, 5, 5),
      reversed(rectangle(1, 3, 1, 1)),
    );
    const within = inset(path, 0.16, 0.001);
    expect(within.contours).toHaveLength(2);
    expect(untrimmed(path, within, 0.16, 0.001)).toBeCloseTo(3.6 - 0.3, 4);
  });

  test("one a little wider does not", () => {
    const bar = pathOf(rectangle(0, 0, 12, 0.3));
    const within = inset(bar, 0.1495, 0.001);
    expect(within.contours).toHaveLength(1);
    expect(Math.abs(areaOf(within) - 0.001 * (12 - 0.299))).toBeLessThan(1e-4);
    expect(untrimmed(bar, within, 0.1495, 0.001)).toBe(0);
  });

  test("of a square with a thin tail the tail alone is untrimmed", () => {
    const d = 0.2;
    const tailed = resolved(pathOf(rectangle(0, 0, 4, 4), rectangle(3, 1.9, 6, 0.2)), "nonzero");
    // The inset comes nearest to the tail in a tip d from both corners of its mouth; of the tail, 5 long, the disc of
    // 1.5 d about the tip is trimmed.
    const [h, r] = [0.1, 1.5 * d];
    const tip = 4 - Math.sqrt(d * d - h * h);
    const disc = h * Math.sqrt(r * r - h * h) + r * r * Math.asin(h / r);
    const within = inset(tailed, d, 1e-4);
    expect(untrimmed(tailed, within, d, 1e-4)).toBeCloseTo((9 - tip) * 2 * h - disc, 3);
  });

  test("corners of 90° are trimmed, a needle's tip is not", () => {
    const square = pathOf(rectangle(0, 0, 10, 10));
    expect(untrimmed(square, inset(square, 0.4, 0.002), 0.4, 0.002)).toBe(0);
    const needle = pathOf(
      polygon([
        [0, 0],
        [20, 1],
        [0, 2],
      ]),
    );
    // The inset's tip lies d/sin(α/2) from the corner; a disc of 1.5 d about it leaves the kite less its sector.
    const [d, half] = [0.2, Math.atan2(1, 20)];
    const [reach, r] = [d / Math.sin(half), 1.5 * d];
    // Where the circle about the tip crosses the sides, seen from the tip: the side is d away, cos β = d/r off its foot.
    const along = Math.sqrt(r * r - d * d);
    const foot = reach * Math.cos(half);
    const corner = foot - along;
    const toSide = Math.asin(d / r) - half;
    const triangle = corner * reach * Math.sin(half);
    const sector = r * r * toSide;
    expect(untrimmed(needle, inset(needle, d, 1e-4), d, 1e-4)).toBeCloseTo(triangle - sector, 2);
  });
});
