import fc from "fast-check";
import svgPathParser from "svg-path-parser";
import { describe, expect, test } from "vitest";
import { drawPathData } from "../../src/artwork/pathdata.ts";
import { Pen } from "../../src/artwork/pen.ts";
import type { PathFault } from "../../src/artwork/scan.ts";
import { scanPathData } from "../../src/artwork/scan.ts";
import { identity } from "../../src/geometry/affine.ts";
import type { Path } from "../../src/geometry/path.ts";
import { segmentCount } from "../../src/geometry/path.ts";
import { close } from "./helpers.ts";

function draw(d: string): { path: Path<"page">; fault: PathFault | null; x: number; y: number } {
  const pen = new Pen(identity);
  const fault = drawPathData(d, pen);
  return { path: pen.path(), fault, x: pen.x, y: pen.y };
}
const ends = (path: Path<"page">, k = 0): number[] => {
  const p = path.contours[k].points;
  return Array.from(p).filter((_, i) => i % 6 < 2);
};

describe("commands", () => {
  test.each([
    ["absolute and relative lines", "M1 2L3 4l1 1h2v3H0V0", [1, 2, 3, 4, 4, 5, 6, 5, 6, 8, 0, 8, 0, 0]],
    ["repeated arguments of M are L", "M1 1 2 2 3 1", [1, 1, 2, 2, 3, 1]],
    ["repeated arguments of m are l, the first is absolute", "m1 1 2 2 3 1", [1, 1, 3, 3, 6, 4]],
    ["packed numbers", "M.5.5-1-1.5.5", [0.5, 0.5, -1, -1.5]],
    ["exponents, commas, form feeds", "M1e1,1E-1\f L+2 , -3", [10, 0.1, 2, -3]],
    ["a point after the number", "M1. 2.L3.,4", [1, 2, 3, 4]],
  ])("%s", (_what, d, expected) => {
    const { path } = draw(d);
    expect(close(ends(path), expected.slice(0, ends(path).length), 1e-12)).toBe(true);
  });

  test("a smooth cubic reflects the arm, or starts from the point itself", () => {
    const p = draw("M0 0C0 1 2 3 4 4S8 8 9 9").path.contours[0].points;
    expect(Array.from(p.slice(8, 10))).toEqual([6, 5]);
    const q = draw("M0 0L4 4S8 8 9 9").path.contours[0].points;
    expect(Array.from(q.slice(8, 10))).toEqual([4, 4]);
  });

  test("a quadratic is raised exactly; T reflects its arm", () => {
    const p = draw("M0 0Q3 6 6 0T12 0").path.contours[0].points;
    expect(Array.from(p)).toEqual([0, 0, 2, 4, 4, 4, 6, 0, 8, -4, 10, -4, 12, 0]);
  });

  test("straight segments are flagged, curves are not", () => {
    const { straight, closed } = draw("M0 0L9 0C9 1 9 2 9 9Z").path.contours[0];
    expect(Array.from(straight)).toEqual([1, 0, 1]);
    expect(closed).toBe(true);
  });

  test("drawing on after Z starts at the contour's start", () => {
    const { path } = draw("M1 1h2v2zl5 5");
    expect(ends(path, 1)).toEqual([1, 1, 6, 6]);
  });

  test.each([
    ["M1 1L1 1", 1],
    ["M1 1L1 1Z", 1],
    ["M1 1zm2 2z", 2],
    ["M1 1A5 5 0 0 1 1 1", 1],
  ])("“%s”: %i of no length, dots for a stroke", (d, dots) => {
    const { path, fault } = draw(d);
    expect(path.contours.map((c) => Array.from(c.points))).toEqual(
      Array.from({ length: dots }, (_, i) => Array.from({ length: 8 }, () => 1 + 2 * i)),
    );
    expect(fault).toBeNull();
  });

  test.each(["", "  ", "none", "M1 1"])("“%s” draws nothing and is no fault", (d) => {
    const { path, fault } = draw(d);
    expect(path.contours).toEqual([]);
    expect(fault).toBeNull();
  });

  test("an arc with a radius of 0 is a line, a negative radius counts without its sign", () => {
    expect(Array.from(draw("M0 0A0 5 0 0 1 9 0").path.contours[0].straight)).toEqual([1]);
    const a = draw("M0 0A-5-5 0 0 1 10 0").path.contours[0].points;
    expect(a).toEqual(draw("M0 0A5 5 0 0 1 10 0").path.contours[0].points);
  });
});

