/** Text as outlines: widths, anchors, turns, scripts, missing characters. */
import { expect, test } from "vitest";
import { lettering } from "./helpers.ts";

const letters = lettering();
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
