/** Text as outlines: widths, anchors, turns, scripts, missing characters. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { expect, test } from "vitest";
import { lettering as allLettering } from "../../src/cli/typefaces.ts";
import { lettering } from "./helpers.ts";

const letters = lettering();
const all = allLettering();
/** What stands from left to right. */
const seen = (text: string): string =>
  all
    .set(text)
    .seen.flatMap((run) => run.clusters)
    .map((cluster) => cluster.text)
    .join("");
const numbers = (d: string): number[] => (d.match(/-?\d+(\.\d+)?/g) ?? []).map(Number);
const box = (d: string): { left: number; right: number; top: number; bottom: number } => {
  const all = numbers(d);
  const xs = all.filter((_, i) => i % 2 === 0);
  const ys = all.filter((_, i) => i % 2 === 1);
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
};

test("width grows with the size and the weight", () => {
  expect(letters.width("Heron", 20)).toBeCloseTo(2 * letters.width("Heron", 10), 9);
  expect(letters.width("Heron", 20, "bold")).toBeGreaterThan(letters.width("Heron", 20));
  expect(letters.width("", 20)).toBe(0);
});

test("kerning pulls A and V together", () => {
  expect(letters.width("AV", 100)).toBeLessThan(letters.width("A", 100) + letters.width("V", 100));
});

test("capitals stand on the baseline and are 0.71 em high", () => {
  const { top, bottom } = box(letters.path("H", { x: 0, y: 200, size: 100 }));
  expect(bottom).toBeCloseTo(200, 1);
  expect(top).toBeCloseTo(200 - 71.4, 1);
});

test("anchors move by the width", () => {
  const wide = letters.width("Reach", 40);
  const at = (anchor: "start" | "middle" | "end"): number =>
    box(letters.path("Reach", { x: 500, y: 0, size: 40, anchor })).left;
  expect(at("start") - at("middle")).toBeCloseTo(wide / 2, 1);
  expect(at("start") - at("end")).toBeCloseTo(wide, 1);
});

test("a quarter turn anticlockwise runs up the page", () => {
  const level = box(letters.path("Hi", { x: 0, y: 0, size: 50 }));
  const turned = box(letters.path("Hi", { x: 0, y: 0, size: 50, rotate: -90 }));
  expect(turned.top).toBeCloseTo(-level.right, 1);
  expect(turned.left).toBeCloseTo(level.top, 1);
});

test("Latin, Greek and Cyrillic are drawn, none as a box", () => {
  const frame = letters.path("漕", { x: 0, y: 0, size: 100 });
  expect(frame.match(/M/g)).toHaveLength(2);
  for (const character of "ÅéøłřφδΩЖя−…·±Ø") {
    const d = letters.path(character, { x: 0, y: 0, size: 100 });
    expect(d).not.toBe("");
    expect(d).not.toBe(frame);
  }
});

test("characters that do not show leave no mark", () => {
  expect(letters.path("a\u200db\u0007", { x: 0, y: 0, size: 10 })).toBe(
    letters.path("ab", { x: 0, y: 0, size: 10 }),
  );
});

test("long words are cut with an ellipsis and then fit", () => {
  const name = "a very long name of a file that goes on and on.svg";
  const cut = letters.fitted(name, 200, 24);
  expect(cut.endsWith("…")).toBe(true);
  expect(letters.width(cut, 24)).toBeLessThanOrEqual(200);
  expect(letters.fitted("short", 200, 24)).toBe("short");
});

test("numbers are written with the decimals asked for", () => {
  expect(letters.path("S&g", { x: 1 / 3, y: 0, size: 33.3 })).not.toMatch(/\.\d{3}|e-/);
  expect(letters.path("S&g", { x: 1 / 3, y: 0, size: 33.3, decimals: 4 })).toMatch(/\.\d{4}/);
});

test("the fonts that ship draw what the four first ones drew", () => {
  for (const text of ["Heron Reach Ø 82 mm", "Łódź", "Ερωδιός", "Цапля", "a漕b"]) {
    const place = { x: 3, y: 4, size: 24 };
    expect(all.path(text, place)).toBe(letters.path(text, place));
  }
});

