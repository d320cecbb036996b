/**
 * The fill against pulses laid one by one along its lines, by vectors on a cylinder; conservation of energy; and the
 * sphere's scales h′ and k′ (Snyder, PP 1395, 1987, eq. 23-2, 23-3).
 */
import { describe, expect, it } from "vitest";
import type { Path } from "../../src/geometry/path.ts";
import type { JobFile } from "../../src/job/job.ts";
import { bare, coated, type Filled, filled, weak } from "../plan/fill/fill-helpers.ts";
import { relative } from "../plan/process-helpers.ts";
import { rectangle } from "../support/shapes.ts";

const DEG = Math.PI / 180;
const R = 40;
const FOCUS = 5;
const panel = (width: number, height: number): Path<"flat"> => ({
  contours: [rectangle(-width / 2, -height / 2, width, height)],
});

/** Along its whole length at the speed: pulses v/f apart in the command plane, each line's first half a step in. */
function eachPulse(
  { fill, warp }: Filled,
  near: (a: number, b: number) => boolean,
  visit: (u: number, v: number) => void,
) {
  const step = weak.speedMmS / (1000 * weak.frequencyKHz);
  for (const { laid } of fill.turns[0]!.sets) {
    const { ends } = laid;
    for (let i = 0; i < ends.length; i += 4) {
      const [a0, b0, a1, b1] = [0, 1, 2, 3].map((k) => ends[i + k]!) as [number, number, number, number];
      // Chords of a twentieth of a millimetre: their sag in the command plane is below a nanometre.
      const pieces = Math.ceil(Math.hypot(a1 - a0, b1 - b0) / 0.05);
      let due = step / 2;
      let last: { x: number; y: number } | null = null;
      for (let k = 0; k <= pieces; k++) {
        const [a, b] = [a0 + ((a1 - a0) * k) / pieces, b0 + ((b1 - b0) * k) / pieces];
        if (!near(a, b)) {
          last = null;
          due = step / 2;
          continue;
        }
        const p = warp.forward({ x: a, y: b });
        if (typeof p === "string") throw new Error(p);
        if (last) {
          const way = Math.hypot(p.x - last.x, p.y - last.y);
          for (; due <= way; due += step)
            visit(last.x + ((p.x - last.x) * due) / way, last.y + ((p.y - last.y) * due) / way);
          due -= way;
        }
        last = p;
      }
    }
  }
}

/**
 * Mean over a patch of the cylinder around (a, b) of what each pulse leaves of its fluence there: the beam runs through
 * (u, v) in the focal plane along (u/p_x, v/p_y, −1), and at r from its axis and z along it the fluence is
 * 2E cos i/(πw²) exp(−2r²/w²), w² = w₀²(1 + (z/z_R)²) (ISO 11146).
 */
function patch(of: Filled, a: number, b: number, leaves: (fluence: number) => number): number {
  const { pivotMm } = of.job.lens;
  const [px, py] = pivotMm as [number, number];
  const { source, lens } = of.job;
  const lambda = source.wavelengthNm * 1e-6;
  const w0 = (2 * source.m2.value * lambda * lens.focalLengthMm) / (Math.PI * source.beamDiameterMm.value);
  const zR = (Math.PI * w0 * w0) / (source.m2.value * lambda);
  const millijoules = weak.powerW / weak.frequencyKHz;
  const [half, n] = [0.32, 24];
  const cells: { p: [number, number, number]; normal: [number, number]; depth: number }[] = [];
  for (let i = 0; i < n; i++) {
    const theta = (a + ((2 * i + 1) / n - 1) * half) / R;
    for (let j = 0; j < n; j++) {
      const y = b + ((2 * j + 1) / n - 1) * half;
      // Height over the focal plane.
      cells.push({
        p: [R * Math.sin(theta), y, of.warp.head.belowCrown - R * (1 - Math.cos(theta))],
        normal: [Math.sin(theta), Math.cos(theta)],
        depth: 0,
      });
    }
  }
  const near = (x: number, y: number): boolean =>
    Math.abs(x - a) < half + 0.3 && Math.abs(y - b) < half + 0.3;
  eachPulse(of, near, (u, v) => {
    const [tx, ty, tz] = [u / px, v / py, -1];
    const length = Math.hypot(tx, ty, tz);
    for (const cell of cells) {
      const [x, y, z] = [cell.p[0] - u, cell.p[1] - v, cell.p[2]];
      const along = (x * tx + y * ty + z * tz) / length;
      const r2 = x * x + y * y + z * z - along * along;
      if (r2 > 0.05) continue;
      const w2 = w0 * w0 * (1 + (along / zR) ** 2);
      const cos = -(tx * cell.normal[0] + tz * cell.normal[1]) / length;
      // mJ/mm² are tenths of J/cm².
      cell.depth += leaves(((0.2 * millijoules * cos) / (Math.PI * w2)) * Math.exp((-2 * r2) / w2));
    }
  });
  return cells.reduce((sum, cell) => sum + cell.depth, 0) / cells.length;
}

