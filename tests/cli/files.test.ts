/** What `prepare` writes: the marks, the report, the job, the pictures; whole or not at all. */
import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { describe, expect, test } from "vitest";
import type { Job } from "../../src/job/job.ts";
import { art, demo, door, fallaway, folder, page, prepared, results, sharedJson, square } from "./helpers.ts";
import { boxOf, pointsOf, readMarks, rootOf } from "./marks.ts";

const dir = folder();
const jobOf = (file: string): Job => JSON.parse(readFileSync(file, "utf8")) as Job;
const cup = ["--diameter", "82"];

const full = join(dir, "full");
const fullRun = fallaway(["prepare", demo("crest"), "--out", full, ...cup, "--json"]);
const crest = { ...fullRun, dir: full, ...results(full) };
const lettering = await prepared(demo("lettering"), join(dir, "lettering"), [
  ...cup,
  "--rotate",
  "90",
  "--at",
  "11,3",
]);
const tangle = art(
  dir,
  "tangle.svg",
  page(
    '<rect id="tall" x="5" y="5" width="90" height="290"/><circle id="ring" cx="60" cy="40" r="30"/>' +
      '<path id="thread" d="M2 20C40 80 70 -20 98 60" fill="none" stroke="#000"/>',
    100,
    300,
  ),
);
const stopped = await prepared(
  tangle,
  join(dir, "stopped"),
  ["--diameter", "64", "--at", "12,9", "--strokes", "centre-line", "--keep-shapes"],
  3,
);

describe.each([
  ["crest", crest, 300],
  ["lettering up the length", lettering, 300],
  ["stopped", stopped, 300],
] as const)("the marks of the %s", (_, { svg, report }, field) => {
  const root = rootOf(svg);
  const marks = readMarks(svg, 400);

  test("the page is the field in mm, its middle the optical axis", () => {
    expect(root.attributes).toMatchObject({
      width: `${field}mm`,
      height: `${field}mm`,
      viewBox: `${-field / 2} ${-field / 2} ${field} ${field}`,
    });
  });
  test("marks only: groups named by zone, paths in them, `hidden` left out", () => {
    for (const group of root.children) {
      expect(group.name).toBe("g");
      expect(["usable", "out-of-depth", "oblique", "off-field"]).toContain(group.attributes.id);
      expect(group.children.map((c) => c.name)).toEqual(group.children.map(() => "path"));
    }
    const inked = report.zones.filter((z) => z.share > 0 && z.zone !== "hidden").map((z) => z.zone as string);
    expect(root.children.map((g) => g.attributes.id!).sort()).toEqual(inked.sort());
    expect(svg).not.toMatch(/transform|style|<use|<text/);
  });
  test("absolute path data of at most 4 decimals, closed paths end on their first point", () => {
    for (const { d, outlines, id } of marks) {
      expect(d, id).toMatch(/^(M-?[\d.]+ -?[\d.]+([LC](-?[\d.]+[ ]?)+)+Z?)+$/);
      expect(d, id).not.toMatch(/\.\d{5}|e|NaN|Infinity|-0(?![.\d])/);
      for (const { closed, nodes } of outlines) if (closed) expect(nodes.at(-1), id).toEqual(nodes[0]);
    }
    const open = marks.filter((m) => m.outlines.some((o) => !o.closed)).map((m) => m.id);
    expect(open.every((id) => id.startsWith("thread"))).toBe(true);
  });
  test("no id twice", () => {
    const ids = [...svg.matchAll(/ id="([^"]*)"/g)].map((m) => m[1]);
    expect(new Set(ids).size).toBe(ids.length);
  });
  test("the box in the report is the box of the marks", () => {
    for (const [told, of] of [
      [report.box!, marks],
      [report.box!.usable!, marks.filter((m) => m.zone === "usable")],
    ] as const) {
      const { centre, size } = boxOf(pointsOf(of));
      for (const i of [0, 1] as const) {
        expect(Math.abs(told.centreMm[i] - centre[i])).toBeLessThan(1e-4);
        expect(Math.abs(told.sizeMm[i] - size[i])).toBeLessThan(2e-4);
      }
    }
  });
});