// W3C paths-data-20-f.svg: packed flags are read, flags 6, 7 and −1 are errors.
describe("arc flags", () => {
  test.each(["a25,25 0 1,0 -25,25", "a25,25 0 10 -25,25", "a25,25 0 10-25,25"])("%s", (d) => {
    const { x, y, fault } = draw(`M145,120 ${d}`);
    expect([x, y, fault]).toEqual([120, 145, null]);
  });
  test.each([
    ["a25,25 0 1125,25", 170, 145],
    ["a25,25 0 1 1-25,-25", 120, 95],
    ["a25 25 0 0125 25a25 25 0 0025 25", 195, 170],
  ])("%s", (d, toX, toY) => {
    const { x, y, fault } = draw(`M145,120 ${d}`);
    expect([x, y, fault]).toEqual([toX, toY, null]);
  });
  test.each(["a25,25 0 6 0 25,25", "a25,25 0 1 7 25,25", "a25,25 0 -1 0 25,25"])("%s is an error", (d) => {
    expect(draw(`M0 0${d}`).fault?.message).toMatch(/flag/);
  });
});

describe("errors: drawn up to the last whole segment", () => {
  test.each([
    ["M0 0L1 1L2", 1, 10],
    ["M0 0L1 1X2 2", 1, 8],
    ["M0 0L1 1,", 1, 9],
    ["M0 0L1 1 2 2 3", 2, 14],
    ["M0 0L1 1L1e400 2", 1, 9],
    ["M0 0L1 1zL5 5 5,,5", 3, 16],
    ["M0 0h5z5", 2, 7],
    ["M0 0C1 1 2 2 3 3 4 4 5 5", 1, 24],
    ["L1 1", 0, 0],
    ["M0,0,,1,1", 0, 5],
  ])("%s", (d, segments, offset) => {
    const { path, fault } = draw(d);
    expect(fault?.offset).toBe(offset);
    expect(segmentCount(path)).toBe(segments);
  });
});

const coordinate = fc.integer({ min: -9999, max: 9999 }).map((n) => n / 100);
const counts: Record<string, number> = { M: 2, L: 2, H: 1, V: 1, C: 6, S: 4, Q: 4, T: 2, Z: 0 };
const run = fc
  .tuple(
    fc.constantFrom(..."MLHVCSQTZAmlhvcsqtza"),
    fc.integer({ min: 1, max: 4 }),
    fc.infiniteStream(coordinate),
  )
  .map(([letter, repeats, stream]) => {
    const next = (): number => stream.next().value;
    if (letter.toUpperCase() === "Z") return letter;
    const set = (): string => {
      if (letter.toUpperCase() !== "A") {
        return Array.from({ length: counts[letter.toUpperCase()] }, next).join(" ");
      }
      const flag = (): string => (next() > 0 ? "1" : "0");
      return `${Math.abs(next())} ${Math.abs(next())} ${next()} ${flag()}${flag()}${next()},${next()}`;
    };
    return letter + Array.from({ length: repeats }, set).join(",");
  });
const pathData = fc.array(run, { minLength: 1, maxLength: 12 }).map((runs) => `M1.5-2${runs.join("")}`);

describe("oracle: svg-path-parser 1.1.0", () => {
  test("letters and numbers are those that it reads", () => {
    fc.assert(
      fc.property(pathData, (d) => {
        const read: unknown[] = [];
        const fault = scanPathData(d, (letter, values) => {
          read.push([
            letter === "z" ? "Z" : letter,
            ...values.subarray(0, counts[letter.toUpperCase()] ?? 7),
          ]);
        });
        expect(fault).toBeNull();
        const wanted = svgPathParser.parseSVG(d).map((c) => {
          const { x1, y1, x2, y2, rx, ry, xAxisRotation, largeArc, sweep, x, y } = c;
          const all = [x1, y1, x2, y2, rx, ry, xAxisRotation, largeArc, sweep, x, y];
          return [c.code, ...all.filter((v) => v !== undefined).map(Number)];
        });
        expect(read).toEqual(wanted);
      }),
    );
  });

  test("the ends of all segments are those of makeAbsolute", () => {
    fc.assert(
      fc.property(pathData, (d) => {
        fc.pre(!/a/i.test(d));
        const wanted: number[] = [];
        for (const c of svgPathParser.makeAbsolute(svgPathParser.parseSVG(d))) {
          if (c.command === "moveto" || (c.x === c.x0 && c.y === c.y0)) continue;
          wanted.push(c.x as number, c.y as number);
        }
        const got: number[] = [];
        for (const { points: p } of draw(d).path.contours) {
          for (let i = 6; i < p.length; i += 6) {
            if (p[i] !== p[i - 6] || p[i + 1] !== p[i - 5]) got.push(p[i], p[i + 1]);
          }
        }
        expect(got).toEqual(wanted);
      }),
    );
  });
});

describe("size", () => {
  test("200,000 segments in one subpath", () => {
    const { path, fault } = draw(`M0 0${"l1 1c1 2 3 4 5 6".repeat(100_000)}`);
    expect(fault).toBeNull();
    expect(segmentCount(path)).toBe(200_000);
  });
  test("200,000 repeated arguments", () => {
    expect(segmentCount(draw(`M0 0l${"1 1,".repeat(199_999)}1 1`).path)).toBe(200_000);
  });
  test("50,000 subpaths", () => {
    expect(draw("M0 0h1v1z".repeat(50_000)).path.contours.length).toBe(50_000);
  });
});
