/** Pictures of vessels that are no plain cylinder, and of several turns: they agree with solid geometry and with the plan. */
import { beforeAll, describe, expect, it } from "vitest";
import type { JobFile } from "../../../src/job/job.ts";
import { type Body, ball, openCup } from "../../../src/picture/render/body.ts";
import { srgbToLinear } from "../../../src/picture/render/encode.ts";
import type { Ring } from "../../../src/picture/render/lathe.ts";
import { type Pixels, Renderer } from "../../../src/picture/render/render.ts";
import { nothingRemains, remainingOf } from "../../../src/picture/render/reveal.ts";
import { sceneOf } from "../../../src/picture/render/scene.ts";
import { flatLight } from "../../../src/picture/render/studio.ts";
import { effect } from "../../../src/plan/process/process.ts";
import type { Plan } from "../../../src/plan/types.ts";
import { crestPlan, planOf } from "../helpers.ts";
import { maskOf } from "./inkmask.ts";

const page = (w: number, h: number, inside: string): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${w} ${h}" width="${w}mm" height="${h}mm">${inside}</svg>`;

/** A black vessel, seen from 9° above, and how much light a pixel has. */
const DOWN = (9 * Math.PI) / 180;
const black = { colour: "#000000", gloss: 5 };
const inkAt =
  ({ rgb, width }: Pixels) =>
  (i: number, j: number): number =>
    Math.max(0, srgbToLinear(rgb[3 * (j * width + i) + 1]! / 255) - 0.12);

/** The middle of the light about a pixel along a line of pixels. */
function middle(at: number, value: (k: number) => number): number {
  const from = Math.round(at) - 6;
  let [sum, moment] = [0, 0];
  for (let k = from; k <= from + 12; k++) {
    sum += value(k);
    moment += value(k) * (k + 0.5);
  }
  return moment / sum;
}

describe("a grid on a vessel, projected by solid geometry, is read back within a pixel", () => {
  const [pitch, width] = [8, 0.6];
  const bars = [-16, -8, 0, 8, 16];
  const grid = page(
    40,
    40,
    bars
      .flatMap((at) => [
        `<rect x="${20 + at - width / 2}" y="2" width="${width}" height="36"/>`,
        `<rect x="2" y="${20 + at - width / 2}" width="36" height="${width}"/>`,
      ])
      .join(""),
  );

  type Place = { theta: number; r: number; up: number };
  // A cup from 88 to 64 mm over 110 mm, its placement point at mid-height: r₀ = 38, sin α = 12/slant (Frustum
  // relations, see vessel/straight.ts); the sheet by plane polar coordinates about the apex.
  const slant = Math.hypot(12, 110);
  const onCone = (theta: number, m: number): Place => ({
    theta,
    r: 38 - (m * 12) / slant,
    up: (-m * 110) / slant,
  });
  const apex = (38 * slant) / 12;
  const cone: Record<string, (a: number, b: number) => Place> = {
    girth: (a, b) => onCone(a / 38, b),
    "true-width": (a, b) => onCone(a / (38 - (b * 12) / slant), b),
    sheet: (a, b) => onCone((Math.atan2(a, apex - b) * slant) / 12, apex - Math.hypot(a, apex - b)),
  };
  // A ball of 70 mm: latitude b/R (Snyder 1987, ch. 30: the sinusoidal map for true width).
  const onBall = (theta: number, b: number): Place => ({
    theta,
    r: 35 * Math.cos(b / 35),
    up: -35 * Math.sin(b / 35),
  });
  const sphere: Record<string, (a: number, b: number) => Place> = {
    girth: (a, b) => onBall(a / 35, b),
    "true-width": (a, b) => onBall(a / (35 * Math.cos(b / 35)), b),
    sight: (a, b) => {
      const r = Math.sqrt(35 ** 2 - b ** 2);
      return { theta: Math.asin(a / r), r, up: -b };
    },
  };
  const cases = [
    ...Object.entries(cone).flatMap(([fidelity, place]) =>
      [0, 40].map((degrees) => ["cone", fidelity, degrees, { taperMm: [88, 64, 110] }, place] as const),
    ),
    ...Object.entries(sphere).flatMap(([fidelity, place]) =>
      [0, -40].map((degrees) => ["sphere", fidelity, degrees, { sphereMm: 70 }, place] as const),
    ),
  ];

  it.each(cases)("%s, %s, seen from %i° around", async (_, fidelity, degrees, vessel, place) => {
    const job = {
      vessel: { ...black, ...vessel },
      placement: { fidelity },
      pose: "lying",
    } as unknown as JobFile;
    const plan = await planOf(grid, job);
    const turn = (degrees * Math.PI) / 180;
    const renderer = new Renderer(sceneOf(plan).scene, 1200);
    const { frame } = renderer;
    const ink = inkAt(renderer.view(turn, await maskOf(plan, 4 * frame.perMm), nothingRemains));
    const pixel = (a: number, b: number): { x: number; y: number; facing: number } => {
      const { theta, r, up } = place(a, b);
      const [sx, sy] = [
        r * Math.sin(theta - turn),
        up * Math.cos(DOWN) - r * Math.cos(theta - turn) * Math.sin(DOWN),
      ];
      return {
        x: (sx - frame.left) * frame.perMm,
        y: (frame.top - sy) * frame.perMm,
        facing: Math.cos(theta - turn),
      };
    };
    let looked = 0;
    for (const at of bars) {
      for (const between of bars.slice(1).map((v) => v - pitch / 2)) {
        const upright = pixel(at, between);
        if (upright.facing > 0.5) {
          const { x, y } = upright;
          expect(Math.abs(middle(x, (k) => ink(k, Math.floor(y))) - x)).toBeLessThan(1);
          looked++;
        }
        const level = pixel(between, at);
        if (level.facing > 0.5) {
          const { x, y } = level;
          expect(Math.abs(middle(y, (k) => ink(Math.floor(x), k)) - y)).toBeLessThan(1);
          looked++;
        }
      }
    }
    expect(looked).toBeGreaterThan(30);
  });
});

