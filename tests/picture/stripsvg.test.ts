/** The strip's files, read back by svgson and svg-path-parser, and mapped back onto what they were bent for. */
import { parseSync } from "svgson";
import { beforeAll, describe, expect, it } from "vitest";
import { lettering } from "../../src/cli/typefaces.ts";
import type { JobFile } from "../../src/job/job.ts";
import { numberedBars } from "../../src/picture/strip/shapes.ts";
import { type StripFile, stripFiles } from "../../src/picture/strip/stripsvg.ts";
import { leftOf, rightOf } from "../../src/plan/strip/edges.ts";
import { stripOf } from "../../src/plan/strip/layout.ts";
import { bentWith } from "../../src/plan/strip/meets.ts";
import type { Ladder, Strip } from "../../src/plan/strip/types.ts";
import { outlines, type Point } from "../cli/marks.ts";
import { jobOf, usual, vessel } from "../plan/process-helpers.ts";

const made = (ladder: Ladder, more: JobFile = {}): { strip: Strip; files: StripFile[] } => {
  const strip = stripOf(
    jobOf({ vessel, source: { id: "fibre-60" }, coating: { id: "powder-black" }, settings: usual, ...more }),
    { ladder },
  );
  return { strip, files: stripFiles(strip, lettering()) };
};

interface Drawn {
  readonly mark: number;
  readonly id: string;
  readonly points: readonly Point[];
}
const titles = (file: StripFile): string[] =>
  parseSync(file.svg).children.map(
    (group) => group.children.find((c) => c.name === "title")!.children[0]!.value,
  );
const drawn = (file: StripFile): Drawn[] =>
  parseSync(file.svg).children.flatMap((group) =>
    group.children
      .filter((child) => child.name === "path")
      .map((child) => ({
        mark: Number(group.attributes.id!.slice(5)),
        id: child.attributes.id!,
        points: outlines(child.attributes.d!, 8).flatMap((one) => one.points),
      })),
  );
interface Box {
  readonly id: string;
  readonly minX: number;
  readonly maxX: number;
  readonly minY: number;
  readonly maxY: number;
}
/** On the flat, by the inverse of the map that the file was bent with. */
function boxOf(strip: Strip, { id, mark, points }: Drawn): Box {
  const warp = bentWith(strip, strip.marks[mark - 1]!);
  const flat = points.map(([x, y]) => {
    const turned = strip.job.axis === "x" ? { x: y, y: -x } : { x, y };
    const back = warp.inverse(turned);
    if (typeof back === "string") throw new Error(`${id}: ${back}`);
    return back;
  });
  const [xs, ys] = [flat.map((p) => p.x), flat.map((p) => p.y)];
  return { id, minX: Math.min(...xs), maxX: Math.max(...xs), minY: Math.min(...ys), maxY: Math.max(...ys) };
}
const apart = (one: Box, other: Box): boolean =>
  one.maxX < other.minX || other.maxX < one.minX || one.maxY < other.minY || other.maxY < one.minY;

