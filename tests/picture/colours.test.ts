/**
 * The colour table against matplotlib 3.6.3 (`matplotlib.colormaps["viridis"]`, 256 entries, CC0), whose entries
 * d3-scale-chromatic 3.1.1 gives as the same hex values.
 */
import { expect, test } from "vitest";
import { viridis, viridisHex, viridisIndex, zoneStyles } from "../../src/picture/colours.ts";

const matplotlib: [index: number, hex: string, r: number, g: number, b: number][] = [
  [0, "#440154", 0.267004, 0.004874, 0.329415],
  [32, "#472d7b", 0.278826, 0.17549, 0.483397],
  [64, "#3b528b", 0.229739, 0.322361, 0.545706],
  [96, "#2c728e", 0.172719, 0.448791, 0.557885],
  [128, "#21918c", 0.127568, 0.566949, 0.550556],
  [160, "#28ae80", 0.157851, 0.683765, 0.501686],
  [192, "#5ec962", 0.369214, 0.788888, 0.382914],
  [224, "#addc30", 0.678489, 0.863742, 0.189503],
  [255, "#fde725", 0.993248, 0.906157, 0.143936],
];

test.each(matplotlib)("viridis %i is matplotlib's %s", (index, hex, r, g, b) => {
  expect(viridisHex(index)).toBe(hex);
  const out = new Uint8Array(5);
  viridis((index + 0.5) / 256, out, 1);
  const expected = [r, g, b].map((v) => Math.round(255 * v));
  expect([...out]).toEqual([0, ...expected, 0]);
});

test("256 steps, the ends held", () => {
  expect([-1, 0, 1 / 256, 0.5, 255 / 256, 1, 2, Number.NaN].map(viridisIndex)).toEqual([
    0, 0, 1, 128, 255, 255, 255, 0,
  ]);
});

test("lightness grows over the whole table, so that falloff stays readable in grey", () => {
  let last = -1;
  for (let i = 0; i < 256; i++) {
    const [r, g, b] = [1, 3, 5].map((k) => Number.parseInt(viridisHex(i).slice(k, k + 2), 16));
    const grey = 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
    expect(grey).toBeGreaterThan(last - 0.5);
    last = grey;
  }
});

test("zones differ in hatch and word, not in shade alone", () => {
  const styles = Object.values(zoneStyles);
  expect(new Set(styles.map((s) => s.word)).size).toBe(styles.length);
  expect(new Set(styles.map((s) => s.hatch.join())).size).toBe(styles.length);
});
