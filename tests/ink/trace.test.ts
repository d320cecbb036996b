/**
 * Traced bitmaps against the shapes they were drawn from: area, distance both ways, node counts (they may only
 * fall). Drawn by librsvg, which shares nothing with the tracing; distances by closed forms and plain sampling.
 */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Affine, identity } from "../../src/geometry/affine.ts";
import { type Path, pathBounds, segmentCount, signedArea } from "../../src/geometry/path.ts";
import { inkField } from "../../src/ink/trace/tone.ts";
import { traceField } from "../../src/ink/trace/trace.ts";
import {
  areaOf,
  circle,
  distances,
  dOf,
  drawn,
  lettering,
  lightness,
  type Point,
  polygon,
  type Ring,
  ringArea,
  ringOf,
  traced,
  turned,
} from "./tracing.ts";

/** Name, rings (filled even-odd), exact area, segments anti-aliased and with one bit: recorded, may only fall. */
const shapes: [name: string, rings: Ring[], area: number, segments: [number, number]][] = [
  ["disc", [circle(150.2, 149.7, 100.3)], Math.PI * 100.3 ** 2, [4, 3]],
  ["disc up to the picture's edges", [circle(150, 150, 150)], Math.PI * 150 ** 2, [4, 5]],
  ["ring", [circle(150, 150, 100), circle(150, 150, 60)], Math.PI * 6400, [7, 6]],
  ["small disc", [circle(150.4, 150.1, 6)], Math.PI * 36, [4, 4]],
  ["square on the pixels", [polygon(turned(150, 150, 200, 200, 0))], 40_000, [4, 4]],
  ["rectangle between the pixels", [polygon(turned(150.3, 149.85, 200.1, 150.2, 0))], 200.1 * 150.2, [4, 4]],
  ["turned rectangle", [polygon(turned(150, 150, 200, 150, 17))], 30_000, [4, 4]],
  ["diamond", [polygon(turned(150.2, 150.1, 140, 140, 45))], 19_600, [4, 4]],
  [
    "triangle",
    [
      polygon([
        [40.2, 250.3],
        [150, 40.7],
        [260.5, 230.1],
      ]),
    ],
    0,
    [3, 4],
  ],
];
shapes.at(-1)![2] = Math.abs(ringArea(shapes.at(-1)![1][0]!));

describe.each(shapes)("%s", (_, rings, area, [fine, coarse]) => {
  const body = `<path fill-rule="evenodd" d="${dOf(rings)}"/>`;

  it("anti-aliased: area within 0.05 %, outline within half a pixel", async () => {
    const path = traced(await drawn(body, 300), 300);
    expect(path.contours.length).toBe(rings.length);
    expect(Math.abs(areaOf(path) / area - 1)).toBeLessThan(area > 1000 ? 0.0005 : 0.02);
    const mine = path.contours.map((c) => ringOf(c));
    for (const [from, to] of [
      [mine, rings],
      [rings, mine],
    ] as const) {
      const { worst, mean } = distances(from, to);
      expect(worst).toBeLessThan(0.5);
      expect(mean).toBeLessThan(0.1);
    }
    expect(segmentCount(path)).toBeLessThanOrEqual(fine);
  });

  it("one bit per pixel: area within 0.5 %, no stair steps", async () => {
    const path = traced(await drawn(body, 300, true), 300);
    expect(path.contours.length).toBe(rings.length);
    // Of the picture's own edge, a pixel's rounding is the picture's: half a pixel along the outline at most.
    expect(Math.abs(areaOf(path) / area - 1)).toBeLessThan(area > 1000 ? 0.005 : 0.05);
    const mine = path.contours.map((c) => ringOf(c));
    expect(distances(mine, rings).worst).toBeLessThan(0.75);
    expect(distances(rings, mine).worst).toBeLessThan(0.9);
    expect(segmentCount(path)).toBeLessThanOrEqual(coarse);
  });
});