test("source ids are kept, the group steps aside for a shape with its name", async () => {
  const drawn = (svg: string): string[] =>
    [...svg.matchAll(/<(?:path|circle|rect|ellipse|polygon)\b[^>]*?\bid="([^"]+)"/g)].map((m) => m[1]!);
  const kept = readMarks(crest.svg).map((m) => m.id);
  const source = drawn(readFileSync(demo("crest"), "utf8"));
  expect(source.length).toBeGreaterThan(3);
  expect(kept).toEqual(expect.arrayContaining(source));
  const odd = page(
    '<rect id="usable" x="10" y="10" width="5" height="5"/><rect id="zone-usable" x="20" y="10" width="5" height="5"/>' +
      '<rect id="a&quot;b&lt;&amp;c" x="30" y="10" width="5" height="5"/><rect id="Möwe" x="40" y="10" width="5" height="5"/>',
  );
  const { svg } = await prepared(art(dir, "odd.svg", odd), join(dir, "odd"), cup);
  expect(rootOf(svg).children[0]!.children.map((c) => c.attributes.id)).toEqual([
    "usable",
    "zone-usable",
    "a&quot;b&lt;&amp;c",
    "Möwe",
  ]);
  const ids = [...svg.matchAll(/ id="([^"]*)"/g)].map((m) => m[1]);
  expect(new Set(ids).size, svg).toBe(ids.length);
});

describe("what stands in the way", () => {
  const mixed = art(
    dir,
    "mixed.svg",
    page(
      '<rect id="blurred" x="30" y="30" width="20" height="20" filter="url(#f)"/>\n' +
        '<circle id="eye" cx="40" cy="40" r="2" fill="#fff"/><image id="photo" width="9" height="9" href="x.png"/>\n' +
        '<rect id="masked" x="60" y="30" width="20" height="20" mask="url(#gone)"/>',
    ),
  );
  test("is told with its element and line, exit 2, nothing written", () => {
    const out = join(dir, "mixed");
    const ran = fallaway(["prepare", mixed, "--out", out, ...cup]);
    expect(ran).toMatchObject({ code: 2, out: "" });
    const [head, ...lines] = ran.err.trimEnd().split("\n");
    expect(head).toMatch(/^fallaway: .*mixed\.svg: 3 things stand in the way, nothing was written$/);
    expect(lines[0]).toMatch(
      /^ {2}filter-not-applied: a filter .*\(rect “blurred”, line 1, column \d+\): \S/,
    );
    expect(lines[1]).toMatch(
      /^ {2}picture-not-loaded: the picture “x\.png” .*\(image “photo”, line 2, column \d+\): \S/,
    );
    expect(lines[2]).toMatch(/^ {2}mask-missing: the mask .*\(rect “masked”, line 3, column \d+\): \S/);
    expect(lines[3]).toMatch(/--allow filter-not-applied picture-not-loaded mask-missing$/);
    expect(lines).toHaveLength(4);
    expect(existsSync(out)).toBe(false);
  });
  test("is a caution of the report once it is allowed", async () => {
    const allow = ["--allow", "filter-not-applied", "picture-not-loaded", "mask-missing"];
    const { report, svg } = await prepared(mixed, join(dir, "allowed"), [...cup, ...allow]);
    expect(report.verdict).toBe("caution");
    expect(report.reasons.map((r) => `${r.severity} ${r.code} ${r.where?.id}`)).toEqual([
      "caution filter-not-applied blurred",
      "caution picture-not-loaded photo",
      "caution mask-missing masked",
    ]);
    expect(readMarks(svg).map((m) => m.id)).toEqual(["blurred", "masked"]);
    // The eye is knocked out of the square: two outlines.
    expect(readMarks(svg)[0]!.outlines).toHaveLength(2);
  });
});

