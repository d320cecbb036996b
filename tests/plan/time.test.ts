/** Marking time: lines, lengths and jumps of simple marks by closed form, and of the demo's crest by its area. */
import { describe, expect, it } from "vitest";
import { areaOf, type Path, PathBuilder } from "../../src/geometry/path.ts";
import type { JobFile, Settings } from "../../src/job/job.ts";
import { type MarkingTime, markingTime } from "../../src/plan/process/time.ts";
import { reportOf } from "../../src/plan/report.ts";
import type { Mark } from "../../src/plan/types.ts";
import { circle } from "../support/shapes.ts";
import { alone, crest, drawing, planned, rectangle, relative, settings, vessel } from "./process-helpers.ts";

type Points = readonly (readonly [number, number])[];
const box = (x: number, y: number, w: number, h: number): Points => [
  [x, y],
  [x + w, y],
  [x + w, y + h],
  [x, y + h],
];
/** Turned against its outline. */
const hole = (...of: Parameters<typeof box>): Points => [...box(...of)].reverse();
const pathOf = (closed: boolean, ...outlines: Points[]): Path<"command"> => {
  const b = new PathBuilder<"command">();
  for (const [first, ...rest] of outlines) {
    b.move(...first!);
    for (const p of rest) b.line(...p);
    if (closed) b.close();
  }
  return b.build();
};
const fill = (...outlines: Points[]): Mark => ({ id: "f", paint: "fill", path: pathOf(true, ...outlines) });
const line = (...runs: Points[]): Mark => ({ id: "l", paint: "centre-line", path: pathOf(false, ...runs) });
/** As the station gets it where the vessel lies along x: (u, v) → (−v, u). */
const turned = ({ path, ...mark }: Mark): Mark => ({
  ...mark,
  path: {
    contours: path.contours.map((c) => ({
      ...c,
      points: c.points.map((_, i) => (i % 2 === 0 ? 0 - c.points[i + 1]! : c.points[i - 1]!)),
    })),
  },
});

const asked = (change: Partial<Settings> = {}): Settings => ({
  ...settings,
  pitchMm: 0.1,
  anglesDeg: [0],
  ...change,
});
const timeOf = (marks: Mark[], change: Partial<Settings> = {}, axis: "x" | "y" = "y"): MarkingTime =>
  markingTime(marks, asked(change), axis);
/** The first set's lines, mark and jump length. */
const first = (time: MarkingTime): number[] => {
  const { lines, markLengthMm, jumpLengthMm } = time.sets[0]!;
  return [lines, markLengthMm, jumpLengthMm];
};
const expectFirst = (time: MarkingTime, expected: number[]): void =>
  first(time).forEach((v, i) => {
    expect(v).toBeCloseTo(expected[i]!, 6);
  });

describe("a rectangle of 30 × 12 mm, lines 0.1 mm apart, to and fro", () => {
  const mark = fill(box(-4, 7, 30, 12));

  it.each([
    // n lines of one side, and n − 1 jumps of a pitch from each to the next.
    [0, 120, 30],
    [90, 300, 12],
    [180, 120, 30],
    [-90, 300, 12],
  ])("%d°: %d lines of %d mm", (angle, n, length) => {
    expectFirst(timeOf([mark], { anglesDeg: [angle] }), [n, n * length, (n - 1) * 0.1]);
  });

  it("45°: lengths sum to area over pitch", () => {
    const [lines, length] = first(timeOf([mark], { anglesDeg: [45] }));
    expect(relative(length!, (30 * 12) / 0.1)).toBeLessThan(1e-3);
    expect(Math.abs(lines! - (42 * Math.SQRT1_2) / 0.1)).toBeLessThan(1.01); // (w + h)/√2 across
  });

  it("seconds: passes times length/speed, jumps/jump speed and 0.3 ms a line, over all sets", () => {
    const [L0, J0, L90, J90] = [3600, 11.9, 3600, 29.9];
    const seconds = (v: number, jump: number) => (L0 + L90) / v + (J0 + J90) / jump + 420 * 0.0003;
    for (const passes of [1, 3]) {
      for (const [speedMmS, jumpSpeedMmS] of [
        [900, 3000],
        [300, 3000],
        [900, 50],
      ] as const) {
        const time = timeOf([mark], { anglesDeg: [0, 90], passes, speedMmS, jumpSpeedMmS });
        expect(time.seconds).toBeCloseTo(passes * seconds(speedMmS, jumpSpeedMmS), 6);
        // Lengths are of one pass.
        expectFirst(time, [120, L0, J0]);
        expect(time.sets.map((s) => s.angleDeg)).toEqual([0, 90]);
        expect(time.lineDelayMs).toBeCloseTo(0.3, 12);
      }
    }
  });

  it("half the pitch, twice the lines and the length; power and frequency do not matter", () => {
    expectFirst(timeOf([mark], { pitchMm: 0.05 }), [240, 7200, 239 * 0.05]);
    expect(timeOf([mark], { powerW: 1, frequencyKHz: 900 })).toEqual(timeOf([mark]));
  });

  it("nothing to mark takes no time", () => {
    expect(timeOf([])).toMatchObject({ seconds: 0, stride: 1 });
    expectFirst(timeOf([fill(box(0, 0.06, 5, 0.08))]), [0, 0, 0]); // slips between rows at 0.05 and 0.15
  });
});

