/** The bands' file: groups, their titles and colours, read back by an XML parser that did not write it. */
import { SaxesParser } from "saxes";
import { describe, expect, it } from "vitest";
import { bandsSvg } from "../../src/picture/bandssvg.ts";
import type { Band, Bands, Fill } from "../../src/plan/fill/types.ts";
import type { Mark, Plan } from "../../src/plan/types.ts";
import { crestPlan } from "./helpers.ts";

interface Group {
  readonly id: string;
  readonly title: string;
  readonly ids: string[];
  readonly fills: Set<string>;
}

function read(svg: string): { root: Record<string, string>; comment: string; groups: Group[] } {
  const groups: { id: string; title: string; ids: string[]; fills: Set<string> }[] = [];
  let root: Record<string, string> = {};
  let comment = "";
  const parser = new SaxesParser();
  parser.on("comment", (text) => {
    comment += text;
  });
  parser.on("opentag", ({ name, attributes }) => {
    if (name === "svg") root = attributes;
    else if (name === "g") groups.push({ id: attributes.id!, title: "", ids: [], fills: new Set() });
    else if (name === "path") {
      groups.at(-1)!.ids.push(attributes.id!);
      groups.at(-1)!.fills.add(attributes.fill!);
    }
  });
  parser.on("text", (text) => {
    if (text.trim() !== "") groups.at(-1)!.title += text;
  });
  parser.write(svg).close();
  return { root, comment, groups };
}

const band = (speedFactor: number | null, powerFactor: number | null): Band => ({
  intervalsDeg: [[0, 1]],
  share: 0.25,
  dead: 0,
  falloff: speedFactor ?? 0,
  speedFactor,
  powerFactor,
});
const bands: Bands = {
  bands: [band(1, 1), band(0.8204, 1.2196), band(0.5, 2), band(null, null)],
  bandAt: () => 0,
  factorAt: () => 1,
};
const fillBy = (plan: Plan, bandsBy: "speed" | "power"): Fill =>
  ({ ...plan.fill, asked: { bandsBy }, bands }) as unknown as Fill;
const marksOf = (plan: Plan): Mark[][] => {
  const usable = plan.marks.get("usable") ?? [];
  return [0, 1, 2, 3].map((k) => usable.slice(3 * k, 3 * k + 3));
};
const settings = {
  powerW: 20,
  speedMmS: 1000,
  frequencyKHz: 50,
  pitchMm: 0.03,
  anglesDeg: [90],
  passes: 1,
};

describe("a group for each band", () => {
  it.each([
    [
      "speed",
      [
        "band 1 of 4: speed × 1.00 (1000 mm/s)",
        "band 2 of 4: speed × 0.820 (820.4 mm/s)",
        "band 3 of 4: speed × 0.500 (500 mm/s)",
        "band 4 of 4: below the threshold, whatever the speed",
      ],
    ],
    [
      "power",
      [
        "band 1 of 4: power × 1.00 (20 W)",
        "band 2 of 4: power × 1.22 (24.39 W)",
        "band 3 of 4: power × 2.00 (40 W)",
        "band 4 of 4: below the threshold, whatever the power",
      ],
    ],
  ] as const)("with the %s to set in its title", async (by, titles) => {
    const plan = await crestPlan({ settings });
    const marks = marksOf(plan);
    const { groups, root } = read(bandsSvg(plan, marks, fillBy(plan, by)));
    expect(groups.map(({ title }) => title)).toEqual(titles);
    expect(groups.map(({ id }) => id)).toEqual(["band-1", "band-2", "band-3", "band-4"]);
    expect(groups.map(({ ids }) => ids)).toEqual(marks.map((list) => list.map(({ id }) => id)));
    const half = plan.job.lens.fieldMm / 2;
    expect(root.viewBox).toBe(`${-half} ${-half} ${2 * half} ${2 * half}`);
    expect(root["data-fallaway"]).toBe("bent");
  });

  it("in a colour of its own, evenly along viridis", async () => {
    const plan = await crestPlan();
    const eight = { ...fillBy(plan, "speed"), bands: { ...bands, bands: Array(8).fill(band(1, 1)) } };
    const marks = plan.marks
      .get("usable")!
      .slice(0, 8)
      .map((mark) => [mark]);
    const { groups } = read(bandsSvg(plan, marks, eight));
    // Entries 0, 32, …, 224 as matplotlib 3.6.3 has them (N. Smith, S. van der Walt, E. Firing; see colours.test.ts).
    expect(groups.flatMap(({ fills }) => [...fills])).toEqual([
      "#440154",
      "#472d7b",
      "#3b528b",
      "#2c728e",
      "#21918c",
      "#28ae80",
      "#5ec962",
      "#addc30",
    ]);
  });

  it("without settings it has the factor alone, and a band without marks has no group", async () => {
    const plan = await crestPlan();
    const [one, , three] = marksOf(plan);
    const { groups } = read(bandsSvg(plan, [one!, [], three!], fillBy(plan, "power")));
    expect(groups.map(({ title }) => title)).toEqual([
      "band 1 of 4: power × 1.00",
      "band 3 of 4: power × 2.00",
    ]);
  });
});

it("the comment says where the settings are, and that a stopped job is not to be marked", async () => {
  const plan = await crestPlan();
  const { comment } = read(bandsSvg(plan, marksOf(plan), fillBy(plan, "speed")));
  expect(comment).toContain("the title of each group says what to set");
  expect(comment).not.toContain("STOP");
  const stopped = await crestPlan({ placement: { widthMm: 90 } });
  expect(stopped.verdict).toBe("stop");
  const { comment: warning, groups } = read(bandsSvg(stopped, marksOf(stopped), fillBy(stopped, "speed")));
  expect(warning).toContain("STOP, do not mark this file as it is");
  // Beyond the limits there is ink, and none of it is in the file.
  const beyond = [...stopped.marks].filter(([zone]) => zone !== "usable").flatMap(([, list]) => list);
  expect(beyond.length).toBeGreaterThan(0);
  for (const { ids } of groups) for (const { id } of beyond) expect(ids).not.toContain(id);
});
