/** Fill on tapers, spheres, measured profiles, tilted ones, by each fidelity, and in turns. */
import { describe, expect, it } from "vitest";
import type { Path } from "../../../src/geometry/path.ts";
import { maximise } from "../../../src/geometry/roots.ts";
import type { JobFile } from "../../../src/job/job.ts";
import type { LaidSet } from "../../../src/plan/fill/types.ts";
import type { Warp } from "../../../src/warp/warp.ts";
import { circle, rectangle } from "../../support/shapes.ts";
import { atPoint } from "../../support/surfaces.ts";
import { alone, drawing, relative } from "../process-helpers.ts";
import { bare, coated, filled, weak } from "./fill-helpers.ts";

type Fidelity = NonNullable<NonNullable<JobFile["placement"]>["fidelity"]>;
const profile = (
  [
    [0, 62],
    [20, 70],
    [45, 78],
    [70, 80],
    [95, 74],
    [120, 66],
  ] as const
).map(([heightMm, diameterMm]) => ({ heightMm, diameterMm }));
const vessels: readonly [string, JobFile["vessel"], readonly Fidelity[]][] = [
  ["wider at the rim", { taperMm: [88, 66, 140] }, ["girth", "true-width", "sheet", "sight"]],
  ["wider at the base", { taperMm: [60, 84, 120] }, ["girth", "true-width", "sheet", "sight"]],
  ["a sphere", { sphereMm: 90 }, ["girth", "true-width", "sight"]],
  ["measured", { profile }, ["girth", "true-width", "sight"]],
];
const poses = ["levelled", "axis", "lying", 7] as const;

/** Radii of the ring and its middle. */
const [OUT, IN, MIDDLE] = [21, 6, [2, 1] as const];
const ring = (): Path<"flat"> => {
  const hole = circle(...MIDDLE, IN, 8);
  // The other way around: y mirrored about the middle.
  const points = hole.points.map((v, i) => (i % 2 === 0 ? v : 2 * MIDDLE[1] - v));
  return { contours: [circle(...MIDDLE, OUT, 8), { ...hole, points }] };
};
const inks: readonly [string, Path<"flat">][] = [
  ["a ring", ring()],
  ["a wide panel", { contours: [rectangle(-27, -7, 54, 14)] }],
  ["a tall panel", { contours: [rectangle(-6, -27, 12, 54)] }],
];

const cases = vessels.flatMap(([name, vessel, fidelities], v) =>
  fidelities.flatMap((fidelity, f) =>
    poses.map((pose, p) => {
      const [inked, ink] = inks[(v + f + p) % inks.length]!;
      const [stuff, base] = (v + f + p) % 4 === 0 ? ["bare", bare] : ["coated", coated];
      const options: JobFile = {
        ...(base as JobFile),
        vessel,
        pose,
        placement: { fidelity },
        settings: { ...weak, pitchMm: 0.06 },
      };
      return [`${name}, ${fidelity}, ${pose}: ${inked}, ${stuff}`, options, ink] as const;
    }),
  ),
);

/** Standard deviation over the mean, of the cells that count. */
function deviation(map: Float32Array, counts: Uint8Array): number {
  const depths = map.filter((_, i) => counts[i] === 1);
  const mean = depths.reduce((sum, v) => sum + v, 0) / depths.length;
  return Math.sqrt(depths.reduce((sum, v) => sum + (v - mean) ** 2, 0) / depths.length) / mean;
}

describe("even fill is never less even than plain fill", () => {
  it.each(cases)("%s", (_, options, ink) => {
    const { spread, proof } = filled(options, [ink], 4).fill;
    const { maps, counts } = proof[0]!;
    // Least squares hold the standard deviation; where the falloff runs along the axis, so that there is nothing to win, the
    // 5th and 95th percentile may part by a hundredth or two as the whole draws together.
    const [plain, even] = [deviation(maps.plain!, counts), deviation(maps.even!, counts)];
    expect(plain).toBeGreaterThan(0);
    expect(even).toBeLessThanOrEqual(1.002 * plain);
    expect(spread.even!.spread).toBeLessThanOrEqual(1.03 * spread.plain!.spread);
  });

  it.each([
    ["sheet", "wider at the rim", 0.2],
    ["true-width", "wider at the rim", 0.2],
    ["girth", "a sphere", 0.45],
    ["true-width", "measured", 0.35],
  ] as const)("levelled, by %s, %s: a wide panel's falls to %d of it", (fidelity, name, most) => {
    const vessel = vessels.find(([known]) => known === name)![1];
    const made = filled({ ...coated, vessel, placement: { fidelity } }, [inks[1]![1]], 4);
    const { plain, even } = made.fill.spread;
    expect(even!.spread).toBeLessThan(most * plain!.spread);
  });

  it("in turns around a taper, each on its own flat", async () => {
    const plan = await alone(drawing(`<path d="M0 0H150V12H0z"/>`), {
      ...coated,
      vessel: { taperMm: [88, 66, 140] },
      placement: { fidelity: "sheet" },
      turns: 3,
      fill: { lines: "even" },
    });
    const { spread, turns, proof } = plan.fill!;
    expect(turns.length).toBe(3);
    expect(proof.every((one) => one !== null)).toBe(true);
    expect(spread.even!.spread).toBeLessThan(0.4 * spread.plain!.spread);
    // No line of a turn lies beyond its own pieces: as long as they are large.
    turns.forEach(({ sets }, i) => {
      const usable = plan.turns[i]!.pieces.get("usable") ?? [];
      const area = usable.reduce((sum, shape) => sum + shape.areaMm2, 0);
      const around = sets.find((set) => set.angleDeg === 0)!;
      expect(relative(lengthOf(around) * weak.pitchMm, area)).toBeLessThan(0.01);
    });
  });
});

