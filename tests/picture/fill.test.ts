/**
 * The fill's files read back by general-purpose readers: dxf-parser for the DXF, svgson and svg-path-parser for the SVG. What
 * they hold is compared with the lines laid, each end of which is mapped once more on its own (Warp.forward).
 */
import sharp from "sharp";
import { parseSync } from "svgson";
import { describe, expect, test } from "vitest";
import { evalCubic } from "../../src/geometry/cubic.ts";
import type { JobFile } from "../../src/job/job.ts";
import { fillDxf } from "../../src/picture/filldxf.ts";
import { fillSvg } from "../../src/picture/fillsvg.ts";
import { marksSvg } from "../../src/picture/marks.ts";
import type { TurnFill } from "../../src/plan/fill/types.ts";
import { planOf as turnPlan } from "../../src/plan/plan.ts";
import type { Plan } from "../../src/plan/types.ts";
import {
  distanceTo,
  drawn,
  type Ends,
  endsOf,
  entitiesOf,
  groupNamed,
  groupsOf,
  linesOf,
  mappedEnds,
  pathsOf,
  read,
} from "./fillread.ts";
import { planOf } from "./helpers.ts";

/** A ring, a leaf aslant, a bar, and a reed that is marked as a single line. */
const artwork = (mirrored = false): string => {
  const turn = mirrored ? ' transform="matrix(-1 0 0 1 60 0)"' : "";
  return `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="30mm" viewBox="0 0 60 30"><g${turn}>
    <path id="ring" fill-rule="evenodd" d="M2 12a9 9 0 1 0 18 0a9 9 0 1 0 -18 0zM6 12a5 5 0 1 0 10 0a5 5 0 1 0 -10 0z"/>
    <path id="leaf" d="M24 4C34 2 46 8 44 22C34 24 24 16 24 4z"/><rect id="bar" x="50" y="3" width="8" height="24"/>
    <path id="set-1" d="M3 25C12 22 16 29 22 26" fill="none" stroke="#000" stroke-width=".2"/>
    <path id="post" d="M47 3V27" fill="none" stroke="#000" stroke-width=".2"/></g></svg>`;
};
const pitchMm = 0.4;
const plain: JobFile = {
  vessel: { diameterMm: 82 },
  ink: { strokes: "centre-line" },
  fill: { lines: "plain", pitchMm, anglesDeg: [90, 0] },
};
const withFill = (more: JobFile["fill"], rest: JobFile = {}): JobFile => ({
  ...plain,
  ...rest,
  fill: { ...plain.fill, ...more },
});
const jobs: readonly (readonly [string, JobFile])[] = [
  ["plain, curves", plain],
  ["even, polyline, outline after", withFill({ lines: "even", form: "polyline", outlinePass: "after" })],
  [
    "a cone along the bed's x, three sets, outline before",
    withFill(
      { anglesDeg: [90, 30, -60], outlinePass: "before", travel: "one-way" },
      { vessel: { taperMm: [88, 64, 110] }, axis: "x" },
    ),
  ],
];

const planned = (options: JobFile, svg = artwork()): Promise<Plan> => planOf(svg, options);
const turnOf = (plan: Plan, i = 0): TurnFill => plan.fill!.turns[i]!;
const svgOf = (plan: Plan, which: number | null = null): string =>
  [...fillSvg(plan, turnOf(plan), which)].join("");
const dxfOf = (plan: Plan, which: number | null = null): string =>
  [...fillDxf(plan, turnOf(plan), which)].join("");

/** Rounded to 0.0001 mm. */
const HALF = 0.00005 + 1e-9;
function expectEnds(found: readonly Ends[], laid: readonly Ends[]): void {
  expect(found).toHaveLength(laid.length);
  const off = found.map((ends, i) => Math.max(...ends.map((v, k) => Math.abs(v - laid[i]![k]!))));
  expect(Math.max(...off)).toBeLessThanOrEqual(HALF);
}

