/** What the reading sheet says: whole sentences, the cautions, and the bars' numbers where they are marked. */
import { describe, expect, it } from "vitest";
import { lettering } from "../../src/cli/typefaces.ts";
import { cautions } from "../../src/picture/cautions.ts";
import type { Page, PageText } from "../../src/picture/page/page.ts";
import { readingSheet } from "../../src/picture/strip/readingsheet.ts";
import { stripFiles } from "../../src/picture/strip/stripsvg.ts";
import { lensHeights, stripOf } from "../../src/plan/strip/layout.ts";
import type { Ladder, Strip } from "../../src/plan/strip/types.ts";
import { jobOf, usual, vessel } from "../plan/process-helpers.ts";

const letters = lettering();
const made = { source: { id: "fibre-60" }, coating: { id: "powder-black" }, settings: usual };
const job = jobOf({ ...made, vessel });

const texts = (pages: readonly Page[]): PageText[] =>
  pages.flatMap(({ items }) => items.filter((item) => item.kind === "text"));
const said = (pages: readonly Page[]): string =>
  texts(pages)
    .map(({ words }) => words)
    .join(" ");
function sheet(strip: Strip): Page[] {
  const files = stripFiles(strip, letters).map(({ name }) => name);
  const form = `${strip.name}.readings.csv`;
  const lensToCrownMm = lensHeights(strip);
  return readingSheet(strip, { files, date: "2026-11-20", paper: "letter", lensToCrownMm, form }, letters);
}
/** Bars' numbers, left to right; the others on the page stand upright. */
const lying = (pages: readonly Page[]): PageText[] =>
  texts(pages)
    .filter(({ rotate }) => rotate === -90)
    .sort((one, other) => one.x - other.x);

const LADDERS: readonly Ladder[] = ["settings", "power", "speed", "focus", "ramp", "squares"];

describe.each(LADDERS)("a sheet for %s", (ladder) => {
  it("cuts no sentence short, with a name of 80 letters and 24 marks, and is two pages at most", () => {
    const strip = stripOf(job, { ladder, name: "n".repeat(80), marks: 24, barHeightMm: 1 });
    const pages = sheet(strip);
    const cut = texts(pages).filter(({ words }) => words.includes("…"));
    // The name alone, where it stands large at the head of a page.
    for (const { size } of cut) expect(size).toBe(5);
    expect(pages.length).toBeLessThanOrEqual(2);
    for (const { heightMm, items } of pages) {
      const lowest = items.map((item) => (item.kind === "text" && !item.rotate ? item.y : 0));
      expect(Math.max(...lowest)).toBe(heightMm - 11);
      // Nothing reaches into the page's last line but that line.
      expect(lowest.filter((y) => y > heightMm - 11 - 3)).toHaveLength(1);
    }
  });

  it("says each caution and what to run", () => {
    const strip = stripOf(job, { ladder });
    const words = said(sheet(strip));
    for (const caution of cautions(1064)) expect(words).toContain(caution);
    expect(words).toContain(`fallaway fit ${strip.name}.readings.csv`);
    for (const lens of lensHeights(strip)) expect(words).toContain(lens.toFixed(1));
  });
});

it("eight marks find room on one page", () => {
  for (const ladder of LADDERS) expect(sheet(stripOf(job, { ladder, marks: 8 })), ladder).toHaveLength(1);
});

it("draws the bars' numbers where the file has them: odd ones above, even ones below, evenly apart", () => {
  const strip = stripOf(job, { ladder: "settings" });
  const pages = sheet(strip);
  const numbers = lying(pages);
  expect(numbers.map(({ words }) => Number(words))).toEqual(strip.bars.map(({ number }) => number));
  const [rows] = texts(pages).filter(({ words }) => words === "mark 4");
  for (const { words, y } of numbers) expect(y < rows!.y, words).toBe(Number(words) % 2 === 1);
  const steps = numbers.slice(1).map(({ x }, i) => x - numbers[i]!.x);
  for (const step of steps) expect(step).toBeCloseTo(steps[0]!, 6);
});

it("leaves out the numbers of bars that are not marked, and says the true distance from bar to bar", () => {
  const blocked = [{ name: "badge", aroundDeg: [-60, -1] as [number, number] }];
  const strip = stripOf(jobOf({ ...made, vessel: { ...vessel, blocked } }), { ladder: "settings" });
  const missing = strip.bars.at(-1)!.number - strip.bars[0]!.number + 1 - strip.bars.length;
  expect(missing).toBeGreaterThan(10);
  const pages = sheet(strip);
  expect(lying(pages).map(({ words }) => Number(words))).toEqual(strip.bars.map(({ number }) => number));
  expect(said(pages)).toContain(", 1 mm from bar to bar");
  expect(said(pages)).toContain(`; ${missing} are left out`);
});