it("straight stretches between curves are lines", async () => {
  const body = `<rect x="50" y="60" width="200" height="150" rx="30"/>`;
  for (const oneBit of [false, true]) {
    const path = traced(await drawn(body, 300, oneBit), 300);
    expect(path.contours.length).toBe(1);
    const { straight, points } = path.contours[0]!;
    const lengths = [...straight].flatMap((flag, k) =>
      flag ? [Math.hypot(points[6 * k + 6]! - points[6 * k]!, points[6 * k + 7]! - points[6 * k + 1]!)] : [],
    );
    expect(lengths.length).toBe(4);
    for (const length of lengths) expect(length).toBeGreaterThan(70);
    expect(straight.length).toBeLessThanOrEqual(oneBit ? 15 : 13);
    expect(Math.abs(areaOf(path) / (30_000 - (4 - Math.PI) * 900) - 1)).toBeLessThan(0.0005);
  }
});

describe("lettering", () => {
  it.each([
    ["Ra", 200, false, 0.1, 28],
    ["SgW", 120, false, 0.1, 48],
    ["Reach", 100, false, 0.1, 61],
    ["Ra", 200, true, 0.25, 40],
    ["Reach", 100, true, 0.25, 67],
  ])("%s at %d px, one bit: %s", async (text, size, oneBit, mean, segments) => {
    const rings = lettering(text, size, 5.3, 210.6);
    const path = traced(await drawn(`<path d="${dOf(rings)}"/>`, 320, oneBit), 320);
    expect(path.contours.length).toBe(rings.length);
    const area = Math.abs(rings.reduce((sum, r) => sum + ringArea(r), 0));
    expect(Math.abs(areaOf(path) / area - 1)).toBeLessThan(0.005);
    const mine = path.contours.map((c) => ringOf(c));
    expect(distances(mine, rings).mean).toBeLessThan(mean);
    expect(distances(rings, mine).mean).toBeLessThan(mean);
    // Notches narrower than a pixel are not in the picture; all else keeps within a pixel.
    expect(distances(mine, rings).worst).toBeLessThan(1.3);
    expect(segmentCount(path)).toBeLessThanOrEqual(segments);
  });

  it("keeps within half a pixel where nothing is narrower than two", async () => {
    const rings = lettering("COS8", 110, 5.3, 210.6);
    const path = traced(await drawn(`<path d="${dOf(rings)}"/>`, 320), 320);
    const mine = path.contours.map((c) => ringOf(c));
    expect(distances(mine, rings).worst).toBeLessThan(0.5);
    expect(distances(rings, mine).worst).toBeLessThan(0.5);
  });
});

/** Rows of characters, # for ink. */
const field = (...rows: string[]): [number, number, Float32Array] => [
  rows[0]!.length,
  rows.length,
  Float32Array.from(rows.join(""), (c) => (c === "#" ? 1 : 0)),
];
const trace = (rows: string[], place: Affine = identity): Path<"page"> =>
  traceField(...field(...rows), 0.5, place, 0.001);

