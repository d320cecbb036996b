/** The reading sheet and the fit's picture: everything on the page, nothing over something else, a box for each reading. */
import { describe, expect, it } from "vitest";
import { lettering } from "../../src/cli/typefaces.ts";
import { dialIn } from "../../src/dialin/dialin.ts";
import type { Page, PageText } from "../../src/picture/page/page.ts";
import { papers } from "../../src/picture/page/page.ts";
import { fitPage } from "../../src/picture/strip/fitplot.ts";
import { readingSheet } from "../../src/picture/strip/readingsheet.ts";
import { stripFiles } from "../../src/picture/strip/stripsvg.ts";
import { lensHeights, stripOf } from "../../src/plan/strip/layout.ts";
import type { Ladder, Strip } from "../../src/plan/strip/types.ts";
import { readBySimulation } from "../dialin/simulated.ts";
import { middleTruth } from "../dialin/truth.ts";
import { jobOf, usual, vessel } from "../plan/process-helpers.ts";
import { seeded } from "../support/pulses.ts";

const letters = lettering();
const job = jobOf({ vessel, source: { id: "fibre-60" }, coating: { id: "powder-black" }, settings: usual });
const strip = (ladder: Ladder, marks?: number, name?: string): Strip =>
  stripOf(job, { ladder, ...(marks ? { marks } : {}), ...(name ? { name } : {}) });

const texts = (page: Page): PageText[] => page.items.filter((item) => item.kind === "text");
function boxOf({ words, x, y, size, weight = "regular", anchor = "start", rotate = 0 }: PageText) {
  const width = letters.width(words, size, weight);
  // Upright words run up from their start, their foot to the right.
  if (rotate === -90) {
    const foot = anchor === "start" ? y : anchor === "middle" ? y + width / 2 : y + width;
    return { words, left: x - 0.6 * size, right: x + 0.05 * size, top: foot - width, bottom: foot };
  }
  expect(rotate, words).toBe(0);
  const left = anchor === "start" ? x : anchor === "middle" ? x - width / 2 : x - width;
  return { words, left, right: left + width, top: y - 0.6 * size, bottom: y + 0.05 * size };
}
function checkPage(page: Page): void {
  const boxes = texts(page).map(boxOf);
  for (const one of boxes) {
    expect(one.left, one.words).toBeGreaterThanOrEqual(0);
    expect(one.right, one.words).toBeLessThanOrEqual(page.widthMm);
    expect(one.bottom, one.words).toBeLessThanOrEqual(page.heightMm);
  }
  boxes.forEach((one, i) => {
    for (const other of boxes.slice(i + 1)) {
      const apart =
        one.right <= other.left ||
        other.right <= one.left ||
        one.bottom <= other.top ||
        other.bottom <= one.top;
      expect(apart, `“${one.words}” over “${other.words}”`).toBe(true);
    }
  });
}

const cases = (["a4", "letter"] as const).flatMap((paper) =>
  (
    [
      ["settings", 1],
      ["settings", 8],
      ["focus", 8],
      ["power", 16],
      ["ramp", 2],
      ["squares", 2],
    ] as const
  ).map(([ladder, marks]) => [ladder, marks, paper] as const),
);

describe.each(cases)("the reading sheet of %s, %d marks, %s", (ladder, marks, paper) => {
  const made = strip(
    ladder,
    marks,
    "a-rather-long-name-of-a-strip-for-the-cups-of-the-boathouse-at-heron-reach",
  );
  const files = stripFiles(made, letters).map(({ name }) => name);
  const pages = readingSheet(
    made,
    { files, date: "2026-11-20", paper, lensToCrownMm: lensHeights(made), form: `${made.name}.readings.csv` },
    letters,
  );

  it("has everything on the page and nothing over something else", () => {
    expect(pages.length).toBeLessThanOrEqual(2);
    for (const page of pages) {
      expect(page).toMatchObject(papers[paper]);
      checkPage(page);
      for (const { size } of texts(page)) expect(size).toBeGreaterThanOrEqual(2.4);
    }
  });

  it("has a box for everything that is read of each mark", () => {
    const frames = pages.flatMap((page) =>
      page.items.filter((item) => item.kind === "path" && item.fill === "none" && item.stroke !== undefined),
    );
    expect(frames).toHaveLength(made.marks.length * (ladder === "squares" ? 2 : ladder === "ramp" ? 8 : 6));
  });
});

it("the fit's picture has everything on it", () => {
  const truth = { ...middleTruth(job), sidewaysMm: 0.7 };
  const strips = (["settings", "focus", "squares"] as const).map((ladder, i) => {
    const made = strip(ladder);
    return { strip: made, readings: readBySimulation(made, truth, seeded(i)) };
  });
  const found = dialIn(strips);
  const page = fitPage(found, "settings", letters);
  checkPage(page);
  const words = texts(page).map((one) => one.words);
  for (const { strip: made } of strips) expect(words.some((one) => one.includes(made.name))).toBe(true);
  expect(words.filter((one) => one.startsWith("mark "))).toHaveLength(18);
});
