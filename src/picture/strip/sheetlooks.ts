/** What to look for under the loupe: a bar fully clear, one that is not, and metal that has changed, each drawn large. */
import type { Strip } from "../../plan/strip/types.ts";
import type { Lettering } from "../lettering.ts";
import { type Box, paragraph, stacked } from "../page/boxes.ts";
import type { PageItem } from "../page/page.ts";
import { fixed } from "../svg.ts";

const SIZE = 2.7;
const SMALL = 2.4;
/** A bar as drawn (mm). */
const WIDE = 9;
const HIGH = 12;
const COAT = "#8c8c8c";

export function looksBox({ ladder }: Strip, letters: Lettering, width: number): Box {
  if (ladder === "squares") {
    return paragraph(
      letters,
      "Measure from the middle of one line to the middle of the line opposite, with callipers, at the middle of each side. Leave a box empty that was not measured.",
      width,
      SIZE,
      { most: 3 },
    );
  }
  const each = width / 3;
  const looks = [
    [clearBar, "Fully clear", "Bare metal all over but for a hairline along its edge."],
    [coatedBar, "Not fully clear", "Coat is left inside: a veil, specks, stripes or an end."],
    [
      changedBar,
      "Metal changed",
      "The bare metal is darker, coloured, rough or frosted, or has lines cut into it.",
    ],
  ] as const;
  const pictures: Box = {
    height: HIGH + 1,
    items: (x, y) =>
      looks.flatMap(([draw, title, words], i) => {
        const left = x + i * each;
        const say = stacked(
          [
            paragraph(letters, title, each - WIDE - 5, SIZE, { weight: "bold" }),
            paragraph(letters, words, each - WIDE - 5, SMALL, { most: 4 }),
          ],
          0.3,
        );
        return [...draw(left, y), ...say.items(left + WIDE + 3, y)];
      }),
  };
  const rules = paragraph(
    letters,
    `Count by the numbers on the mark, from the left, ${ladder === "ramp" ? "seen from the lens" : "the rim up"}. First and last: the outermost bar on the left and on the right. Between: bars inside that are not fully clear, the first and the last of them, where there are any. Write none where there is no such bar; leave a box empty where you did not look.`,
    width,
    SIZE,
    { most: 4 },
  );
  return stacked([pictures, rules], 1.6);
}

const rect = (x: number, y: number, width: number, height: number, fill: string): PageItem => ({
  kind: "path",
  d: `M${fixed(x, 3)} ${fixed(y, 3)}h${fixed(width, 3)}v${fixed(height, 3)}h${fixed(-width, 3)}Z`,
  fill,
});

/** A bar in its coat. */
const bar = (x: number, y: number): PageItem[] => [
  rect(x, y, WIDE, HIGH, COAT),
  rect(x + 2, y + 1.5, WIDE - 4, HIGH - 3, "#ffffff"),
];

const clearBar = (x: number, y: number): PageItem[] => bar(x, y);

const coatedBar = (x: number, y: number): PageItem[] => [
  ...bar(x, y),
  ...[2.4, 4.4, 6.4].map((dy, i) => rect(x + 2.6 + (i % 2), y + dy, 2.2, 0.9, COAT)),
  rect(x + 2, y + HIGH - 3.6, WIDE - 4, 2.2, COAT),
];

const changedBar = (x: number, y: number): PageItem[] => [
  ...bar(x, y),
  {
    kind: "path",
    d: Array.from(
      { length: HIGH - 4 },
      (_, i) => `M${fixed(x + 2.2, 3)} ${fixed(y + 2.2 + i, 3)}h${fixed(WIDE - 4.4, 3)}`,
    ).join(""),
    stroke: "#000000",
    width: 0.3,
  },
];
