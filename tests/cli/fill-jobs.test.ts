/** Fill on every vessel and pose, over several turns, on sheet and proof. */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { describe, expect, it } from "vitest";
import type { Report } from "../../src/plan/report.ts";
import { cupOf } from "./cup.ts";
import { groupsOf, onFlat, total } from "./fillfile.ts";
import { art, demo, folder, prepared, running, sharedJson, square } from "./helpers.ts";
import type { Point } from "./marks.ts";

const dir = folder();
const wrap = demo("wrap");
const piece = art(dir, "square.svg", square);
const cup = ["--diameter", "80"];
const even = ["--fill", "even", "--pitch", "0.06"];
const beam = ["--source", "fibre-60", "--power", "27W", "--speed", "900", "--frequency", "50"];
let count = 0;
const fresh = (): string => join(dir, `run-${count++}`);
const read = (out: string, name: string): string => readFileSync(join(out, name), "utf8");
const sha256 = (data: string): string => createHash("sha256").update(data).digest("hex");
const fitsSchema = new Ajv2020().compile(sharedJson("report.schema.json") as object);
const measured = art(dir, "cup.csv", "height_mm,diameter_mm\n0,62\n40,70.5\n80,79.2\n110,84\n");

describe("every vessel, pose and fidelity", () => {
  it.concurrent.each([
    "--diameter 80 --fidelity true-width",
    "--diameter 80 --fidelity sheet --pose 4",
    "--diameter 80 --fidelity sight --viewing-distance 500",
    "--taper 88,64,110",
    "--taper 64,88,110 --fidelity sheet --pose axis",
    "--taper 88,64,110 --fidelity true-width --pose -3",
    "--taper 88,64,110 --pose lying --axis x",
    "--taper 88,64,110 --fidelity sight",
    "--sphere 90",
    "--sphere 90 --fidelity true-width --axis x",
    "--sphere 90 --fidelity sight --viewing-distance 500",
    "--profile cup.csv --below-rim 50",
    "--profile cup.csv --below-rim 50 --fidelity true-width --pose 2",
    "--vessel tapered-tumbler",
  ])("%s", async (asked) => {
    const vessel = asked.replace("cup.csv", measured).split(" ");
    const { dir: out, report } = await prepared(piece, fresh(), ["--width", "16", ...even, ...vessel]);
    expect(fitsSchema(report), JSON.stringify(fitsSchema.errors)).toBe(true);
    expect(report.verdict).not.toBe("stop");
    const { sets, spread } = report.fill!;
    // JSON has no NaN: it would be null.
    for (const share of Object.values(spread)) expect(share).toBeGreaterThanOrEqual(0);
    const groups = groupsOf(out, "square.fill.svg");
    expect(groups).toHaveLength(2);
    for (const [i, set] of sets.entries()) {
      expect(groups[i]!.lines.length).toBe(set.lines);
      expect(set.lines).toBeGreaterThan(200);
      expect(total(groups[i]!) / set.commandLengthMm).toBeCloseTo(1, 4);
      expect(set.pitchMinMm).toBeGreaterThan(0.02);
      expect(set.pitchMaxMm).toBeLessThan(0.08);
    }
    expect(read(out, "square.fill.svg")).not.toMatch(/NaN|Infinity|undefined/);
  });

  it("--axis x is the quarter turn of --axis y under a head of one pivot", async () => {
    const args = [...cup, ...even, "--pivot", "500", "--width", "16", "--at", "5,3"];
    const [y, x] = await Promise.all(
      ["y", "x"].map((axis) => prepared(piece, fresh(), [...args, "--axis", axis])),
    );
    const points = (out: string): Point[][] =>
      groupsOf(out, "square.fill.svg").map((g) => g.lines.flatMap((l) => [...l.points]));
    const [upright, turned] = [points(y!.dir), points(x!.dir)];
    expect(turned.map((g) => g.length)).toEqual(upright.map((g) => g.length));
    for (const [i, group] of upright.entries())
      for (const [k, [u, v]] of group.entries()) {
        // Rounded to 0.0001 mm each.
        expect(Math.hypot(turned[i]![k]![0] + v, turned[i]![k]![1] - u)).toBeLessThan(2e-4);
      }
  });
});