describe("single pixels and lines", () => {
  it("nothing inside, nothing traced; all inside, the picture's own rectangle", () => {
    expect(trace(["....", "...."]).contours).toEqual([]);
    const full = trace(["####", "####", "####"]);
    expect(areaOf(full)).toBeCloseTo(12, 12);
    expect(pathBounds(full)).toEqual({ minX: 0, minY: 0, maxX: 4, maxY: 3 });
    expect([...full.contours[0]!.straight]).toEqual([1, 1, 1, 1]);
  });

  it("no picture, no outline", () => {
    expect(traceField(0, 0, new Float32Array(0), 0.5, identity, 0.001).contours).toEqual([]);
  });

  it("isolated pixels stay, each its own square", () => {
    const path = trace(["......", ".#..#.", "......", "...#..", "......"]);
    expect(path.contours.length).toBe(3);
    for (const c of path.contours) {
      expect(signedArea(c)).toBeCloseTo(1, 9);
      expect(c.straight.length).toBe(4);
    }
  });

  it("lines a pixel wide keep their width and length", () => {
    const across = trace(["..........", ".########.", ".........."]);
    expect(areaOf(across)).toBeCloseTo(8, 9);
    expect(pathBounds(across)).toEqual({ minX: 1, minY: 1, maxX: 9, maxY: 2 });
    const hole = trace(["############", "#..........#", "############"]);
    expect(areaOf(hole)).toBeCloseTo(26, 9);
  });

  it("pixels that touch at a corner are one outline, gaps that do are two", () => {
    // The mean of the four is the level, which is inside.
    const touching = trace([
      "........",
      ".###....",
      ".###....",
      ".###....",
      "....###.",
      "....###.",
      "....###.",
      "........",
    ]);
    expect(touching.contours.length).toBe(1);
    const apart = traceField(2, 2, Float32Array.from([0.6, 0.2, 0.2, 0.6]), 0.5, identity, 0.001);
    expect(apart.contours.length).toBe(2);
  });

  it("holes run the other way, under a turned and a mirrored place too", () => {
    const rows = ["#########", "#########", "###...###", "###...###", "###...###", "#########", "#########"];
    const places: Affine[] = [
      identity,
      { a: 0, b: 0.1, c: -0.1, d: 0, e: 5, f: 7 },
      { a: -0.5, b: 0, c: 0, d: 0.25, e: 3, f: 1 },
    ];
    for (const place of places) {
      const areas = trace(rows, place).contours.map((c) => signedArea(c));
      const scale = Math.abs(place.a * place.d - place.b * place.c);
      expect(areas.length).toBe(2);
      expect(areas[0]! / scale).toBeCloseTo(63, 9);
      expect(areas[1]! / scale).toBeCloseTo(-9, 9);
    }
    expect(trace(rows, { a: 1, b: 0, c: 0, d: 0, e: 0, f: 0 }).contours).toEqual([]);
  });
});

it("any one-bit field: an outline for each part and each hole, finite, closed, rightly turned", () => {
  const rows = fc.integer({ min: 1, max: 14 }).chain((w) =>
    fc.array(
      fc.array(fc.constantFrom("#", "."), { minLength: w, maxLength: w }).map((r) => r.join("")),
      {
        minLength: 1,
        maxLength: 14,
      },
    ),
  );
  fc.assert(
    fc.property(rows, (picture) => {
      const path = trace(picture);
      // Ink joins over corners (8 neighbours), ground does not (4): A. Rosenfeld, "Connectivity in digital pictures", 1970.
      expect(path.contours.length).toBe(parts(picture, "#", true) + parts(framed(picture), ".", false) - 1);
      let positive = 0;
      for (const c of path.contours) {
        expect(c.closed).toBe(true);
        expect(c.points.every(Number.isFinite)).toBe(true);
        expect([c.points.at(-2), c.points.at(-1)]).toEqual([c.points[0], c.points[1]]);
        if (signedArea(c) > 0) positive++;
      }
      expect(positive).toBe(parts(picture, "#", true));
    }),
    { seed: 3, numRuns: 400 },
  );
});

const framed = (rows: string[]): string[] => {
  const edge = ".".repeat(rows[0]!.length + 2);
  return [edge, ...rows.map((r) => `.${r}.`), edge];
};

function parts(rows: string[], of: string, corners: boolean): number {
  const left = new Set<string>();
  rows.forEach((r, j) => {
    [...r].forEach((c, i) => {
      if (c === of) left.add(`${i},${j}`);
    });
  });
  let count = 0;
  for (const start of left) {
    count++;
    const open = [start];
    left.delete(start);
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      const [i, j] = at.split(",").map(Number) as [number, number];
      for (let di = -1; di <= 1; di++)
        for (let dj = -1; dj <= 1; dj++)
          if ((corners || di === 0 || dj === 0) && left.delete(`${i + di},${j + dj}`))
            open.push(`${i + di},${j + dj}`);
    }
  }
  return count;
}

