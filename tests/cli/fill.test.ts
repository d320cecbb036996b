/** Fill and bands as a user asks for them: files, report, options, what is repeated, told and refused. */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { PNG } from "pngjs";
import { describe, expect, it } from "vitest";
import type { Report } from "../../src/plan/report.ts";
import { entitiesOf } from "../picture/fillread.ts";
import { cupOf } from "./cup.ts";
import { type Group, groupsIn, groupsOf, jumped, middleOf, onFlat, total } from "./fillfile.ts";
import {
  art,
  checked,
  demo,
  folder,
  type Prepared,
  page,
  prepared,
  running,
  sharedJson,
  square,
} from "./helpers.ts";
import { boxOf, type Point, pointsOf, readMarks } from "./marks.ts";

const dir = folder();
const crest = demo("crest");
const piece = art(dir, "square.svg", square);
/** Curved, without symmetry, with a hole. */
const leafPath = "M10 50C20 20 50 10 90 30C70 60 40 80 10 50ZM40 42C40 50 52 52 54 44C55 36 41 32 40 42Z";
const leaf = art(dir, "leaf.svg", page(`<path id="leaf" fill-rule="evenodd" d="${leafPath}"/>`));
const cup = ["--diameter", "80"];
const shop = [
  ...["--source", "fibre-60", "--power", "27W", "--speed", "900", "--frequency", "50"],
  ...["--coating", "powder-black"],
];
let count = 0;
const fresh = (): string => join(dir, `run-${count++}`);
const run = (file: string, ...args: string[]): Promise<Prepared> => prepared(file, fresh(), args);
const text = (out: string, name: string): string => readFileSync(join(out, name), "utf8");
const sha256 = (data: string): string => createHash("sha256").update(data).digest("hex");
const ends = (group: Group): [Point, Point][] => group.lines.map(({ points: p }) => [p[0]!, p.at(-1)!]);
/** All files of a run but the report's own list. */
const same = (one: string, two: string): void => {
  expect(readdirSync(two).sort()).toEqual(readdirSync(one).sort());
  for (const name of readdirSync(one)) expect(text(two, name) === text(one, name), name).toBe(true);
};
const fitsSchema = new Ajv2020().compile(sharedJson("report.schema.json") as object);

const everything = [
  ...cup,
  ...["--width", "40", "--fill", "even", "--pitch", "0.1", "--angles", "90,45,0", "--outline-pass", "after"],
  ...["--dxf", "--bands", "3", "--passes", "2", ...shop],
];
const full = await run(leaf, ...everything);
const fill = full.report.fill!;
const groups = groupsOf(full.dir, "leaf.fill.svg");