/** More than the rounding of a file (mm). */
const CLEAR = 0.01;

describe("a band around the whole cup in four turns", async () => {
  const out = fresh();
  const around = ["--diameter", "76.4", "--width", "240.018", "--turns", "auto"];
  const args = [wrap, ...around, "--fill", "even", "--pitch", "0.05", "--fill-files", "one"];
  const ran = await running(["prepare", ...args, "--out", out, "--no-pictures"]);
  const report = JSON.parse(read(out, "heron-reach-wrap.report.json")) as Report;
  const name = (n: number): string => `heron-reach-wrap.turn-${n}.fill.svg`;
  const groups = [1, 2, 3, 4].map((n) => groupsOf(out, name(n)));

  it("a file for each turn, the report over all", () => {
    expect(ran).toMatchObject({ code: 0, err: "" });
    expect(report.turns.map((t) => t.files[1])).toEqual([1, 2, 3, 4].map(name));
    expect(report.fill!.boxes).toHaveLength(4);
    for (const [i, set] of report.fill!.sets.entries()) {
      const own = groups.map((g) => g[i]!);
      expect(own.reduce((sum, g) => sum + g.lines.length, 0)).toBe(set.lines);
      expect(own.reduce((sum, g) => sum + total(g), 0) / set.commandLengthMm).toBeCloseTo(1, 4);
    }
    expect(report.fill!.spread.even!).toBeLessThan(report.fill!.spread.plain! / 5);
  });

  it("the turns overlap at each seam by a spot, row by row", () => {
    const cupHere = cupOf(report);
    // Lines around, by their row: how far they reach on the artwork's own flat.
    const rows = groups.map((sets, i) =>
      sets[1]!.lines.map(({ points }) => {
        const [one, two] = [points[0]!, points.at(-1)!].map((p) => onFlat(cupHere, p));
        const index = report.turns[i]!.indexArcMm;
        const [from, to] = [one![0] + index, two![0] + index].sort((p, q) => p - q);
        return { row: Math.round(one![1] / 0.05 - 0.5), from: from!, to: to! };
      }),
    );
    for (const [i, { inkMm }] of report.seams.entries()) {
      const [left, right] = [rows[i]!, rows[i + 1]!];
      // A line of ink that ends in one turn, begins in the other, and goes on in both: there the two overlap.
      const met = left.flatMap((l) =>
        right
          .filter((r) => r.row === l.row && r.from < l.to && r.from > l.from + CLEAR && r.to > l.to + CLEAR)
          .map((r) => l.to - r.from),
      );
      // As many rows as the seam has ink along the axis; less where it runs aslant.
      expect(met.length).toBeGreaterThan((0.4 * inkMm) / 0.05);
      // One spot across the seam, 4 λ f M²/(π D) = 0.1219 mm, and more around where the seam runs aslant.
      for (const overlap of met) {
        expect(overlap).toBeGreaterThan(0.1215);
        expect(overlap).toBeLessThan(0.25);
      }
    }
  });

  it("the sheet loads them, with their hashes", async () => {
    const sheet = fresh();
    const told = await running(["sheet", ...args, "--out", sheet, "--json"]);
    expect(told).toMatchObject({ code: 0, err: "" });
    const html = read(sheet, "heron-reach-wrap.sheet.html");
    for (const n of [1, 2, 3, 4]) {
      expect(read(sheet, name(n)) === read(out, name(n)), name(n)).toBe(true);
      expect(html).toContain(name(n));
      expect(html).toContain(
        sha256(read(out, name(n)))
          .match(/.{8}/g)!
          .join(" "),
      );
    }
    expect((JSON.parse(told.out) as Report).turns.map((t) => t.files)).toEqual(
      [1, 2, 3, 4].map((n) => [name(n)]),
    );
    const fewer = await running([
      "prepare",
      wrap,
      ...around.slice(0, 2),
      "--width",
      "50",
      "--fill",
      "plain",
      "--pitch",
      "0.5",
      "--out",
      sheet,
      "--no-pictures",
    ]);
    expect(fewer.code).toBe(0);
    expect(readdirSync(sheet).filter((file) => /turn-\d|fill/.test(file))).toEqual([
      "heron-reach-wrap.fill.svg",
    ]);
  });
});

