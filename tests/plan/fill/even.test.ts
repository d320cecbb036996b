/** The main job of the fill: evenness, lengths, where lines lie, pitch on the vessel, mirrored twins. */
import { describe, expect, it } from "vitest";
import { walkContour } from "../../../src/geometry/cubic.ts";
import type { Path } from "../../../src/geometry/path.ts";
import type { JobFile } from "../../../src/job/job.ts";
import { fillSvg } from "../../../src/picture/fillsvg.ts";
import type { LaidSet } from "../../../src/plan/fill/types.ts";
import type { Plan } from "../../../src/plan/types.ts";
import { crest, drawing, planned, rectangle, usual } from "../process-helpers.ts";

/** Around an 80 mm vessel under a long lens (field-300, the default). */
const cup: JobFile = { vessel: { diameterMm: 80 }, source: { id: "fibre-60" } };
const job = (more: JobFile): JobFile => ({ ...cup, ...more });
const weak = { powerW: 20, speedMmS: 1000, frequencyKHz: 200, pitchMm: 0.04 };
const strong = { powerW: 30, speedMmS: 1000, frequencyKHz: 60, pitchMm: 0.04 };

const spreads = ({ fill }: Plan): { plain: number; even: number; bands: number } => ({
  plain: fill!.spread.plain!.spread,
  even: fill!.spread.even!.spread,
  bands: fill!.spread.bands!.spread,
});
const sets = (plan: Plan): readonly LaidSet[] => plan.fill!.turns[0]!.sets;
const along = (plan: Plan): LaidSet => sets(plan).find((s) => Math.abs(s.angleDeg % 180) === 90)!;

