/**
 * A sample of the corpus against an independent renderer (@resvg/resvg-js 2.6.2): the ink of a file and its rendering
 * over white, thresholded at relative luminance 0.5 (IEC 61966-2-1), differ in at most 0.3 % of the pixels at
 * 1000 px. Antialiasing mixes the colours along an edge, and between two dark colours lets the page shine through:
 * what is not within then must be so with antialiasing off on both sides. `npm run conformance` does the same over
 * every file.
 */
import { describe, expect, it } from "vitest";
import { readInk } from "../../src/ink/ink.ts";
import { compareText, isEdgesOnly, isWithin, type Result, reasonOf } from "./compare.js";
import { sampleOverSets, setNamed } from "./corpus.js";

interface Compared {
  readonly name: string;
  readonly result: Result;
}

const named = (list: readonly Compared[]): string[] => list.map((c) => `${c.name}: ${reasonOf(c.result)}`);

describe("a sample of 300 files against an independent renderer", () => {
  const sample = sampleOverSets(300, 20);
  const compared: Compared[] = [];

  it("takes 300 files, some of every set", () => {
    expect(sample).toHaveLength(300);
    expect(new Set(sample.map(({ set }) => set)).size).toBe(11);
  });

  it("compares them all: none is refused, none fails", async () => {
    for (const { set, file } of sample) {
      const result = await compareText(setNamed(set).text(file), (text) => readInk(text));
      compared.push({ name: `${set} ${file}`, result });
    }
    expect(named(compared.filter(({ result }) => result.share === undefined))).toEqual([]);
  });

  it("finds the same ink in at least 99 % of those whose paints have one tone each", () => {
    const plain = compared.filter(({ result }) => !result.byRule);
    expect(plain.length).toBeGreaterThan(200);
    const rest = plain.filter(({ result }) => !isWithin(result) && !isEdgesOnly(result));
    expect(rest.length, named(rest).join("\n")).toBeLessThanOrEqual(0.01 * plain.length);
    const smooth = plain.filter(({ result }) => !isWithin(result));
    expect(smooth.length, named(smooth).join("\n")).toBeLessThanOrEqual(0.03 * plain.length);
  });
});
