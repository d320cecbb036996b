/** `sheet` as a user runs it: what is written, refused and said, and that the PDF says what the HTML says. */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { cautions } from "../../src/picture/cautions.ts";
import { readPdf } from "../support/pdf.ts";
import {
  art,
  page as artPage,
  demo,
  expectRefused,
  fallaway,
  folder,
  prepared,
  running,
  theFile,
} from "./helpers.ts";

const dir = folder();
const crest = demo("crest");
const cup = ["--diameter", "82", "--width", "50"];
const shop = [
  ...["--source", "fibre-60", "--power", "45%", "--speed", "900", "--frequency", "50", "--pitch", "0.025"],
  ...["--coating", "powder-red"],
];
const order = ["--job-name", "Crew cups", "--quantity", "24", "--date", "2026-03-01"];
const read = (out: string, end: string): Buffer => readFileSync(join(out, theFile(out, end)));
const sha256 = (data: Uint8Array): string => createHash("sha256").update(data).digest("hex");
const grouped = (hex: string): string => hex.match(/.{8}/g)!.join(" ");

/** All words of the PDF. */
async function saidBy(out: string): Promise<string> {
  const { pages } = await readPdf(read(out, ".pdf"));
  return pages
    .flatMap((one) => one.texts.map((t) => t.words))
    .join(" ")
    .replace(/\s+/g, " ");
}