// UAX 9, rule L2, examples 1 and 2 (from memory): capitals stand there for letters that run to the left. A mark for
// the paragraph's direction goes before the second.
test("text of both directions stands as the standard's examples do", () => {
  const hebrew = (text: string): string =>
    text.replace(/[A-Z]/g, (c) => String.fromCodePoint(0x5d0 + "MEANSCR".indexOf(c)));
  expect(seen(hebrew("car means CAR."))).toBe(hebrew("car means RAC."));
  expect(seen(hebrew("\u200fcar MEANS CAR."))).toBe(hebrew(".RAC SNAEM car"));
});

test("brackets open toward what they hold", () => {
  const at = (x: number): string => all.path("(", { x, y: 0, size: 100 });
  const closing = all.path(")", { x: 0, y: 0, size: 100 });
  // The first character stands at the right, and opens to the left.
  expect(all.path("(א", { x: 0, y: 0, size: 100 }).endsWith(at(0))).toBe(false);
  expect(all.path("א)", { x: 0, y: 0, size: 100 }).startsWith(at(0))).toBe(true);
  expect(closing).not.toBe(at(0));
});

test("Arabic letters join: beh has four forms", () => {
  const beh = "ب";
  const widths = [beh, beh + beh, beh + beh + beh].map((text) => all.width(text, 1000));
  // Three in a row are an end, a middle and a start, each narrower than the letter alone.
  expect(widths[1]!).toBeLessThan(1.6 * widths[0]!);
  expect(widths[2]! - widths[1]!).toBeLessThan(0.6 * widths[0]!);
  // A non-joiner (U+200C) parts them.
  expect(all.width(`${beh}\u200c${beh}`, 1000)).toBeCloseTo(2 * widths[0]!, 6);
});

test("a Devanagari vowel sign that is read after its letter stands before it", () => {
  const ka = all.width("क", 100);
  const [cluster] = all.set("कि").read[0]!.clusters;
  expect(cluster!.text).toBe("कि");
  expect(cluster!.glyphs[0]!.x).toBe(0);
  expect(cluster!.glyphs[1]!.x * 100).toBeCloseTo(all.width("कि", 100) - ka, 6);
});

test("marks stay with their letter: one font for both", () => {
  for (const text of ["q\u0308", "я\u0301", "X\u0301", "א\u05b8"]) {
    const { read } = all.set(text);
    expect(read).toHaveLength(1);
    expect(read[0]!.font).not.toBeNull();
  }
});

test("a cut name keeps the marks of its last letter", () => {
  const name = "q\u0308".repeat(30);
  const cut = all.fitted(name, 150, 24);
  expect(cut).toMatch(/^(q\u0308)+…$/);
});

test("characters that no font has are told, each once", () => {
  expect(all.missing("漕艇 漕 Heron ሄ")).toEqual(["漕", "艇", "ሄ"]);
  expect(all.missing("Heron Reach נ ب क")).toEqual([]);
  expect(letters.missing("Heron א")).toEqual(["א"]);
});

test("a line of words in both directions is broken as it is read, then turned", () => {
  const lines = all.lines("נהר אנפה מועדון חתירה", all.width("נהר אנפה", 20) + 1, 20, "regular", 3);
  expect(lines).toEqual(["נהר אנפה", "מועדון", "חתירה"]);
  expect(seen(lines[0]!)).toBe([..."נהר אנפה"].reverse().join(""));
});

test("of the fonts given, the one of the nearest weight comes first; broken ones are passed over", () => {
  const { resolve } = createRequire(import.meta.url);
  const file = (weight: number): { name: string; bytes: Uint8Array } => {
    const name = `noto-sans-ethiopic-ethiopic-${weight}-normal.woff2`;
    return { name, bytes: readFileSync(resolve(`@fontsource/noto-sans-ethiopic/files/${name}`)) };
  };
  const broken = { name: "broken", bytes: Uint8Array.of(1, 2, 3) };
  const alone = [400, 700].map((weight) => allLettering([file(weight)]).path("ሄሮን", { x: 0, y: 0, size: 9 }));
  const both = allLettering([broken, file(700), file(400)]);
  expect(alone[0]).not.toBe(alone[1]);
  expect(both.path("ሄሮን", { x: 0, y: 0, size: 9 })).toBe(alone[0]);
  expect(both.path("ሄሮን", { x: 0, y: 0, size: 9, weight: "bold" })).toBe(alone[1]);
});