describe("an edge of ink is met to a part of a pixel", () => {
  const square = page(40, 40, '<rect width="40" height="40"/>');
  it.each([
    // The square's upper edge, b = −20: on the cone r = 38 + 20 sin α, on the ball at the latitude of 20 mm.
    [
      "on a cone",
      { taperMm: [88, 64, 110] },
      38 + (20 * 12) / Math.hypot(12, 110),
      (20 * 110) / Math.hypot(12, 110),
      0.05,
    ],
    ["on a curved wall", { sphereMm: 70 }, 35 * Math.cos(20 / 35), 35 * Math.sin(20 / 35), 0.1],
  ] as const)("%s", async (_, vessel, r, up, most) => {
    const plan = await planOf(square, { vessel } as unknown as JobFile);
    const white = {
      ...sceneOf(plan).scene,
      coat: { colour: [0, 0, 0] as const, alpha: 0.5 },
      metal: { f0: [1, 1, 1] as const, rough: { along: 0.1, across: 0.1 }, grain: "along" as const },
    };
    // So small that the streaks are finer than the pixels.
    const renderer = new Renderer(white, 100, flatLight());
    const { left, top, perMm } = renderer.frame;
    const { rgb, width } = renderer.view(0, await maskOf(plan, 4 * perMm), nothingRemains);
    let mixed = 0;
    for (let i = (width >> 1) - 12; i < (width >> 1) + 12; i++) {
      const z = Math.sqrt(r ** 2 - ((i + 0.5) / perMm + left) ** 2);
      const edge = (top - (up * Math.cos(DOWN) - z * Math.sin(DOWN))) * perMm;
      const from = Math.floor(edge) - 4;
      let light = 0;
      for (let j = from; j < from + 9; j++) {
        const byte = rgb[3 * (j * width + i)]!;
        light += srgbToLinear(byte / 255);
        if (byte > 20 && byte < 235) mixed++;
      }
      expect(Math.abs(light - (from + 9 - edge))).toBeLessThan(most);
    }
    expect(mixed).toBeGreaterThan(10);
  });
});

const rows = [
  [0, 70],
  [10, 73],
  [60, 73.5],
  [140, 73],
  [160, 66],
  [175, 56],
  [190, 46],
  [210, 40],
  [230, 38],
] as const;
const bottle = rows.map(([heightMm, diameterMm]) => ({ heightMm, diameterMm }));