describe.each(jobs)("%s", async (_, options) => {
  const plan = await planned(options);
  const { sets } = turnOf(plan);
  const { outlinePass: pass, form } = plan.job.fill!;
  const svg = svgOf(plan);
  const dxf = dxfOf(plan);
  const names = sets.map((_, i) => `set-${i + 1}`);
  const order = [
    "single-lines",
    ...(pass === "before" ? ["outline"] : []),
    ...names,
    ...(pass === "after" ? ["outline"] : []),
  ];
  const single = plan.marks.get("usable")!.filter((mark) => mark.paint !== "fill");
  const outlines = turnOf(plan).outline?.paths.flatMap((path) => path.contours) ?? [];

  test("the SVG: the page of the marks, a group for each part in marking order", () => {
    const { attributes } = parseSync(svg);
    expect(attributes).toEqual(parseSync(marksSvg(plan)).attributes);
    expect(attributes["data-fallaway"]).toBe("bent");
    expect(groupsOf(svg).map((g) => g.attributes.id)).toEqual(order);
    const ids = [...svg.matchAll(/ id="([^"]*)"/g)].map((m) => m[1]);
    expect(new Set(ids).size).toBe(ids.length);
    for (const group of groupsOf(svg)) {
      expect(group.attributes).toMatchObject({ fill: "none", stroke: "#000000" });
      expect(pathsOf(group).length).toBeGreaterThan(0);
    }
  });
  test("the SVG: every line laid, in its order, each region a path or more", () => {
    sets.forEach((set, i) => {
      expect(set.lines).toBeGreaterThan(30);
      const group = groupNamed(svg, names[i]!);
      expectEnds(linesOf(group).map(endsOf), mappedEnds(plan, set));
      // Only a long path goes on in another.
      const starts = new Set<number>();
      let [at, full] = [0, false];
      for (const path of pathsOf(group)) {
        const d = path.attributes.d!;
        if (!full || [...set.laid.regions].includes(at)) starts.add(at);
        at += drawn(d).length;
        full = d.length >= 10_000;
      }
      expect([...starts]).toEqual([...set.laid.regions].slice(0, -1));
      expect(Number(group.attributes["stroke-width"])).toBeCloseTo(set.pitchMinMm, 4);
    });
  });
  test("the SVG: curves where they are asked for, else straight pieces alone", () => {
    const codes = groupsOf(svg).map((g) =>
      linesOf(g)
        .map((line) => line.codes)
        .join(""),
    );
    if (form === "polyline") expect(codes.join("")).toMatch(/^[MLZ]+$/);
    // Lines around bend only where they lie off the axis; the reed and the ring bend anywhere.
    else expect(codes.join("")).toMatch(/C/);
    expect(codes.join("")).toMatch(/^[MLCZ]+$/);
    expect(codes[0]!.split("M")).toHaveLength(single.length + 1);
    if (pass) {
      const edges = linesOf(groupNamed(svg, "outline"));
      expect(edges).toHaveLength(outlines.length);
      expect(edges.length).toBeGreaterThanOrEqual(4);
      expect(edges.every((line) => line.codes.endsWith("Z"))).toBe(true);
    }
  });
  test("numbers of at most four decimals, no exponent, no −0", () => {
    const data = [...svg.matchAll(/ d="([^"]*)"/g)].map((m) => m[1]!).join(" ");
    for (const text of [data, dxf.replace(/^999\n.*\n/gm, "")]) {
      expect(text).not.toMatch(/\.\d{5}|\de[-+]?\d|NaN|Infinity|undefined/);
      expect(text).not.toMatch(/-0(\.0+)?(?![.\d])/);
    }
    expect(data).toMatch(/\.\d{4}/);
  });

  test("the DXF: every line laid, in its order, on its set's layer", () => {
    sets.forEach((set, i) => {
      const entities = entitiesOf(dxf, `SET-${i + 1}`);
      const found = entities.map(({ vertices }): Ends => {
        const [p, q] = [vertices[0]!, vertices.at(-1)!];
        return [p.x, -p.y, q.x, -q.y];
      });
      expectEnds(found, mappedEnds(plan, set));
      for (const { type, vertices, shape } of entities) {
        expect(type).toBe(vertices.length === 2 ? "LINE" : "POLYLINE");
        expect(shape).toBe(false);
      }
    });
    const rest = entitiesOf(dxf).filter((e) => !e.layer.startsWith("SET-"));
    expect(rest.filter((e) => e.layer === "SINGLE-LINES")).toHaveLength(single.length);
    const edges = rest.filter((e) => e.layer === "OUTLINE");
    expect(edges).toHaveLength(outlines.length);
    for (const { shape, vertices } of edges) {
      expect(shape).toBe(true);
      expect(vertices[0]).not.toEqual(vertices.at(-1));
    }
    expect(rest).toHaveLength(single.length + outlines.length);
    // Layers come one after another.
    const layers = entitiesOf(dxf).map((e) => e.layer.toLowerCase());
    expect(layers.filter((name, i) => name !== layers[i - 1])).toEqual(order);
  });
  test("the DXF: release 12, its layers, its extents, and nothing that came later", () => {
    const { header, tables } = read(dxf);
    expect(header.$ACADVER).toBe("AC1009");
    const points = entitiesOf(dxf).flatMap((e) => e.vertices);
    const [xs, ys] = [points.map((p) => p.x), points.map((p) => p.y)];
    expect(header.$EXTMIN).toMatchObject({ x: Math.min(...xs), y: Math.min(...ys) });
    expect(header.$EXTMAX).toMatchObject({ x: Math.max(...xs), y: Math.max(...ys) });
    const { layers } = tables.layer as unknown as { layers: Record<string, unknown> };
    expect(Object.keys(layers)).toEqual(["0", ...order.map((name) => name.toUpperCase())]);
    // Drawing Interchange and File Formats, Release 12 (1992): groups of a code and a value, sections in this order.
    expect(dxf).toMatch(/^[\x20-\x7e\n]+$/);
    expect(dxf.endsWith("\n0\nENDSEC\n0\nEOF\n")).toBe(true);
    const lines = dxf.trimEnd().split("\n");
    expect(lines.length % 2).toBe(0);
    const groups = lines.flatMap((code, i) => (i % 2 === 0 ? [[code, lines[i + 1]!] as const] : []));
    const used = new Set(groups.map(([code]) => Number(code)));
    expect([...used].sort((a, b) => a - b)).toEqual([
      0, 1, 2, 3, 6, 8, 9, 10, 11, 20, 21, 30, 31, 40, 62, 66, 70, 72, 73, 999,
    ]);
    for (const [, value] of groups) expect(value.length).toBeLessThanOrEqual(255);
    const sections = groups.filter(([, value], i) => value && groups[i - 1]?.[1] === "SECTION");
    expect(sections.map(([, value]) => value)).toEqual(["HEADER", "TABLES", "ENTITIES"]);
  });

  test("a file for each set: together what the one file holds", () => {
    const each = sets.map((_, i) => svgOf(plan, i));
    const groups = each.map((text) => groupsOf(text));
    expect(groups.flat()).toEqual(groupsOf(svg));
    expect(
      groups.map((list) => list.find((g) => g.attributes.id!.startsWith("set-"))!.attributes.id),
    ).toEqual(names);
    expect(sets.flatMap((_, i) => entitiesOf(dxfOf(plan, i)))).toEqual(entitiesOf(dxf));
    for (const [i, text] of each.entries()) {
      expect(text).toContain(`set ${i + 1} of ${sets.length}, a file for each`);
    }
    expect(() => svgOf(plan, sets.length)).toThrow(RangeError);
    expect(() => dxfOf(plan, sets.length)).toThrow(RangeError);
  });
});

