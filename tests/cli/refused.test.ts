/** Bad input: one line that names the file or the option and says what to do, exit 2, nothing written. */
import { mkdirSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { art, expectRefused, fallaway, folder, page, running, square } from "./helpers.ts";

const dir = folder();
const good = art(dir, "good.svg", square);
const cup = ["--diameter", "82"];
let count = 0;

/** Each run asks for a folder of its own, which must not appear. */
async function refused(args: readonly string[], names: RegExp): Promise<string> {
  const out = join(dir, `none-${count++}`);
  const ran = await running(["prepare", ...args, "--out", out]);
  expectRefused(ran, names, out);
  return ran.err;
}

describe("the vessel and the numbers", () => {
  test.concurrent.each([
    [[], /--diameter.*--circumference/],
    [["--diameter", "82", "--circumference", "257"], /--diameter.*--circumference/],
    [["--diameter", "NaN"], /--diameter.*NaN/],
    [["--diameter", "-82"], /--diameter.*-82/],
    [["--diameter=-82"], /--diameter.*-82/],
    [["--diameter", "0"], /--diameter/],
    [["--diameter", "82mm"], /--diameter.*82mm.*without a unit/],
    [["--diameter", "82,5"], /--diameter.*82,5/],
    [["--diameter", "1e999"], /--diameter.*1e999/],
    [["--diameter", ""], /--diameter/],
    [["--diameter", "0x52"], /--diameter.*0x52/],
    [["--circumference", "-257"], /--circumference/],
  ] as const)("%j", async (args, names) => {
    await refused([good, ...args], names);
  });

  test.concurrent.each([
    [["--width", "0"], /--width/],
    [["--height", "-1"], /--height/],
    [["--rotate", "ninety"], /--rotate.*ninety/],
    [["--at", "5"], /--at.*comma/],
    [["--at", "5,right"], /--at.*right/],
    [["--fidelity", "flat"], /--fidelity.*girth.*sight/],
    [["--pivot", "0"], /--pivot/],
    [["--pivot", "far"], /--pivot.*far.*telecentric/],
    [["--m2", "0.8"], /--m2/],
    [["--beam-diameter", "-7"], /--beam-diameter/],
    [["--usable-depth", "deep"], /--usable-depth.*deep.*rayleigh/],
    [["--max-incidence", "90"], /--max-incidence/],
    [["--focus", "middle"], /--focus.*middle.*(best.*crown|crown.*best)/],
    [["--focus", "600"], /--focus/],
    [["--axis", "z"], /--axis.*x.*y/],
    [["--tolerance", "0"], /--tolerance/],
    [["--ink", "black"], /--ink.*dark.*light.*any/],
    [["--ink-below", "1.5"], /--ink-below.*1/],
    [["--ink-below", "half"], /--ink-below.*half/],
    [["--ink-colour", "navy"], /ink colour.*navy.*#rrggbb/],
    [["--strokes", "middle"], /--strokes.*outline.*centre-line/],
    [["--fonts", join("no", "such", "font.ttf")], /font\.ttf.*--fonts/],
  ] as const)("%j", async (args, names) => {
    await refused([good, ...cup, ...args], names);
  });
});

describe("the command line itself", () => {
  test.concurrent.each([
    [["prepare", good, ...cup], /--out/],
    [["prepare", good, ...cup, "--out", join(dir, "none"), "--focsu", "3"], /--focsu.*--focus/],
    [["check", good, "--diameter"], /--diameter/],
    [["check", good, good, ...cup], /check/],
    [["chekc", good], /chekc.*check/],
    [["check", ...cup], /artwork.*SVG/],
    [["profiles", "lens"], /lenses/],
  ] as const)("%j", async (args, names) => {
    expectRefused(await running(args), names, join(dir, "none"));
  });
});

describe("an unknown lens", () => {
  test.concurrent("by option: named, with the nearest names", async () => {
    const err = await refused([good, ...cup, "--lens", "feild-300"], /"feild-300".*field-300/);
    expect(err).toContain("--lens");
  });
  test.concurrent("by its field alone", async () => {
    await refused([good, ...cup, "--lens", "300mm"], /"300mm".*field-300/);
  });
  test.concurrent("in the job file: the file is named", async () => {
    const job = art(dir, "lens.json", '{"vessel":{"diameterMm":82},"lens":{"id":"field-11"}}');
    await refused([good, "--job", job], /lens\.json.*field-11.*field-110/);
  });
});

describe("the job file", () => {
  test.concurrent.each([
    ['{"vessel":{"diameterMm":82,"diametre":80}}', /job-\d+\.json.*"vessel\.diametre".*diameterMm/],
    ['{"vesel":{"diameterMm":82}}', /job-\d+\.json.*"vesel".*"vessel"/],
    ['{"vessel":{"diameterIn":3.2}}', /job-\d+\.json.*diameterIn.*diameterMm/],
    ['{"vessel":{"diameterMm":"82mm"}}', /job-\d+\.json.*vessel\.diameterMm.*"82mm".*without a unit/],
    ['{"vessel":{"diameterMm":"3.2in"}}', /job-\d+\.json.*vessel\.diameterMm.*mm/],
    ['{"vessel":{"diameterMm":-82}}', /job-\d+\.json.*vessel\.diameterMm.*-82/],
    ['{"vessel":{"diameterMm":null}}', /job-\d+\.json.*vessel\.diameterMm/],
    ['{"vessel":{"diameterMm":82},"limits":{"maxIncidenceDeg":"60°"}}', /limits\.maxIncidenceDeg.*degrees/],
    ['{"vessel":{"diameterMm":82},"placement":{"atMm":[1]}}', /job-\d+\.json.*placement\.atMm/],
    ['{"vessel":{"diameterMm":82},"focus":"midle"}', /job-\d+\.json.*focus.*"midle"/],
    ['{"schema":"fallaway-job-9","vessel":{"diameterMm":82}}', /job-\d+\.json.*schema.*fallaway-job-1/],
    ['{"vessel":{"diameterMm":82,"circumferenceMm":257}}', /diameter.*circumference/],
    ["[]", /job-\d+\.json.*object/],
    ['{"vessel":{"diameterMm":82},}', /job-\d+\.json is not JSON/],
    ["diameter: 82\nlens: field-300\n", /job-\d+\.json is not JSON/],
    ["", /job-\d+\.json is empty/],
  ])("%s", async (text, names) => {
    const job = art(dir, `job-${count++}.json`, text);
    await refused([good, "--job", job], names);
  });
  test.concurrent("missing, or a folder", async () => {
    await refused([good, "--job", join(dir, "nowhere.json")], /nowhere\.json does not exist/);
    await refused([good, "--job", dir], /is a folder/);
  });
  test.concurrent("names an artwork that is not there", async () => {
    const job = art(dir, "gone.json", '{"vessel":{"diameterMm":82},"artwork":{"path":"gone.svg"}}');
    await refused(["--job", job], /gone\.svg does not exist/);
  });
});

describe("the artwork", () => {
  const head = '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9">';
  const lines: string[] = [];
  test.concurrent.each([
    ["empty.svg", "", /empty\.svg.*empty/],
    ["blank.svg", " \n\n", /blank\.svg.*empty/i],
    ["plain.svg", "Heron Reach", /plain\.svg.*line 1/],
    ["page.svg", "<html><body/></html>", /page\.svg.*html.*svg/i],
    ["broken.svg", `${head}\n<g>\n  <path d="M0 0H1"/>\n</svg>`, /broken\.svg.*line 4, column \d/],
    ["cut.svg", `${head}\n<g><path id="a"\n d="M0`, /cut\.svg.*line 3, column \d/],
    ["quote.svg", `${head}\n<path d=M0/></svg>`, /quote\.svg.*line 2, column 9/],
    ["none.svg", `${head}</svg>`, /none\.svg.*nothing is painted: check/],
    [
      "white.svg",
      `${head}<rect width="5" height="5" fill="#fff"/></svg>`,
      /white\.svg.*1 shape is painted, all lighter.*#ffffff.*--ink light/,
    ],
    ["away.svg", `${head}<rect width="5" height="5" display="none"/></svg>`, /away\.svg/],
    ["words.svg", `${head}<text y="5">Heron</text></svg>`, /words\.svg.*Heron.*--allow font-missing/],
    [
      "grey.svg",
      `${head}<rect width="5" height="5" fill="#ccc"/></svg>`,
      /grey\.svg.*lighter.*#cccccc.*--ink-below/,
    ],
    ["size.svg", `${head.replace("9mm", "0")}<rect width="5" height="5"/></svg>`, /size\.svg.*width/],
    ["bytes.svg", Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0xff, 0xfe, 0), /bytes\.svg.*SVG/],
  ])("%s", async (name, text, names) => {
    lines.push(await refused([art(dir, name, text), ...cup], names));
  });
  test("its errors read as sentences: no full stop before the colon", () => {
    expect(lines.filter((line) => line.includes(".:"))).toEqual([]);
  });
  test.concurrent("missing, or a folder", async () => {
    await refused([join(dir, "gone.svg"), ...cup], /gone\.svg does not exist/);
    await refused([dir, ...cup], /is a folder/);
  });
  test.concurrent("a size along which the ink has none", async () => {
    const line = art(dir, "line.svg", page('<path d="M10 50H90" fill="none" stroke="#000"/>'));
    await refused([line, ...cup, "--strokes", "centre-line", "--height", "20"], /line\.svg.*--height/);
  });
});

describe("the folder", () => {
  test.each([["good.svg"], ["good.svg/deeper"], ["good.svg/deeper/still"]])(
    "--out %s is a file's",
    (path) => {
      const before = readdirSync(dir);
      const ran = fallaway(["prepare", good, ...cup, "--out", join(dir, path)]);
      expectRefused(ran, /--out .*good\.svg/);
      expect(readdirSync(dir)).toEqual(before);
    },
  );
  test("--out with nothing in it", () => {
    expectRefused(fallaway(["prepare", good, ...cup, "--out", ""], dir), /--out/);
  });
  test("a folder in place of the one asked for stays as it was", () => {
    const there = join(dir, "there");
    mkdirSync(there);
    const ran = fallaway(["prepare", good, "--diameter", "0", "--out", there]);
    expectRefused(ran, /--diameter/);
    expect(readdirSync(there)).toEqual([]);
  });
});
