/** The outline pass: the spot's own edge against the ink's, in space; closed forms on a plate; what is too narrow. */
import { describe, expect, test } from "vitest";
import { focusedSpot, type Spot } from "../../../src/beam/spot.ts";
import { type Contour, type Path, PathBuilder, reversed } from "../../../src/geometry/path.ts";
import type { ScanHead } from "../../../src/head/scanhead.ts";
import { nearestFirst } from "../../../src/plan/fill/nearest.ts";
import { outlinePass, spotOnFlat } from "../../../src/plan/fill/outlinepass.ts";
import type { InkShape } from "../../../src/plan/ink.ts";
import { girthChart, trueWidthChart } from "../../../src/vessel/chart.ts";
import { cylinder } from "../../../src/vessel/cylinder.ts";
import { tiltOf } from "../../../src/vessel/pose.ts";
import { revolved } from "../../../src/vessel/revolved.ts";
import { coneOutline } from "../../../src/vessel/straight.ts";
import { Warp } from "../../../src/warp/warp.ts";
import { circle, inkOf, line, rectangle } from "../../support/shapes.ts";

const SPOT = 0.06;
/** So large a vessel, so deep a focus, that the spot is the same everywhere. */
const plate = new Warp(cylinder(1e6, "girth"), {
  pivotAcross: Infinity,
  pivotAlong: Infinity,
  field: 1e4,
  belowCrown: 0,
});
const even: Spot = { waistDiameterMm: SPOT, rayleighMm: 1e6 };
const job = { toleranceMm: 0.002, axis: "y" } as const;

const shapesOf = (...shapes: readonly Contour<"flat">[][]): readonly InkShape[] =>
  inkOf(...shapes.map((contours): [Path<"flat">] => [{ contours }])).shapes;