/** Path data of the sets as an image sees them: bent lines are where the flat's line is, between the ends too. */
test("bent lines lie where the flat's straight lines lie", async () => {
  const plan = await planned(withFill({ form: "polyline", anglesDeg: [30], pitchMm: 1.5 }));
  const [set] = turnOf(plan).sets;
  const lines = linesOf(groupNamed(svgOf(plan), "set-1"));
  expect(Math.max(...lines.map(({ points }) => points.length))).toBeGreaterThan(2);
  const ends = set!.laid.ends;
  lines.forEach(({ points }, k) => {
    const [a0, b0, a1, b1] = ends.subarray(4 * k, 4 * k + 4) as unknown as Ends;
    const length = Math.hypot(a1 - a0, b1 - b0);
    for (const [x, y] of points) {
      const p = plan.warp.inverse({ x, y });
      if (typeof p === "string") throw new Error(p);
      const off = Math.abs((p.x - a0) * (b1 - b0) - (p.y - b0) * (a1 - a0)) / length;
      expect(off).toBeLessThan(0.0005);
    }
  });
});

test("single lines and outlines by straight pieces keep to the tolerance of their curves", async () => {
  const plan = await planned(
    withFill(
      { form: "polyline", outlinePass: "after" },
      { ink: { strokes: "centre-line" }, toleranceMm: 0.02 },
    ),
  );
  const single = plan.marks.get("usable")!.filter((mark) => mark.paint !== "fill");
  const curves = [
    ...single.flatMap((mark) => mark.path.contours),
    ...turnOf(plan).outline!.paths.flatMap((path) => path.contours),
  ];
  const svg = svgOf(plan);
  const dxf = dxfOf(plan);
  const fromSvg = ["single-lines", "outline"].flatMap((id) =>
    linesOf(groupNamed(svg, id)).map(({ points }) => points),
  );
  const fromDxf = entitiesOf(dxf)
    .filter((e) => !e.layer.startsWith("SET-"))
    .map(({ shape, vertices }) => {
      const points = vertices.map((p) => [p.x, -p.y] as const);
      return shape ? [...points, points[0]!] : points;
    });
  for (const lines of [fromSvg, fromDxf]) {
    expect(lines).toHaveLength(curves.length);
    curves.forEach(({ points: p, straight }, k) => {
      const out = new Float64Array(4);
      for (let i = 0; i < straight.length; i++) {
        for (let t = 0; t <= 1; t += 0.125) {
          evalCubic(p, 6 * i, t, out);
          expect(distanceTo(lines[k]!, out[0]!, out[1]!)).toBeLessThanOrEqual(0.02 + 2 * HALF);
        }
      }
    });
  }
  const reed = single.findIndex((mark) => mark.id === "set-1");
  expect(fromSvg[reed]!.length).toBeGreaterThan(5);
});

