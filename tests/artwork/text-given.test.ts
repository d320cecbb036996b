/** `--fonts` and `--allow font-substitute` through the door: what a user reads, exit 2 (README, "Exit codes"). */
import { existsSync, mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import type { Ran } from "../cli/helpers.ts";
import { art, expectRefused, folder, page, running } from "../cli/helpers.ts";
import { noto, plainFont, Tables } from "./text-helpers.ts";

const dir = folder();
const text = (attributes: string, words = "Reach"): string =>
  page(`<text x="2" y="30" ${attributes}>${words}</text>`, 60, 40);
const regular = new Tables(noto("latin", "400-normal", "woff"));
const words = art(dir, "words.svg", text(`style="font:6px 'Noto Sans'"`));
const other = art(dir, "other.svg", text('font-family="Heron Sans" font-size="6"'));
const plain = plainFont(noto("latin", "400-normal", "woff"));

function fontFolder(name: string, files: Readonly<Record<string, Uint8Array | string>>): string {
  const path = join(dir, name);
  mkdirSync(path);
  for (const [file, data] of Object.entries(files)) writeFileSync(join(path, file), data);
  return path;
}

let count = 0;
const ink = async (svg: string, ...args: string[]): Promise<Ran & { file: string }> => {
  const file = join(dir, `ink-${count++}.svg`);
  return { ...(await running(["ink", svg, "--out", file, ...args])), file };
};

async function refused(names: RegExp, svg: string, ...args: string[]): Promise<void> {
  const ran = await ink(svg, ...args);
  expectRefused(ran, names);
  expect(existsSync(ran.file)).toBe(false);
}

const good = fontFolder("good", { "reed.ttf": plain });
const cut = join(fontFolder("damaged", { "cut.ttf": plain.subarray(0, 500) }), "cut.ttf");

describe("--fonts", () => {
  test.concurrent("a file or a folder: the text is drawn at the size of its font shorthand", async () => {
    const line = art(dir, "line.svg", text(`font-size="20" style="font:6px 'Noto Sans'"`, "HIH"));
    const { advance, right, bearing } = { ...regular.metrics("H"), right: regular.right("H") };
    for (const given of [good, join(good, "reed.ttf")]) {
      const { code, err, out } = await ink(line, "--json", "--fonts", given);
      expect(err).toBe("");
      expect(code).toBe(0);
      const [left, , end, bottom] = (JSON.parse(out) as { inkBoxMm: number[] }).inkBoxMm;
      expect(left).toBeCloseTo(2 + 6 * bearing, 3);
      expect(end).toBeCloseTo(2 + 6 * (advance + regular.advance("I") + right), 3);
      expect(bottom).toBeCloseTo(30, 3);
    }
  });

  test.concurrent("a folder without a font file", async () => {
    const none = fontFolder("none", { "a.txt": "", "b.md": "", "c.pfb": "", "d.zip": "" });
    await refused(
      /none holds no font file: only a\.txt, b\.md, c\.pfb and 1 more was found: /,
      words,
      "--fonts",
      none,
    );
    const empty = fontFolder("empty", {});
    await refused(
      /empty holds no font file: it is empty: give --fonts the font files/,
      words,
      "--fonts",
      empty,
    );
    mkdirSync(join(empty, "within.ttf"));
    await refused(
      /empty holds no font file: only within\.ttf was found: .*not searched/,
      words,
      "--fonts",
      empty,
    );
  });

  test.concurrent("a damaged file, alone, beside a good one, and as all that a folder holds", async () => {
    const cutShort =
      /^fallaway: \S*cut\.ttf cannot be used as a font: it is cut short, 500 bytes of \d+: give /;
    await refused(cutShort, words, "--fonts", cut);
    await refused(cutShort, words, "--fonts", good, cut);
    await refused(
      /damaged holds no font that can be used \(cut\.ttf: it is cut/,
      words,
      "--fonts",
      join(dir, "damaged"),
    );
  });

  test.concurrent("a damaged file beside a good one in a folder is a caution", async () => {
    const mixed = fontFolder("mixed", { "cut.ttf": plain.subarray(0, 500), "reed.ttf": plain });
    const { code, out } = await ink(words, "--fonts", mixed);
    expect(code).toBe(0);
    expect(out).toMatch(/cut\.ttf” was left out: it is cut short/);
  });

  test.concurrent("what is no font, what is not there, and what cannot end", async () => {
    await refused(
      /words\.svg cannot be used as a font: it is no font: it begins with “<svg xml”: /,
      words,
      "--fonts",
      words,
    );
    await refused(/gone\.ttf does not exist: give --fonts/, words, "--fonts", join(dir, "gone.ttf"));
    await refused(/does not exist: give --fonts/, words, "--fonts", join(words, "within.ttf"));
    await refused(/the path "" does not exist/, words, "--fonts", "");
    await refused(/null is no file: /, words, "--fonts", "/dev/null");
    const hanging = fontFolder("hanging", {});
    symlinkSync(join(dir, "gone.ttf"), join(hanging, "link.ttf"));
    await refused(/link\.ttf does not exist/, words, "--fonts", hanging);
  });
});

describe("a font that is not given", () => {
  test.concurrent("following the hint to its end draws the text", async () => {
    const ask = ["--allow", "font-substitute"];
    await refused(/“Heron Sans” is not given.*give another with --fonts and --allow font-substitute/, other);
    await refused(
      /font-substitute needs a font that can stand in: give one with --fonts as well/,
      other,
      ...ask,
    );
    await refused(/given is “Noto Sans”: .*--allow font-substitute/, other, "--fonts", good);
    const { code, out } = await ink(other, "--fonts", good, ...ask);
    expect(code).toBe(0);
    expect(out).toMatch(/“Noto Sans” stands in for the font “Heron Sans”/);
  });
});
