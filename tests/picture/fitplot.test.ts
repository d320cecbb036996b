/** The fit's picture drawn from a fit made by hand: bands where it was fitted, brackets where it was read, dots where they part. */
import { describe, expect, it } from "vitest";
import { lettering } from "../../src/cli/typefaces.ts";
import type { DialIn, Residual } from "../../src/dialin/types.ts";
import { viridisHex } from "../../src/picture/colours.ts";
import type { PageItem, PageLine, PagePath } from "../../src/picture/page/page.ts";
import { fitPage } from "../../src/picture/strip/fitplot.ts";
import { stripOf } from "../../src/plan/strip/layout.ts";
import { jobOf, usual, vessel } from "../plan/process-helpers.ts";

const letters = lettering();
const strip = stripOf(
  jobOf({ vessel, source: { id: "fibre-60" }, coating: { id: "powder-black" }, settings: usual }),
  { ladder: "settings", marks: 1 },
);
const bars = strip.bars.length;

const one = (what: string, read: number | "none", predicted: number | "none", off: number): Residual => ({
  ...{ strip: strip.name, mark: 1, row: 1, unit: "bar" },
  ...{ what, read, predicted, off },
});

function drawn(residuals: readonly Residual[], estimates: DialIn["estimates"] = {}): readonly PageItem[] {
  const found: DialIn = {
    ...{ estimates, residuals, unresolved: [], suggestions: [], rms: 1, problems: [] },
    correlation: { names: [], rows: [] },
    strips: [{ strip, readings: [{ mark: 1, row: 1 }] }],
  };
  return fitPage(found, "settings", letters).items;
}

const paths = (items: readonly PageItem[]): PagePath[] => items.filter((item) => item.kind === "path");
const dashed = (items: readonly PageItem[]): PageLine[] =>
  items.filter((item): item is PageLine => item.kind === "line" && item.dash !== undefined);
const xs = ({ d }: PagePath): number[] =>
  [...d.matchAll(/[MH](-?[\d.]+)/g)].map(([, x]) => Number(x)).sort((a, b) => a - b);
/** Boxes of a colour that lie on the bars' axis; the key's own stand at the foot, the left of it. */
const bandsOf = (items: readonly PageItem[], fill: string): number[][] => {
  const [from, to] = axis(items);
  return paths(items)
    .filter((item) => item.fill === fill)
    .map((item) => [xs(item)[0]!, xs(item).at(-1)!])
    .filter(([x1, x2]) => x1! >= from - 1e-3 && x2! <= to + 1e-3);
};
/** Where the bars' axis begins and ends on the page: its long line. */
function axis(items: readonly PageItem[]): [number, number] {
  const long = items
    .filter((item) => item.kind === "line")
    .map(({ x1, x2 }): [number, number] => [x1, x2])
    .sort((p, q) => q[1] - q[0] - (p[1] - p[0]));
  return long[0]!;
}
/** The page's x of a bar, as a ruler would find it. */
const at = (items: readonly PageItem[], bar: number): number => {
  const [from, to] = axis(items);
  return from + ((bar - 0.5) / bars) * (to - from);
};

const clear = viridisHex(205);
const metal = viridisHex(40);

describe("a mark's row", () => {
  const items = drawn([
    one("first clear", 21, 20.4, 0.6),
    one("last clear", 70, 71.5, -1.5),
    one("first metal", 31, 30, 1),
    one("last metal", 60, 60.25, -2.5),
  ]);

  it("has bands from the first to the last bar as fitted, whole bars of them", () => {
    const [[from, to]] = bandsOf(items, clear) as [[number, number]];
    expect(from).toBeCloseTo(at(items, 19.9), 2);
    expect(to).toBeCloseTo(at(items, 72), 2);
    const [[bare, end]] = bandsOf(items, metal) as [[number, number]];
    expect(bare).toBeCloseTo(at(items, 29.5), 2);
    expect(end).toBeCloseTo(at(items, 60.75), 2);
  });

  it("has a bracket at the outer side of each bar that was read, open to the inside", () => {
    const brackets = paths(items).filter(({ stroke }) => stroke !== undefined);
    expect(brackets).toHaveLength(4);
    const sides = [20.5, 70.5, 30.5, 60.5];
    brackets.forEach((item, i) => {
      const [left, right] = [xs(item)[0]!, xs(item).at(-1)!];
      expect(i % 2 === 0 ? left : right).toBeCloseTo(at(items, sides[i]!), 2);
      expect(right - left).toBeGreaterThan(0.5);
    });
  });

  it("has a dot for each reading, in a colour of its own past two errors", () => {
    const small = paths(items).filter(
      (item) => Math.abs(xs(item).at(-1)! - xs(item)[0]! - 1) < 1e-3 && item.fill !== undefined,
    );
    expect(small).toHaveLength(4);
    expect(new Set(small.map(({ fill }) => fill)).size).toBe(2);
    expect(small.filter(({ fill }) => fill === small[3]!.fill)).toHaveLength(1);
    const middle = (i: number): number => xs(small[i]!)[0]! + 0.5;
    // Evenly spaced: 0.6, −1.5, 1 and −2.5 lie on one scale.
    const scale = (middle(2) - middle(1)) / 2.5;
    expect(middle(0) - middle(1)).toBeCloseTo(2.1 * scale, 2);
    expect(middle(1) - middle(3)).toBeCloseTo(scale, 2);
  });

  it("has no number that is none", () => {
    for (const { d } of paths(items)) expect(d).not.toMatch(/NaN|Infinity|undefined/);
  });
});

it("a gap is cut out of the clear stretch where it was fitted", () => {
  const items = drawn([
    one("first clear", 21, 21, 0),
    one("last clear", 70, 70, 0),
    one("first gap", 42, 43, -1),
    one("last gap", 48, 47.5, 0.5),
  ]);
  const order = paths(items);
  const over = order.findIndex(
    (item) => item.fill !== clear && Math.abs(xs(item)[0]! - at(items, 42.5)) < 0.01,
  );
  expect(xs(order[over]!).at(-1)).toBeCloseTo(at(items, 48), 2);
  expect(over).toBeGreaterThan(order.findIndex(({ fill }) => fill === clear));
});

it("nothing clear, fitted or read, draws neither band nor bracket", () => {
  const items = drawn([one("first clear", "none", "none", 0), one("last clear", "none", "none", 0)]);
  expect(bandsOf(items, clear)).toEqual([]);
  expect(paths(items).filter(({ stroke }) => stroke !== undefined)).toEqual([]);
});

it("the optical axis stands left of the crown line where that stood right of it", () => {
  const by = (value: number): number => {
    const items = drawn([], { sidewaysMm: { value, low: value - 0.2, high: value + 0.2, unit: "mm" } });
    const [one] = dashed(items);
    const pitch = strip.bars[1]!.atMm - strip.bars[0]!.atMm;
    const crown = strip.bars.find(({ atMm }) => atMm === 0)!.number;
    expect(one!.x1).toBeCloseTo(at(items, crown - value / pitch), 2);
    return one!.x1 - at(items, crown);
  };
  expect(by(2)).toBeLessThan(0);
  expect(by(-2)).toBeGreaterThan(0);
  expect(by(0)).toBeCloseTo(0, 6);
});