describe("the files of a run", () => {
  test("all five, named after the artwork, nothing else; standard output is the report", () => {
    expect(fullRun).toMatchObject({ code: 0, err: "" });
    const name = "heron-reach-crest";
    const ends = ["heatmap.png", "job.json", "report.json", "warped.svg", "zones.svg"];
    expect(readdirSync(full).sort()).toEqual(ends.map((end) => `${name}.${end}`));
    expect(JSON.parse(fullRun.out)).toEqual(crest.report);
  });
  test("the report lists them with their bytes and SHA-256", () => {
    expect(crest.report.files.map((f) => f.kind).sort()).toEqual(["heatmap", "job", "warped", "zones"]);
    for (const { path, bytes, sha256 } of crest.report.files) {
      const data = readFileSync(join(full, path));
      expect(data.length, path).toBe(bytes);
      expect(createHash("sha256").update(data).digest("hex"), path).toBe(sha256);
    }
    // PNG signature: W3C PNG (Third Edition), 5.2.
    const png = readFileSync(join(full, "heron-reach-crest.heatmap.png"));
    expect([...png.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10]);
  });
  test("--no-pictures leaves the pictures out and changes no mark", async () => {
    const { svg } = await prepared(demo("crest"), join(dir, "plain"), cup);
    expect(svg).toBe(crest.svg);
    expect(readdirSync(join(dir, "plain"))).toHaveLength(3);
  });
  test("the report's numbers hang together", () => {
    for (const { report } of [crest, lettering, stopped]) {
      const { focus, head, falloff, zones, fit, spot } = report;
      expect(focus.lensToCrownMm).toBeCloseTo(head.workingDistanceMm - focus.belowCrownMm, 9);
      expect(falloff.ratio).toBeCloseTo(falloff.min / falloff.max, 9);
      expect(zones.reduce((sum, z) => sum + z.share, 0)).toBeCloseTo(1, 6);
      expect(fit.certifiedErrorMm).toBeLessThanOrEqual(fit.toleranceMm);
      expect(falloff.profile.length).toBeGreaterThan(20);
      for (const p of falloff.profile) {
        expect(p.defocusMm).toBeCloseTo(p.dropMm - focus.belowCrownMm, 9);
        expect(p.angleDeg).toBeCloseTo((p.aroundMm / (report.vessel.diameterMm / 2)) * (180 / Math.PI), 9);
        expect(p.relativeFluence).toBeGreaterThan(0);
        expect(p.relativeFluence).toBeLessThanOrEqual(1);
      }
      expect(spot.rayleighMm).toBeGreaterThan(0);
    }
    expect(stopped.report.verdict).toBe("stop");
    expect(stopped.report.reasons.some((r) => r.severity === "stop")).toBe(true);
  });
  test.each(["report", "job"])("shared/%s.schema.json describes it", (kind) => {
    const validate = new Ajv2020({ strict: false }).compile(sharedJson(`${kind}.schema.json`) as object);
    const written = readdirSync(full).find((name) => name.endsWith(`.${kind}.json`))!;
    const ok = validate(JSON.parse(readFileSync(join(full, written), "utf8")));
    expect(validate.errors ?? []).toEqual([]);
    expect(ok).toBe(true);
  });
  test("names with spaces and letters of any script", () => {
    const there = join(dir, "Heron Reach – März");
    mkdirSync(there);
    const source = art(there, 'Reiher & Schilf #1 "ü".v2.svg', square);
    const ran = fallaway(["prepare", source, "--out", join(there, "für Łódź"), ...cup]);
    expect(ran).toMatchObject({ code: 0, err: "" });
    expect(readdirSync(join(there, "für Łódź"))).toHaveLength(5);
    expect(readdirSync(join(there, "für Łódź"))).toContain('Reiher & Schilf #1 "ü".v2.warped.svg');
  });
});