describe("sheet and proof", () => {
  it("the sheet leaves what prepare wrote for the same job, and takes away another cup's lines", async () => {
    const out = fresh();
    const job = [...cup, ...even, "--fill-files", "each", "--dxf"];
    await running(["prepare", piece, ...job, "--no-pictures", "--out", out]);
    const lines = readdirSync(out).filter((file) => /fill|warped/.test(file));
    expect(lines.length).toBe(5);
    const same = await running(["sheet", piece, ...job, "--out", out]);
    expect(same.out).toContain("all sets in one file");
    expect(readdirSync(out)).toEqual(
      expect.arrayContaining([...lines, "square.fill.svg", "square.fill.dxf"]),
    );
    await running(["sheet", piece, "--diameter", "90", ...even, "--out", out]);
    expect(readdirSync(out).filter((file) => /fill|warped|bands/.test(file))).toEqual(["square.fill.svg"]);
    await running(["sheet", piece, "--diameter", "90", "--out", out]);
    expect(readdirSync(out).filter((file) => /fill|warped|bands/.test(file))).toEqual(["square.warped.svg"]);
  });

  const words = (html: string): string => html.replace(/<[^>]*>/g, " ").replace(/\s+/g, " ");
  it("the sheet loads the lines: hash, groups in order, the station's own fill off", async () => {
    const out = fresh();
    const args = [
      piece,
      ...cup,
      "--fill",
      "plain",
      "--pitch",
      "0.06",
      "--outline-pass",
      "before",
      "--passes",
      "3",
    ];
    const whole = await prepared(piece, fresh(), args.slice(1));
    const told = await running(["sheet", ...args, "--out", out, "--json"]);
    const { files } = JSON.parse(told.out) as Report;
    expect(files.map((f) => f.kind)).toEqual(["fill", "alignment", "sheet", "sheet"]);
    const svg = read(out, "square.fill.svg");
    expect(svg === read(whole.dir, "square.fill.svg")).toBe(true);
    const said = words(read(out, "square.sheet.html"));
    expect(said).toContain(sha256(svg).match(/.{8}/g)!.join(" "));
    expect(said).toContain("in this order: outline, set-1, set-2; all of them 3 times over");
    expect(said).toMatch(/one by one: mark them as lines, the station's own fill switched off/);
  });

  it("with bands alone: the bands, and a table of what to set", async () => {
    const out = fresh();
    const args = [piece, ...cup, "--bands", "3", "--pitch", "0.05", ...beam];
    const told = await running(["sheet", ...args, "--out", out, "--json"]);
    const { files, fill } = JSON.parse(told.out) as Report;
    expect(files.map((f) => f.kind)).toEqual(["bands", "alignment", "sheet", "sheet"]);
    const said = words(read(out, "square.sheet.html"));
    expect(said).toContain(sha256(read(out, "square.bands.svg")).match(/.{8}/g)!.join(" "));
    for (const { band, speedFactor } of fill!.bands!)
      expect(said).toMatch(new RegExp(`band-${band} .*${speedFactor!.toFixed(3)}`));
    expect(said).not.toContain("fill switched off");
  });

  it("a proof takes the fill's job", async () => {
    const out = fresh();
    const args = [piece, ...cup, ...even, ...beam, "--coating", "powder-red"];
    expect(await running(["proof", ...args, "--out", out])).toMatchObject({ code: 0, err: "" });
    expect(readdirSync(out).sort()).toEqual(["square.proof.pdf", "square.proof.png"]);
  });
});