it("the area traced is the coverage's sum", () => {
  const size = 96;
  const shape = fc.record({
    x: fc.double({ min: 24, max: 72, noNaN: true }),
    y: fc.double({ min: 24, max: 72, noNaN: true }),
    a: fc.double({ min: 6, max: 22, noNaN: true }),
    b: fc.double({ min: 6, max: 22, noNaN: true }),
    turn: fc.double({ min: 0, max: 180, noNaN: true }),
    round: fc.boolean(),
  });
  fc.assert(
    fc.property(shape, ({ x, y, a, b, turn, round }) => {
      const value = new Float64Array(size * size);
      const c = Math.cos((turn * Math.PI) / 180);
      const s = Math.sin((turn * Math.PI) / 180);
      let sum = 0;
      // 8 × 8 samples a pixel.
      for (let j = 0; j < 8 * size; j++)
        for (let i = 0; i < 8 * size; i++) {
          const px = (i + 0.5) / 8 - x;
          const py = (j + 0.5) / 8 - y;
          const u = (px * c + py * s) / a;
          const v = (py * c - px * s) / b;
          if (round ? u * u + v * v < 1 : Math.abs(u) < 1 && Math.abs(v) < 1)
            value[(j >> 3) * size + (i >> 3)]! += 1 / 64;
        }
      for (const v of value) sum += v;
      const path = traceField(size, size, value, 0.5, identity, 0.001);
      expect(path.contours.length).toBe(1);
      // A sixteenth of a pixel along the outline.
      const around = round ? Math.PI * (a + b) * 1.1 : 4 * (a + b);
      expect(Math.abs(areaOf(path) - sum)).toBeLessThan(around / 16);
    }),
    { seed: 11, numRuns: 60 },
  );
});

it("a picture of 16 million pixels in bounded time and memory", () => {
  const n = 4000;
  const rgba = new Uint8Array(4 * n * n).fill(255);
  for (let j = 0; j < n; j++)
    for (let i = 0; i < n; i++) {
      const r = Math.hypot(i + 0.5 - 2000, j + 0.5 - 2000);
      const v = Math.round(255 * Math.min(1, Math.max(0, Math.abs(r - 1200) - 300 + 0.5)));
      rgba.fill(v, 4 * (j * n + i), 4 * (j * n + i) + 3);
    }
  const before = process.memoryUsage().arrayBuffers;
  const { value } = inkField(rgba, n, n, lightness);
  const path = traceField(n, n, value, 0.5, identity, 0.001);
  expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(200e6);
  expect(areaOf(path) / (Math.PI * (1500 ** 2 - 900 ** 2))).toBeCloseTo(1, 4);
  expect(segmentCount(path)).toBeLessThanOrEqual(16);
}, 20_000);

it("stated tolerances in mm count where they are more than the picture's own, up to half a pixel", async () => {
  const rgba = await drawn(`<circle cx="150" cy="150" r="100"/>`, 300);
  const { value } = inkField(rgba, 300, 300, lightness);
  const mm: Affine = { a: 0.01, b: 0, c: 0, d: 0.01, e: 20, f: 30 };
  const close = traceField(300, 300, value, 0.5, mm, 1e-6);
  const loose = traceField(300, 300, value, 0.5, mm, 1);
  expect(segmentCount(loose)).toBeLessThanOrEqual(segmentCount(close));
  for (const path of [close, loose]) {
    expect(areaOf(path)).toBeCloseTo(Math.PI, 2);
    const mine = path.contours.map((c) => ringOf(c).map(([x, y]): Point => [100 * (x - 20), 100 * (y - 30)]));
    expect(distances(mine, [circle(150, 150, 100)]).worst).toBeLessThan(0.7);
  }
});