describe("how even, simulated", () => {
  const cases: [string, string, JobFile][] = [
    ["a panel, weak pulses", rectangle(65, 40), job({ settings: weak, coating: { id: "powder-black" } })],
    ["a panel, strong pulses", rectangle(65, 40), job({ settings: strong, coating: { id: "powder-any" } })],
    ["a tall panel", rectangle(65, 90), job({ settings: weak, coating: { id: "powder-black" } })],
    [
      "grain along: finishing last",
      rectangle(65, 30),
      job({ settings: weak, coating: { id: "powder-black" }, metal: { grain: "along" } }),
    ],
    [
      "along the axis alone",
      rectangle(65, 30),
      job({ settings: { ...weak, anglesDeg: [90] }, coating: { id: "powder-black" } }),
    ],
    [
      "three sets",
      rectangle(65, 30),
      job({ settings: { ...weak, anglesDeg: [90, 30, 0] }, coating: { id: "powder-black" } }),
    ],
    ["the usual settings", rectangle(65, 40), job({ settings: usual, coating: { id: "powder-black" } })],
    ["no coating: areal falloff", rectangle(65, 40), job({ settings: weak })],
    ["no settings", rectangle(65, 40), job({ fill: { pitchMm: 0.04 } })],
    [
      "off the crown line",
      rectangle(30, 30),
      job({ settings: weak, coating: { id: "powder-black" }, placement: { atMm: [16, 5] } }),
    ],
    ["the bed's x", rectangle(65, 20), job({ settings: weak, coating: { id: "powder-black" }, axis: "x" })],
  ];
  it.each(cases)("%s: at most a fifth of plain fill's", async (_, svg, options) => {
    const plan = await planned(svg, { ...options, fill: { ...options.fill, lines: "even" } });
    const { plain, even } = spreads(plan);
    expect(plain).toBeGreaterThan(0.03);
    expect(even).toBeLessThanOrEqual(plain / 5);
    expect(plan.fill!.uneven).toEqual([]);
  });

  it("on a crest of 65 mm too, whose parts are small", async () => {
    const plan = await planned(
      crest(),
      job({
        placement: { widthMm: 65 },
        settings: weak,
        coating: { id: "powder-black" },
        fill: { lines: "even" },
      }),
    );
    const { plain, even } = spreads(plan);
    expect(even).toBeLessThanOrEqual(plain / 5);
  });

  it("bands lie between plain fill at the station and even fill, and more of them are evener", async () => {
    const spread = async (bands: number, bandsBy: "speed" | "power"): Promise<number> =>
      spreads(
        await planned(
          rectangle(65, 30),
          job({ settings: weak, coating: { id: "powder-black" }, fill: { bands, bandsBy } }),
        ),
      ).bands;
    const [two, five, twelve] = [
      await spread(2, "speed"),
      await spread(5, "speed"),
      await spread(12, "speed"),
    ];
    expect(five).toBeLessThan(0.7 * two);
    expect(twelve).toBeLessThan(0.6 * five);
    expect(await spread(5, "power")).toBeLessThan(1.3 * five);
  });

  it("says where it cannot be evened, and leaves the lines there as asked", async () => {
    // A threshold that only the middle of the falloff reaches.
    const plan = await planned(
      rectangle(65, 20),
      job({
        settings: { ...weak, powerW: 20 },
        coating: { id: "powder-black", thresholdJPerCm2: 1.1 },
        fill: { lines: "even" },
      }),
    );
    const below = plan.fill!.uneven.filter((u) => u.reason === "below-threshold");
    expect(below.length).toBeGreaterThan(0);
    expect(below.at(-1)!.toMm).toBeCloseTo(32.5, 3);
    expect(plan.reasons.map((r) => r.code)).toContain("fill-below-threshold");
    const { ends } = along(plan).laid;
    const outer = [...new Set([...ends].filter((_, i) => i % 4 === 0))]
      .filter((a) => a > below.at(-1)!.fromMm + 0.5)
      .sort((p, q) => p - q);
    for (let i = 1; i < outer.length; i++) expect(outer[i]! - outer[i - 1]!).toBeCloseTo(0.04, 9);
  });

  it("says so where the coating is never cleared", async () => {
    const plan = await planned(
      rectangle(40, 20),
      job({
        settings: { ...weak, powerW: 1 },
        coating: { id: "powder-black", thresholdJPerCm2: 5 },
        fill: { lines: "even" },
      }),
    );
    expect(plan.fill!.neverClears).toBe(true);
    expect(plan.reasons.map((r) => r.code)).toContain("coating-never-cleared");
    expect(plan.fill!.spread.even).toBe(null);
  });

  it("stays within the pitch's limits, and says where they bind", async () => {
    const plan = await planned(
      rectangle(65, 20),
      job({
        settings: weak,
        coating: { id: "powder-black" },
        fill: { lines: "even", pitchLimitsMm: [0.02, 0.05] },
      }),
    );
    const { pitchMinMm, pitchMaxMm } = along(plan);
    expect(pitchMinMm).toBeCloseTo(0.02, 9);
    expect(pitchMaxMm).toBeCloseTo(0.05, 4);
    expect(plan.fill!.uneven.every((u) => u.reason === "smallest-pitch")).toBe(true);
    expect(plan.reasons.map((r) => r.code)).toContain("fill-smallest-pitch");
  });
});

