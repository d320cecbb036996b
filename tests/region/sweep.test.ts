/** The bounded sweep against clipper2-ts as it is, groups against all pairs of boxes, and what is refused. */
import { Clipper64, ClipType, FillRule, type Paths64, PathType } from "clipper2-ts";
import { describe, expect, test } from "vitest";
import type { Path } from "../../src/geometry/path.ts";
import { PathBuilder } from "../../src/geometry/path.ts";
import { JobError } from "../../src/problem.ts";
import { Effort } from "../../src/region/effort.ts";
import { withoutPairs, withoutRepeats } from "../../src/region/pairs.ts";
import { Plane } from "../../src/region/plane.ts";
import { separate } from "../../src/region/separate.ts";
import { sweep } from "../../src/region/sweep.ts";

/** The minimal standard generator (Park and Miller, 1988), in [0, 1). */
function seeded(state: number): () => number {
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

const tangle = (random: () => number, corners: number, size: number): Paths64[number] => {
  const x = 1e5 * random();
  const y = 1e5 * random();
  return Array.from({ length: corners }, () => ({
    x: Math.round(x + size * random()),
    y: Math.round(y + size * random()),
  }));
};

/** The answer of the package alone. */
function plain(type: ClipType, rule: FillRule, subject: Paths64, clip: Paths64): Paths64 {
  const clipper = new Clipper64();
  clipper.addPaths(subject, PathType.Subject);
  if (clip.length > 0) clipper.addPaths(clip, PathType.Clip);
  const answer: Paths64 = [];
  expect(clipper.execute(type, rule, answer)).toBe(true);
  return answer;
}

const bare = (paths: Paths64): [number, number][][] =>
  paths.map((path) => path.map(({ x, y }) => [x + 0, y + 0]));

const refusal = (work: () => unknown): string => {
  try {
    work();
  } catch (error) {
    if (error instanceof JobError) return error.problem.code;
    throw error;
  }
  return "none";
};

describe("a sweep", () => {
  test("gives the package's own answer, vertex by vertex", () => {
    const random = seeded(1);
    for (let k = 0; k < 60; k++) {
      const size = [3e3, 3e4, 2e5][k % 3]!;
      const draw = (n: number): Paths64 =>
        Array.from({ length: n }, () => tangle(random, 3 + Math.floor(20 * random()), size));
      const subject = draw(20);
      const clip = k % 2 === 0 ? [] : draw(5);
      for (const type of clip.length > 0 ? [ClipType.Intersection, ClipType.Difference] : [ClipType.Union]) {
        const rule = k % 4 < 2 ? FillRule.NonZero : FillRule.EvenOdd;
        const own = sweep(type, rule, subject, clip, () => {}, new Effort());
        expect(bare(own)).toEqual(bare(plain(type, rule, subject, clip)));
      }
    }
  });

  test("the methods that are counted are there to be counted", () => {
    const methods = new Clipper64() as unknown as Record<string, unknown>;
    for (const name of [
      "addNewIntersectNode",
      "intersectEdges",
      "edgesAdjacentInAEL",
      "isValidAelOrder",
      "addLocalMinPoly",
      "doIntersections",
    ]) {
      expect(typeof methods[name], name).toBe("function");
    }
  });

  test("crossings, crowds and coincident outlines beyond what is left are refused, at once", () => {
    const random = seeded(2);
    const fan = [tangle(random, 3000, 1e6)];
    const comb = [Array.from({ length: 40_000 }, (_, i) => ({ x: i * 10, y: i % 2 === 0 ? i : 1e6 - i }))];
    const same = Array.from({ length: 20_000 }, () => [
      { x: 0, y: 0 },
      { x: 100, y: 7 },
      { x: 50, y: 90 },
    ]);
    for (const paths of [fan, comb, same]) {
      const start = performance.now();
      const effort = new Effort(20_000_000);
      const work = (): Paths64 => sweep(ClipType.Union, FillRule.NonZero, paths, [], () => {}, effort);
      expect(refusal(work)).toBe("outlines-too-dense");
      expect(performance.now() - start).toBeLessThan(10_000);
    }
    const few = (): Paths64 =>
      sweep(ClipType.Union, FillRule.NonZero, same.slice(0, 20), [], () => {}, new Effort(20_000_000));
    expect(few()).toHaveLength(1);
  });
});

describe("groups of boxes", () => {
  test.each([1, 2, 3])("no box of one meets a box of another (seed %i)", (seed) => {
    const random = seeded(seed);
    const n = 600;
    const boxes = new Float64Array(4 * n);
    for (let i = 0; i < n; i++) {
      const [x, y, w, h] = [1000 * random(), 1000 * random(), 25 * random() ** 2, 25 * random() ** 2];
      boxes.set([x, y, x + w, y + h], 4 * i);
    }
    const groups = separate(boxes);
    const groupOf = new Int32Array(n).fill(-1);
    groups.forEach((group, g) => {
      for (const i of group) groupOf[i] = g;
    });
    expect(groups.flat().toSorted((a, b) => a - b)).toEqual(Array.from({ length: n }, (_, i) => i));
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < i; j++) {
        const [a, b] = [4 * i, 4 * j];
        const meets =
          boxes[a]! <= boxes[b + 2]! &&
          boxes[b]! <= boxes[a + 2]! &&
          boxes[a + 1]! <= boxes[b + 3]! &&
          boxes[b + 1]! <= boxes[a + 3]!;
        if (meets) expect(groupOf[i]).toBe(groupOf[j]);
      }
    }
    // Put together only where that is needed, more or less.
    expect(groups.length).toBeGreaterThan(100);
  });

  test("more bands than are kept apart become one, none is lost", () => {
    const n = 30_000;
    const boxes = new Float64Array(4 * n);
    for (let i = 0; i < n; i++) boxes.set([i / n, 2 * i, 10, 2 * i + 1], 4 * i);
    const groups = separate(boxes);
    expect(groups.reduce((sum, group) => sum + group.length, 0)).toBe(n);
    expect(new Set(groups.flat()).size).toBe(n);
  });
});