describe("jumps", () => {
  it("over a hole: 100 rows of 20 mm, 40 of them parted by 8 mm", () => {
    const ring = fill(box(0, 0, 20, 10), hole(6, 3, 8, 4));
    // 60 whole lines and 2 × 40 of 6 mm; from each row to the next one pitch, over the hole 40 × 8 mm.
    expectFirst(timeOf([ring]), [140, 60 * 20 + 80 * 6, 99 * 0.1 + 40 * 8]);
    // Up and down: 200 rows of 10 mm, 80 of them parted by 4 mm.
    expectFirst(timeOf([ring], { anglesDeg: [90] }), [280, 120 * 10 + 160 * 3, 199 * 0.1 + 80 * 4]);
  });

  it("along a slanting edge: each from a row's end to the next one's nearer end", () => {
    // A leaning band, 10 mm wide, 45°: ends shift by a pitch each row.
    const band = fill([
      [0, 0],
      [10, 0],
      [16, 6],
      [6, 6],
    ]);
    expectFirst(timeOf([band]), [60, 600, 59 * Math.hypot(0.1, 0.1)]);
  });

  it("to the next mark, from where the last line ended to the nearer end of its first", () => {
    // 10 rows each; an even number of rows ends on the side of the first, at x = 0, y = 0.95.
    const marks = [fill(box(0, 0, 5, 1)), fill(box(40, 20, 5, 1))];
    expectFirst(timeOf(marks), [20, 100, 18 * 0.1 + Math.hypot(40, 20.05 - 0.95)]);
    // Left of the pen, the nearer end is the right one.
    const back = [fill(box(0, 0, 5, 1)), fill(box(-20, 0, 5, 1))];
    expectFirst(timeOf(back), [20, 100, 18 * 0.1 + Math.hypot(15, 0.05 - 0.95)]);
  });
});

describe("centre lines", () => {
  const angle = line(
    [
      [0, 0],
      [30, 40],
    ],
    [
      [30, 50],
      [30, 45],
      [26, 42],
    ],
  );

  it("count by their length, once a pass, with the first set: 50 + 5 + 5 mm, a jump of 10 between", () => {
    const time = timeOf([angle], { anglesDeg: [0, 90], passes: 3 });
    expectFirst(time, [2, 60, 10]);
    expect(time.sets[1]).toEqual({ angleDeg: 90, lines: 0, markLengthMm: 0, jumpLengthMm: 0 });
    expect(time.seconds).toBeCloseTo(3 * (60 / 900 + 10 / 3000 + 2 * 0.0003), 9);
    // The pitch is of fills.
    expect(timeOf([angle], { pitchMm: 0.01 })).toEqual(timeOf([angle]));
  });

  it("a curve by its own length: a circle of r = 8 mm", () => {
    const round = { id: "c", paint: "centre-line", path: { contours: [circle(0, 0, 8)] } } as unknown as Mark;
    // Four cubics are a circle to 2.7e-4 of r (from memory).
    expect(relative(first(timeOf([round]))[1]!, 2 * Math.PI * 8)).toBeLessThan(3e-4);
  });

  it("with a fill: its jump starts at the line's end", () => {
    // From (26, 42) to the row at y = 100.05, whose nearer end is x = 20.
    expectFirst(timeOf([angle, fill(box(0, 100, 20, 1))]), [12, 260, 10 + Math.hypot(6, 58.05) + 0.9]);
  });
});

describe("the vessel along x", () => {
  it("marks turned a quarter take the same lines: 90° is along the axis either way", () => {
    const marks = [
      fill(box(1, 2, 20, 10), box(7, 4, 8, 4)),
      line([
        [0, 0],
        [3, 4],
      ]),
    ];
    for (const angle of [0, 90, 30]) {
      const change = { anglesDeg: [angle] };
      const [along, across] = [timeOf(marks, change), timeOf(marks.map(turned), change, "x")];
      expectFirst(across, first(along));
      expect(across.seconds).toBeCloseTo(along.seconds, 9);
    }
    // It is not so for marks that were not turned.
    expect(first(timeOf(marks, {}, "x"))[0]).not.toBe(first(timeOf(marks))[0]);
  });

  it("so does a whole job, through a head whose pivots are alike", async () => {
    const job: JobFile = { vessel, lens: { pivotMm: 500 }, settings };
    const [y, x] = await Promise.all(
      (["y", "x"] as const).map((axis) => planned(rectangle(50, 20), { ...job, axis })),
    );
    expect(x!.forecast!.time.seconds).toBeCloseTo(y!.forecast!.time.seconds, 6);
    expect(x!.forecast!.time.sets.map((s) => s.lines)).toEqual(y!.forecast!.time.sets.map((s) => s.lines));
  });
});

