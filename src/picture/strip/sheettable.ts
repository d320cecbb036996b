/** The table to fill in: what each mark is set to, and boxes for what is read of it. */
import type { Strip, StripMark } from "../../plan/strip/types.ts";
import type { Lettering } from "../lettering.ts";
import type { Box } from "../page/boxes.ts";
import { frame, line, text } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import type { ReadingFacts } from "./readingsheet.ts";

const SIZE = 2.7;
const SMALL = 2.4;
const HEAD = 8;
const ROW = 6.8;
/** Below the rows: what all marks share, and lines to say which vessel it was, when and by whom. */
const FOOT = 11;

interface Column {
  /** On two lines. */
  readonly head: readonly [string, string];
  /** Share of the width. */
  readonly share: number;
  /** Null for a box to write in. */
  readonly value: ((mark: StripMark, i: number) => string) | null;
}

const box = (one: string, two: string, share = 1): Column => ({ head: [one, two], share, value: null });

function columnsOf(strip: Strip, { lensToCrownMm, files }: ReadingFacts): Column[] {
  const heights = [...new Set(strip.marks.map((mark) => mark.belowCrownMm))];
  const set: Column[] = [
    { head: ["mark", ""], share: 0.6, value: ({ number }) => String(number) },
    {
      head: ["lens", "mm above"],
      share: 0.95,
      value: (_, i) => lensToCrownMm[i]!.toFixed(1),
    },
    ...(files.length > 1
      ? [
          {
            head: ["file", "height"] as const,
            share: 0.7,
            value: ({ belowCrownMm }: StripMark) => String(heights.indexOf(belowCrownMm) + 1),
          },
        ]
      : []),
  ];
  if (strip.ladder === "squares") {
    const below: Column = {
      head: ["below the", "focus, mm"],
      share: 1,
      value: ({ belowCrownMm }) => String(0 - belowCrownMm),
    };
    return [...set, below, box("side x", "mm", 2), box("side y", "mm", 2)];
  }
  return [
    ...set,
    { head: ["power", "W"], share: 0.85, value: ({ settings }) => String(settings.powerW) },
    { head: ["speed", "mm/s"], share: 0.95, value: ({ settings }) => String(settings.speedMmS) },
    box("first", "clear"),
    box("last", "clear"),
    box("between:", "first not"),
    box("between:", "last not"),
    box("first", "metal"),
    box("last", "metal"),
    ...(strip.ladder === "ramp" ? [box("left end", "mm", 1.1), box("right end", "mm", 1.1)] : []),
  ];
}

export function tableBox(strip: Strip, facts: ReadingFacts, letters: Lettering, width: number): Box {
  const columns = columnsOf(strip, facts);
  const whole = columns.reduce((sum, { share }) => sum + share, 0);
  const starts = columns.map((_, i) => columns.slice(0, i).reduce((sum, { share }) => sum + share, 0));
  return {
    height: HEAD + strip.marks.length * ROW + FOOT,
    items: (x, y) => {
      const left = (i: number): number => x + (starts[i]! / whole) * width;
      const wide = (i: number): number => (columns[i]!.share / whole) * width;
      const heads = columns.flatMap(({ head, value }, i) =>
        head.flatMap((words, k) =>
          words === ""
            ? []
            : text(
                letters.fitted(words, wide(i) - 0.6, SMALL),
                left(i) + wide(i) / 2,
                y + 2.8 + 3.2 * k,
                SMALL,
                {
                  anchor: "middle",
                  ...(value ? {} : { weight: "bold" as const }),
                },
              ),
        ),
      );
      const rows = strip.marks.flatMap((mark, r): PageItem[] => {
        const top = y + HEAD + r * ROW;
        return columns.flatMap(({ value }, i): PageItem[] =>
          value
            ? [text(value(mark, r), left(i) + wide(i) / 2, top + 4.4, SIZE, { anchor: "middle" })]
            : [frame({ x: left(i) + 0.6, y: top + 0.5, width: wide(i) - 1.2, height: ROW - 1 })],
        );
      });
      const { settings } = strip.marks[0]!;
      const common =
        strip.ladder === "squares"
          ? "Power and speed: whatever shows."
          : `All marks: ${settings.frequencyKHz} kHz, pitch ${settings.pitchMm} mm, lines at ${settings.anglesDeg.join("° and ")}°, ${settings.passes} ${settings.passes === 1 ? "pass" : "passes"}. The bars' numbers are marked with mark ${strip.numbersWith}.`;
      const foot = y + HEAD + strip.marks.length * ROW;
      return [
        ...heads,
        ...rows,
        text(letters.fitted(common, width, SMALL), x, foot + 3.2, SMALL),
        ...blanks(strip, letters, x, foot + 9.6, width),
      ];
    },
  };
}

/** Lines to write on, with what belongs there; on the first the most is written. */
function blanks({ ladder }: Strip, letters: Lettering, x: number, y: number, width: number): PageItem[] {
  const what = ladder === "squares" ? "plate" : ladder === "ramp" ? "coupon and coat" : "vessel and coat";
  const ends = [0, 0.5, 0.75, 1].map((share) => x + share * width);
  return [what, "marked on", "read by"].flatMap((words, i): PageItem[] => {
    const left = ends[i]!;
    const right = ends[i + 1]! - (i === 2 ? 0 : 4);
    return [
      text(words, left, y, SMALL),
      line(left + letters.width(words, SMALL, "regular") + 1.5, y, right, y),
    ];
  });
}
