/** `proof` as a user runs it: of one drawing, of a folder of them, what is refused and what is said. */
import { createHash } from "node:crypto";
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { PNG } from "pngjs";
import { describe, expect, it } from "vitest";
import { POINTS_PER_MM, readPdf } from "../support/pdf.ts";
import { art, demo, expectRefused, folder, page, running, square } from "./helpers.ts";

const dir = folder();
const crest = demo("crest");
const cup = ["--diameter", "82", "--width", "60"];
const shop = [
  ...["--source", "fibre-60", "--power", "45%", "--speed", "900", "--frequency", "50", "--pitch", "0.025"],
  ...["--coating", "powder-blue"],
];
const order = ["--job-name", "Crew cups", "--customer", "Heron Reach", "--quantity", "40", "--revision", "C"];
const day = ["--date", "2026-03-01"];
const vessel = [
  "--vessel-name",
  "Tall cup",
  "--vessel-height",
  "170",
  "--below-rim",
  "80",
  "--handle-at",
  "90",
];
const read = (out: string, name: string): Buffer => readFileSync(join(out, name));
const NAME = "heron-reach-crest.proof";
const wordsOf = async (pdf: Buffer): Promise<string> =>
  (await readPdf(pdf)).pages.flatMap((page) => page.texts.map((text) => text.words)).join("\n");