describe("a measured profile", () => {
  it("a level line placed on a row of the measurements shows on the circle of that row", async () => {
    // The row of 66 mm, 70 mm below the rim: on the shoulder.
    const plan = await planOf(page(60, 4, '<rect x="0" y="1.6" width="60" height="0.8"/>'), {
      vessel: { ...black, profile: bottle, belowRimMm: 70 },
    });
    const renderer = new Renderer(sceneOf(plan).scene, 1600);
    const { frame } = renderer;
    const ink = inkAt(renderer.view(0, await maskOf(plan, 4 * frame.perMm), nothingRemains));
    for (const sx of [-24, -12, 0, 12, 24]) {
      const i = Math.floor((sx - frame.left) * frame.perMm);
      const x = (i + 0.5) / frame.perMm + frame.left;
      const y = (frame.top + Math.sqrt(33 ** 2 - x ** 2) * Math.sin(DOWN)) * frame.perMm;
      expect(Math.abs(middle(y, (k) => ink(i, k)) - y)).toBeLessThan(0.5);
    }
  });

  it("is drawn as tall and as wide as it was measured", async () => {
    const plan = await crestPlan({
      vessel: { profile: bottle, colour: "#000000", gloss: 1 },
      placement: { widthMm: 20 },
    });
    const renderer = new Renderer(sceneOf(plan).scene, 1200, flatLight());
    const { frame } = renderer;
    const { rgb, width, height } = renderer.view(Math.PI, await maskOf(plan, 20), nothingRemains);
    const dark = (j: number): number => {
      let n = 0;
      for (let i = 0; i < width; i++) if (rgb[3 * (j * width + i)]! < 128) n++;
      return n;
    };
    const widest = Math.max(...Array.from({ length: height }, (_, j) => dark(j)));
    expect(Math.abs(widest - 73.5 * frame.perMm)).toBeLessThan(2);
    // 20 mm below the rim, 210 mm above the base, it is 40 mm wide: its outline there shows at that height.
    const middleHeight = 115;
    const j = Math.floor((frame.top - (210 - middleHeight) * Math.cos(DOWN)) * frame.perMm);
    expect(Math.abs(dark(j) - 40 * frame.perMm)).toBeLessThan(3);
  });
});

/** Ends of rings that no other ring has. */
function open(rings: readonly Ring[]): number {
  const ends = rings.flatMap(({ y0, r0, y1, r1 }) => [
    `${y0.toFixed(9)} ${r0.toFixed(9)}`,
    `${y1.toFixed(9)} ${r1.toFixed(9)}`,
  ]);
  return ends.filter((end) => ends.filter((other) => other === end).length === 1).length;
}

describe("the body", () => {
  const cone = openCup({ straight: true, radiusAt: (y) => 38 + (12 * y) / 110, kinks: [] }, -55, 55);
  const round = (y: number): number => 30 + 8 * Math.cos(y / 25);
  const bowl = openCup({ straight: false, radiusAt: round, kinks: [] }, -55, 55);

  it.each([
    ["a cone", cone],
    ["a curved cup", bowl],
  ] as const)("%s is closed but for its foot and the middle of its inside's floor", (_, body: Body) => {
    expect(open(body.rings)).toBe(2);
  });

  it("a ball is closed but for its foot and its top, and its rings lie on it", () => {
    const { rings, foot, bottom } = ball(35);
    expect(open(rings)).toBe(2);
    expect(Math.hypot(foot, bottom)).toBeCloseTo(35, 9);
    for (const { y0, r0 } of rings) expect(Math.hypot(y0, r0)).toBeCloseTo(35, 9);
  });

  it("chords keep near to a curved wall: about a fiftieth of a pixel on a picture of 1600 px", () => {
    const walls = bowl.rings.filter(({ part }) => part === "wall");
    expect(walls.length).toBeGreaterThan(20);
    for (const { y0, r0, y1, r1 } of walls)
      for (const t of [0.25, 0.5, 0.75])
        expect(Math.abs(round(y0 + t * (y1 - y0)) - (r0 + t * (r1 - r0)))).toBeLessThan(0.002);
  });

  it("what is not a body that the job knows is named, not drawn", async () => {
    const { notes } = sceneOf(
      await crestPlan({
        vessel: { sphereMm: 80, seamDeg: 90, blocked: [{ name: "valve", aroundDeg: [150, 210] }] },
        placement: { widthMm: 20 },
      }),
    );
    expect(notes.map(({ words }) => words)).toContain("not drawn: the seam, valve");
    expect(notes.map(({ option }) => option)).not.toContain("--vessel-height");
  });

  it("a handle that is told and blocked is named once", async () => {
    const { notes } = sceneOf(
      await crestPlan({
        vessel: { diameterMm: 82, handleDeg: 90, blocked: [{ name: "handle", aroundDeg: [70, 110] }] },
        placement: { widthMm: 20 },
      }),
    );
    expect(notes.map(({ words }) => words)).toContain("not drawn: the handle");
  });
});