const cases: [string, JobFile][] = [
  ["straight", {}],
  ["tapered", { vessel: { taperMm: [88, 64, 110] } }],
  ["straight, along the bed's x", { axis: "x" }],
];
describe.each(cases)("a %s vessel's strip", (_, more) => {
  let strip: Strip;
  let boxes: Box[];
  let all: Drawn[];
  beforeAll(() => {
    const { strip: one, files } = made("settings", more);
    strip = one;
    expect(files).toHaveLength(1);
    all = drawn(files[0]!);
    boxes = all.map((shape) => boxOf(strip, shape));
  });

  it("has every bar of every mark, where it is told to be within the tolerance (0.002 mm)", () => {
    for (const mark of strip.marks) {
      for (const bar of strip.bars) {
        const box = boxes[all.findIndex(({ id }) => id === `mark-${mark.number}-bar-${bar.number}`)]!;
        expect(Math.abs(box.minX - leftOf(bar))).toBeLessThan(0.0021);
        expect(Math.abs(box.maxX - rightOf(bar))).toBeLessThan(0.0021);
        expect(Math.abs(box.minY - (mark.rowMm - strip.barHeightMm / 2))).toBeLessThan(0.0021);
        expect(Math.abs(box.maxY - (mark.rowMm + strip.barHeightMm / 2))).toBeLessThan(0.0021);
      }
    }
  });

  it("has figures as tall as those of letters whose x is 1.2 mm high, and none touches another or a bar", () => {
    const figures = boxes.filter(({ id }) => id.includes("number"));
    // Regulation (EU) 1169/2011, Article 13: 1.2 mm; Noto Sans has an x of 0.536 em and figures of 0.714 em.
    const least = (1.2 * 0.714) / 0.536;
    for (const { id, minX, maxX, minY, maxY } of figures) {
      const height = id.startsWith("number") ? maxX - minX : maxY - minY;
      expect(height).toBeGreaterThan(0.97 * least);
    }
    for (const figure of figures)
      for (const other of boxes)
        if (other !== figure) expect(apart(figure, other), `${figure.id} ${other.id}`).toBe(true);
  });

  it("numbers every bar, each number by its own bar", () => {
    const numbers = boxes.filter(({ id }) => id.startsWith("number-"));
    expect(numbers).toHaveLength(strip.bars.length);
    for (const { id, minX, maxX } of numbers) {
      const bar = strip.bars.find(({ number }) => number === Number(id.slice(7)))!;
      expect(Math.abs((minX + maxX) / 2 - bar.atMm)).toBeLessThan(0.3);
    }
  });
});

it("a group a mark, whose title says what to set; numbers with the mark that removes most", () => {
  const { strip, files } = made("settings");
  const [file] = files;
  expect(file!.name).toBe("settings.strip.svg");
  expect(titles(file!)).toEqual(
    strip.marks.map(
      ({ number, settings: s }) =>
        `mark ${number} of 8: ${s.powerW} W, ${s.speedMmS} mm/s, ${s.frequencyKHz} kHz, pitch ${s.pitchMm} mm`,
    ),
  );
  const root = parseSync(file!.svg);
  expect(root.attributes["data-fallaway"]).toBe("bent");
  expect(root.attributes.width).toBe("300mm");
  const withNumbers = new Set(
    drawn(file!)
      .filter(({ id }) => id.startsWith("number-"))
      .map(({ mark }) => mark),
  );
  expect([...withNumbers]).toEqual([strip.numbersWith]);
});

it("each lens height is a file of its own, and its bars lie on the others' on the vessel", () => {
  const { strip, files } = made("focus");
  expect(files.map(({ name }) => name)).toEqual([1, 2, 3, 4].map((i) => `focus.strip.height-${i}.svg`));
  expect(files.flatMap(({ marks }) => marks.map((mark) => mark.number))).toEqual(
    strip.marks.map((m) => m.number),
  );
  const edges = files.map((file) => {
    const { mark } = drawn(file)[0]!;
    const shape = drawn(file).find(({ id }) => id === `mark-${mark}-bar-5`)!;
    return boxOf(strip, shape).minX;
  });
  for (const edge of edges) expect(Math.abs(edge - edges[0]!)).toBeLessThan(0.0021);
});

it("a square is the same command at every height", () => {
  const { strip, files } = made("squares");
  const each = files.map((file) => drawn(file).find(({ id }) => id.startsWith("square"))!.points);
  expect(each).toHaveLength(2);
  expect(each[1]).toEqual(each[0]);
  for (const k of [0, 1]) {
    const along = each[0]!.map((p) => p[k]!);
    expect([Math.min(...along), Math.max(...along)]).toEqual([-strip.sideMm! / 2, strip.sideMm! / 2]);
  }
});

it("bars nearer than figures are numbered every so many-th", () => {
  const bars = Array.from({ length: 41 }, (_, i) => ({ number: i + 1, atMm: (i - 20) * 0.5, widthMm: 0.3 }));
  expect(
    numberedBars({ bars })
      .map(({ number }) => number)
      .slice(0, 4),
  ).toEqual([1, 3, 5, 7]);
});