describe("proof", () => {
  it("writes a picture and a PDF of two pages that say all that was given", async () => {
    const out = join(dir, "all");
    const ran = await running([
      "proof",
      crest,
      "--out",
      out,
      ...cup,
      ...shop,
      ...order,
      ...day,
      ...vessel,
      "--json",
    ]);
    expect(ran).toMatchObject({ code: 0, err: "" });
    expect(readdirSync(out).sort()).toEqual([`${NAME}.pdf`, `${NAME}.png`]);
    const { files } = JSON.parse(ran.out);
    for (const { kind, path, sha256 } of files) {
      expect(kind).toBe("proof");
      expect(createHash("sha256").update(read(out, path)).digest("hex")).toBe(sha256);
    }
    const pdf = read(out, `${NAME}.pdf`);
    const { pages } = await readPdf(pdf);
    expect(pages).toHaveLength(2);
    expect(pages[0]!.images).toHaveLength(3);
    const words = await wordsOf(pdf);
    for (const said of [
      "Crew cups",
      "Heron Reach",
      "40",
      "C",
      "2026-03-01",
      "Tall cup",
      "powder blue",
      "#1f4478",
    ])
      expect(words).toContain(said);
    // 80 mm below the rim of 170 mm lies the middle of 66.9 mm of crest; what is written adds up.
    expect(words).toContain("46.5");
    expect(words).toContain("56.6");
  });

  it("the pictures are 1600 px on their longer side, three in a row, six with the ideal ones", async () => {
    const size = async (...more: string[]): Promise<[number, number]> => {
      const out = join(dir, `size${more.length}`);
      await running(["proof", crest, "--out", out, ...cup, ...vessel, ...more]);
      const { width, height } = PNG.sync.read(read(out, `${NAME}.png`));
      return [width, height];
    };
    const [width, height] = await size();
    expect(height).toBeGreaterThan(1600);
    expect(width).toBeGreaterThan(3 * 700);
    const [same, taller] = await size("--with-ideal");
    expect(same).toBe(width);
    expect(taller).toBeGreaterThan(height + 1600);
  });

  it("is the same bytes for the same job and day, and for the written job", async () => {
    const outs = ["one", "two"].map((name) => join(dir, name));
    for (const out of outs) await running(["proof", crest, "--out", out, ...cup, ...order, ...day]);
    const prepared = join(dir, "job");
    await running(["prepare", crest, "--out", prepared, "--no-pictures", ...cup, ...order, ...day]);
    await running([
      "proof",
      "--job",
      join(prepared, "heron-reach-crest.job.json"),
      "--out",
      join(dir, "three"),
    ]);
    for (const end of ["pdf", "png"]) {
      const one = read(outs[0]!, `${NAME}.${end}`);
      expect(read(outs[1]!, `${NAME}.${end}`).equals(one)).toBe(true);
      expect(read(join(dir, "three"), `${NAME}.${end}`).equals(one)).toBe(true);
    }
  });

  it.each([
    ["a4", 210, 297],
    ["letter", 215.9, 279.4],
  ] as const)("prints on %s", async (paper, width, height) => {
    // ISO 216; ANSI/ASME Y14.1.
    const out = join(dir, paper);
    await running(["proof", crest, "--out", out, ...cup, "--paper", paper]);
    for (const page of (await readPdf(read(out, `${NAME}.pdf`))).pages) {
      expect(page.width / POINTS_PER_MM).toBeCloseTo(width, 1);
      expect(page.height / POINTS_PER_MM).toBeCloseTo(height, 1);
    }
  });

  it("a job that is stopped says so on the page and ends with 3", async () => {
    const out = join(dir, "stop");
    const ran = await running(["proof", crest, "--out", out, "--diameter", "76.4", "--width", "110"]);
    expect(ran.code).toBe(3);
    expect(ran.out).toContain("STOP");
    expect(ran.out).toContain("Not for approval");
    expect((await wordsOf(read(out, `${NAME}.pdf`))).toLowerCase()).toContain("not for approval");
  });

  it("says what the picture assumes, with the option that would tell", async () => {
    const ran = await running(["proof", crest, "--out", join(dir, "assumed"), ...cup]);
    expect(ran.out).toContain("the vessel's height is not given: drawn 119 mm tall; give --vessel-height");
    expect(ran.out).toContain("give --coating-colour");
    const words = await wordsOf(read(join(dir, "assumed"), `${NAME}.pdf`));
    expect(words).toContain("the vessel's height is not given");
    expect(words).not.toContain("--");
  });

  it("text in another script is set, and one that no font has is a caution until a font is given", async () => {
    const out = join(dir, "scripts");
    const given = ["--customer", "نادي التجديف", "--job-name", "Φλιτζάνι ሰላም"];
    const without = await running(["proof", crest, "--out", out, ...cup, ...given, "--json"]);
    expect(JSON.parse(without.out).reasons.map((r: { code: string }) => r.code)).toContain(
      "character-missing",
    );
    expect(JSON.parse(without.out).verdict).toBe("caution");
    const { resolve } = createRequire(import.meta.url);
    const font = resolve("@fontsource/noto-sans-ethiopic/files/noto-sans-ethiopic-ethiopic-400-normal.woff2");
    const ran = await running(["proof", crest, "--out", out, ...cup, ...given, "--json", "--fonts", font]);
    expect(JSON.parse(ran.out).reasons.map((r: { code: string }) => r.code)).not.toContain(
      "character-missing",
    );
    const words = await wordsOf(read(out, `${NAME}.pdf`));
    expect(words).toContain("ሰላም");
    expect(words).toContain("نادي التجديف");
    // Behind letters that run to the left a date's figures would change places (UAX 9, W2 and N1).
    expect(words).toMatch(/^\d{4}-\d\d-\d\d\b.*نادي التجديف$/m);
  });

  it("mistakes are one line", async () => {
    const out = ["--out", join(dir, "none")];
    expectRefused(await running(["proof", crest, ...out, ...cup, "--paper", "a5"]), /--paper.*a4 or letter/);
    expectRefused(await running(["proof", crest, ...out, ...cup, "--date", "1.3.2026"]), /--date/);
    expectRefused(await running(["proof", crest, ...out]), /vessel's size/);
  });
});

describe("proof of other vessels", () => {
  const made = async (name: string, args: readonly string[], code = 0): Promise<string> => {
    const out = join(dir, name);
    const ran = await running(["proof", ...args, "--out", out, ...day, ...order]);
    expect(ran).toMatchObject({ code, err: "" });
    const pdf = readdirSync(out).find((file) => file.endsWith(".pdf"))!;
    const { width, height } = PNG.sync.read(read(out, pdf.replace(".pdf", ".png")));
    expect(Math.min(width, height)).toBeGreaterThan(1000);
    return (await wordsOf(read(out, pdf))).replace(/\s+/g, " ");
  };

  it("a taper that lies on its side, its handle blocked", async () => {
    const args = ["--taper", "88,64,110", "--pose", "lying", "--width", "36", "--fidelity", "true-width"];
    const words = await made("taper", [crest, ...args, "--blocked", "handle,150,210"]);
    expect(words).toContain("88 to 64 mm diameter over 110 mm");
    expect(words).toContain("every width and the area true");
    expect(words).toContain("not drawn: handle");
    expect(words).toContain("keep free: handle");
    expect(words).toContain("along the wall");
  });

  it("a ball", async () => {
    const words = await made("ball", [crest, "--sphere", "70", "--width", "30"]);
    expect(words).toContain("70 mm sphere");
    expect(words).not.toContain("top edge");
  });

  it("a measured bottle", async () => {
    const rows = ["height_mm,diameter_mm", "0,70", "60,73.5", "140,73", "160,66", "190,46", "230,38"];
    const profile = art(dir, "bottle.csv", `${rows.join("\n")}\n`);
    const words = await made("bottle", [crest, "--profile", profile, "--below-rim", "140", "--width", "30"]);
    expect(words).toContain("measured in 6 rows");
  });

  it("a wrap in three turns", async () => {
    const girth = 50 * Math.PI;
    const bars = Array.from(
      { length: 9 },
      (_, i) => `<rect x="${((i + 0.1) * girth) / 9}" y="2" width="${(0.8 * girth) / 9}" height="16"/>`,
    );
    const wrap = art(dir, "wrap.svg", page(bars.join(""), girth, 20));
    const words = await made("wrap", [wrap, "--diameter", "50", "--turns", "3", "--max-incidence", "65"]);
    expect(words).toContain("marked in 3 turns of the vessel; all joins run between the shapes");
    expect(words).toContain("first and last meet");
  });
});

describe("proof of a folder", () => {
  const many = join(dir, "many");
  mkdirSync(many);
  art(many, "a square.svg", square);
  art(
    many,
    "b ring.svg",
    page('<circle cx="40" cy="50" r="14" fill="none" stroke="black" stroke-width="4"/>'),
  );
  writeFileSync(join(many, "c broken.svg"), "<svg");
  writeFileSync(join(many, "notes.txt"), "no drawing");

  it("shows each drawing, and what is wrong with one that cannot be read", async () => {
    const out = join(dir, "contact");
    const ran = await running(["proof", many, "--out", out, "--diameter", "82", "--width", "40", ...day]);
    expect(ran.code).toBe(3);
    expect(ran.out).toMatch(/c broken\.svg +not read/);
    expect(readdirSync(out).sort()).toEqual(["many.contact.pdf", "many.contact.png"]);
    const pdf = read(out, "many.contact.pdf");
    const { pages } = await readPdf(pdf);
    expect(pages).toHaveLength(1);
    expect(pages[0]!.images).toHaveLength(2);
    const words = await wordsOf(pdf);
    for (const said of ["a square.svg", "b ring.svg", "c broken.svg", "40.0 × 40.0 mm"])
      expect(words).toContain(said);
    expect(words).not.toContain("notes.txt");
  });

  it("takes as many pages as it needs", async () => {
    const more = join(dir, "more");
    mkdirSync(more);
    for (let i = 0; i < 13; i++) art(more, `${i}.svg`, square);
    const out = join(dir, "pages");
    const ran = await running(["proof", more, "--out", out, "--diameter", "82", "--width", "40", ...day]);
    expect(ran.code).toBe(0);
    expect(readdirSync(out).sort()).toEqual(["more.contact-1.png", "more.contact-2.png", "more.contact.pdf"]);
    expect((await readPdf(read(out, "more.contact.pdf"))).pages).toHaveLength(2);
  });

  it("leaves no page of an earlier run beside it", async () => {
    const fewer = join(dir, "fewer", "more");
    mkdirSync(fewer, { recursive: true });
    art(fewer, "1.svg", square);
    const out = join(dir, "pages");
    await running(["proof", fewer, "--out", out, "--diameter", "82", "--width", "40", ...day]);
    expect(readdirSync(out).sort()).toEqual(["more.contact.pdf", "more.contact.png"]);
  });

  it("tells of characters that no font has, in a folder too", async () => {
    const odd = join(dir, "odd");
    mkdirSync(odd);
    art(odd, "ሰላም.svg", square);
    const ran = await running([
      "proof",
      odd,
      "--out",
      join(dir, "oddly"),
      "--diameter",
      "82",
      "--width",
      "40",
    ]);
    expect(ran.out).toContain("no font here has");
  });

  it("is refused where it holds no drawing, or none that can be read", async () => {
    const empty = join(dir, "empty");
    mkdirSync(empty);
    expectRefused(
      await running(["proof", empty, "--out", join(dir, "x"), "--diameter", "82"]),
      /no SVG file/,
    );
    writeFileSync(join(empty, "broken.svg"), "<svg");
    expectRefused(
      await running(["proof", empty, "--out", join(dir, "x"), "--diameter", "82"]),
      /broken\.svg/,
    );
  });
});