describe("sheet", () => {
  it("writes the marks that prepare writes, the alignment line and the sheet, and lists them", async () => {
    const out = join(dir, "all");
    const ran = await running(["sheet", crest, "--out", out, ...cup, ...shop, ...order, "--json"]);
    expect(ran).toMatchObject({ code: 0, err: "" });
    expect(readdirSync(out).sort()).toEqual(
      ["align.svg", "sheet.html", "sheet.pdf", "warped.svg"].map((end) => `heron-reach-crest.${end}`),
    );
    const { files } = JSON.parse(ran.out);
    expect(files.map((f: { kind: string }) => f.kind)).toEqual(["warped", "alignment", "sheet", "sheet"]);
    for (const { path, sha256: told } of files) expect(sha256(readFileSync(join(out, path)))).toBe(told);
    const { svg } = await prepared(crest, join(dir, "prepared"), [...cup, ...shop, ...order]);
    const marks = read(out, ".warped.svg");
    expect(marks.toString("utf8")).toBe(svg);
    expect(read(out, ".html").toString("utf8")).toContain(grouped(sha256(marks)));
  });

  it.each([
    ["a4", [595.28, 841.89]],
    ["letter", [612, 792]],
  ] as const)(
    "the PDF is one page of %s that says job, hash, height, settings, date and cautions",
    async (paper, [w, h]) => {
      const out = join(dir, paper);
      const ran = await running(["sheet", crest, "--out", out, ...cup, ...shop, ...order, "--paper", paper]);
      expect(ran).toMatchObject({ code: 0, err: "" });
      const { pages, info } = await readPdf(read(out, ".pdf"));
      expect(pages).toHaveLength(1);
      // ISO 216 and ANSI/ASME Y14.1 in points.
      expect(pages[0]!.width).toBeCloseTo(w, 1);
      expect(pages[0]!.height).toBeCloseTo(h, 1);
      const lines = pages[0]!.texts.map((t) => t.words);
      const said = lines.join(" ").replace(/\s+/g, " ");
      const height = /lens reference (\d+\.\d) mm/.exec(ran.out)![1]!;
      for (const words of [
        "Crew cups",
        "2026-03-01",
        "heron-reach-crest.warped.svg",
        `SHA-256 ${grouped(sha256(read(out, ".warped.svg")))}`,
        `${height} mm above the crown line`,
        "Uncalibrated",
        ...cautions(1064),
      ])
        expect(said).toContain(words);
      expect(lines).toEqual(expect.arrayContaining(["90", "27", "45", "900", "50", "0.025"]));
      expect(info.Title).toBe("Crew cups: station sheet");
    },
  );

  it("the same job on the same day gives the same bytes", async () => {
    const [one, two] = [join(dir, "one"), join(dir, "two")];
    for (const out of [one, two])
      expect((await running(["sheet", crest, "--out", out, ...cup, ...order])).code).toBe(0);
    for (const end of [".pdf", ".html", ".align.svg"])
      expect(read(one, end).equals(read(two, end)), end).toBe(true);
  });

  it("without a date it is today's", async () => {
    const out = join(dir, "today");
    const days = [new Date()];
    expect((await running(["sheet", crest, "--out", out, ...cup])).code).toBe(0);
    days.push(new Date());
    // Swedish writes days as YYYY-MM-DD; midnight may have passed.
    const text = read(out, ".html").toString("utf8");
    expect(days.some((day) => text.includes(day.toLocaleDateString("sv-SE")))).toBe(true);
  });

  it("a job that stops ends with 3 and says not to mark, on screen and sheet", async () => {
    const out = join(dir, "stop");
    const ran = await running([
      "sheet",
      crest,
      "--out",
      out,
      "--diameter",
      "82",
      "--width",
      "90",
      "--axis",
      "x",
    ]);
    expect(ran).toMatchObject({ code: 3, err: "" });
    expect(ran.out).toMatch(/^STOP\n/);
    expect(ran.out).toMatch(/^ {2}load +do not mark it as it is; /m);
    expect(ran.out).toMatch(/^ {2}take care /m);
    expect(read(out, ".html").toString("utf8")).toContain("DO NOT MARK");
    const { pages } = await readPdf(read(out, ".pdf"));
    expect(pages[0]!.texts.map((t) => t.words)).toContain("STOP: DO NOT MARK");
  });

  it("the alignment line is no artwork, as the marks are none", () => {
    const out = join(dir, "line");
    expect(fallaway(["sheet", crest, "--out", out, ...cup]).code).toBe(0);
    for (const end of [".align.svg", ".warped.svg"])
      expectRefused(
        fallaway(["check", join(out, theFile(out, end)), ...cup]),
        /has been bent for a vessel already/,
      );
  });

  it("a taper that lies on its side: the pose, and what stays free", async () => {
    const out = join(dir, "taper");
    const args = ["--taper", "88,64,110", "--pose", "lying", "--width", "36", "--blocked", "handle,150,210"];
    expect(await running(["sheet", crest, "--out", out, ...args, ...order])).toMatchObject({
      code: 0,
      err: "",
    });
    const said = await saidBy(out);
    // atan(12/110): half the difference of the radii over the height.
    expect(said).toContain("the axis 6.23° off level, the rim raised");
    expect(said).toContain("handle: 150° to 210° to the right of the crown line, all along");
  });

  it("a ball: no rim to measure from", async () => {
    const out = join(dir, "ball");
    const ran = await running(["sheet", crest, "--out", out, "--sphere", "70", "--width", "30", ...order]);
    expect(ran).toMatchObject({ code: 0, err: "" });
    expect(await saidBy(out)).toContain("where the ball is highest");
  });

  it("a wrap in three turns: the marks of each, their hashes and that of their list, one page", async () => {
    const out = join(dir, "wrap");
    const girth = 50 * Math.PI;
    const bars = Array.from(
      { length: 9 },
      (_, i) => `<rect x="${((i + 0.1) * girth) / 9}" y="2" width="${(0.8 * girth) / 9}" height="16"/>`,
    );
    const wrap = art(dir, "wrap.svg", artPage(bars.join(""), girth, 20));
    const args = [wrap, "--diameter", "50", "--turns", "3", "--max-incidence", "65"];
    const ran = await running(["sheet", ...args, "--out", out, ...shop, ...order, "--json"]);
    expect(ran).toMatchObject({ code: 0, err: "" });
    const marks = [1, 2, 3].map((n) => `wrap.turn-${n}.warped.svg`);
    expect(readdirSync(out).sort()).toEqual([
      "wrap.align.svg",
      "wrap.sheet.html",
      "wrap.sheet.pdf",
      ...marks,
    ]);
    const { files, turns } = JSON.parse(ran.out);
    expect(files.map((f: { kind: string }) => f.kind)).toEqual([
      "warped",
      "warped",
      "warped",
      "alignment",
      "sheet",
      "sheet",
    ]);
    expect(turns.map((t: { files: string[] }) => t.files)).toEqual(marks.map((name) => [name]));
    // The same bytes as `prepare` writes.
    const other = join(dir, "wrap-prepared");
    await running(["prepare", ...args, "--out", other, "--no-pictures", ...shop, ...order]);
    for (const name of marks)
      expect(readFileSync(join(out, name)).equals(readFileSync(join(other, name))), name).toBe(true);
    const { pages } = await readPdf(read(out, ".pdf"));
    expect(pages).toHaveLength(1);
    const said = await saidBy(out);
    const hashes = marks.map((name) => sha256(readFileSync(join(out, name))));
    for (const [i, name] of marks.entries()) {
      expect(said).toContain(name);
      expect(said).toContain(grouped(hashes[i]!));
    }
    const list = marks.map((name, i) => `${hashes[i]}  ${name}\n`).join("");
    expect(said).toContain(`SHA-256 of the list of files ${grouped(sha256(Buffer.from(list)))}`);
    expect(said).toContain("first and last meet");
    // One turn of another vessel into the same folder leaves no turn of this one behind.
    await running(["sheet", wrap, "--out", out, "--diameter", "120", "--width", "40", ...order]);
    expect(readdirSync(out).filter((name) => name.endsWith(".warped.svg"))).toEqual(["wrap.warped.svg"]);
  });

  it("refuses a paper that it does not know, and a missing folder, before anything is written", () => {
    const out = join(dir, "none");
    expectRefused(
      fallaway(["sheet", crest, "--out", out, ...cup, "--paper", "a5"]),
      /--paper cannot be "a5": give a4 or letter/,
      out,
    );
    expectRefused(fallaway(["sheet", crest, ...cup]), /--out/, out);
  });
});
