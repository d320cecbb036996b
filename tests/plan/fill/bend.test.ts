/**
 * Lines of the flat bent for the station, against plain sampling of the warp in both directions; the level cylinder also
 * against its closed form.
 */
import { describe, expect, it } from "vitest";
import type { Box } from "../../../src/geometry/path.ts";
import { directions } from "../../../src/geometry/rows.ts";
import type { ScanHead } from "../../../src/head/scanhead.ts";
import { LineBender, type LineForm, measured, type Pen } from "../../../src/plan/fill/bend.ts";
import { JobError } from "../../../src/problem.ts";
import { cylinder } from "../../../src/vessel/cylinder.ts";
import { measuredOutline } from "../../../src/vessel/measured.ts";
import { tiltOf } from "../../../src/vessel/pose.ts";
import { revolved } from "../../../src/vessel/revolved.ts";
import type { Surface } from "../../../src/vessel/surface.ts";
import { Warp } from "../../../src/warp/warp.ts";
import { chartBy, posed, poses, rules } from "../../support/surfaces.ts";

const head: ScanHead = { pivotAcross: 545, pivotAlong: 531, field: 300, belowCrown: 6 };
const heads: readonly ScanHead[] = [
  head,
  { pivotAcross: 128, pivotAlong: 114, field: 70, belowCrown: 0.4 },
  { pivotAcross: Infinity, pivotAlong: Infinity, field: 110, belowCrown: -2 },
];
const forms: readonly LineForm[] = ["curves", "polyline"];
type Line = readonly [a0: number, b0: number, a1: number, b1: number];

/** A vessel with a waist and a rough wall: rows 2 mm apart that wander by a few hundredths of a millimetre. */
const waisted = measuredOutline(
  Array.from({ length: 61 }, (_, i) => ({
    heightMm: 2 * i,
    diameterMm: 82 + 6 * Math.cos(i / 9) + 0.03 * Math.sin(7.1 * i * i),
  })),
  55,
);
const measuredSurfaces: readonly { readonly name: string; readonly surface: Surface }[] = rules.flatMap(
  (rule) => {
    const chart = chartBy(rule, waisted);
    if (!chart) return [];
    return poses.map((pose) => ({
      name: `waisted, ${rule}, ${pose}`,
      surface: revolved(waisted, chart, tiltOf(waisted, pose)),
    }));
  },
);