describe("pulse by pulse", () => {
  const PLACES: readonly [number, number][] = [
    [0, 0],
    [-9, 2],
    [17, -1.5],
    [-25, 1],
    [31, 0],
  ];
  const spreadOf = (of: Filled, leaves: (fluence: number) => number): number => {
    const depths = PLACES.map(([a, b]) => patch(of, a, b, leaves));
    return Math.max(...depths) / Math.min(...depths) - 1;
  };

  it.each([
    ["a coating's depth, δ ln(F/F_c) of each pulse (logarithmic law; J. M. Liu 1982)", coated],
    ["along the axis alone", { ...coated, settings: { ...weak, anglesDeg: [90] } }],
    ["three sets", { ...coated, settings: { ...weak, anglesDeg: [90, 30, 0] } }],
  ] as [string, JobFile][])("%s: the same within 2 % by even fill, not by plain", (_, options) => {
    const of = (lines: "even" | "plain"): Filled =>
      filled({ ...options, fill: { lines } }, [panel(65, 6)], FOCUS);
    const { coating } = of("plain").job;
    const threshold = coating!.thresholdJPerCm2.value;
    const leaves = (fluence: number): number => (fluence > threshold ? Math.log(fluence / threshold) : 0);
    expect(spreadOf(of("even"), leaves)).toBeLessThan(0.02);
    expect(spreadOf(of("plain"), leaves)).toBeGreaterThan(0.15);
  });
});

describe("energy is conserved: dose times area is power times time", () => {
  it("in focus on the crown, summed pulse by pulse, by the lines' own length, and by the fill's seconds", () => {
    const [w, h] = [4, 3.2];
    const made = filled({ ...bare, fill: { lines: "plain" } }, [panel(w, h)], 0);
    let pulses = 0;
    eachPulse(
      made,
      () => true,
      () => pulses++,
    );
    const joules = (weak.powerW / (1000 * weak.frequencyKHz)) * pulses;
    const lengthMm = made.fill.sets.reduce((sum, set) => sum + set.commandLengthMm, 0);
    const seconds = lengthMm / weak.speedMmS;
    // A pulse more or fewer at each line's end.
    expect(relative(joules, weak.powerW * seconds)).toBeLessThan(1e-3);
    expect(made.fill.seconds!).toBeGreaterThan(seconds);
    // J/mm² over the ink are hundreds of J/cm²; no cell is near enough to its edge to want of it.
    expect(
      relative(
        patch(made, 0.2, -0.1, (fluence) => fluence),
        (100 * joules) / (w * h),
      ),
    ).toBeLessThan(0.005);
  });
});

describe("on a sphere", () => {
  const H = 420;
  const radius = 45;
  const P = 1 + H / radius;
  const sphere: JobFile = {
    ...bare,
    vessel: { sphereMm: 2 * radius },
    lens: { id: "field-300", pivotMm: H },
  };

  it.each([5, 15, 25, 35])("pulses per mm² at %d° around: h′ along parallels, k′ along meridians", (deg) => {
    const c = deg * DEG;
    const h = ((P - 1) * (P * Math.cos(c) - 1)) / (P - Math.cos(c)) ** 2;
    const k = (P - 1) / (P - Math.cos(c));
    // A small piece on the widest circle, marked by each set alone, focus on the crown.
    const ink = { contours: [rectangle(radius * c - 1, -1, 2, 2)] };
    // On the sphere a degree of a parallel is cos φ of one on the widest circle (girth kept there): ∫ cos φ over ±1 mm.
    const area = 2 * 2 * radius * Math.sin(1 / radius);
    const per = ([90, 0] as const).map((angle) => {
      const made = filled(
        { ...sphere, settings: { ...weak, pitchMm: 0.004, anglesDeg: [angle] }, fill: { lines: "plain" } },
        [ink],
        0,
      );
      let pulses = 0;
      eachPulse(
        made,
        () => true,
        () => pulses++,
      );
      return (pulses / area) * ((weak.speedMmS * 0.004) / (1000 * weak.frequencyKHz));
    });
    // Two millimetres are 500 lines of 400 pulses: one more or fewer of both, and the bend of h′, are less than this.
    expect(relative(per[0]!, k)).toBeLessThan(3e-3);
    expect(relative(per[1]!, h)).toBeLessThan(3e-3);
    expect(relative(per[0]! * per[1]!, h * k)).toBeLessThan(5e-3);
  });
});