test("the words: what is laid, the order, the passes, each set's pitch, the verdict", async () => {
  const plan = await planned(withFill({ lines: "even", passes: 3 }));
  const svg = svgOf(plan);
  const comment = /<!--([\s\S]*?)-->/.exec(svg)![1]!;
  expect(comment).toMatch(/^ (ready|caution): bent for a vessel, 82 mm diameter/);
  expect(comment).toContain("let the station fill nothing again");
  expect(comment).toContain("all of it 3 times over");
  const titles = groupsOf(svg).flatMap((g) =>
    g.children.filter((c) => c.name === "title").map((c) => c.children[0]!.value),
  );
  const { pitchMinMm } = turnOf(plan).sets[0]!;
  expect(pitchMinMm).toBeLessThan(0.9 * pitchMm);
  expect(titles).toEqual([
    `set 1 of 2: 90°, along the axis, pitch ${Number(pitchMinMm.toFixed(4))} to 0.4 mm`,
    "set 2 of 2: 0°, around the vessel, pitch 0.4 mm",
  ]);
  const dxf = dxfOf(plan);
  expect(dxf).toMatch(/^999\nbent by fallaway\n999\n(ready|caution): bent for a vessel, 82 mm diameter/);
  expect(dxf).toContain("lengths are mm");
  expect(dxf).toContain("layer SET-2 is set 2 of 2: 0 degrees, around the vessel, pitch 0.4 mm");
});

test("ink beyond the limits has no lines, and both files say so and STOP", async () => {
  const plan = await planned({ ...plain, placement: { widthMm: 110 }, limits: { usableDepthMm: 6 } });
  expect(plan.verdict).toBe("stop");
  expect([...plan.marks.keys()].some((zone) => zone !== "usable")).toBe(true);
  for (const text of [svgOf(plan), dxfOf(plan)]) {
    expect(text).toContain("STOP, do not mark this file as it is");
    expect(text).toContain("ink beyond the limits has no lines here");
  }
  expect(groupsOf(svgOf(plan)).map((g) => g.attributes.id)).toEqual(["single-lines", "set-1", "set-2"]);
});

test("no fill asked for: RangeError, no empty file", async () => {
  const { fill: _, ...none } = plain;
  const plan = await planned(plain);
  const without = await planned(none);
  expect(() => [...fillSvg(without, turnOf(plan), null)]).toThrow(RangeError);
  expect(() => [...fillDxf(without, turnOf(plan), null)]).toThrow(RangeError);
});

test("each turn has its own lines", async () => {
  const plan = await planned(withFill({}, { placement: { widthMm: 150 }, turns: 2 }));
  expect(plan.turns).toHaveLength(2);
  plan.turns.forEach((turn, i) => {
    const own = turnPlan(plan, turn);
    const svg = [...fillSvg(own, turnOf(plan, i), null)].join("");
    const [set] = turnOf(plan, i).sets;
    expect(set!.lines).toBeGreaterThan(30);
    expectEnds(linesOf(groupNamed(svg, "set-1")).map(endsOf), mappedEnds(own, set!));
  });
});