describe("report and files", () => {
  it("the report fits its schema, lists the files and knows their bytes", () => {
    expect(fitsSchema(full.report), JSON.stringify(fitsSchema.errors)).toBe(true);
    const names = ["leaf.warped.svg", "leaf.fill.svg", "leaf.fill.dxf", "leaf.bands.svg"];
    expect(full.report.turns[0]!.files).toEqual(names);
    expect(full.report.files.map((f) => f.kind)).toEqual(["warped", "fill", "fill", "bands", "job"]);
    expect(readdirSync(full.dir).sort()).toEqual([...names, "leaf.job.json", "leaf.report.json"].sort());
    for (const { path, sha256: told } of full.report.files) expect(sha256(text(full.dir, path))).toBe(told);
  });

  it("a group for each set in order, and its title says what it is", () => {
    expect(groups.map((g) => g.id)).toEqual(["set-1", "set-2", "set-3", "outline"]);
    expect(groups[0]!.title).toMatch(/^set 1 of 3: 90°, along the axis, pitch 0\.0\d+ to 0\.1 mm$/);
    expect(groups[1]!.title).toMatch(/^set 2 of 3: 45°, pitch 0\.1 mm$/);
    expect(groups[2]!.title).toMatch(/^set 3 of 3: 0°, around the vessel, pitch 0\.1 mm$/);
    expect(text(full.dir, "leaf.fill.svg")).toMatch(/^[^>]*>\n<!-- [^>]*all of it 2 times over/);
  });

  it("lines and lengths of SVG and DXF are those of the report", () => {
    const all = [...fill.sets, fill.outline!];
    for (const [i, told] of all.entries()) {
      const group = groups[i]!;
      expect(group.lines.length).toBe(told.lines);
      expect(total(group) / told.commandLengthMm).toBeCloseTo(1, 4);
      expect(Math.abs(jumped(group) - told.jumpLengthMm)).toBeLessThan(1e-3 * told.jumpLengthMm);
      const drawn = entitiesOf(text(full.dir, "leaf.fill.dxf"), group.id.toUpperCase());
      expect(drawn).toHaveLength(told.lines);
      let length = 0;
      for (const { vertices: v, shape } of drawn) {
        const points = shape ? [...v, v[0]!] : v;
        for (let k = 1; k < points.length; k++)
          length += Math.hypot(points[k]!.x - points[k - 1]!.x, points[k]!.y - points[k - 1]!.y);
      }
      expect(length / told.commandLengthMm).toBeCloseTo(1, 4);
    }
    const { centre, size } = boxOf(groups.flatMap((g) => g.lines.flatMap((l) => [...l.points])));
    for (const k of [0, 1]) {
      expect(fill.boxes[0]!.centreMm[k]).toBeCloseTo(centre[k]!, 3);
      expect(fill.boxes[0]!.sizeMm[k]).toBeCloseTo(size[k]!, 2);
    }
  });

  it("the time is that of the lengths at the speeds, over all passes", () => {
    const { settings, time } = full.report.process!;
    const lengths = [...fill.sets, fill.outline!];
    const pass = lengths.reduce(
      (sum, l) =>
        sum +
        l.commandLengthMm / settings.speedMmS +
        l.jumpLengthMm / settings.jumpSpeedMmS +
        (l.lines * time.lineDelayMs) / 1000,
      0,
    );
    expect(fill.timeS! / (2 * pass)).toBeCloseTo(1, 4);
    expect(full.out).toMatch(/^ +about .* in 2 passes; the lines are laid: the station must not/m);
  });

  it("bands: their shares make the ink, a group each, its title says the report's factor and speed", () => {
    const bands = fill.bands!;
    expect(bands.map((b) => b.band)).toEqual([1, 2, 3]);
    expect(bands.reduce((sum, b) => sum + b.share, 0)).toBeCloseTo(1, 4);
    const svg = text(full.dir, "leaf.bands.svg");
    expect([...svg.matchAll(/<g id="([^"]*)"/g)].map((m) => m[1])).toEqual(["band-1", "band-2", "band-3"]);
    for (const band of bands) {
      const [, factor, speed] = new RegExp(
        `<title>band ${band.band} of 3: speed × ([\\d.]+) \\(([\\d.]+) mm/s\\)</title>`,
      ).exec(svg)!;
      expect(Number(factor)).toBeCloseTo(band.speedFactor!, 2);
      expect(Number(speed) / (900 * band.speedFactor!)).toBeCloseTo(1, 3);
      expect(band.powerW).toBeCloseTo(27 * band.powerFactor!, 3);
    }
    expect(full.out).toMatch(
      /^ {2}bands +1: 0\.0 to [\d.]+° from the crown line: speed × 1\.000 \(900 mm\/s\)/m,
    );
  });

  it("evenness: a fifth of plain fill's spread or less, 65 mm around an 80 mm vessel", async () => {
    const { fill: wide } = await checked([
      ...[crest, ...cup, "--width", "65", "--fill", "even", "--pitch", "0.05", "--angles", "90"],
      ...shop,
    ]);
    expect(wide!.evened).toBe("removal");
    expect(wide!.spread.even!).toBeLessThanOrEqual(wide!.spread.plain! / 5);
    expect(wide!.spread.even!).toBeLessThan(wide!.spread.bands!);
  });

  it("a picture of the evenness comes with the other pictures", async () => {
    const out = fresh();
    const args = [piece, "--out", out, ...cup, "--fill", "even", "--pitch", "0.1"];
    expect(await running(["prepare", ...args])).toMatchObject({ code: 0, err: "" });
    const png = PNG.sync.read(readFileSync(join(out, "square.evenness.png")));
    expect(png.width).toBeGreaterThan(800);
    expect(new Set(png.data).size).toBeGreaterThan(50);
    const { files } = JSON.parse(text(out, "square.report.json")) as Report;
    expect(files.map((f) => f.kind)).toContain("evenness");
  });

  it("`check` tells it without a file", async () => {
    const args = ["check", leaf, ...everything];
    const said = await running(args);
    expect(said).toMatchObject({ code: 0, err: "" });
    expect(said.out).toMatch(/^ {2}fill +even: \d+ lines at 90°, .* then \d+ lines at 45°/ms);
    expect(said.out).toMatch(
      /^ {2}evenness +simulated spread of the removal \(uncalibrated\): .*even [\d.]+ %/m,
    );
    expect((await checked([leaf, ...everything])).fill).toEqual(fill);
  });
});

describe("repeated", () => {
  it("the same job gives the same bytes, and so does its written job file", async () => {
    const again = await run(leaf, ...everything);
    same(full.dir, again.dir);
    const job = join(full.dir, "leaf.job.json");
    const repeated = fresh();
    const ran = await running(["prepare", "--job", job, "--out", repeated, "--no-pictures"]);
    expect(ran).toMatchObject({ code: 0, err: "" });
    same(full.dir, repeated);
  });

  it("with another pitch the written job is the job of that pitch", async () => {
    const [repeated, other] = [fresh(), everything.map((v) => (v === "0.1" ? "0.13" : v))];
    const job = join(full.dir, "leaf.job.json");
    await running(["prepare", "--job", job, "--pitch", "0.13", "--out", repeated, "--no-pictures"]);
    same((await run(leaf, ...other)).dir, repeated);
  });

  it("the finest pitches are written so that they can be read again", async () => {
    const { dir: out } = await run(piece, ...cup, "--width", "2", "--fill", "even", "--pitch", "0.003");
    const job = join(out, "square.job.json");
    expect(JSON.parse(text(out, "square.job.json")).fill.pitchLimitsMm).toEqual([0.001, 0.003]);
    const repeated = fresh();
    await running(["prepare", "--job", job, "--out", repeated, "--no-pictures"]);
    same(out, repeated);
  });
});

describe("files of an earlier run", () => {
  it("go where this one does not write them; those of other names stay", async () => {
    const out = fresh();
    const svgs = (): string[] => readdirSync(out).filter((name) => /\.(svg|dxf)$/.test(name));
    const common = [...cup, "--pitch", "0.5", "--fill", "plain"];
    await prepared(piece, out, [...common, "--fill-files", "each", "--dxf", "--bands", "2"]);
    art(out, "square2.fill.svg", "another's");
    expect(svgs()).toEqual(
      ["bands.svg", "fill.set-1.dxf", "fill.set-1.svg", "fill.set-2.dxf", "fill.set-2.svg", "warped.svg"]
        .map((end) => `square.${end}`)
        .concat("square2.fill.svg"),
    );
    await prepared(piece, out, common);
    expect(svgs()).toEqual(["square.fill.svg", "square.warped.svg", "square2.fill.svg"]);
    await prepared(piece, out, cup);
    expect(svgs()).toEqual(["square.warped.svg", "square2.fill.svg"]);
  });
});

const coarse = [...cup, "--pitch", "0.5"];
const plain = await run(piece, ...coarse, "--fill", "plain");
const cupHere = cupOf(plain.report);
const [along, around] = groupsOf(plain.dir, "square.fill.svg") as [Group, Group];

describe("each option", () => {
  it("plain: the pitch asked for on the vessel, area over pitch in length, nothing outside the ink", async () => {
    // 20 × 20 mm at 0.5 mm: 40 lines of 20 mm in each set.
    for (const set of plain.report.fill!.sets)
      expect(set).toMatchObject({ lines: 40, markLengthMm: 800, pitchMinMm: 0.5, pitchMaxMm: 0.5 });
    for (const point of [along, around].flatMap((g) => g.lines.flatMap((l) => [...l.points]))) {
      const [a, b] = onFlat(cupHere, point);
      expect(Math.max(Math.abs(a), Math.abs(b))).toBeLessThan(10.0025);
    }
    // Cavalieri: chords at equal distances sum to the area.
    const { report } = await run(leaf, ...cup, "--width", "40", "--fill", "plain", "--pitch", "0.06");
    const wanted = report.artwork.inkAreaMm2 / 0.06;
    for (const set of report.fill!.sets) expect(Math.abs(set.markLengthMm / wanted - 1)).toBeLessThan(0.005);
  });

  it("plain around a level cylinder: the middles lie the pitch apart, by the closed form", async () => {
    const args = ["--width", "40", "--fill", "plain", "--angles", "0", "--tolerance", "0.0002"];
    const { dir: out, report } = await run(leaf, ...coarse, ...args);
    const middles = groupsOf(out, "leaf.fill.svg")[0]!.lines.map(
      (l) => onFlat(cupOf(report), middleOf(l))[1],
    );
    const rows = middles.sort((p, q) => p - q).filter((b, i, all) => i === 0 || b - all[i - 1]! > 0.1);
    expect(rows.length).toBeGreaterThan(40);
    for (let i = 1; i < rows.length; i++) expect(Math.abs(rows[i]! - rows[i - 1]! - 0.5)).toBeLessThan(3e-4);
  });

  it("even: denser toward the sides, between the pitches told, found on the vessel", async () => {
    const { dir: out, report } = await run(piece, ...coarse, "--width", "50", "--fill", "even");
    const set = report.fill!.sets[0]!;
    const rows = groupsOf(out, "square.fill.svg")[0]!
      .lines.map((l) => onFlat(cupOf(report), l.points[0]!)[0])
      .sort((p, q) => p - q);
    const gaps = rows.slice(1).map((a, i) => a - rows[i]!);
    expect(gaps[0]!).toBeLessThan(0.8 * Math.max(...gaps));
    expect(gaps.at(-1)!).toBeCloseTo(gaps[0]!, 3);
    expect(Math.min(...gaps)).toBeGreaterThan(set.pitchMinMm - 5e-4);
    expect(Math.max(...gaps)).toBeLessThan(set.pitchMaxMm + 5e-4);
    expect(set.pitchMaxMm).toBeCloseTo(0.5, 6);
  });

  it("--pitch-limits hold, and where they stop it from being even it is said", async () => {
    const limits = ["--pitch-limits", "0.04,0.055"];
    const { report } = await run(
      leaf,
      ...cup,
      "--width",
      "60",
      "--fill",
      "even",
      "--pitch",
      "0.05",
      ...limits,
    );
    const { sets, uneven } = report.fill!;
    expect(sets[0]!.pitchMinMm).toBeGreaterThanOrEqual(0.04 - 1e-6);
    expect(sets[0]!.pitchMaxMm).toBeCloseTo(0.055, 5);
    expect(sets[1]!.pitchMaxMm).toBeCloseTo(0.05, 6);
    expect(uneven.every((u) => u.reason === "smallest-pitch" && u.toMm > u.fromMm)).toBe(true);
    const told = report.reasons.find((r) => r.code === "fill-smallest-pitch")!;
    const [from, to] = /([\d.]+) to ([\d.]+) mm from the crown line/.exec(told.message)!.slice(1).map(Number);
    expect(from).toBeCloseTo(uneven.at(-1)!.fromMm, 1);
    expect(to).toBeCloseTo(uneven.at(-1)!.toMm, 1);
  });

  it("--travel: to and fro, or all lines one way", async () => {
    const way = (group: Group, k: 0 | 1): number[] => ends(group).map(([p, q]) => Math.sign(q[k] - p[k]));
    expect(way(along, 1)).toEqual(way(along, 1).map((_, i, all) => all[0]! * (i % 2 ? -1 : 1)));
    const { dir: out } = await run(piece, ...coarse, "--fill", "plain", "--travel", "one-way");
    const oneWay = groupsOf(out, "square.fill.svg");
    expect(new Set(way(oneWay[0]!, 1))).toEqual(new Set([1]));
    expect(new Set(way(oneWay[1]!, 0))).toEqual(new Set([1]));
    const sorted = (group: Group): string[] =>
      ends(group)
        .map((e) => JSON.stringify([...e].sort()))
        .sort();
    expect(sorted(oneWay[0]!)).toEqual(sorted(along));
  });

  it.each(["before", "after"])("--outline-pass %s: one closed line, half a spot inside", async (when) => {
    const { dir: out, svg, report } = await run(piece, ...coarse, "--fill", "plain", "--outline-pass", when);
    const written = groupsOf(out, "square.fill.svg");
    expect(written.map((g) => g.id)).toEqual(
      when === "before" ? ["outline", "set-1", "set-2"] : ["set-1", "set-2", "outline"],
    );
    const [line, ...more] = written.find((g) => g.id === "outline")!.lines;
    expect(more).toEqual([]);
    expect(line!.closed).toBe(true);
    const inside = boxOf(line!.points).size;
    // 2w₀ of f = 420 mm, D = 7 mm, M² = 1.5 (4 λ f M²/(π D)): 0.1219 mm; a little more out of focus and aslant.
    for (const [k, size] of boxOf(pointsOf(readMarks(svg))).size.entries()) {
      expect(size - inside[k]!).toBeGreaterThan(0.115);
      expect(size - inside[k]!).toBeLessThan(0.13);
    }
    expect(report.fill!.outline!.lines).toBe(1);
  });

  it("--trim-ends: each line along loses the spot's diameter, half at either end", async () => {
    const { dir: out } = await run(piece, ...coarse, "--fill", "plain", "--trim-ends");
    const short = ends(groupsOf(out, "square.fill.svg")[0]!);
    for (const [i, [p, q]] of ends(along).entries()) {
      const lost = Math.abs(q[1] - p[1]) - Math.abs(short[i]![1][1] - short[i]![0][1]);
      expect(lost).toBeGreaterThan(0.1215);
      expect(lost).toBeLessThan(0.13);
      expect(p[1] + q[1]).toBeCloseTo(short[i]![0][1] + short[i]![1][1], 3);
    }
  });

  it("--lines polyline: straight pieces alone, beside the curves", async () => {
    expect(text(plain.dir, "square.fill.svg")).toMatch(/d="[^"]*C/);
    const { dir: out, report } = await run(piece, ...coarse, "--fill", "plain", "--lines", "polyline");
    expect(text(out, "square.fill.svg")).not.toMatch(/d="[^"]*C/);
    const straight = groupsOf(out, "square.fill.svg")[1]!;
    expect(ends(straight)).toEqual(ends(around));
    expect(straight.lines[0]!.points.length).toBeGreaterThan(32);
    expect(total(straight) / report.fill!.sets[1]!.commandLengthMm).toBeCloseTo(1, 5);
  });

  it("--fill-files each: the groups of the one file, one in each", async () => {
    const { dir: out, report } = await run(leaf, ...everything, "--fill-files", "each");
    const group = (svg: string, id: string): string =>
      new RegExp(`<g id="${id}".*?</g>`, "s").exec(svg)?.[0] ?? "";
    const one = text(full.dir, "leaf.fill.svg");
    for (const n of [1, 2, 3]) {
      const svg = text(out, `leaf.fill.set-${n}.svg`);
      const ids = n === 3 ? ["set-3", "outline"] : [`set-${n}`];
      expect(groupsIn(svg).map((g) => g.id)).toEqual(ids);
      for (const id of ids) expect(group(svg, id) === group(one, id), id).toBe(true);
      expect(svg).toContain(`set ${n} of 3, a file for each`);
      const layers = new Set(entitiesOf(text(out, `leaf.fill.set-${n}.dxf`)).map((e) => e.layer));
      expect([...layers]).toEqual(ids.map((id) => id.toUpperCase()));
    }
    expect(readdirSync(out)).not.toContain("leaf.fill.svg");
    expect(report.fill).toEqual(fill);
  });

  it("--bands alone lays no lines; --bands-by power says power in the file", async () => {
    const { dir: out, report } = await run(piece, ...coarse, "--bands", "2", "--bands-by", "power");
    expect(readdirSync(out).filter((name) => name.endsWith(".svg"))).toEqual(
      ["bands", "warped"].map((kind) => `square.${kind}.svg`),
    );
    expect(report.fill).toMatchObject({ lines: null, sets: [], boxes: [], outline: null, timeS: null });
    expect(fitsSchema(report), JSON.stringify(fitsSchema.errors)).toBe(true);
    expect(text(out, "square.bands.svg")).toMatch(/<title>band 2 of 2: power × 1\.\d\d</);
  });

  it("centre lines have a group of their own, before the sets", async () => {
    const mixed = art(
      dir,
      "mixed.svg",
      page('<path id="a" d="M30 40H50V60H30Z"/><path id="b" d="M10 70H60" fill="none" stroke="#000"/>'),
    );
    const strokes = ["--strokes", "centre-line"];
    const { dir: out } = await run(mixed, ...coarse, ...strokes, "--fill", "plain", "--dxf");
    const [single, ...sets] = groupsOf(out, "mixed.fill.svg");
    expect([single!.id, ...sets.map((g) => g.id)]).toEqual(["single-lines", "set-1", "set-2"]);
    expect(single!.lines).toHaveLength(1);
    expect(entitiesOf(text(out, "mixed.fill.dxf"), "SINGLE-LINES")).toHaveLength(1);
  });

  it("mirrored twins have mirrored lines", async () => {
    const twin = art(
      dir,
      "twin.svg",
      page(`<path id="leaf" fill-rule="evenodd" transform="matrix(-1 0 0 1 100 0)" d="${leafPath}"/>`),
    );
    const args = [...cup, "--width", "40", "--fill", "even", "--pitch", "0.2"];
    const [one, two] = await Promise.all([run(leaf, ...args), run(twin, ...args)]);
    const lines = (out: string, name: string, sign: 1 | -1): string[][] =>
      groupsOf(out, name).map((g) =>
        ends(g)
          .map((e) => JSON.stringify(e.map(([u, v]) => [sign * u + 0, v]).sort()))
          .sort(),
      );
    expect(lines(two.dir, "twin.fill.svg", -1)).toEqual(lines(one.dir, "leaf.fill.svg", 1));
  });
});