describe("of a plan", () => {
  it("the crest, 55 mm wide: in each set area over pitch to 1 %, in the plane of the file", async () => {
    const plan = await planned(crest(), { vessel, placement: { widthMm: 55 }, settings });
    const marks = plan.marks.get("usable")!;
    const area = marks.reduce((sum, m) => sum + areaOf(m.path), 0);
    expect(plan.zones[0]!.share).toBe(1);
    // Less than the ink's own: the sides are seen from the lens.
    expect(area).toBeLessThan(0.98 * plan.ink.areaMm2);
    const { time } = reportOf(plan).process!;
    expect(time.sets).toHaveLength(2);
    for (const set of time.sets) {
      expect(relative(set.markLengthMm, area / 0.025)).toBeLessThan(0.01);
      expect(set.jumpLengthMm).toBeGreaterThan(0);
    }
    const sum = time.sets.reduce(
      (s, set) => s + set.markLengthMm / 900 + set.jumpLengthMm / 3000 + set.lines * 0.0003,
      0,
    );
    expect(relative(time.seconds, sum)).toBeLessThan(1e-5);
  });

  it("only usable ink is marked: past the reach nothing more", async () => {
    const time = async (width: number) =>
      (await alone(rectangle(width, 10), { vessel, settings })).forecast!.time.sets[0]!.markLengthMm;
    // The reach is 69.2 mm.
    expect(relative(await time(90), await time(110))).toBeLessThan(1e-3);
  });

  it("centre lines alone: their length in the file, and a note that only the time is told", async () => {
    const svg = drawing(`<path d="M0 0V20" stroke="#000" stroke-width=".1" fill="none"/>`);
    const plan = await planned(svg, {
      vessel,
      ink: { strokes: "centre-line" },
      settings,
      coating: { id: "powder-any" },
    });
    // On the crown and in focus the map is 1.
    const lengths = plan.forecast!.time.sets.map((s) => s.markLengthMm);
    expect(lengths).toEqual([expect.closeTo(20, 2), 0]);
    expect(plan.forecast!.outcome).toBeNull();
    expect(plan.reasons.map((r) => r.code)).toContain("lines-not-forecast");
  });
});

describe("more than two million lines: every second, third … row is counted", () => {
  it.each([
    [2, 2500],
    [3, 4900],
  ])("stride %d: 1000 lines in a mm over %d mm, to 1 %% of the count by hand", (stride, high) => {
    const ring = fill(box(0, 0, 20, high), hole(6, high / 4, 8, high / 5));
    const time = timeOf([ring], { pitchMm: 0.001 });
    expect(time.stride).toBe(stride);
    const [rows, parted] = [1000 * high, 200 * high];
    const [lines, length, jumps] = first(time);
    expect(relative(lines!, rows + parted)).toBeLessThan(0.01);
    expect(relative(length!, (rows - parted) * 20 + 2 * parted * 6)).toBeLessThan(0.01);
    expect(relative(jumps!, (rows - 1) * 0.001 + parted * 8)).toBeLessThan(0.01);
  });

  it("slanted edges and jumps to the next mark are not lengthened by the stride", () => {
    // Two triangles 20 mm wide and 2000 mm high, 300 mm apart: the row ends drift by 20/2000 of a mm for each.
    const triangle = (x: number): Points => [
      [x, 0],
      [x + 20, 0],
      [x, 2000],
    ];
    const time = timeOf([fill(triangle(0)), fill(triangle(300))], { pitchMm: 0.001 });
    expect(time.stride).toBe(2);
    const [lines, length, jumps] = first(time);
    const rows = 2_000_000;
    expect(relative(lines!, 2 * rows)).toBeLessThan(0.001);
    expect(relative(length!, 2 * rows * 10)).toBeLessThan(0.001);
    // There and back: half of the row ends are on the slope, half on the upright; then once to the second triangle.
    const step = (0.001 + Math.hypot(0.001, 0.001 * (20 / 2000))) / 2;
    const over = Math.hypot(300, 2000);
    expect(relative(jumps!, 2 * rows * step + over)).toBeLessThan(0.01);
  });

  it("below that, every one", () => {
    expect(timeOf([fill(box(0, 0, 3, 1900))], { pitchMm: 0.001 }).stride).toBe(1);
  });
});
