/** Unions of crowds against clipper2-ts, closed forms and point by point; outlines that touch; what is refused. */
import { Clipper64, ClipType, FillRule, type Paths64, PathType } from "clipper2-ts";
import { describe, expect, test } from "vitest";
import { JobError } from "../../src/problem.ts";
import { agrees } from "../../src/region/crowd/checked.ts";
import { Outlines } from "../../src/region/crowd/outlines.ts";
import { unitedCrowd } from "../../src/region/crowd/united.ts";
import { Effort } from "../../src/region/effort.ts";
import { SHEAR } from "../../src/region/grid.ts";
import { isSimple } from "../../src/region/simple.ts";

/** The minimal standard generator (Park and Miller, 1988), in [0, 1). */
function seeded(state: number): () => number {
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

type Ring = readonly (readonly [number, number])[];

const outlinesOf = (rings: readonly Ring[]): Outlines => {
  const outlines = new Outlines();
  for (const ring of rings) {
    outlines.begin();
    for (const [x, y] of ring) outlines.put(x, y, 0);
  }
  return outlines;
};

const rect = (x: number, y: number, w: number, h: number): Ring => [
  [x, y],
  [x + w, y],
  [x + w, y + h],
  [x, y + h],
];

/** A ring around (cx, cy) whose distance from there varies; wound positively. */
const wavy = (random: () => number, cx: number, cy: number, r: number, n: number): Ring =>
  Array.from({ length: n }, (_, k) => {
    const angle = (2 * Math.PI * k) / n;
    const at = r * (0.6 + 0.4 * random());
    return [Math.round(cx + at * Math.cos(angle)), Math.round(cy + at * Math.sin(angle))] as const;
  });

const united = (rings: readonly Ring[]): Paths64 => {
  const answer = unitedCrowd(outlinesOf(rings), () => {}, new Effort());
  expect(answer).not.toBeNull();
  return answer!.along.map((_, p) => answer!.outlines.polygonOf(p));
};

const area = (paths: Paths64): number => {
  const outlines = Outlines.of(paths);
  return paths.reduce((sum, _, p) => sum + outlines.doubleArea(p) / 2, 0);
};

function swept(type: ClipType, a: Paths64, b: Paths64): Paths64 {
  const clipper = new Clipper64();
  clipper.addPaths(a, PathType.Subject);
  clipper.addPaths(b, PathType.Clip);
  const answer: Paths64 = [];
  expect(clipper.execute(type, FillRule.NonZero, answer)).toBe(true);
  return answer;
}

const sheared = (rings: readonly Ring[]): Paths64 =>
  rings.map((ring) => ring.map(([x, y]) => ({ x, y: y + SHEAR * x })));

/** Whether a point is in a ring (the ray crossing rule). */
const inside = (ring: Ring, x: number, y: number): boolean => {
  let odd = false;
  ring.forEach(([bx, by], i) => {
    const [ax, ay] = ring[i === 0 ? ring.length - 1 : i - 1]!;
    if (ay > y !== by > y && x < ax + ((y - ay) * (bx - ax)) / (by - ay)) odd = !odd;
  });
  return odd;
};

describe("the union of a crowd", () => {
  // The package's own answer, but for slivers along crossings, which both round to the sheared grid.
  test.each([1, 2, 3, 4, 5, 6])("is that of clipper2-ts, drawing %i", (seed) => {
    const random = seeded(seed);
    const rings: Ring[] = [];
    for (let i = 0; i < 400; i++) {
      const [x, y] = [1e6 * random(), 1e6 * random()];
      rings.push(wavy(random, x, y, 1e4 + 6e4 * random(), 5 + Math.floor(30 * random())));
      // Even places and sizes, so that edges share lines.
      rings.push(rect(Math.round(x / 1e4) * 1e4, Math.round(y / 1e4) * 1e4, 2e4, 3e4));
    }
    const answer = united(rings);
    const other = area(swept(ClipType.Union, sheared(rings), []));
    expect(area(answer) / other).toBeCloseTo(1, 5);
    expect(area(swept(ClipType.Xor, answer, sheared(rings))) / other).toBeLessThan(2e-4);
  });

  test("holds a point where one of its outlines does, and no other", () => {
    const random = seeded(11);
    const rings = Array.from({ length: 300 }, () =>
      wavy(random, 1e6 * random(), 1e6 * random(), 5e4 * random() + 100, 4 + Math.floor(20 * random())),
    );
    const answer: Ring[] = united(rings).map((p) => p.map(({ x, y }) => [x, y - SHEAR * x] as const));
    for (let i = 0; i < 4000; i++) {
      const [x, y] = [1e6 * random(), 1e6 * random()];
      const found = answer.filter((ring) => inside(ring, x, y)).length % 2 === 1;
      expect(found).toBe(rings.some((ring) => inside(ring, x, y)));
    }
  });

  test("of squares that share their sides is one square", () => {
    const rings: Ring[] = [];
    for (let i = 0; i < 40; i++) for (let j = 0; j < 40; j++) rings.push(rect(100 * i, 100 * j, 100, 100));
    const answer = united(rings);
    expect(answer).toHaveLength(1);
    expect(area(answer)).toBe(4000 ** 2);
  });

  test("of bricks that share parts of their sides has no joints", () => {
    const rings: Ring[] = [];
    for (let i = 0; i < 30; i++) {
      for (let j = 0; j < 30; j++) rings.push(rect(200 * i + (j % 2) * 70, 90 * j, 200, 90));
    }
    const answer = united(rings);
    expect(answer).toHaveLength(1);
    expect(area(answer)).toBe(900 * 200 * 90);
  });

  test("of equal outlines is that outline", () => {
    const ring = wavy(seeded(5), 5000, 5000, 4000, 60);
    const answer = united(Array.from({ length: 40 }, () => ring));
    expect(answer).toHaveLength(1);
    expect(area(answer)).toBeCloseTo(area(sheared([ring])), 6);
  });

  test("of a frame of bars leaves its hole open", () => {
    const bars = [
      rect(0, 0, 1000, 100),
      rect(0, 900, 1000, 100),
      rect(0, 0, 100, 1000),
      rect(900, 0, 100, 1000),
    ];
    const answer = united(bars);
    expect(answer.map((p) => Math.sign(area([p]))).sort()).toEqual([-1, 1]);
    expect(area(answer)).toBe(1000 ** 2 - 800 ** 2);
  });

  test("drops what lies within another, and keeps an island in a hole", () => {
    const dots: Ring[] = [];
    for (let i = 0; i < 30; i++)
      for (let j = 0; j < 30; j++) dots.push(rect(1000 + 30 * i, 1000 + 30 * j, 9, 9));
    expect(area(united([rect(0, 0, 4000, 4000), ...dots]))).toBe(4000 ** 2);
    const hole = [...rect(500, 500, 3000, 3000)].reverse();
    const answer = united([rect(0, 0, 4000, 4000), hole, ...dots]);
    expect(answer).toHaveLength(902);
    expect(area(answer)).toBe(4000 ** 2 - 3000 ** 2 + 900 * 81);
  });

  test("takes whole steps of any size: coordinates of 2^22", () => {
    const far = 2 ** 22 - 1;
    const answer = united([rect(0, 0, far, far), rect(far - 1, far - 1, 1, 1), rect(-far, -far, far, far)]);
    expect(area(answer)).toBe(2 * far ** 2);
  });
});

describe("what a crowd is not united from", () => {
  test("too many pairs: null, for a sweep or batches", () => {
    const rings = Array.from({ length: 1500 }, (_, i) => rect(i % 7, i % 11, 1000, 1000));
    expect(unitedCrowd(outlinesOf(rings), () => {}, new Effort(1e12))).toBeNull();
  });
  test("more effort than is left", () => {
    const random = seeded(3);
    const rings = Array.from({ length: 500 }, () => wavy(random, 1e5 * random(), 1e5 * random(), 1e4, 20));
    const refused = () => unitedCrowd(outlinesOf(rings), () => {}, new Effort(250_000));
    expect(refused).toThrow(JobError);
  });
  test("windings below 0: null", () => {
    expect(unitedCrowd(outlinesOf([[...rect(0, 0, 10, 10)].reverse()]), () => {}, new Effort())).toBeNull();
  });
  test("an answer that lacks an outline is found out by its area", () => {
    const random = seeded(9);
    const rings = Array.from({ length: 8 }, (_, i) => wavy(random, 3e4 * i, 0, 1e4, 30));
    const answer = united(rings);
    expect(agrees(outlinesOf(rings), Outlines.of(answer))).toBe(true);
    for (const p of answer) {
      expect(agrees(outlinesOf(rings), Outlines.of(answer.filter((q) => q !== p)))).toBe(false);
    }
  });
});

/** Whether two edges of a ring meet but at the corner of next ones, by all pairs in exact whole numbers. */
function isSimpleByPairs(ring: Ring): boolean {
  const n = ring.length;
  const side = (a: Ring[number], b: Ring[number], c: Ring[number]): number => {
    const v = BigInt(b[0] - a[0]) * BigInt(c[1] - a[1]) - BigInt(b[1] - a[1]) * BigInt(c[0] - a[0]);
    return v > 0n ? 1 : v < 0n ? -1 : 0;
  };
  const on = (a: Ring[number], b: Ring[number], c: Ring[number]): boolean =>
    side(a, b, c) === 0 &&
    Math.min(a[0], b[0]) <= c[0] &&
    c[0] <= Math.max(a[0], b[0]) &&
    Math.min(a[1], b[1]) <= c[1] &&
    c[1] <= Math.max(a[1], b[1]);
  for (let i = 0; i < n; i++) {
    const [a, b] = [ring[i]!, ring[(i + 1) % n]!];
    if (a[0] === b[0] && a[1] === b[1]) return false;
    for (let j = i + 1; j < n; j++) {
      const [c, d] = [ring[j]!, ring[(j + 1) % n]!];
      if (j === i + 1 || (i === 0 && j === n - 1)) {
        const [apexless, others] =
          j === i + 1
            ? [
                [a, d],
                [b, c],
              ]
            : [
                [b, c],
                [a, d],
              ];
        const [p, q] = apexless as [Ring[number], Ring[number]];
        const apex = (others as [Ring[number], Ring[number]])[0];
        if (on(apex, p, q) || on(apex, q, p)) return false;
      } else if (
        on(a, b, c) ||
        on(a, b, d) ||
        on(c, d, a) ||
        on(c, d, b) ||
        (side(a, b, c) !== side(a, b, d) && side(c, d, a) !== side(c, d, b))
      ) {
        return false;
      }
    }
  }
  return true;
}

test("outlines are told simple as by all pairs, on grids small enough for ties", () => {
  const random = seeded(21);
  const counts = [0, 0];
  for (let k = 0; k < 6000; k++) {
    const size = [4, 8, 30, 1000][k % 4]!;
    const n = 3 + Math.floor(6 * random());
    const ring: Ring =
      k % 3 === 0
        ? wavy(random, 0, 0, size, n)
        : Array.from(
            { length: n },
            () => [Math.floor(size * random()), Math.floor(size * random())] as const,
          );
    const { x, y, length } = outlinesOf([ring]);
    const expected = isSimpleByPairs(ring);
    counts[Number(expected)]!++;
    expect(isSimple(x, y, 0, length), JSON.stringify(ring)).toBe(expected);
  }
  expect(Math.min(...counts)).toBeGreaterThan(1000);
});

test("outlines of many edges are told simple only where they are", () => {
  const random = seeded(33);
  const counts = [0, 0];
  for (let k = 0; k < 60; k++) {
    // A comb of teeth, some of which meet or lie upon each other where it is drawn too narrow.
    const teeth = 40;
    const wide = k % 2 === 0 ? 40 : 6;
    const up = Array.from({ length: teeth }, (_, i) => [
      [wide * i + Math.floor(wide * random()), 1000] as const,
      [wide * i + wide / 2 + Math.floor(wide * 0.4 * random()), 20 + Math.floor(200 * random())] as const,
    ]).flat();
    const ring: Ring = [[0, 0], [wide * teeth + 50, 0], ...[...up].reverse()];
    const { x, y, length } = outlinesOf([ring]);
    const found = isSimple(x, y, 0, length);
    counts[Number(found)]!++;
    if (found) expect(isSimpleByPairs(ring)).toBe(true);
  }
  expect(Math.min(...counts)).toBeGreaterThan(10);
  const round = wavy(() => 0.7, 0, 0, 1e5, 400);
  const { x, y, length } = outlinesOf([[...round].reverse()]);
  expect(isSimple(x, y, 0, length)).toBe(true);
});