/** What a pen was given: eight numbers for each piece, lines with their arms at the thirds. */
class Drawn implements Pen {
  readonly pieces: number[][] = [];
  readonly kinds: string[] = [];
  readonly numbers: number[] = [];
  #x = 0;
  #y = 0;
  move(x: number, y: number): void {
    this.kinds.push("move");
    this.numbers.push(x, y);
    [this.#x, this.#y] = [x, y];
  }
  line(x: number, y: number): void {
    const [x0, y0] = [this.#x, this.#y];
    this.kinds.push("line");
    this.numbers.push(x, y);
    this.pieces.push([x0, y0, (2 * x0 + x) / 3, (2 * y0 + y) / 3, (x0 + 2 * x) / 3, (y0 + 2 * y) / 3, x, y]);
    [this.#x, this.#y] = [x, y];
  }
  cubic(x1: number, y1: number, x2: number, y2: number, x: number, y: number): void {
    this.kinds.push("cubic");
    this.numbers.push(x1, y1, x2, y2, x, y);
    this.pieces.push([this.#x, this.#y, x1, y1, x2, y2, x, y]);
    [this.#x, this.#y] = [x, y];
  }
}

function drawn(bender: LineBender, line: Line): Drawn {
  const pen = new Drawn();
  bender.bend(...line, pen);
  return pen;
}

/** Points x, y, scale, in order. */
type Row = readonly (readonly [x: number, y: number, scale: number])[];

function throughWarp(warp: Warp, [a0, b0, a1, b1]: Line, n: number): Row {
  const jet = new Float64Array(7);
  return Array.from({ length: n + 1 }, (_, i) => {
    const [a, b] = [a0 + ((a1 - a0) * i) / n, b0 + ((b1 - b0) * i) / n];
    const there = warp.forward({ x: a, y: b });
    if (typeof there === "string") throw new Error(`${a}, ${b}: ${there}`);
    warp.at(a, b, jet);
    return [there.x, there.y, jet[6]!] as const;
  });
}

const alongPieces = ({ pieces }: Drawn, n: number): Row =>
  pieces.flatMap((p, k) => {
    const each = Math.ceil(n / pieces.length);
    return Array.from({ length: each + (k === pieces.length - 1 ? 1 : 0) }, (_, i) => {
      const t = i / each;
      const w = [(1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t ** 2, t ** 3];
      const of = (axis: number): number => w.reduce((sum, f, j) => sum + f * p[2 * j + axis]!, 0);
      return [of(0), of(1), 1] as const;
    });
  });

/** Largest distance from the points of one row to the chords of the other, over the scale; looked for nearby only. */
function oneWay(from: Row, to: Row, scaleOf: "from" | "to"): number {
  let worst = 0;
  let j = 0;
  for (const [x, y, own] of from) {
    let least = Infinity;
    let scale = own;
    let place = j;
    for (let k = Math.max(0, j - 10); k < Math.min(to.length - 1, j + 50); k++) {
      const [x0, y0] = to[k]!;
      const [dx, dy] = [to[k + 1]![0] - x0, to[k + 1]![1] - y0];
      const square = dx * dx + dy * dy;
      const t = square > 0 ? Math.min(1, Math.max(0, ((x - x0) * dx + (y - y0) * dy) / square)) : 0;
      const d = Math.hypot(x0 + t * dx - x, y0 + t * dy - y);
      if (d >= least) continue;
      least = d;
      place = k;
      if (scaleOf === "to") scale = to[k]![2];
    }
    j = place;
    worst = Math.max(worst, least / scale);
  }
  return worst;
}

function offOf(warp: Warp, line: Line, pen: Drawn): number {
  const n = Math.min(1200, 100 + Math.ceil(20 * Math.hypot(line[2] - line[0], line[3] - line[1])));
  const source = throughWarp(warp, line, n);
  const answer = alongPieces(pen, n);
  return Math.max(oneWay(source, answer, "from"), oneWay(answer, source, "to"));
}

function seeded(seed: number): () => number {
  let s = seed;
  return () => {
    s = (Math.imul(s, 1664525) + 1013904223) >>> 0;
    return s / 2 ** 32;
  };
}

/** Lines of the direction in the middle part of the vessel that the beam meets well, long ones and short ones. */
function linesOn(warp: Warp, angleDeg: number, seed: number): Line[] {
  const random = seeded(seed);
  const [x, y] = directions(angleDeg);
  const jet = new Float64Array(7);
  const lit = (a: number, b: number): boolean => {
    if (warp.failureAt(a, b) !== null) return false;
    warp.at(a, b, jet);
    return jet[6]! > 0.3;
  };
  return [60, 60, 25, 8, 0.7, 0.02].flatMap((length): Line[] => {
    const [a, b] = [(random() - 0.5) * 30, (random() - 0.5) * 40];
    for (let l = length; l > length / 5; l *= 0.9) {
      const half = Array.from({ length: 41 }, (_, i) => (l * (i - 20)) / 40);
      if (half.every((s) => lit(a + s * x, b + s * y)))
        return [[a - (l / 2) * x, b - (l / 2) * y, a + (l / 2) * x, b + (l / 2) * y]];
    }
    return [];
  });
}

/** Around the lines, and so much wider that some of it may have no image. */
function around(lines: readonly Line[], wider: number): Box {
  const a = lines.flatMap(([a0, , a1]) => [a0, a1]);
  const b = lines.flatMap(([, b0, , b1]) => [b0, b1]);
  return {
    minX: Math.min(...a) - wider,
    minY: Math.min(...b) - wider,
    maxX: Math.max(...a) + wider,
    maxY: Math.max(...b) + wider,
  };
}

const box: Box = { minX: -35, minY: -50, maxX: 35, maxY: 50 };
const level = new Warp(cylinder(41, "girth"), head);

describe("within the tolerance on the vessel, by sampling", () => {
  const tries = [0.02, 0.002, 0.0005].flatMap((tolerance) => forms.map((form) => [tolerance, form] as const));
  it.each([0, 17, 45, 90])("lines at %d°, every vessel, fidelity and pose", (angle) => {
    const random = seeded(angle);
    let [count, worst] = [0, 0];
    for (const [i, { name, surface }] of [...posed, ...measuredSurfaces].entries()) {
      const warp = new Warp(surface, heads[i % heads.length]!);
      const lines = linesOn(warp, angle, i + 1);
      if (lines.length === 0) continue;
      const [tolerance, form] = tries[Math.floor(random() * tries.length)]!;
      const bender = new LineBender(warp, tolerance, around(lines, 20 * random()), angle, form, "y");
      for (const line of lines) {
        const off = offOf(warp, line, drawn(bender, line)) / tolerance;
        expect(off, `${name}, ${form}, ${tolerance} mm: ${line}`).toBeLessThanOrEqual(1);
        worst = Math.max(worst, off);
        count++;
      }
    }
    expect(count).toBeGreaterThan(400);
    // The tolerance is used.
    expect(worst).toBeGreaterThan(0.7);
  });

  it("lines outside the box that was given, too", () => {
    for (const { surface } of posed.filter(({ name }) => /sphere|rim/.test(name))) {
      const warp = new Warp(surface, head);
      for (const form of forms) {
        const bender = new LineBender(warp, 0.002, { minX: 90, minY: 90, maxX: 91, maxY: 91 }, 17, form, "y");
        for (const line of linesOn(warp, 17, 5))
          expect(offOf(warp, line, drawn(bender, line))).toBeLessThanOrEqual(0.002);
      }
    }
  });
});

describe("few pieces", () => {
  it.each(heads)("one straight line along a level cylinder, %o", (station) => {
    for (const fidelity of ["girth", "sight"] as const) {
      const warp = new Warp(cylinder(41, fidelity), station);
      for (const form of forms) {
        const bender = new LineBender(warp, 0.0005, box, 90, form, "y");
        for (const a of [-31, -12.34567, 0, 3, 28])
          expect(drawn(bender, [a, -50, a, 50]).kinds).toEqual(["move", "line"]);
      }
    }
  });

  // Cubics, and chords, at 0.02, 0.002, 0.0005 mm of lines of 60 mm: may only fall.
  const lying = posed.find(({ name }) => name === "cone, wider at the base, sheet, lying")!.surface;
  it.each([
    ["around a cylinder, b = 45", level, 0, [-30, 45, 30, 45], [1, 1, 2], [11, 34, 72]],
    ["around a cylinder, b = 4", level, 0, [-30, 4, 30, 4], [1, 1, 1], [6, 11, 24]],
    ["slanting on a cylinder", level, 45, [-21, -21, 21, 21], [1, 1, 1], [12, 31, 66]],
    ["around a cone", new Warp(lying, head), 0, [-30, 30, 30, 30], [1, 1, 1], [16, 51, 109]],
  ] as const)("%s", (_, warp, angle, line, cubics, chords) => {
    for (const [i, tolerance] of [0.02, 0.002, 0.0005].entries()) {
      const curved = drawn(new LineBender(warp, tolerance, box, angle, "curves", "y"), line);
      expect.soft(curved.pieces.length).toBeLessThanOrEqual(cubics[i]!);
      const broken = drawn(new LineBender(warp, tolerance, box, angle, "polyline", "y"), line);
      expect(broken.kinds).not.toContain("cubic");
      expect.soft(broken.pieces.length).toBeLessThanOrEqual(chords[i]!);
      const fewest = fewestChords(warp, line, tolerance);
      expect.soft(broken.pieces.length).toBeLessThanOrEqual(1.6 * fewest + 3);
      // And no chord can do what none can.
      expect.soft(broken.pieces.length).toBeGreaterThanOrEqual(fewest);
    }
  });
});

/** About what chords with both ends on the curve need: ∫ √(|c′ × c″| / (|c′| 8 σ tolerance)) ds, by differences. */
function fewestChords(warp: Warp, line: Line, tolerance: number): number {
  const n = 400;
  const row = throughWarp(warp, line, n);
  let sum = 0;
  for (let i = 1; i < n; i++) {
    const [[x0, y0], [x1, y1, scale], [x2, y2]] = [row[i - 1]!, row[i]!, row[i + 1]!];
    const [dx, dy] = [(x2 - x0) / 2, (y2 - y0) / 2];
    const across = Math.abs(dx * (y2 - 2 * y1 + y0) - dy * (x2 - 2 * x1 + x0)) / Math.hypot(dx, dy);
    sum += Math.sqrt(across / (8 * scale * tolerance));
  }
  return sum;
}

describe("a level cylinder with equal pivots, outside check", () => {
  const [radius, pivot] = [40, 160];
  const warp = new Warp(cylinder(radius, "girth"), {
    pivotAcross: pivot,
    pivotAlong: pivot,
    field: 300,
    belowCrown: 0,
  });

  it.each([0, 17])(
    "follows u = X/(1 + d/p), v = Y/(1 + d/p) (Snyder 1987, eq. 23-3, equator row), %d°",
    (angle) => {
      const [x, y] = directions(angle);
      for (const form of forms) {
        const bender = new LineBender(warp, 0.002, box, angle, form, "y");
        for (const b of [-20, 7, 31]) {
          const line: Line = [-28 * x, b - 28 * y, 28 * x, b + 28 * y];
          const closed = Array.from({ length: 1201 }, (_, i) => {
            const [a, down] = [line[0] + (56 * x * i) / 1200, line[1] + (56 * y * i) / 1200];
            const k = 1 / (1 + (radius * (1 - Math.cos(a / radius))) / pivot);
            return [radius * Math.sin(a / radius) * k, down * k, 1] as const;
          });
          const answer = alongPieces(drawn(bender, line), 1200);
          // Nothing is larger here than on the vessel.
          expect(oneWay(closed, answer, "from")).toBeLessThanOrEqual(0.002);
          expect(oneWay(answer, closed, "to")).toBeLessThanOrEqual(0.002);
        }
      }
    },
  );

  it("ends where PROJ 9.1.1 `+proj=nsper +R=40 +h=160` has 20°, 40°, 60°, to four digits", () => {
    const bender = new LineBender(warp, 0.002, box, 0, "curves", "y");
    const rows: [deg: number, x: number, k: number][] = [
      [20, 13.4776059596501, 0.985147090212228],
      [40, 24.290764550587, 0.944743029600111],
      [60, 30.79201435678, 0.888888888888889],
    ];
    for (const [deg, x, k] of rows) {
      const a = (radius * deg * Math.PI) / 180;
      const { numbers } = drawn(bender, [-a, 10, a, 10]);
      const ends = [numbers[0]!, numbers[1]!, numbers.at(-2)!, numbers.at(-1)!];
      [-x, 10 * k, x, 10 * k].forEach((v, i) => {
        expect(Math.abs(ends[i]! - v)).toBeLessThanOrEqual(0.5e-4 + 1e-12);
      });
    }
  });
});

describe("numbers of the file", () => {
  /** Lines on the cylinder, their ends now and then at half of the last digit. */
  const lines = (angle: number): Line[] => {
    const random = seeded(77);
    const [x, y] = directions(angle);
    return Array.from({ length: 300 }, (_, i) => {
      const a = i % 5 === 0 ? (Math.round(4e5 * random()) - 2e5 + 0.5) / 1e4 : 40 * random() - 20;
      const b = i % 7 === 0 ? (Math.round(6e5 * random()) - 3e5 + 0.5) / 1e4 : 60 * random() - 30;
      const length = [0, 0.4, 3, 20][i % 4]!;
      return i % 11 === 0 ? [-a, b, a, b] : [a, b, a + length * x, b + length * y];
    });
  };

  // One pivot at infinity: u = a of lines that bend, so that halves of a digit come up in them.
  const oneFar: ScanHead = { ...head, pivotAcross: Infinity };
  const warps = [...heads, oneFar].flatMap((station) =>
    (["girth", "sight"] as const).map((fidelity) => new Warp(cylinder(41, fidelity), station)),
  );

  it.each([0, 17, 90])("four digits, no −0, at %d°", (angle) => {
    for (const warp of warps) {
      for (const form of forms) {
        const bender = new LineBender(warp, 0.002, box, angle, form, "x");
        for (const line of lines(angle)) {
          for (const v of drawn(bender, line).numbers) {
            expect(Math.abs(v * 1e4 - Math.round(v * 1e4))).toBeLessThan(1e-9);
            expect(Object.is(v, -0)).toBe(false);
          }
        }
      }
    }
  });

  it.each([0, 17, 90])("mirrored for mirrored lines, exactly, at %d°", (angle) => {
    let curved = 0;
    for (const warp of warps) {
      for (const form of forms) {
        const [near, far] = [-23, 44];
        const wide: Box = { minX: near, minY: -31, maxX: far, maxY: 47 };
        const bender = new LineBender(warp, 0.002, wide, angle, form, "y");
        const left = new LineBender(warp, 0.002, { ...wide, minX: -far, maxX: -near }, -angle, form, "y");
        const up = new LineBender(warp, 0.002, { ...wide, minY: -47, maxY: 31 }, -angle, form, "y");
        for (const [a0, b0, a1, b1] of lines(angle)) {
          const { kinds, numbers } = drawn(bender, [a0, b0, a1, b1]);
          if (kinds.length > 2 || kinds.includes("cubic")) curved++;
          const inLeft = drawn(left, [-a0, b0, -a1, b1]);
          expect(inLeft.kinds).toEqual(kinds);
          expect(inLeft.numbers).toEqual(numbers.map((v, i) => (i % 2 === 0 ? 0 - v : v)));
          const inUp = drawn(up, [a0, -b0, a1, -b1]);
          expect(inUp.kinds).toEqual(kinds);
          expect(inUp.numbers).toEqual(numbers.map((v, i) => (i % 2 === 1 ? 0 - v : v)));
        }
      }
    }
    if (angle !== 90) expect(curved).toBeGreaterThan(500);
  });

  it("a quarter turn clockwise where the vessel lies along the bed's x", () => {
    for (const form of forms) {
      const [up, across] = (["y", "x"] as const).map(
        (axis) => new LineBender(level, 0.02, box, 17, form, axis),
      );
      for (const line of lines(17)) {
        const y = drawn(up!, line);
        const x = drawn(across!, line);
        expect(x.kinds).toEqual(y.kinds);
        const turned = y.numbers.map((_, i) => (i % 2 ? y.numbers[i - 1]! : 0 - y.numbers[i + 1]!));
        expect(x.numbers).toEqual(turned);
      }
    }
  });

  it("begin and end where the line does, in its order", () => {
    const bender = new LineBender(level, 0.002, box, 17, "curves", "y");
    const jet = new Float64Array(7);
    for (const line of lines(17)) {
      const { kinds, numbers } = drawn(bender, line);
      expect(kinds[0]).toBe("move");
      expect(kinds.length).toBeGreaterThan(1);
      level.at(line[0], line[1], jet);
      expect(Math.hypot(numbers[0]! - jet[0]!, numbers[1]! - jet[1]!)).toBeLessThan(0.71e-4);
      level.at(line[2], line[3], jet);
      expect(Math.hypot(numbers.at(-2)! - jet[0]!, numbers.at(-1)! - jet[1]!)).toBeLessThan(0.71e-4);
    }
  });
});

describe("what has no answer is named", () => {
  const codeOf = (act: () => unknown): string => {
    try {
      act();
    } catch (error) {
      if (error instanceof JobError) return error.problem.code;
      throw error;
    }
    return "none";
  };

  it.each(forms)("%s", (form) => {
    const bender = new LineBender(level, 0.002, box, 0, form, "y");
    const pen = new Drawn();
    expect(codeOf(() => bender.bend(0, 0, 80, 0, pen))).toBe("line-without-image");
    expect(codeOf(() => bender.bend(-200, 0, 0, 0, pen))).toBe("line-without-image");
    expect(codeOf(() => bender.bend(0, Number.NaN, 1, 0, pen))).toBe("line-without-image");
    expect(pen.numbers).toEqual([]);
    expect(codeOf(() => new LineBender(level, 0.00019, box, 0, form, "y"))).toBe("tolerance-too-fine");
    expect(codeOf(() => new LineBender(level, Number.NaN, box, 0, form, "y"))).toBe("tolerance-too-fine");
    expect(codeOf(() => new LineBender(level, 0.0002, box, 0, form, "y"))).toBe("none");
  });

  it.each(forms)("where the beam grazes so much that four digits are too few: %s", (form) => {
    // The scale at 60 mm is 0.1: 0.0002 mm there are 0.00002 mm in the file, less than its digits.
    const bender = new LineBender(level, 0.0002, { minX: 55, minY: 0, maxX: 61, maxY: 40 }, 90, form, "y");
    const codes = Array.from({ length: 20 }, (_, i) => {
      const a = 59.9 + 0.0137 * i;
      return codeOf(() => bender.bend(a, 0, a, 33.333, new Drawn()));
    });
    expect(codes.filter((code) => code === "line-not-fitted").length).toBeGreaterThan(10);
    // And not at the crown.
    expect(codeOf(() => bender.bend(1, 0, 1, 33.333, new Drawn()))).toBe("none");
  });
});

it.each(forms)("what the station draws, against the sum of short chords: %s", (form) => {
  const lines: Line[] = [-30, -12, 5, 31].map((b, i) => (i % 2 ? [28, b, -28, b] : [-25, b, 29, b]));
  const bender = new LineBender(level, 0.002, box, 0, form, "x");
  let [mark, jump] = [0, 0];
  let last: readonly number[] | null = null;
  for (const line of lines) {
    const row = throughWarp(level, line, 5000);
    if (last) jump += Math.hypot(row[0]![0] - last[0]!, row[0]![1] - last[1]!);
    for (let i = 1; i < row.length; i++)
      mark += Math.hypot(row[i]![0] - row[i - 1]![0], row[i]![1] - row[i - 1]![1]);
    last = row.at(-1)!;
  }
  const { commandLengthMm, jumpLengthMm } = measured(Float64Array.from(lines.flat()), bender);
  expect(Math.abs(commandLengthMm / mark - 1)).toBeLessThan(1e-4);
  expect(Math.abs(jumpLengthMm - jump)).toBeLessThan(1e-3);
  expect(measured(new Float64Array(0), bender)).toEqual({ commandLengthMm: 0, jumpLengthMm: 0, box: null });
});
