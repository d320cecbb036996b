/** How figures are written. */
import { expect, it } from "vitest";
import { four, timeWords } from "../../src/plan/figures.ts";

it("writes times as people do: two digits of seconds, then minutes, then hours", () => {
  expect([0.5, 42, 99, 99.4, 99.7, 252, 3599.4, 3600, 6349, 7440].map(timeWords)).toEqual([
    "0.5 s",
    "42 s",
    "99 s",
    "99 s",
    "1 min 40 s",
    "4 min 12 s",
    "59 min 59 s",
    "1 h 0 min",
    "1 h 46 min",
    "2 h 4 min",
  ]);
});

it("writes four digits and no zeros that say nothing", () => {
  expect([0.025, 27, 900, 33.3333, 12345.6].map(four)).toEqual(["0.025", "27", "900", "33.33", "12350"]);
});
