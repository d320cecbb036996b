/** Numbers as text against Intl.NumberFormat (ECMA-402), and against the number itself. */
import fc from "fast-check";
import { expect, test } from "vitest";
import { digits } from "../../src/picture/digits.ts";

const format = new Intl.NumberFormat("en", {
  maximumFractionDigits: 4,
  useGrouping: false,
  signDisplay: "negative",
});

test("every number of the file's grid as ECMA-402 writes it", () => {
  fc.assert(
    fc.property(fc.integer({ min: -3_000_000_000, max: 3_000_000_000 }), (n) => {
      expect(digits(n / 1e4)).toBe(format.format(n / 1e4));
    }),
    { seed: 71, numRuns: 5000 },
  );
});
test("any other is rounded to it, alike on both sides of 0", () => {
  fc.assert(
    fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), (v) => {
      expect(digits(v)).toMatch(/^(0|-?[1-9]\d*|-?\d+\.\d{0,3}[1-9])$/);
      expect(Math.abs(Number(digits(v)) - v)).toBeLessThanOrEqual(0.00005 + 1e-9);
      expect(digits(-v)).toBe(digits(v) === "0" ? "0" : digits(v).replace(/^-?/, v > 0 ? "-" : ""));
    }),
    { seed: 72, numRuns: 5000 },
  );
});
test("halves go away from 0, nothing is −0 or a power of ten", () => {
  expect([0.00005, -0.00005, 0.00004, -0.00004, -0, 1e-9, 12, -3.5, 1e9, 0.1].map(digits)).toEqual([
    "0.0001",
    "-0.0001",
    "0",
    "0",
    "0",
    "0",
    "12",
    "-3.5",
    "1000000000",
    "0.1",
  ]);
});
test.each([Number.NaN, Infinity, -Infinity, 2e11])("%s is no length: RangeError", (v) => {
  expect(() => digits(v)).toThrow(RangeError);
});
