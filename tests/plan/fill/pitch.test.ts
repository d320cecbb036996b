/** Rows lie where N(t) = ∫₀ᵗ dt/h is k + ½: by closed forms, and by Simpson's rule on an interpolation of its own. */
import { describe, expect, it } from "vitest";
import { constantPitch, type Pitches, pitchAt, rowsOver } from "../../../src/plan/fill/pitch.ts";
import { seeded } from "../../support/pulses.ts";

const pitches = (t: readonly number[], pitchMm: readonly number[], even = false): Pitches => ({
  t: Float64Array.from(t),
  pitchMm: Float64Array.from(pitchMm),
  even,
});

/** h(t) by going through the nodes one after another. */
function written({ t, pitchMm, even }: Pitches, at: number): number {
  const x = even ? Math.abs(at) : at;
  if (x < t[0]!) return pitchMm[0]!;
  for (let i = 1; i < t.length; i++) {
    if (x > t[i]!) continue;
    return (pitchMm[i - 1]! * (t[i]! - x) + pitchMm[i]! * (x - t[i - 1]!)) / (t[i]! - t[i - 1]!);
  }
  return pitchMm[t.length - 1]!;
}

/** ∫₀ᵗ dt/h, Simpson's rule (Abramowitz & Stegun 25.4.6) between the breaks, halved where h changes much. */
function counted(of: Pitches, t: number): number {
  const breaks = [...of.t].flatMap((x) => (of.even ? [x, -x] : [x])).filter((x) => x > Math.min(0, t));
  const places = [0, t, ...breaks.filter((x) => x < Math.max(0, t))].sort((p, q) => p - q);
  let sum = 0;
  for (let i = 1; i < places.length; i++) sum += simpson(of, places[i - 1]!, places[i]!);
  return Math.sign(t) * sum;
}

function simpson(of: Pitches, from: number, to: number): number {
  if (!(to > from)) return 0;
  const [first, last] = [from + 1e-12 * (to - from), to - 1e-12 * (to - from)];
  const ratio = written(of, last) / written(of, first);
  if (ratio > 1.05 || ratio < 1 / 1.05) {
    const middle = (from + to) / 2;
    return simpson(of, from, middle) + simpson(of, middle, to);
  }
  const [f0, f1, f2] = [first, (from + to) / 2, last].map((x) => 1 / written(of, x)) as [
    number,
    number,
    number,
  ];
  return ((to - from) / 6) * (f0 + 4 * f1 + f2);
}

/** Each row at its k + ½, every one that is due between from and to. */
function expectCounted(of: Pitches, from: number, to: number): Float64Array {
  const rows = rowsOver(of, from, to);
  const first = Math.ceil(counted(of, from) - 0.5 - 1e-9);
  const last = Math.floor(counted(of, to) - 0.5 + 1e-9);
  expect(rows.length).toBe(Math.max(0, last - first + 1));
  const step = Math.max(1, Math.floor(rows.length / 60));
  for (let i = 0; i < rows.length; i += step) {
    const wanted = first + i + 0.5;
    // Simpson's own error at that halving is 1e-8 of the count.
    expect(Math.abs(counted(of, rows[i]!) - wanted)).toBeLessThan(1e-7 * (1 + Math.abs(wanted)));
  }
  for (let i = 1; i < rows.length; i++) expect(rows[i]!).toBeGreaterThan(rows[i - 1]!);
  if (rows.length > 0) {
    expect(rows[0]!).toBeGreaterThanOrEqual(from);
    expect(rows.at(-1)!).toBeLessThanOrEqual(to);
  }
  return rows;
}

describe("closed forms", () => {
  it("the same pitch everywhere: (k + ½)h, none on 0", () => {
    expect([...rowsOver(constantPitch(0.5), -1, 1.25)]).toEqual([-0.75, -0.25, 0.25, 0.75, 1.25].slice(0, 4));
    const rows = rowsOver(constantPitch(0.03), -20, 20);
    expect(rows.length).toBe(1334);
    rows.forEach((t, i) => {
      expect(t).toBeCloseTo((i - 667 + 0.5) * 0.03, 11);
    });
  });

  it("h = h₀ + m t: t = h₀ (e^{m(k + ½)} − 1)/m", () => {
    const [h0, m, end] = [0.05, -0.0015, 30];
    const rows = rowsOver(pitches([0, end], [h0, h0 + m * end], true), 0, end);
    // N(30) = ln(0.1)/m: about 1535.
    expect(rows.length).toBe(Math.floor(Math.log(0.005 / 0.05) / m + 0.5));
    rows.forEach((t, k) => {
      expect(t).toBeCloseTo((h0 * (Math.exp(m * (k + 0.5)) - 1)) / m, 10);
    });
  });

  it.each([1e-7, 1e-9, 1e-11, 1e-13])("all but the same pitch: a change by %d loses no digits", (part) => {
    // To first order N = (t/h₀)(1 − part/2 · t/end); the next term is part² of it.
    const [h0, end] = [0.01, 100];
    const rows = rowsOver(pitches([0, end, 2 * end], [h0, h0 * (1 + part), h0 * (1 + part)]), 0, 2 * end);
    const counts = (t: number): number =>
      t <= end
        ? (t / h0) * (1 - (part / 2) * (t / end))
        : (end / h0) * (1 - part / 2) + ((t - end) / h0) * (1 - part);
    for (let k = 0; k < rows.length; k += 97) expect(Math.abs(counts(rows[k]!) - k - 0.5)).toBeLessThan(1e-8);
  });
});

