/** What is told of a fill that is marked all the same, and what is refused before anything is written. */
import { mkdirSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { describe, expect, it } from "vitest";
import type { Report } from "../../src/plan/report.ts";
import { cupOf } from "./cup.ts";
import { groupsOf, onFlat } from "./fillfile.ts";
import {
  art,
  checked,
  demo,
  expectRefused,
  folder,
  page,
  prepared,
  running,
  sharedJson,
  square,
} from "./helpers.ts";

const dir = folder();
const crest = demo("crest");
const piece = art(dir, "square.svg", square);
const centreLine = art(dir, "line.svg", page('<path d="M10 50H60" fill="none" stroke="#000"/>'));
const cup = ["--diameter", "80"];
const even = ["--fill", "even", "--pitch", "0.06"];
const beam = ["--source", "fibre-60", "--power", "27W", "--speed", "900", "--frequency", "50"];
let count = 0;
const fresh = (): string => join(dir, `run-${count++}`);
const read = (out: string, name: string): string => readFileSync(join(out, name), "utf8");
const fitsSchema = new Ajv2020().compile(sharedJson("report.schema.json") as object);

describe("told, and marked all the same", () => {
  const reason = (report: Report, code: string) => report.reasons.find((r) => r.code === code);

  it.concurrent("a pitch wider than the spot: once, with settings and without", async () => {
    for (const more of [[], beam]) {
      const { reasons } = await checked([piece, ...cup, "--fill", "even", "--pitch", "0.2", ...more]);
      const told = reasons.filter((r) => r.code === "pitch-beyond-spot");
      expect(told).toHaveLength(1);
      // The spot of f = 420 mm, D = 7 mm, M² = 1.5 at 1064 nm: 4 λ f M²/(π D) = 0.1219 mm.
      expect(told[0]!.message).toMatch(
        /0\.2 mm is wider than the spot of 0\.122 mm in focus: expect stripes/,
      );
      expect(told[0]!.hint).toMatch(/^give --pitch 0\.061 or less/);
    }
    const { reasons } = await checked([piece, ...cup, "--fill", "even", "--pitch", "0.12"]);
    expect(reasons.map((r) => r.code)).toEqual(["evened-by-falloff"]);
  });

  it.concurrent("a pitch wider than the ink", async () => {
    const args = [piece, ...cup, "--width", "5", "--fill", "plain", "--pitch", "10"];
    const report = await checked(args);
    expect(report.fill!.sets.map((s) => s.lines)).toEqual([0, 0]);
    expect(reason(report, "fill-no-lines")!.message).toMatch(
      /set at 90°, at 0°, 10 mm apart: nothing is laid/,
    );
    const { out } = await running(["check", ...args]);
    expect(out).toMatch(/^ {2}fill +plain: no lines at 90°\n +then no lines at 0°$/m);
  });

  it.concurrent("ink of centre lines only: no lines, no file", async () => {
    const out = fresh();
    const { report } = await prepared(centreLine, out, [...cup, "--strokes", "centre-line", ...even]);
    expect(reason(report, "fill-nothing")!.message).toMatch(/there is no filled ink within the limits/);
    expect(report.fill).toBeNull();
    expect(fitsSchema(report)).toBe(true);
    expect(readdirSync(out).filter((file) => file.endsWith(".svg"))).toEqual(["line.warped.svg"]);
  });

  it.concurrent("all ink beyond the limits: a stop without lines", async () => {
    const out = fresh();
    const args = [...cup, "--at", "50,0", ...even];
    const { report } = await prepared(piece, out, args, 3);
    expect(reason(report, "fill-nothing")!.severity).toBe("caution");
    expect(readdirSync(out)).not.toContain("square.fill.svg");
  });

  it.concurrent("some ink beyond them: the files say that they stop, and what has no lines", async () => {
    const out = fresh();
    const { report } = await prepared(
      piece,
      out,
      [...cup, "--width", "100", "--fill", "even", "--pitch", "0.12", "--dxf", "--bands", "2"],
      3,
    );
    expect(reason(report, "fill-within-limits")!.message).toMatch(/: \d+ % of the ink is left without/);
    for (const kind of ["fill", "bands"]) {
      const svg = read(out, `square.${kind}.svg`);
      expect(svg).toMatch(/^<\?xml[^>]*>\n<!-- STOP, do not mark this file as it is/);
      expect(svg).toContain("stop: ");
    }
    expect(read(out, "square.fill.svg")).toContain("ink beyond the limits has no lines here");
    expect(read(out, "square.fill.dxf")).toMatch(/^999\nSTOP, do not mark this file as it is/m);
    // Within the reach: the lines around end where the usable ink ends.
    const ends = groupsOf(out, "square.fill.svg")[1]!.lines.map(
      (l) => onFlat(cupOf(report), l.points[0]!)[0],
    );
    expect(2 * Math.max(...ends.map(Math.abs))).toBeCloseTo(report.reach.aroundMm, 1);
  });

  it.concurrent("a coating never cleared, and one not cleared at the sides, with where", async () => {
    const args = [crest, ...cup, "--width", "65", "--fill", "even", "--pitch", "0.1", "--speed", "900"];
    const coated = [...args, "--coating", "powder-black", "--angles", "90"];
    const never = await checked([...coated, "--power", "1W", "--frequency", "100"]);
    expect(reason(never, "coating-never-cleared")!.message).toMatch(
      /no pulse reaches the coating's threshold/,
    );
    expect(never.fill!.uneven.map((u) => u.reason)).toEqual(["below-threshold"]);
    const partly = await checked([...coated, "--power", "3W", "--frequency", "60"]);
    const told = reason(partly, "fill-below-threshold")!;
    const where = partly.fill!.uneven.filter((u) => u.reason === "below-threshold");
    for (const { fromMm, toMm } of where)
      expect(told.message).toContain(`${fromMm.toFixed(1)} to ${toMm.toFixed(1)}`);
    // Out to the side of the ink, which is farthest from focus and aslant: half of 65 mm.
    expect(where.at(-1)!.toMm).toBeCloseTo(32.5, 0);
  });
});

describe("refused in one line, nothing written", () => {
  // 60 bars across: 60 000 rows of 0.001 mm with 60 lines each.
  const bars = Array.from({ length: 60 }, (_, i) => `<rect x="0" y="${1.5 * i}" width="60" height="1"/>`);
  const comb = art(dir, "comb.svg", page(bars.join(""), 60, 90));
  const white = art(dir, "white.svg", page('<rect width="9" height="9" fill="#fff"/>'));
  const job = (name: string, more: object): string[] => [
    piece,
    "--job",
    art(dir, name, JSON.stringify({ vessel: { diameterMm: 80 }, ...more })),
  ];
  const settings = { powerW: 27, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.03 };
  const on = [piece, ...cup];
  it.concurrent.each<[string[], RegExp]>([
    [[...on, "--fill", "even", "--pitch", "0"], /--pitch must be at least 0\.001, found 0/],
    [[...on, "--fill", "even", "--pitch", "-1"], /--pitch must be at least 0\.001, found -1/],
    [[...on, "--fill", "even", "--pitch", "NaN"], /--pitch cannot be "NaN"/],
    [[...on, "--fill", "even", "--pitch", "11"], /--pitch must be at most 10/],
    [[...on, "--fill", "even"], /not how far apart lines are: give --pitch/],
    [[...on, "--bands", "3"], /not how far apart lines are: give --pitch/],
    [
      [...on, ...even, "--angles", "0"],
      /square\.svg: none of the sets at 0° runs along the axis.*--angles 90,0/,
    ],
    [[...on, ...even, "--angles", "89,45"], /none of the sets at 89°, 45° runs along/],
    [
      [...on, "--pitch-limits", "0.01,0.05"],
      /no fill is asked for: give --fill even, --fill plain or --bands/,
    ],
    [[...on, "--dxf"], /no fill is asked for/],
    [[...on, "--travel", "one-way"], /no fill is asked for/],
    [[...on, "--trim-ends"], /no fill is asked for/],
    [[...on, "--bands-by", "power"], /no fill is asked for/],
    [[...on, "--bands", "1", "--pitch", "0.05"], /--bands must be at least 2, found 1/],
    [[...on, "--bands", "99", "--pitch", "0.05"], /--bands must be at most 32, found 99/],
    [[...on, "--bands", "2.5", "--pitch", "0.05"], /--bands must be a whole number/],
    [
      [...on, ...even, "--pitch-limits", "0.05,0.01"],
      /smallest pitch of 0\.05 mm is more than the largest of 0\.01/,
    ],
    [[...on, ...even, "--pitch-limits", "0.05"], /--pitch-limits takes two numbers/],
    [[...on, ...even, "--pitch-limits", "0,0.05"], /--pitch-limits must be at least 0\.001/],
    [
      [...on, ...even, "--tolerance", "0.0001"],
      /holds no tolerance of 0\.0001 mm: give a --tolerance of 0\.0002/,
    ],
    [[...on, ...even, "--power", "27W"], /the settings lack --speed, --frequency/],
    [[...on, "--fill", "evn", "--pitch", "0.05"], /--fill must be one of "even", "plain", found "evn"/],
    [[...on, ...even, "--travel", "up"], /--travel must be one of "both-ways", "one-way"/],
    [[...on, ...even, "--outline-pass", "no"], /--outline-pass must be one of "before", "after"/],
    [[...on, ...even, "--lines", "dots"], /--lines must be one of "curves", "polyline"/],
    [[...on, ...even, "--fill-files", "two"], /--fill-files must be one of "one", "each"/],
    [[...on, ...even, "--bands-by", "dose"], /--bands-by must be one of "speed", "power"/],
    [
      [comb, ...cup, "--fill", "plain", "--pitch", "0.001"],
      /comb\.svg: a set would have about 3600 thousand lines.*2000 thousand.*--pitch, about 0\.0018/,
    ],
    [
      [comb, ...cup, "--fill", "even", "--pitch", "0.001"],
      /comb\.svg: a set would have about \d+ thousand lines/,
    ],
    [[white, ...cup, ...even], /white\.svg: nothing in the file can be marked/],
    [
      job("two.json", { settings, fill: { lines: "even", pitchMm: 0.05 } }),
      /the pitch of the settings \(0\.03\) and of the job file's fill \(0\.05\) are not the same.*--pitch/,
    ],
    [
      job("part.json", { settings: { pitchMm: 0.03 }, fill: { lines: "even", pitchMm: 0.05 } }),
      /give --pitch/,
    ],
    [
      job("ways.json", {
        settings: { ...settings, anglesDeg: [90, 0] },
        fill: { lines: "even", anglesDeg: [90, 45] },
      }),
      /\(90,0\).*\(90,45\).*--angles/,
    ],
    [
      job("often.json", { settings: { ...settings, passes: 1 }, fill: { lines: "even", passes: 3 } }),
      /\(1\).*\(3\).*--passes/,
    ],
    [
      job("key.json", { fill: { line: "even" } }),
      /key\.json: unknown key "fill\.line": did you mean "lines"/,
    ],
  ])("%j", async (args, names) => {
    const out = fresh();
    expectRefused(await running(["prepare", ...args, "--out", out, "--no-pictures"]), names, out);
  });

  it("an artwork of the name of a file of lines is not written over", async () => {
    const out = fresh();
    mkdirSync(out);
    art(out, "square.fill.svg", square);
    const ran = await running(["prepare", ...on, ...even, "--out", out, "--no-pictures"]);
    expectRefused(ran, /square\.fill\.svg would be written over, and it is not of an earlier run/);
    expect(readdirSync(out)).toEqual(["square.fill.svg"]);
    expect(read(out, "square.fill.svg")).toBe(square);
  });

  it("two pitches in a job file are one where an option says which", async () => {
    const args = job("three.json", { settings, fill: { lines: "plain", pitchMm: 0.05 } });
    const { fill, process: p } = await checked([...args, "--pitch", "0.04"]);
    expect([fill!.pitchMm, p!.settings.pitchMm]).toEqual([0.04, 0.04]);
  });
});
