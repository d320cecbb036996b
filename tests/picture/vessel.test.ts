/** The vessel's page: all within the paper, nothing over anything else, true proportions, and what it says. */
import parser from "svg-path-parser";
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../src/job/job.ts";
import { resolveJob } from "../../src/job/resolve.ts";
import type { Page, PagePath } from "../../src/picture/page/page.ts";
import { pageSvg } from "../../src/picture/page/pagesvg.ts";
import { scaleFor, scaleWords } from "../../src/picture/vessel/fit.ts";
import { vesselPage } from "../../src/picture/vessel/page.ts";
import { shapeWords } from "../../src/plan/vesselsaid.ts";
import { studyVessel } from "../../src/plan/vesseltable.ts";
import { profiles } from "../support/profiles.ts";
import { FORBIDDEN, lettering } from "./helpers.ts";
import { collisions, extentOf, outsiders, textsOf, wordsOf } from "./proof/pageitems.ts";

const letters = lettering();
function pageOf(file: JobFile): Page {
  const job = resolveJob({}, file, profiles);
  return vesselPage(
    {
      study: studyVessel(job),
      pose: job.pose,
      lens: job.lens.id,
      name: job.vessel.name ?? "Heron Reach club cup",
      shape: shapeWords(job.vessel),
    },
    letters,
  );
}

const band = (name: string, from: number, to: number, upper?: number, lower?: number) => ({
  name,
  aroundDeg: [from, to] as [number, number],
  ...(upper === undefined || lower === undefined ? {} : { belowRimMm: [upper, lower] as [number, number] }),
});
const jobs: Record<string, JobFile> = {
  "a cylinder not known to end": { vessel: { diameterMm: 76.4 } },
  "one whose rim is known": { vessel: { diameterMm: 76.4, belowRimMm: 30 } },
  "one known to end": { vessel: { diameterMm: 76.4, heightMm: 170, belowRimMm: 70 } },
  "a tiny one": { vessel: { diameterMm: 2, heightMm: 3, belowRimMm: 1 } },
  "a huge one": { vessel: { diameterMm: 1800, heightMm: 1900, belowRimMm: 900 } },
  "a cone": { vessel: { taperMm: [88, 64, 110], belowRimMm: 45 } },
  "a cone with its axis level": { vessel: { taperMm: [88, 64, 110], belowRimMm: 5 }, pose: "axis" },
  "a cone on its head": { vessel: { taperMm: [60, 140, 90] }, pose: 25 },
  "a sphere": { vessel: { sphereMm: 70 } },
  "blocked areas": {
    vessel: {
      taperMm: [88, 64, 110],
      blocked: [band("ring", -180, 180, 95, 110), band("seam", -4, 4), band("handle", 150, 210)],
    },
  },
  "a profile measured in its middle": {
    vessel: {
      profile: [20, 60, 100, 130].map((heightMm, i) => ({ heightMm, diameterMm: [70, 72, 80, 86][i]! })),
      heightMm: 150,
      belowRimMm: 70,
    },
  },
  ...Object.fromEntries(
    profiles.vessels.flatMap(({ id }) =>
      (["levelled", "lying"] as const).map((pose): [string, JobFile] => [
        `${id}, ${pose}`,
        { vessel: { id }, pose },
      ]),
    ),
  ),
};

describe.each(Object.entries(jobs))("%s", (_, file) => {
  const page = pageOf(file);
  it("lies within the margins, no words over others, none cut short", () => {
    expect(outsiders(page, letters, 11.7)).toEqual([]);
    expect(collisions(page, letters)).toEqual([]);
    expect(textsOf(page).filter(({ words }) => words.endsWith("…"))).toEqual([]);
  });
  it("is readable 1400 px wide: no letters under 12 px", () => {
    for (const { size, words } of textsOf(page))
      expect((size * 1400) / page.widthMm, words).toBeGreaterThan(12);
    expect(pageSvg(page, letters, 2)).not.toMatch(FORBIDDEN);
  });
});

/** x and y of all points of a path. */
const extent = (item: PagePath) => extentOf({ ...item, width: 0 }, letters);
const paths = (page: Page): PagePath[] => page.items.filter((item) => item.kind === "path");
/** Tinted areas, in the order they are painted. */
const tinted = (page: Page, fill: string): PagePath[] => paths(page).filter((item) => item.fill === fill);
/** Tint of 16 % of #1f7a5c on white. */
const PRINTABLE = "#dbeae5";