describe("several turns", () => {
  const girth = 50 * Math.PI;
  const wrap = page(
    girth,
    20,
    Array.from(
      { length: 9 },
      (_, i) => `<rect x="${((i + 0.1) * girth) / 9}" y="2" width="${(0.8 * girth) / 9}" height="16"/>`,
    ).join(""),
  );
  const job: JobFile = {
    vessel: { diameterMm: 50, heightMm: 100, belowRimMm: 50 },
    source: { id: "fibre-60" },
    settings: { powerPercent: 45, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.025 },
    coating: { id: "powder-black", thicknessUm: 400 },
    turns: 3,
  };
  let plan: Plan;
  beforeAll(async () => {
    plan = await planOf(wrap, job);
  });

  it("what stays is what each turn leaves on its own flat", () => {
    expect(plan.turns).toHaveLength(3);
    const remaining = remainingOf(plan);
    const { process } = plan.forecast!;
    for (const { angle } of plan.turns) {
      for (const x of [-12, 0, 9]) {
        const met = plan.warp.meeting(x, 1);
        if (typeof met === "string") throw new Error("hidden");
        const { cleared } = process.at(met, process.worlds[0]!, effect());
        expect(remaining(25 * angle + x, 1)).toBeCloseTo(Math.min(1, Math.max(0, 1 - cleared)), 2);
      }
    }
    // The joins are farthest from the crown of every turn: less comes off there.
    const [first, second] = plan.turns;
    const join = (25 * (first!.angle + second!.angle)) / 2;
    expect(remaining(join, 0)).toBeGreaterThan(remaining(25 * first!.angle, 0) + 0.02);
  });

  it("where two turns have ink the clearer one counts", () => {
    const [left, right] = plan.turns;
    const shift = (right!.angle - left!.angle) / 2;
    // Two turns with the same ink, one of them half a step to the right of the other's crown line.
    const both: Plan = {
      ...plan,
      turns: [
        { ...left!, angle: 0 },
        { ...left!, index: 2, angle: shift },
      ],
    };
    const one: Plan = { ...plan, turns: [{ ...left!, angle: shift }] };
    const a = 25 * shift;
    expect(remainingOf(both)(a, 0)).toBeCloseTo(remainingOf(one)(a, 0), 9);
    expect(remainingOf(both)(a, 0)).toBeLessThan(
      remainingOf({ ...plan, turns: [{ ...left!, angle: 1e-9 }] })(a, 0),
    );
  });

  it("the back of a wrap shows its ink, wherever the wrap begins", async () => {
    const shifted = await planOf(wrap, {
      ...job,
      vessel: { ...job.vessel, ...black },
      placement: { atMm: [40, 0] },
    });
    const renderer = new Renderer(sceneOf(shifted).scene, 500, flatLight());
    const mask = await maskOf(shifted, 4 * renderer.frame.perMm);
    const bright = (degrees: number): number => {
      const { rgb } = renderer.view((degrees * Math.PI) / 180, mask, nothingRemains);
      return rgb.reduce((n, v) => n + (v > 120 && v < 250 ? 1 : 0), 0);
    };
    // Nine bars, 40° apart: seen from one bar it looks as from any other.
    const [front, back] = [bright(0), bright(160)];
    expect(Math.abs(back / front - 1)).toBeLessThan(0.03);
  });
});
