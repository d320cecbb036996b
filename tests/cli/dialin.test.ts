/** Strips marked, read and fitted through the door; the forms of fixtures/demo/dial-in are what the simulation reads. */
import { copyFileSync, existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import { readPdf } from "../support/pdf.ts";
import { checked, demo, expectRefused, fallaway, folder, prepared } from "./helpers.ts";

const black = [
  ...["--diameter", "76.4", "--source", "fibre-60", "--coating", "powder-black", "--power", "27W"],
  ...["--speed", "900", "--frequency", "50", "--pitch", "0.025"],
];
const form = (name: string): string =>
  fileURLToPath(new URL(`../../fixtures/demo/dial-in/${name}.readings.csv`, import.meta.url));
const ladders = ["settings", "focus", "squares"] as const;
const dir = folder();
const filled = (name: string): string => join(dir, `${name}.readings.csv`);

beforeAll(() => {
  for (const ladder of ladders) {
    const ran = fallaway(["strip", "--ladder", ladder, "--out", dir, ...black]);
    expect(ran, ran.err).toMatchObject({ code: 0, err: "" });
    copyFileSync(form(ladder), filled(ladder));
  }
}, 120_000);

describe("strip", () => {
  it("writes marks, what stands on them, the form and the sheet", () => {
    const names = readdirSync(dir).filter((name) => name.startsWith("settings."));
    expect(names.sort()).toEqual(
      ["settings.readings.csv", "settings.strip.json", "settings.strip.pdf", "settings.strip.svg"].sort(),
    );
    expect(readdirSync(dir).filter((name) => /^focus.*svg$/.test(name))).toHaveLength(4);
  });

  it("says every bar's number, place and width, in mm from the crown line", () => {
    const { bars } = JSON.parse(readFileSync(join(dir, "settings.strip.json"), "utf8"));
    expect(bars).toHaveLength(89);
    expect(bars[0]).toEqual({ number: 1, atMm: -44, widthMm: 0.6 });
    expect(bars.at(-1)).toEqual({ number: 89, atMm: 44, widthMm: 0.6 });
  });

  it("has a sheet with the settings, the cautions and a box for everything that is read", async () => {
    const pdf = await readPdf(readFileSync(join(dir, "settings.strip.pdf")));
    const words = pdf.pages
      .flatMap((page) => page.texts.map((one) => one.words))
      .join(" ")
      .replace(/\s+/g, " ");
    for (const said of [
      "READING SHEET",
      "Class 4 laser",
      "1064 nm",
      "settings.strip.svg",
      "fallaway fit settings.readings.csv",
      "493.0",
      "4270",
    ])
      expect(words).toContain(said);
    expect(pdf.pages).toHaveLength(1);
  });

  it("--json says the same and nothing else; a filled form is not written over", () => {
    const other = folder();
    const ran = fallaway(["strip", "--out", other, "--json", ...black]);
    const { strip, files } = JSON.parse(ran.out);
    expect(strip).toEqual(JSON.parse(readFileSync(join(other, "settings.strip.json"), "utf8")));
    for (const file of files) expect(existsSync(join(other, file))).toBe(true);
    expect(fallaway(["strip", "--out", other, ...black]).code).toBe(0);
    copyFileSync(form("settings"), join(other, "settings.readings.csv"));
    const kept = fallaway(["strip", "--out", other, ...black]);
    expect(kept.code).toBe(2);
    expect(kept.err).toMatch(/has readings in it/);
    expect(readFileSync(join(other, "settings.readings.csv"), "utf8")).toBe(
      readFileSync(form("settings"), "utf8"),
    );
  });

  it.each([
    [["--ladder", "foccus"], /did you mean focus/],
    [["--marks", "0"], /--marks must be 1 to 24/],
    [["--ladder", "squares", "--marks", "1"], /--marks must be 2/],
    [["--tilt", "20"], /--tilt is for --ladder ramp/],
    [["--name", "../x"], /--name cannot be/],
    [["--bar-pitch", "0.4"], /bars, more than two digits/],
    [["--vessel-height", "30"], /the strip is .* mm tall/],
    [["--range", "5"], /--range takes two numbers/],
    [["--range", "30,90"], /90 W, and the source gives 60 W/],
  ])("refuses %j", (more, said) => {
    const out = join(dir, "refused");
    expectRefused(fallaway(["strip", "--out", out, ...black, ...more]), said, out);
  });

  it("asks for settings; without a coating it aims as for any", () => {
    const out = join(dir, "refused");
    expectRefused(fallaway(["strip", "--out", out, "--diameter", "80"]), /none are given/, out);
    const bare = folder();
    const ran = fallaway(["strip", "--out", bare, ...black.filter((w) => !/coating|powder/.test(w))]);
    expect(ran).toMatchObject({ code: 0 });
    expect(ran.out).toMatch(/no coating is named/);
    const { job } = JSON.parse(readFileSync(join(bare, "settings.strip.json"), "utf8"));
    expect(job.coating.id).toBe("powder-any");
  });
});

describe("fit", () => {
  const out = join(dir, "fit");
  let json: {
    estimates: Record<string, { value: number; low: number; high: number; unit: string }>;
    unresolved: string[];
    residuals: { off: number }[];
  };
  beforeAll(() => {
    const ran = fallaway([
      "fit",
      ...ladders.map(filled),
      "--out",
      out,
      "--json",
      "--machine",
      "Boathouse",
      "--date",
      "2026-11-20",
    ]);
    expect(ran, ran.err).toMatchObject({ code: 0, err: "" });
    json = JSON.parse(ran.out);
  }, 120_000);

  it("tells what was put into the simulation", () => {
    // Of tests/dialin/example.test.ts.
    expect(Math.abs(json.estimates.sidewaysMm!.value - 0.8)).toBeLessThan(0.3);
    expect(json.estimates.sidewaysMm!.unit).toBe("mm");
    expect(Math.abs(json.estimates.focusErrorMm!.value + 1.1)).toBeLessThan(0.4);
    expect(Math.abs(json.estimates.pivotXMm!.value / 561 - 1)).toBeLessThan(0.02);
    expect(json.unresolved).toEqual([]);
    for (const { value, low, high } of Object.values(json.estimates)) {
      expect(low).toBeLessThan(value);
      expect(high).toBeGreaterThan(value);
    }
  });

  it("writes a calibration, a plot and the figures", () => {
    expect(readdirSync(out).sort()).toEqual([
      "settings.calibration.json",
      "settings.fit.json",
      "settings.fit.png",
    ]);
    const calibration = JSON.parse(readFileSync(join(out, "settings.calibration.json"), "utf8"));
    expect(calibration).toMatchObject({
      date: "2026-11-20",
      machine: "Boathouse",
      lens: "field-300",
      coating: "powder-black",
    });
    expect(calibration.strips).toHaveLength(3);
    // The working distance is what was set less what the focal plane lay too high.
    const { focusErrorMm } = json.estimates;
    expect(calibration.figures.lens.workingDistanceMm).toBeCloseTo(493 + focusErrorMm!.value, 3);
  });

  it("a job that names it is calibrated, narrower, and predicts the strips that were read", async () => {
    const crest = [demo("crest"), "--width", "40", ...black];
    const named = ["--calibration", join(out, "settings.calibration.json"), "--date", "2026-11-27"];
    const [before, after] = [await checked(crest), await checked([...crest, ...named])];
    expect(before.process!.calibrated).toBe(false);
    expect(after.process!.calibrated).toBe(true);
    const wide = (report: typeof before): number => {
      const { low, high } = report.process!.weakest!.cleared!;
      return high / low;
    };
    expect(Math.log(wide(after))).toBeLessThan(0.1 * Math.log(wide(before)));
    const { readings, agree, of } = after.calibration!;
    expect(of).toBeGreaterThan(60);
    expect(agree / of).toBeGreaterThan(0.95);
    expect(readings.filter(({ what }) => what.startsWith("side"))).toHaveLength(4);
    const { report } = await prepared(demo("crest"), join(dir, "crest"), [...crest.slice(1), ...named]);
    expect(report.calibration).toEqual(after.calibration);
  });

  it("what the job file has otherwise, another frequency, and what the proof rests on are told", async () => {
    const calibration = join(out, "settings.calibration.json");
    const job = join(dir, "station.json");
    const station = {
      calibration,
      lens: { id: "field-300", workingDistanceMm: 457 },
      coating: { id: "powder-black", thicknessUm: 120 },
    };
    writeFileSync(job, JSON.stringify(station));
    const crest = [demo("crest"), "--width", "40", ...black.slice(0, 4), ...black.slice(6), "--job", job];
    const replaced = (await checked([...crest, "--date", "2026-11-27"])).reasons.filter(
      ({ code }) => code === "calibration-replaces",
    );
    expect(replaced.map(({ message }) => message).join(" ")).toMatch(/457.*491.*120.*70/s);
    const fast = await checked([...crest, "--frequency", "200", "--date", "2026-11-27"]);
    expect(fast.reasons.map(({ code }) => code)).toContain("calibration-far");
    const place = join(dir, "proof");
    expect(
      fallaway([
        "proof",
        demo("crest"),
        "--width",
        "40",
        ...black,
        "--calibration",
        calibration,
        "--date",
        "2026-11-27",
        "--out",
        place,
      ]).code,
    ).toBe(0);
    const pdf = await readPdf(readFileSync(join(place, "heron-reach-crest.proof.pdf")));
    const words = pdf.pages.flatMap((page) => page.texts.map((one) => one.words)).join(" ");
    expect(words).toMatch(/test marks on this coating/);
    expect(words).not.toMatch(/borne/);
  });

  it("says in words what to move, and what one strip does not tell", () => {
    const ran = fallaway(["fit", filled("settings")]);
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(
      /sideways +the crown line stood 0\.\d mm right .* move the vessel so far to the left/,
    );
    expect(ran.out).toMatch(/not told .*pivot.*--ladder squares/);
    expect(ran.out).toMatch(/class 4 laser/);
  });

  it("reads what a spreadsheet makes of the form", () => {
    const text = readFileSync(form("settings"), "utf8");
    const saved = `\uFEFF${text.replaceAll(".", "|").replaceAll(",", ";").replaceAll("|", ",")}`.replaceAll(
      "\n",
      "\r\n",
    );
    const place = join(dir, "saved");
    const one = join(dir, "settings.saved.csv");
    writeFileSync(one, saved);
    const ran = fallaway(["fit", one, "--strip", join(dir, "settings.strip.json"), "--json", "--out", place]);
    expect(ran, ran.err).toMatchObject({ code: 0 });
    const plain = JSON.parse(fallaway(["fit", filled("settings"), "--json"]).out);
    expect(JSON.parse(ran.out).estimates).toEqual(plain.estimates);
  });
});

describe("readings that cannot be", () => {
  const rows = readFileSync(form("settings"), "utf8").trimEnd().split("\n");
  const at = rows.findIndex((row) => row.startsWith("mark,"));
  /** The form with cells of a row changed, by column. */
  const but = (mark: number, change: Record<string, string>): string => {
    const columns = rows[at]!.split(",");
    const cells = rows[at + mark]!.split(",");
    for (const [name, value] of Object.entries(change)) cells[columns.indexOf(name)] = value;
    return [...rows.slice(0, at + mark), cells.join(","), ...rows.slice(at + mark + 1)].join("\n");
  };
  const blank = [
    ...rows.slice(0, at + 1),
    ...rows.slice(at + 1).map((row) => row.split(",").slice(0, 4).join(",")),
  ].join("\n");
  const every = (clear: string): string =>
    [
      ...rows.slice(0, at + 1),
      ...rows.slice(at + 1).map((row) => `${row.split(",").slice(0, 4).join(",")},${clear}`),
    ].join("\n");
  it.each<[string, string, RegExp]>([
    ["swapped sides", but(5, { first_clear: "71", last_clear: "21" }), /row 5.*(swapped|right of)/],
    ["a bar that is none", but(3, { last_clear: "95" }), /row 3.*95/],
    ["half a bar", but(3, { last_clear: "74.5" }), /row 3.*74\.5/],
    ["one end alone", but(7, { last_clear: "" }), /row 7/],
    ["a word", but(7, { last_clear: "all" }), /row 7.*all/],
    ["metal where the coat stays", but(5, { first_metal: "5" }), /row 5.*metal/],
    ["a gap outside", but(5, { first_gap: "10", last_gap: "15" }), /row 5.*gap/],
    ["a mark that is none", but(5, { mark: "12" }), /12/],
    ["a mark twice", but(5, { mark: "4" }), /4/],
    ["settings that are another strip's", but(5, { power_w: "12" }), /row 5.*12/],
    [
      "a stronger mark that clears less",
      but(1, { first_clear: "30", last_clear: "62", first_metal: "none", last_metal: "none" }),
      /mark 1 .*mark 3/,
    ],
    [
      "a row far off the others",
      but(8, { first_clear: "24", last_clear: "88", first_metal: "none", last_metal: "none" }),
      /row 8/,
    ],
    ["no readings", blank, /fallaway/],
    ["all clear to both ends", every("1,89"), /less power/],
    ["nothing clear", every("none,none"), /more power/],
  ])("%s: refused with the row, and no calibration", (_, text, said) => {
    const place = folder();
    copyFileSync(join(dir, "settings.strip.json"), join(place, "settings.strip.json"));
    const path = join(place, "settings.readings.csv");
    writeFileSync(path, `${text}\n`);
    const out = join(place, "out");
    expectRefused(fallaway(["fit", path, "--out", out]), said, out);
  });

  it("a form without its strip, two strips of one name, strips of two coats", () => {
    const place = folder();
    copyFileSync(form("settings"), join(place, "settings.readings.csv"));
    expectRefused(fallaway(["fit", join(place, "settings.readings.csv")]), /strip/);
    expectRefused(fallaway(["fit", filled("settings"), filled("settings")]), /called settings/);
    const other = folder();
    fallaway([
      "strip",
      "--name",
      "blue",
      "--out",
      other,
      ...black.map((w) => (w === "powder-black" ? "powder-blue" : w)),
    ]);
    const blue = readFileSync(join(other, "blue.readings.csv"), "utf8").replace(
      /^(1,.*),{6}$/m,
      "$1,20,70,,,,",
    );
    writeFileSync(join(other, "blue.readings.csv"), blue);
    expectRefused(fallaway(["fit", filled("settings"), join(other, "blue.readings.csv")]), /another coating/);
  });
});
