/** Boxes of the pages: places, and words broken only between characters as people see them. */
import { describe, expect, it } from "vitest";
import { lettering } from "../../../src/cli/typefaces.ts";
import { beside, linesBox, paragraph, stacked, wrapped } from "../../../src/picture/page/boxes.ts";
import { frame } from "../../../src/picture/page/items.ts";
import type { PageItem } from "../../../src/picture/page/page.ts";
import { sheetContent } from "../../../src/picture/sheet/content.ts";
import { sheetPages } from "../../../src/picture/sheet/sheetpage.ts";
import { crestPlan } from "../helpers.ts";

const letters = lettering();
/** "Of boat and boat races", without blanks: vowel signs stand before, above, below and behind their letters. */
const devanagari = "नौकाओंकीऔरनौकादौड़ोंकीप्रतियोगिता".repeat(3);

describe("words that are wider than their room", () => {
  it.each([
    ["Devanagari", devanagari],
    ["letters with marks", "e\u0301o\u0308n\u0303".repeat(20)],
    ["a family of four by joiners", "👨‍👩‍👧‍👦".repeat(20)],
    ["plain letters", "regatta".repeat(20)],
  ])(
    "%s: every line fits, none begins with what belongs to the letter before, nothing is lost",
    (_, word) => {
      for (const room of [8, 13, 21.5]) {
        const lines = wrapped(letters, word, room, 3, "regular", 100);
        expect(lines.length).toBeGreaterThan(3);
        for (const line of lines) {
          expect(letters.width(line, 3)).toBeLessThanOrEqual(room);
          // UAX 29, GB9 and GB9a: no break before extending characters, joiners and spacing marks; GB11: nor after a joiner.
          expect(line).not.toMatch(/^[\p{M}\u200c\u200d]|\u200d$/u);
        }
        expect(lines.join("").normalize("NFC")).toBe(word.normalize("NFC"));
      }
    },
  );

  it("on the station sheet as well", async () => {
    const plan = await crestPlan({ vessel: { diameterMm: 82, name: devanagari } });
    const facts = {
      ...{ title: "crest.svg", marks: "crest.warped.svg", align: "crest.align.svg" },
      ...{ html: "crest.sheet.html", sha256: "0".repeat(64), date: "2026-03-01", paper: "a4" as const },
    };
    const page = sheetPages(sheetContent(plan, facts), letters)[0]!;
    const lines = page.items.flatMap((i) =>
      i.kind === "text" && /\p{Script=Devanagari}/u.test(i.words) ? [i.words] : [],
    );
    expect(lines.length).toBeGreaterThan(1);
    for (const line of lines) expect(line).not.toMatch(/^\p{M}/u);
  });
});

describe("boxes", () => {
  const box = (height: number) => ({
    height,
    items: (x: number, y: number) => [frame({ x, y, width: 1, height })],
  });
  const starts = (items: readonly PageItem[]): string[] =>
    items.flatMap((item) => (item.kind === "path" ? [item.d.split("h")[0]!] : []));

  it("stand below each other with a gap, and no gap for an empty one", () => {
    const pile = stacked([box(2), box(0), box(3)], 1);
    expect(pile.height).toBe(6);
    expect(starts(pile.items(10, 20))).toEqual(["M10 20", "M10 23"]);
    expect(stacked([], 1).height).toBe(0);
  });

  it("stand beside each other, as high as the highest", () => {
    const row = beside([box(2), box(5)], 30);
    expect(row.height).toBe(5);
    expect(starts(row.items(10, 20))).toEqual(["M10 20", "M40 20"]);
  });

  it("hold lines from baseline to baseline, and are as high as these", () => {
    const lines = linesBox(["one", "two"], 4, { lead: 1.5 });
    expect(lines.height).toBe(12);
    const ys = lines.items(0, 10).flatMap((i) => (i.kind === "text" ? [i.y] : []));
    expect(ys[1]! - ys[0]!).toBeCloseTo(6, 9);
    expect(ys[0]).toBeGreaterThan(10);
    expect(paragraph(letters, "  ", 50, 3).height).toBe(0);
  });

  it("refuse a number that is none", () => {
    expect(() => frame({ x: Number.NaN, y: 0, width: 1, height: 1 })).toThrow(/NaN/);
  });
});