describe("by quadrature", () => {
  it("random pitches, one-sided and even, over ranges with and without 0", () => {
    const random = seeded(11);
    let seen = 0;
    for (let run = 0; run < 60; run++) {
      const even = run % 2 === 0;
      const nodes = 1 + Math.floor(12 * random());
      let t = even ? 2 * random() : 20 * random() - 20;
      const at = Array.from({ length: nodes }, () => {
        t += 0.01 + 4 * random();
        return t;
      });
      const of = pitches(
        at,
        at.map(() => 0.02 * 10 ** (1.5 * random())),
        even,
      );
      const from = 50 * random() - 30;
      seen += expectCounted(of, from, from + 20 * random()).length;
    }
    expect(seen).toBeGreaterThan(2000);
  });

  it("ranges that do not hold 0, and empty ones", () => {
    const of = pitches([-3, 4, 11], [0.1, 0.4, 0.2]);
    for (const [from, to] of [
      [5, 9],
      [-9, -5],
      [1000, 1002],
      [-0.01, 0.01],
      [3, 3],
    ] as const) {
      expectCounted(of, from, to);
    }
    expect(rowsOver(of, 3, 3).length).toBe(0);
    // The same lines as of the whole: a range only cuts.
    const whole = rowsOver(of, -20, 20);
    expect([...rowsOver(of, 5, 9)]).toEqual([...whole].filter((t) => t >= 5 && t <= 9));
    expect([...rowsOver(of, -9, -5)]).toEqual([...whole].filter((t) => t >= -9 && t <= -5));
  });

  it("huge ranges", () => {
    const rows = expectCounted(pitches([0, 900], [0.004, 0.012], true), -1000, 1000);
    expect(rows.length).toBeGreaterThan(200_000);
  });

  it("steep breaks: a hundredfold within a thousandth of a millimetre, and within a pitch", () => {
    expectCounted(pitches([0, 1, 1.001, 2, 2.001], [0.01, 0.01, 1, 1, 0.01]), -3, 6);
    expectCounted(pitches([0.1, 0.2, 0.3, 0.35, 0.4], [3, 0.02, 5, 0.01, 2], true), -30, 30);
  });
});

describe("mirrored", () => {
  it("rows of even pitches mirror to the last bit", () => {
    const of = pitches([0.3, 2, 7.7, 13, 20], [0.04, 0.037, 0.02, 0.011, 0.03], true);
    const rows = rowsOver(of, -25, 25);
    expect([...rows].reverse().map((t) => -t)).toEqual([...rows]);
    const [left, right] = [rowsOver(of, -19, -3.3), rowsOver(of, 3.3, 19)];
    expect([...left].reverse().map((t) => -t)).toEqual([...right]);
    const lopsided = rowsOver(of, -8, 23);
    expect(
      [...lopsided]
        .filter((t) => t < 0)
        .reverse()
        .map((t) => -t),
    ).toEqual([...lopsided].filter((t) => t > 0 && t <= 8));
  });

  it("pitches turned round give the rows turned round", () => {
    const [t, h] = [
      [-8, -1, 3, 9],
      [0.1, 0.3, 0.05, 0.2],
    ];
    const rows = rowsOver(pitches(t!, h!), -12, 15);
    const turned = rowsOver(
      pitches(
        [...t!].reverse().map((x) => -x),
        [...h!].reverse(),
      ),
      -15,
      12,
    );
    expect(turned.length).toBe(rows.length);
    [...turned].reverse().forEach((x, i) => {
      expect(-x).toBeCloseTo(rows[i]!, 11);
    });
  });

  it("h at a place: nodes exactly, straight between, the same beyond", () => {
    const of = pitches([1, 2, 4], [0.1, 0.3, 0.2], true);
    expect([0, 1, -1, 2, 3, -3, 4, 99].map((t) => pitchAt(of, t))).toEqual([
      0.1, 0.1, 0.1, 0.3, 0.25, 0.25, 0.2, 0.2,
    ]);
  });
});