describe("the side view", () => {
  it("is in proportion, and its printable zone 2R sin θ wide, cos θ = 1 − 2 z_u/R (Machinery's Handbook, 31st ed., p. 79)", () => {
    const page = pageOf({
      vessel: { diameterMm: 80, heightMm: 110, belowRimMm: 40 },
      limits: { usableDepthMm: 4 },
      lens: { pivotMm: "telecentric" },
    });
    const zone = extent(tinted(page, PRINTABLE)[0]!);
    const scale = (zone.maxY - zone.minY) / 110;
    expect(scale).toBeCloseTo(1, 6);
    const sin = Math.sin(Math.acos(1 - 8 / 40));
    expect((zone.maxX - zone.minX) / scale).toBeCloseTo(80 * sin, 2);
    const sides = paths(page).filter((item) => item.width === 0.5 && item.d.split("L").length > 50);
    expect(sides.length).toBeGreaterThanOrEqual(2);
    const [left, right] = sides.map(extent);
    expect(right!.minX - left!.minX).toBeCloseTo(80 * scale, 3);
    expect(left!.maxY - left!.minY).toBeCloseTo(110 * scale, 3);
    for (const words of ["Ø 80", "110", "40", "70", "placement point Ø 80", "1:1"])
      expect(
        textsOf(page).map((one) => one.words),
        words,
      ).toContain(words);
  });
  it("of a sphere shows the cap as a disc of 2√(h(2R − h)), h twice the usable depth", () => {
    const page = pageOf({
      vessel: { sphereMm: 70 },
      limits: { usableDepthMm: 3 },
      lens: { pivotMm: "telecentric" },
    });
    const zone = extent(tinted(page, PRINTABLE)[0]!);
    const disc = 2 * Math.sqrt(6 * (70 - 6));
    expect(zone.maxX - zone.minX).toBeCloseTo(disc, 1);
    expect(zone.maxY - zone.minY).toBeCloseTo(disc, 1);
  });
  it("of a sphere says where the zone begins and ends along the wall: ±R acos(1 − 2 z_u/R) straight down", () => {
    const words = wordsOf(
      pageOf({
        vessel: { sphereMm: 70 },
        limits: { usableDepthMm: 3 },
        lens: { pivotMm: "telecentric" },
      }),
    );
    const end = (35 * Math.acos(1 - 6 / 35)).toFixed(1);
    expect(words).toContain(`zone begins −${end} along the wall`);
    expect(words).toContain(`zone ends ${end} along the wall`);
    expect(words).not.toContain("—");
  });
  it("has its name and scale beside it and in the title block, the lying view its own", () => {
    const words = wordsOf(pageOf(jobs["a cone"]!));
    expect(words).toMatch(/upright view, scale 1:1\b/);
    expect(words).toContain("scale of the upright view");
    expect(words).toMatch(/as it lies under the lens, scale 1:/);
    expect(words).not.toContain("side view");
  });
  it("marks where the wall is too steep and where it is too deep, each with its words", () => {
    const vessel = { id: "shoulder-bottle" };
    const deep = pageOf({ vessel, limits: { usableDepthMm: 3 } });
    expect(wordsOf(deep)).toContain("out of the usable depth, ±3 mm");
    expect(wordsOf(deep)).toMatch(/zone begins [\d.]+ below rim/);
    const steep = pageOf({ vessel, limits: { usableDepthMm: 40, maxIncidenceDeg: 20 } });
    expect(wordsOf(steep)).toContain("wall steeper than 20° to the beam");
    expect(wordsOf(pageOf({ vessel: { diameterMm: 80 } }))).not.toMatch(/steeper|usable depth, ±/);
  });
  it("names what is blocked, and what of it is behind", () => {
    const page = pageOf(jobs["blocked areas"]!);
    expect(wordsOf(page)).toContain("blocked: ring, seam; behind: handle");
    // The seam stands at 8° of the rim's circle: 88 sin 4° either way.
    const parts = paths(page).filter((item) => /^#e|^#d/.test(item.fill ?? "") && item.fill !== PRINTABLE);
    const seam = parts.map(extent).find((e) => e.maxX - e.minX < 10 && e.maxY - e.minY > 90)!;
    expect(seam.maxX - seam.minX).toBeCloseTo(88 * Math.sin((4 * Math.PI) / 180), 2);
  });
  it("says a cone's taper, draws its angle, and ends what is not known to end with zigzags", () => {
    const cone = pageOf(jobs["a cone"]!);
    expect(textsOf(cone).map((one) => one.words)).toContain("6.2°");
    expect(paths(cone).some((item) => parser.parseSVG(item.d).some((c) => c.code === "A"))).toBe(true);
    const zigzags = (page: Page): number =>
      paths(page).filter((item) => /l0\.8 -2l1\.6 4/.test(item.d)).length;
    expect(zigzags(pageOf(jobs["a cylinder not known to end"]!))).toBe(2);
    expect(zigzags(pageOf(jobs["one whose rim is known"]!))).toBe(1);
    expect(zigzags(cone)).toBe(0);
  });
});

it("the lying view turns the outline by the pose", () => {
  const words = wordsOf(pageOf({ vessel: { taperMm: [88, 64, 110] } }));
  // tan of the half-angle is half the difference of the diameters by the height: 12/110.
  expect(words).toMatch(/axis tilted 6\.2°, rim down/);
  expect(wordsOf(pageOf({ vessel: { taperMm: [64, 88, 110] } }))).toMatch(/axis tilted 6\.2°, rim up/);
  expect(wordsOf(pageOf({ vessel: { taperMm: [88, 64, 110] }, pose: "axis" }))).not.toMatch(/tilted/);
});

it("scales are the first of the list that fit, written as ISO 5455 writes them", () => {
  expect(scaleWords(scaleFor(80, 110, { width: 90, height: 112 }))).toBe("1:1");
  expect(scaleWords(scaleFor(80, 110, { width: 90, height: 109 }))).toBe("1:1.5");
  expect(scaleWords(scaleFor(2, 3, { width: 90, height: 109 }))).toBe("20:1");
  expect(scaleWords(scaleFor(1800, 1900, { width: 90, height: 109 }))).toBe("1:20");
});