describe("the depth written out by hand", () => {
  /**
   * Nothing of the source is used but the lines as laid: model §3 to §6 on a cylinder, with V = (π/4)(w²/cos i) δ ln²(F/F_c)
   * (logarithmic law, Neuenschwander 2010, from memory).
   */
  it("is the same wherever it is asked", async () => {
    const plan = await planned(
      rectangle(65, 20),
      job({ settings: weak, coating: { id: "powder-black" }, fill: { lines: "even" } }),
    );
    const { lens, source, coating } = plan.job;
    const [px, py] = lens.pivotMm as [number, number];
    const R = 40;
    const lambda = source.wavelengthNm * 1e-6;
    const w0 = (2 * source.m2.value * lambda * lens.focalLengthMm) / (Math.PI * source.beamDiameterMm.value);
    const zR = (Math.PI * w0 * w0) / (source.m2.value * lambda);
    const delta = plan.focus.belowCrownMm;
    const columns = [...new Set([...along(plan).laid.ends].filter((_, i) => i % 4 === 0))].sort(
      (p, q) => p - q,
    );
    const u = (a: number): number => (R * Math.sin(a / R)) / (1 + (R * (1 - Math.cos(a / R)) - delta) / px);
    const depth = (a: number): number => {
      const d = R * (1 - Math.cos(a / R)) - delta;
      const lean = (R * Math.sin(a / R)) / (px + d);
      const cos = (Math.cos(a / R) - lean * Math.sin(a / R)) / Math.hypot(lean, 1);
      const w = w0 * Math.sqrt(1 + ((d * Math.hypot(lean, 1)) / zR) ** 2);
      const joules = weak.powerW / (1000 * weak.frequencyKHz);
      const F = (2 * joules * cos) / (Math.PI * (w / 10) ** 2);
      const log = Math.log(F / coating!.thresholdJPerCm2.value);
      const V = (Math.PI / 4) * ((w * w) / cos) * (coating!.depthUm.value / 1000) * log * log;
      const near = columns.filter((x) => Math.abs(x - a) < 0.4);
      const h = (near.at(-1)! - near[0]!) / (near.length - 1);
      const perMm = (1000 * weak.frequencyKHz) / weak.speedMmS;
      const around = (u(a + 1e-4) - u(a - 1e-4)) / 2e-4;
      return perMm * V * (1 / (1 + d / py) / h + around / weak.pitchMm);
    };
    const middle = depth(0);
    for (let a = -31.5; a <= 31.5; a += 1.5) expect(Math.abs(depth(a) / middle - 1)).toBeLessThan(0.012);
  });
});