test("two outlines that are the same are none by the even-odd rule, and one in a union", () => {
  const a = tangle(seeded(3), 5, 100);
  const b = tangle(seeded(4), 5, 100);
  expect(withoutPairs([a, b, a.slice()])).toEqual([b]);
  expect(withoutPairs([a, a.slice(), a.slice(), b])).toEqual([a, b]);
  expect(withoutPairs([a, a.toReversed()])).toHaveLength(2);
  expect(withoutRepeats([a, b, a.slice(), a.slice(), b.slice()])).toEqual([a, b]);
});

describe("many regions", () => {
  const square = (x: number, y: number): Path<"page"> =>
    new PathBuilder<"page">()
      .move(x, y)
      .line(x + 1, y)
      .line(x + 1, y + 1)
      .line(x, y + 1)
      .close()
      .build();

  test("are united: 1,000 squares in a row, each a quarter over the next", () => {
    const plane = new Plane<"page">({ minX: 0, minY: 0, maxX: 1000, maxY: 2 }, 4000);
    const regions = Array.from({ length: 1000 }, (_, i) => plane.polygons(square(0.75 * i, 0)));
    const one = plane.union(regions.flat());
    expect(one).toHaveLength(1);
    // The union of [0.75 i, 0.75 i + 1] is [0, 750.25].
    expect(plane.area(one)).toBeCloseTo(750.25, 6);
  });

  test("a thousand times the same square is one", () => {
    const plane = new Plane<"page">({ minX: 0, minY: 0, maxX: 2, maxY: 2 }, 4000, new Effort(3_000_000));
    const regions = Array.from({ length: 1000 }, () => plane.polygons(square(0.5, 0.5)));
    expect(refusal(() => plane.union(regions.flat()))).toBe("outlines-too-dense");
    const other = new Plane<"page">({ minX: 0, minY: 0, maxX: 2, maxY: 2 }, 4000, new Effort(3_000_000));
    const united = other.union(
      other.gathered(Array.from({ length: 1000 }, () => other.polygons(square(0.5, 0.5)))),
    );
    expect(other.area(united)).toBeCloseTo(1, 9);
  });
});