/** Points of curves on every piece. */
function along({ points: p, straight }: Contour<"flat" | "command">, each: number): [number, number][] {
  return Array.from({ length: straight.length * each }, (_, i): [number, number] => {
    const [k, t] = [Math.floor(i / each), (i % each) / each];
    const w = [(1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t ** 2, t ** 3];
    const at = (axis: number): number => w.reduce((sum, v, j) => sum + v * p[6 * k + 2 * j + axis]!, 0);
    return [at(0), at(1)];
  });
}

describe("on a plate", () => {
  test("a square is marked half a spot inside its edge", () => {
    const pass = outlinePass(shapesOf([rectangle(-3, -3, 6, 6)]), plate, even, job, 0.002);
    expect(pass.lines).toBe(1);
    expect(pass.paths).toHaveLength(1);
    expect(pass.commandLengthMm).toBeCloseTo(4 * (6 - SPOT), 2);
    expect(pass.jumpLengthMm).toBe(0);
    expect(pass.lostMm2).toBe(0);
    for (const [u, v] of along(pass.paths[0]!.contours[0]!, 5)) {
      expect(Math.abs(Math.max(Math.abs(u), Math.abs(v)) - (3 - SPOT / 2))).toBeLessThan(0.004);
    }
  });

  test("a disc of radius r by a circle of r − half a spot; a hole by one that is larger", () => {
    const shapes = shapesOf([circle(1, 2, 4, 8), reversed(circle(1, 2, 2, 8))]);
    const pass = outlinePass(shapes, plate, even, job, 0.002);
    expect(pass.lines).toBe(2);
    expect(pass.commandLengthMm).toBeCloseTo(2 * Math.PI * (4 + 2), 2);
    const radii = pass.paths.map(({ contours }) => {
      const [u, v] = along(contours[0]!, 1)[0]!;
      return Math.hypot(u - 1, v - 2);
    });
    expect(Math.max(...radii)).toBeCloseTo(4 - SPOT / 2, 2);
    expect(Math.min(...radii)).toBeCloseTo(2 + SPOT / 2, 2);
    // From one to the other.
    expect(pass.jumpLengthMm).toBeGreaterThan(2 - SPOT - 0.01);
  });

  test("a bar narrower than the spot has no outline, and its area says so", () => {
    const bars = shapesOf([rectangle(0, 0, 8, 0.05)], [rectangle(0, 3, 8, 1)]);
    const pass = outlinePass(bars, plate, even, job, 0.002);
    expect(pass.lines).toBe(1);
    expect(pass.lostMm2).toBeCloseTo(8 * 0.05, 5);
  });

  test("centre lines are left out", () => {
    const { shapes } = inkOf([{ contours: [line(0, 0, 5, 5)] }, "centre-line"]);
    expect(outlinePass(shapes, plate, even, job, 0.002)).toEqual({
      paths: [],
      lines: 0,
      commandLengthMm: 0,
      jumpLengthMm: 0,
      lostMm2: 0,
    });
  });

  test("a coarse tolerance does not eat up the half spot", () => {
    const pass = outlinePass(shapesOf([circle(0, 0, 5, 8)]), plate, even, job, 0.5);
    for (const [u, v] of along(pass.paths[0]!.contours[0]!, 3)) {
      expect(Math.abs(Math.hypot(u, v) - (5 - SPOT / 2))).toBeLessThan(0.1 * (SPOT / 2) + job.toleranceMm);
    }
  });

  test("for --axis x everything is turned: (u, v) → (−v, u)", () => {
    const shapes = shapesOf([rectangle(1, 2, 6, 3)], [circle(-5, 1, 2)]);
    const [y, x] = [
      outlinePass(shapes, plate, even, job, 0.002),
      outlinePass(shapes, plate, even, { ...job, axis: "x" }, 0.002),
    ];
    const points = (pass: typeof x): [number, number][] =>
      pass.paths.flatMap(({ contours }) => along(contours[0]!, 1));
    expect(points(x)).toEqual(points(y).map(([u, v]) => [0 - v, u]));
  });
});

const head: ScanHead = { pivotAcross: 180, pivotAlong: 205, field: 110, belowCrown: 2 };
const spot = focusedSpot({ wavelengthNm: 1064, beamDiameterMm: 7, m2: 1.5 }, 160);
const cone = coneOutline(64, 88, 100, 40);
const bodies: [string, Warp][] = [
  ["a cylinder", new Warp(cylinder(40, "girth"), head)],
  ["a cone", new Warp(revolved(cone, girthChart(cone, 12), tiltOf(cone, "levelled")), head)],
  ["a tilted cone by true width", new Warp(revolved(cone, trueWidthChart(cone), tiltOf(cone, 7)), head)],
];

/**
 * In space, from the beam's own equation alone: the ray that is commanded to (u, v) passes through X = u(1 + d/p_x), Y =
 * v(1 + d/p_y) at each depth d; around it the 1/e² radius is w(z) = w₀ √(1 + (z/z_R)²) (ISO 11146-1).
 */
function nearestInRadii(u: number, v: number, edge: readonly Float64Array[]): number {
  const [lx, ly] = [u / head.pivotAcross, v / head.pivotAlong];
  const slant = Math.hypot(lx, ly, 1);
  let least = Infinity;
  for (const s of edge) {
    const d = s[2]! - head.belowCrown;
    const [x, y] = [s[0]! - u * (1 + d / head.pivotAcross), s[1]! - v * (1 + d / head.pivotAlong)];
    const beside = (lx * x + ly * y) / slant;
    const w = (spot.waistDiameterMm / 2) * Math.sqrt(1 + ((d * slant) / spot.rayleighMm) ** 2);
    least = Math.min(least, Math.sqrt(Math.max(0, x * x + y * y - beside * beside)) / w);
  }
  return least;
}

describe.each(bodies)("on %s", (_, warp) => {
  // A triangle far to the side, where the spot lies as an ellipse and grows along it.
  const triangle = new PathBuilder<"flat">().move(4, -12).line(30, -6).line(9, 14).close().build();
  const { shapes } = inkOf([triangle]);
  const fine = { toleranceMm: 1e-4, axis: "y" } as const;

  test("the spot just touches the ink's edge all along", () => {
    const pass = outlinePass(shapes, warp, spot, fine, 1e-4);
    const edge = along(triangle.contours[0]!, 30_000).map(([a, b]) => {
      const s = new Float64Array(12);
      warp.surface.at(a, b, s);
      return s;
    });
    let [least, most] = [Infinity, 0];
    const line = along(pass.paths[0]!.contours[0]!, 8);
    for (let k = 0; k < line.length; k += Math.ceil(line.length / 120)) {
      const [u, v] = line[k]!;
      const radii = nearestInRadii(u, v, edge);
      [least, most] = [Math.min(least, radii), Math.max(most, radii)];
    }
    // Both tolerances against a radius of 23 µm, and half a spacing of the edge's points.
    expect(least).toBeGreaterThan(0.985);
    expect(most).toBeLessThan(1.015);
    expect(pass.lostMm2).toBeLessThan(0.002);
  });

  test("its inverse image lies inside by the footprint", () => {
    const pass = outlinePass(shapes, warp, spot, fine, 1e-4);
    const corners = along(triangle.contours[0]!, 1);
    const form = new Float64Array(3);
    for (const [u, v] of along(pass.paths[0]!.contours[0]!, 2)) {
      const flat = warp.inverse({ x: u, y: v });
      if (typeof flat === "string") throw new Error(flat);
      // Of each side: the distance to it over the ellipse's half width across it, √(n·Qn), where the spot touches it.
      const inside = corners.map(([ax, ay], i) => {
        const [bx, by] = corners[(i + 1) % 3]!;
        const length = Math.hypot(bx - ax, by - ay);
        const [nx, ny] = [-(by - ay) / length, (bx - ax) / length];
        const depth = (flat.x - ax) * nx + (flat.y - ay) * ny;
        spotOnFlat(warp, spot)(flat.x, flat.y, form);
        const squared = (): number => nx * nx * form[0]! + 2 * nx * ny * form[1]! + ny * ny * form[2]!;
        const [qx, qy] = [form[0]! * nx + form[1]! * ny, form[1]! * nx + form[2]! * ny];
        spotOnFlat(warp, spot)(flat.x - (depth * qx) / squared(), flat.y - (depth * qy) / squared(), form);
        return depth / Math.sqrt(squared());
      });
      expect(Math.abs(Math.min(...inside) - 1)).toBeLessThan(0.015);
    }
  });
});

test("the footprint on a cylinder is d by d/cos i", () => {
  // A telecentric head over a cylinder: i = a/R, and the beam goes straight down (closed form).
  const telecentric = new Warp(cylinder(40, "girth"), {
    ...head,
    pivotAcross: Infinity,
    pivotAlong: Infinity,
  });
  const form = new Float64Array(3);
  for (const a of [0, 10, 25, -38]) {
    spotOnFlat(telecentric, even)(a, 3, form);
    expect(Math.sqrt(form[0]!)).toBeCloseTo(SPOT / 2 / Math.cos(a / 40), 5);
    expect(form[1]).toBeCloseTo(0, 9);
    expect(Math.sqrt(form[2]!)).toBeCloseTo(SPOT / 2, 6);
  }
});

describe("the order", () => {
  /** The minimal standard generator (Park and Miller, 1988). */
  let state = 5;
  const random = (): number => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
  const dots = Array.from({ length: 300 }, () => circle(100 * random(), 100 * random(), 0.2));

  test("always the nearest that is left, each once", () => {
    const ordered = nearestFirst(dots);
    const left = new Set(dots);
    let [x, y] = [dots[0]!.points[0]!, dots[0]!.points[1]!];
    for (const dot of ordered) {
      const far = (c: Contour<"flat">): number => Math.hypot(c.points[0]! - x, c.points[1]! - y);
      expect(far(dot)).toBe(Math.min(...[...left].map(far)));
      left.delete(dot);
      [x, y] = [dot.points[0]!, dot.points[1]!];
    }
    expect(left.size).toBe(0);
    expect(ordered).toHaveLength(300);
  });

  test("of nothing nothing", () => {
    expect(nearestFirst([])).toEqual([]);
  });
});