describe("how much, and where", () => {
  const disc = (r: number): string => drawing(`<circle cx="50" cy="50" r="${r}"/>`);
  const ring = drawing(
    `<path fill-rule="evenodd" d="M50 20a30 30 0 1 0 .001 0zM50 35a15 15 0 1 0 .001 0z"/>`,
  );
  const shapes: [string, string, number][] = [
    ["a square of 20", rectangle(20, 20), 400],
    ["a disc of radius 25", disc(25), Math.PI * 625],
    ["a ring of radii 30 and 15", ring, Math.PI * 675],
    ["a triangle", drawing(`<path d="M0 0H40L0 30z"/>`), 600],
  ];
  it.each(shapes)("%s: total length is area over pitch within half a percent", async (_, svg, areaMm2) => {
    for (const anglesDeg of [[90], [0], [45], [17, 107]]) {
      const plan = await planned(svg, job({ fill: { lines: "plain", pitchMm: 0.05, anglesDeg } }));
      for (const set of sets(plan)) {
        expect(Math.abs(set.markLengthMm / (areaMm2 / 0.05) - 1)).toBeLessThan(0.005);
      }
    }
  });

  it("no end and no middle of a line lies outside the ink, by a winding number of its own", async () => {
    const plan = await planned(
      crest(),
      job({
        placement: { widthMm: 60 },
        fill: { lines: "even", pitchMm: 0.25, anglesDeg: [90, 33, 0], pitchLimitsMm: [0.05, 0.25] },
      }),
    );
    const TOLERANCE = plan.job.toleranceMm;
    const polygons = (plan.pieces.get("usable") ?? [])
      .filter((s) => s.paint === "fill")
      .flatMap((s) => polygonsOf(s.path));
    let looked = 0;
    for (const { laid } of sets(plan)) {
      for (let i = 0; i < laid.ends.length; i += 4) {
        const [a0, b0, a1, b1] = [0, 1, 2, 3].map((k) => laid.ends[i + k]!) as [
          number,
          number,
          number,
          number,
        ];
        const length = Math.hypot(a1 - a0, b1 - b0);
        // Drawn in by the tolerance, where there is room: ends lie on the outline itself.
        const inset = Math.min(TOLERANCE, length / 4) / (length || 1);
        for (const k of [inset, 0.5, 1 - inset]) {
          const [x, y] = [a0 + k * (a1 - a0), b0 + k * (b1 - b0)];
          looked++;
          if (winding(polygons, x, y) === 0) expect(distance(polygons, x, y)).toBeLessThanOrEqual(TOLERANCE);
        }
      }
    }
    expect(looked).toBeGreaterThan(3000);
  });

  it("as written: every end and middle in the file lies in the ink, mapped back to the flat", async () => {
    const plan = await planned(
      crest(),
      job({
        placement: { widthMm: 60 },
        fill: { lines: "even", pitchMm: 0.4, anglesDeg: [90, 0], pitchLimitsMm: [0.1, 0.4] },
      }),
    );
    const polygons = (plan.pieces.get("usable") ?? []).flatMap((s) => polygonsOf(s.path));
    // The tolerance is on the vessel, and the file has 0.0001 mm.
    const room = plan.job.toleranceMm + 0.0001;
    let looked = 0;
    const look = (x: number, y: number): void => {
      const back = plan.warp.inverse({ x, y });
      if (typeof back === "string") throw new Error(back);
      looked++;
      if (winding(polygons, back.x, back.y) === 0)
        expect(distance(polygons, back.x, back.y)).toBeLessThanOrEqual(room);
    };
    const text = [...fillSvg(plan, plan.fill!.turns[0]!, null)].join("");
    for (const [, data] of text.matchAll(/ d="([^"]+)"/g)) {
      let at = [0, 0];
      for (const [, letter, numbers] of data!.matchAll(/([MLC])([^MLC]+)/g)) {
        const n = numbers!.trim().split(/[ ,]+/).map(Number);
        const p = [...at, ...n];
        at = n.slice(-2);
        look(at[0]!, at[1]!);
        if (letter === "L") look((p[0]! + p[2]!) / 2, (p[1]! + p[3]!) / 2);
        if (letter === "C") {
          const middle = (k: number): number => (p[k]! + 3 * p[k + 2]! + 3 * p[k + 4]! + p[k + 6]!) / 8;
          look(middle(0), middle(1));
        }
      }
    }
    expect(looked).toBeGreaterThan(5000);
  });

  it("the pitch on the vessel, measured back through the inverse map", async () => {
    const plan = await planned(rectangle(60, 40), job({ fill: { lines: "plain", pitchMm: 0.5 } }));
    const { warp } = plan;
    for (const { laid, angleDeg } of sets(plan)) {
      const middles: number[] = [];
      for (let i = 0; i < laid.ends.length; i += 4) {
        const image = warp.forward({
          x: (laid.ends[i]! + laid.ends[i + 2]!) / 2,
          y: (laid.ends[i + 1]! + laid.ends[i + 3]!) / 2,
        });
        // As the file has it: 0.0001 mm.
        if (typeof image === "string") throw new Error(image);
        const back = warp.inverse({ x: Math.round(image.x * 1e4) / 1e4, y: Math.round(image.y * 1e4) / 1e4 });
        if (typeof back === "string") throw new Error(back);
        middles.push(angleDeg === 90 ? back.x : back.y);
      }
      middles.sort((p, q) => p - q);
      for (let i = 1; i < middles.length; i++)
        expect(Math.abs(middles[i]! - middles[i - 1]! - 0.5)).toBeLessThan(4e-4);
    }
  });

  it("trimmed ends lie the spot's radius inside, and no line is lost", async () => {
    const options = (trimEnds: boolean): JobFile =>
      job({ fill: { lines: "plain", pitchMm: 0.5, anglesDeg: [0], trimEnds } });
    const [whole, trim] = [
      await planned(rectangle(10, 5), options(false)),
      await planned(rectangle(10, 5), options(true)),
    ];
    expect(sets(trim)[0]!.lines).toBe(sets(whole)[0]!.lines);
    // At the crown line's side of the falloff the spot is no smaller than at its waist.
    const short = sets(whole)[0]!.markLengthMm - sets(trim)[0]!.markLengthMm;
    expect(short / sets(trim)[0]!.lines).toBeGreaterThanOrEqual(plan2(trim) * 0.999);
    expect(short / sets(trim)[0]!.lines).toBeLessThan(1.5 * plan2(trim));
    const tiny = await planned(drawing(`<path d="M0 0H.05V5H0z"/>`), {
      ...options(true),
    });
    expect(sets(tiny)[0]!.lines).toBe(10);
    expect(sets(tiny)[0]!.markLengthMm).toBeGreaterThan(0);
  });
  const plan2 = ({ spot }: Plan): number => spot.waistDiameterMm;
});