test("without pictures those of an earlier run are removed; a packed file that is cut short is named", async () => {
  const dir = folder();
  const file = art(dir, "sq.svg", square);
  const out = join(dir, "out");
  expect(fallaway(["prepare", file, "--out", out, "--diameter", "82"]).code).toBe(0);
  expect(readdirSync(out)).toContain("sq.heatmap.png");
  expect(fallaway(["prepare", file, "--out", out, "--diameter", "82", "--no-pictures"]).code).toBe(0);
  expect(readdirSync(out).sort()).toEqual(["sq.job.json", "sq.report.json", "sq.warped.svg"]);
  const packed = art(dir, "packed.svgz", Uint8Array.of(0x1f, 0x8b, 8, 0));
  expect(fallaway(["check", packed, "--diameter", "82"]).err).toMatch(
    /packed\.svgz is compressed.*cut short or damaged/,
  );
});

describe("the job beside the results repeats the run", () => {
  test.each([
    ["crest", crest, "heron-reach-crest"],
    ["lettering", lettering, "heron-reach-lettering"],
    ["stopped", stopped, "tangle"],
  ] as const)("%s: same marks from the job alone", (key, first, name) => {
    const out = join(dir, `again-${key}`);
    const job = join(first.dir, `${name}.job.json`);
    const ran = fallaway(["prepare", "--job", job, "--out", out, "--no-pictures"]);
    expect(ran).toMatchObject({ code: first.code, err: "" });
    expect(results(out).svg).toBe(first.svg);
    const again = jobOf(join(out, `${name}.job.json`));
    const { artwork, ...rest } = jobOf(job);
    expect(again).toEqual({ ...rest, artwork: { ...artwork, path: again.artwork!.path } });
    expect(JSON.stringify(results(out).report.reasons)).toBe(JSON.stringify(first.report.reasons));
  });
  test("from a folder beside it, every file to the byte", () => {
    const here = folder();
    const file = art(here, "sq.svg", square);
    const [one, two] = [join(here, "one"), join(here, "two")];
    expect(fallaway(["prepare", file, "--out", one, "--diameter", "82"]).code).toBe(0);
    expect(fallaway(["prepare", "--job", join(one, "sq.job.json"), "--out", two]).code).toBe(0);
    for (const name of readdirSync(one)) {
      expect(readFileSync(join(two, name)).equals(readFileSync(join(one, name))), name).toBe(true);
    }
  });
  test("option over job file over profile over default", async () => {
    const asked = { vessel: { diameterMm: 70 }, lens: { id: "field-200", focalLengthMm: 270 } };
    const job = art(
      dir,
      "asked.json",
      JSON.stringify({ ...asked, toleranceMm: 0.005, placement: { widthMm: 30 } }),
    );
    art(dir, "square.svg", square);
    const out = join(dir, "asked");
    await prepared(join(dir, "square.svg"), out, [
      "--job",
      job,
      "--width",
      "25",
      "--field",
      "190",
      "--circumference",
      "220",
    ]);
    const resolved = jobOf(join(out, "square.job.json"));
    expect(resolved.vessel.diameterMm).toBeCloseTo(220 / Math.PI, 10);
    expect(resolved.placement.widthMm).toBe(25);
    expect(resolved.toleranceMm).toBe(0.005);
    expect(resolved.lens).toMatchObject({
      id: "field-200",
      focalLengthMm: 270,
      fieldMm: 190,
      workingDistanceMm: 330,
    });
    expect(resolved).toMatchObject({ axis: "y", focus: "best", limits: { maxIncidenceDeg: 60 } });
    // Another lens by option takes its own figures, not those that the job file gives for the old one.
    const other = fallaway(["check", join(dir, "square.svg"), "--job", job, "--lens", "field-220", "--json"]);
    expect(JSON.parse(other.out)).toMatchObject({
      head: { lens: "field-220", focalLengthMm: 330, fieldMm: 220 },
    });
  });
  test("folder and artwork moved together; a changed artwork is said", async () => {
    const one = join(dir, "one");
    mkdirSync(one);
    const source = art(one, "square.svg", square);
    const { svg } = await prepared(source, join(one, "out"), cup);
    cpSync(one, join(dir, "two"), { recursive: true });
    const job = join(dir, "two", "out", "square.job.json");
    expect(fallaway(["prepare", "--job", job, "--out", join(dir, "three"), "--no-pictures"]).code).toBe(0);
    expect(results(join(dir, "three")).svg).toBe(svg);
    art(join(dir, "two"), "square.svg", `${square}\n`);
    const changed = fallaway(["check", "--job", job, "--json"]);
    expect(changed.code).toBe(0);
    expect(changed.out).toContain("artwork-changed");
  });
  test("a whole path to the artwork in the job file is taken as it is", () => {
    const source = art(dir, "whole.svg", square);
    const job = art(
      dir,
      "whole.json",
      JSON.stringify({ artwork: { path: source }, vessel: { diameterMm: 82 } }),
    );
    expect(fallaway(["check", "--job", job])).toMatchObject({ code: 0, err: "" });
  });
});