const endsOf = ({ laid }: LaidSet): number[][] =>
  Array.from({ length: laid.ends.length / 4 }, (_, i) => [...laid.ends.subarray(4 * i, 4 * i + 4)]);
const lengthOf = (set: LaidSet): number =>
  endsOf(set).reduce((sum, [a0, b0, a1, b1]) => sum + Math.hypot(a1! - a0!, b1! - b0!), 0);

it.each(vessels)("%s: no line lies outside a ring, or in its hole", (_, vessel, fidelities) => {
  for (const fidelity of fidelities) {
    const options: JobFile = {
      ...coated,
      vessel,
      placement: { fidelity },
      pose: 5,
      settings: { ...weak, pitchMm: 0.1, anglesDeg: [90, 0, 37] },
    };
    const { fill } = filled(options, [ring()], 4);
    let looked = 0;
    for (const set of fill.turns[0]!.sets) {
      for (const [a0, b0, a1, b1] of endsOf(set)) {
        for (const share of [0, 0.2, 0.5, 0.8, 1]) {
          const r = Math.hypot(a0! + share * (a1! - a0!) - MIDDLE[0], b0! + share * (b1! - b0!) - MIDDLE[1]);
          // Eight cubics are a circle to 4e-6 of it (Goldapp, CAGD 8, 227, 1991, order six in the arc).
          expect(r).toBeLessThan(OUT * (1 + 1e-5));
          expect(r).toBeGreaterThan(IN * (1 - 1e-5));
          looked++;
        }
      }
    }
    expect(looked).toBeGreaterThan(3000);
  }
});

/** Smallest and largest distance in space from points of lines to the next line, searched along it. */
function apart(set: LaidSet, warp: Warp): [number, number] {
  const lines = endsOf(set)
    .map(([a0, b0, a1, b1]) =>
      // Each the same way.
      a0! < a1! || (a0 === a1 && b0! < b1!) ? [a0!, b0!, a1!, b1!] : [a1!, b1!, a0!, b0!],
    )
    .sort((p, q) => p[0]! - q[0]! || p[1]! - q[1]!);
  const at = (line: readonly number[], share: number): Float64Array =>
    atPoint(
      warp.surface,
      line[0]! + share * (line[2]! - line[0]!),
      line[1]! + share * (line[3]! - line[1]!),
    ).slice(0, 3);
  let [least, most] = [Infinity, 0];
  for (let i = 1; i < lines.length; i++) {
    for (const share of [0.02, 0.35, 0.65, 0.98]) {
      const p = at(lines[i - 1]!, share);
      const way = (other: number): number => {
        const q = at(lines[i]!, other);
        return Math.hypot(p[0]! - q[0]!, p[1]! - q[1]!, p[2]! - q[2]!);
      };
      const d = way(maximise((other) => -way(other), share - 0.02, share + 0.02));
      least = Math.min(least, d);
      most = Math.max(most, d);
    }
  }
  return [least, most];
}

describe("on a level cone the pitch on the vessel, measured in space, is what the report says", () => {
  const cone: JobFile = { ...coated, vessel: { taperMm: [66, 90, 130] } };
  const ink = { contours: [rectangle(-22, -18, 44, 36)] };

  it.each(["sheet", "girth", "true-width"] as const)("%s", (fidelity) => {
    for (const lines of ["plain", "even"] as const) {
      const options: JobFile = {
        ...cone,
        placement: { fidelity },
        settings: { ...weak, pitchMm: 0.2, anglesDeg: [90, 0] },
        fill: { lines },
      };
      const { fill, warp } = filled(options, [ink], 4);
      for (const set of fill.turns[0]!.sets) {
        const [least, most] = apart(set, warp);
        // The report looks at cells, a 48th of the ink's height and a 96th of half its width: at the edge the evened pitch
        // falls by so much within a line or two.
        const near = lines === "plain" ? 0.003 : 0.02;
        expect(relative(least, set.pitchMinMm)).toBeLessThan(near);
        expect(relative(most, set.pitchMaxMm)).toBeLessThan(near);
        // The development of a cone keeps all distances (do Carmo, §4-2).
        if (fidelity === "sheet" && (lines === "plain" || set.angleDeg === 0)) {
          expect(least).toBeCloseTo(0.2, 5);
          expect(most).toBeCloseTo(0.2, 5);
        }
      }
    }
  });

  it("by girth lines along lie as the cone widens: pitch times r(m)/r_h", () => {
    const options: JobFile = {
      ...cone,
      placement: { fidelity: "girth" },
      settings: { ...weak, pitchMm: 0.2, anglesDeg: [90] },
      fill: { lines: "plain" },
    };
    const { fill, warp } = filled(options, [ink], 4);
    const [least, most] = apart(fill.turns[0]!.sets[0]!, warp);
    // Radius from 33 to 45 mm over 130 mm of height, the arc 130.55 mm; the ink from −18 to 18 mm about the middle.
    const r = (m: number): number => 39 + (12 * m) / Math.hypot(130, 12);
    // 2 % from the ends of each line.
    expect(relative(most / least, r(17.28) / r(-17.28))).toBeLessThan(1e-3);
  });
});