test.each(["curves", "polyline"] as const)("mirrored ink has mirrored files: %s", async (form) => {
  const options = withFill({ lines: "even", form, outlinePass: "before" });
  const [one, two] = [await planned(options), await planned(options, artwork(true))];
  const svgLines = (plan: Plan): Ends[] =>
    groupsOf(svgOf(plan))
      .filter((g) => g.attributes.id!.startsWith("set-"))
      .flatMap((g) => linesOf(g).map(endsOf));
  const dxfLines = (plan: Plan): Ends[] =>
    entitiesOf(dxfOf(plan))
      .filter((e) => e.layer.startsWith("SET-"))
      .map(({ vertices: v }) => [v[0]!.x, v[0]!.y, v.at(-1)!.x, v.at(-1)!.y]);
  for (const linesIn of [svgLines, dxfLines]) {
    const [left, right] = [linesIn(one), linesIn(two)];
    expect(left).toHaveLength(right.length);
    const free = new Set(right);
    for (const [x0, y0, x1, y1] of left) {
      // A line's way is the marking order's affair.
      const twin = [...free].find(
        ([p0, q0, p1, q1]) =>
          Math.max(Math.abs(p0 + x0), Math.abs(q0 - y0), Math.abs(p1 + x1), Math.abs(q1 - y1)) < 0.00015 ||
          Math.max(Math.abs(p1 + x0), Math.abs(q1 - y0), Math.abs(p0 + x1), Math.abs(q0 - y1)) < 0.00015,
      );
      expect(twin, `${x0} ${y0} ${x1} ${y1}`).toBeDefined();
      free.delete(twin!);
    }
  }
});

test("drawn as wide as they lie apart, the lines cover the marks and nothing else", async () => {
  const plan = await planned({
    ...withFill({ lines: "plain", pitchMm: 0.1 }),
    ink: { strokes: "outline" },
  });
  // Without the single lines' strokes; the page cut to the ink, 20 px a mm.
  const image = async (svg: string): Promise<Buffer> => {
    const framed = svg.replace(
      /width="[^"]*" height="[^"]*" viewBox="[^"]*"/,
      'width="1200" height="640" viewBox="-30 -16 60 32"',
    );
    expect(framed).not.toBe(svg);
    return sharp(Buffer.from(framed)).flatten({ background: "#ffffff" }).greyscale().raw().toBuffer();
  };
  const marks = await image(marksSvg(plan));
  for (const which of [0, 1]) {
    const lines = await image(svgOf(plan, which));
    expect(lines).toHaveLength(marks.length);
    let [ink, covered, beside] = [0, 0, 0];
    for (let i = 0; i < marks.length; i++) {
      if (marks[i] === 0) {
        ink++;
        covered += 1 - lines[i]! / 255;
      } else if (marks[i] === 255) beside += 1 - lines[i]! / 255;
    }
    expect(ink).toBeGreaterThan(100_000);
    expect(covered / ink).toBeGreaterThan(0.985);
    // A line may stick out by half of its width along the edge.
    expect(beside / ink).toBeLessThan(0.01);
  }
});

test("large fills come in pieces below a megabyte, of which no path is long", async () => {
  const plan = await planned(withFill({ form: "polyline", pitchMm: 0.004, anglesDeg: [0] }));
  const turn = turnOf(plan);
  expect(turn.sets[0]!.lines).toBeGreaterThan(10_000);
  let [bytes, pieces] = [0, 0];
  let svg = "";
  for (const generated of [fillSvg(plan, turn, null), fillDxf(plan, turn, null)]) {
    for (const piece of generated) {
      expect(piece.length).toBeLessThan(1_000_000);
      bytes += piece.length;
      pieces++;
      if (piece.startsWith("<?xml")) svg = piece;
    }
  }
  expect(svg).toContain("data-fallaway");
  expect(bytes).toBeGreaterThan(3_000_000);
  expect(pieces).toBeGreaterThan(20_000);
  const data = [...svgOf(plan).matchAll(/ d="([^"]*)"/g)].map((m) => m[1]!);
  expect(data.length).toBeGreaterThan(turn.sets[0]!.laid.regions.length - 1);
  expect(Math.max(...data.map((d) => d.length))).toBeLessThan(12_000);
});