describe("mirrored twins", () => {
  it.each([
    ["even", [90, 0]],
    ["plain", [90, 0]],
  ] as const)("%s fill of a shape and of its mirrored twin mirror exactly", async (lines, anglesDeg) => {
    const d = "M3 2C20 -4 40 12 52 6L55 30C40 22 30 38 14 33C6 30 -2 18 3 2z M20 12a5 4 0 1 0 9 3z";
    const shape = drawing(`<path fill-rule="evenodd" d="${d}"/>`);
    const twin = drawing(`<path fill-rule="evenodd" transform="matrix(-1 0 0 1 60 0)" d="${d}"/>`);
    const options = job({
      settings: { ...weak, pitchMm: 0.1, anglesDeg: [...anglesDeg] },
      coating: { id: "powder-black" },
      fill: { lines },
    });
    const [one, other] = [await planned(shape, options), await planned(twin, options)];
    sets(one).forEach((set, k) => {
      expect(keys(sets(other)[k]!.laid.ends, -1)).toEqual(keys(set.laid.ends, 1));
    });
  });
});

/** Lines to the digits of a file, each from its left or upper end, sorted. */
function keys(ends: Float64Array, side: 1 | -1): string[] {
  const whole = (v: number): number => Math.sign(v) * Math.round(Math.abs(v) * 1e4);
  const list: string[] = [];
  for (let i = 0; i < ends.length; i += 4) {
    const p = [side * whole(ends[i]!), whole(ends[i + 1]!)] as const;
    const q = [side * whole(ends[i + 2]!), whole(ends[i + 3]!)] as const;
    list.push(
      (p[0] < q[0] || (p[0] === q[0] && p[1] < q[1]) ? [p, q] : [q, p])
        .flat()
        .map((v) => v + 0)
        .join(" "),
    );
  }
  return list.sort();
}

function polygonsOf(path: Path<"flat">): number[][] {
  return path.contours.map((contour) => {
    const points: number[] = [];
    walkContour(contour, 1e-4, Infinity, (x, y) => points.push(x, y));
    return points;
  });
}

/** Turns of all polygons around a point (W. R. Franklin's ray to the right, signed). */
function winding(polygons: readonly number[][], x: number, y: number): number {
  let turns = 0;
  for (const p of polygons) {
    for (let i = 0; i < p.length; i += 2) {
      const j = (i + 2) % p.length;
      const [x0, y0, x1, y1] = [p[i]!, p[i + 1]!, p[j]!, p[j + 1]!];
      if (y0 > y === y1 > y) continue;
      if (x0 + ((y - y0) / (y1 - y0)) * (x1 - x0) > x) turns += y1 > y0 ? 1 : -1;
    }
  }
  return turns;
}

function distance(polygons: readonly number[][], x: number, y: number): number {
  let least = Infinity;
  for (const p of polygons) {
    for (let i = 0; i < p.length; i += 2) {
      const j = (i + 2) % p.length;
      const [dx, dy] = [p[j]! - p[i]!, p[j + 1]! - p[i + 1]!];
      const k = Math.max(
        0,
        Math.min(1, ((x - p[i]!) * dx + (y - p[i + 1]!) * dy) / (dx * dx + dy * dy || 1)),
      );
      least = Math.min(least, Math.hypot(p[i]! + k * dx - x, p[i + 1]! + k * dy - y));
    }
  }
  return least;
}