describe("whole or not at all", () => {
  test("check writes nothing", () => {
    const empty = join(dir, "empty");
    mkdirSync(empty);
    expect(fallaway(["check", demo("crest"), ...cup], empty).code).toBe(0);
    expect(readdirSync(empty)).toEqual([]);
  });
  test("a name that is taken by a folder: nothing new is written beside it", () => {
    const taken = join(dir, "taken");
    mkdirSync(join(taken, "square.report.json"), { recursive: true });
    const source = art(dir, "square.svg", square);
    const ran = fallaway(["prepare", source, "--out", taken, "--no-pictures", ...cup]);
    expect(ran.code).toBe(2);
    expect(ran.err).toMatch(/^fallaway: .*square\.report\.json.*: .*\n$/);
    expect(readdirSync(taken)).toEqual(["square.report.json"]);
  });
  test("killed at any moment: every file under a real name is whole", async () => {
    const shapes = Array.from({ length: 6000 }, (_, i) => {
      const [x, y] = [(i % 80) * 0.75, Math.floor(i / 80) * 0.75];
      return `<path d="M${x} ${y}c.2 -.1 .4 .1 .5 0v.5c-.2 .1 -.3 -.1 -.5 0z"/>`;
    });
    const source = art(dir, "reeds.svg", page(shapes.join("\n")));
    const whole = join(dir, "whole-run");
    await prepared(source, whole, cup);
    const names = readdirSync(whole);
    const kill = (out: string, when: number | "first-file"): Promise<void> =>
      new Promise((done) => {
        const args = [door, "prepare", source, "--out", out, "--no-pictures", ...cup];
        const child = spawn(process.execPath, args, { stdio: "ignore" });
        const shoot = (): boolean => child.kill("SIGKILL");
        const look = (): void => {
          if (existsSync(out) && readdirSync(out).length > 0) shoot();
          else if (child.exitCode === null && child.signalCode === null) setTimeout(look, 0);
        };
        if (when === "first-file") look();
        else setTimeout(shoot, when);
        child.on("close", () => done());
      });
    for (const [i, when] of (["first-file", "first-file", 100, 400, 700] as const).entries()) {
      const out = join(dir, `killed-${i}`);
      await kill(out, when);
      const found = existsSync(out) ? readdirSync(out) : [];
      for (const name of found.filter((n) => names.includes(n))) {
        expect(readFileSync(join(out, name), "utf8") === readFileSync(join(whole, name), "utf8"), name).toBe(
          true,
        );
      }
      for (const name of found.filter((n) => !names.includes(n))) expect(name).toMatch(/^\..*\.tmp$/);
    }
  });
});
