/** Where a fit may write, and which working distance it speaks of where strips were made with two. */
import { copyFileSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import { fallaway, folder } from "./helpers.ts";

const black = [
  ...["--diameter", "76.4", "--source", "fibre-60", "--coating", "powder-black", "--power", "27W"],
  ...["--speed", "900", "--frequency", "50", "--pitch", "0.025"],
];
const dir = folder();
const filled = (name: string): string => join(dir, `${name}.readings.csv`);

beforeAll(() => {
  for (const ladder of ["settings", "focus", "squares"]) {
    const ran = fallaway(["strip", "--ladder", ladder, "--out", dir, ...black]);
    expect(ran, ran.err).toMatchObject({ code: 0, err: "" });
    const form = new URL(`../../fixtures/demo/dial-in/${ladder}.readings.csv`, import.meta.url);
    copyFileSync(fileURLToPath(form), filled(ladder));
  }
}, 60_000);

describe("files that stand there already", () => {
  it("an earlier fit's are written over", () => {
    const out = folder();
    const run = () => fallaway(["fit", filled("settings"), "--out", out, "--date", "2026-11-20"]);
    expect(run()).toMatchObject({ code: 0, err: "" });
    const first = readFileSync(join(out, "settings.calibration.json"), "utf8");
    writeFileSync(join(out, "settings.calibration.json"), first.replace("2026-11-20", "2026-11-01"));
    expect(run()).toMatchObject({ code: 0, err: "" });
    expect(readFileSync(join(out, "settings.calibration.json"), "utf8")).toBe(first);
  });

  it.each([
    ["settings.calibration.json", '{"schema": "of the camera"}'],
    ["settings.calibration.json", "not even JSON"],
    ["settings.fit.json", '{"of": "a regression"}'],
    ["settings.fit.png", "a photograph"],
  ])("%s that is another's stays, and nothing else is written", (name, content) => {
    const out = folder();
    writeFileSync(join(out, name), content);
    const ran = fallaway(["fit", filled("settings"), "--out", out]);
    expect(ran).toMatchObject({ code: 2, out: "" });
    expect(ran.err).toContain(name);
    expect(ran.err).toMatch(/no earlier fit has written it/);
    expect(readFileSync(join(out, name), "utf8")).toBe(content);
  });
});

it("the working distance is that of the strip whose focus was read, in words as in the calibration", () => {
  const place = folder();
  const squares = JSON.parse(readFileSync(join(dir, "squares.strip.json"), "utf8"));
  // The squares were made before the working distance had been measured.
  squares.job.lens.workingDistanceMm = 490;
  writeFileSync(join(place, "squares.strip.json"), JSON.stringify(squares));
  const out = join(place, "out");
  const ran = fallaway([
    ...["fit", filled("squares"), filled("settings"), filled("focus"), "--out", out, "--strip"],
    join(place, "squares.strip.json"),
    ...["settings", "focus"].map((name) => join(dir, `${name}.strip.json`)),
  ]);
  expect(ran, ran.err).toMatchObject({ code: 0 });
  const { lens } = JSON.parse(readFileSync(join(out, "squares.calibration.json"), "utf8")).figures;
  const [, now, was] = /the working distance is ([\d.]+) mm, not ([\d.]+) mm/.exec(ran.out)!;
  expect(was).toBe("493.0");
  expect(now).toBe(lens.workingDistanceMm.toFixed(1));
});
