/** Help, version and the stored profiles. */
import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { fallaway } from "./helpers.ts";

const { version } = JSON.parse(readFileSync(new URL("../../package.json", import.meta.url), "utf8")) as {
  version: string;
};

const inkOptions =
  "--ink --ink-below --ink-colour --strokes --keep-shapes --fonts --trace --allow --job --json".split(" ");
const jobOptions = [
  ...inkOptions,
  "--diameter --circumference --width --height --rotate --at --fidelity --lens --focal-length --field",
  "--beam-diameter --m2 --wavelength --working-distance --pivot --usable-depth --max-incidence --focus --axis",
  "--tolerance",
].flatMap((line) => line.split(" "));

describe("--help", () => {
  test.each([
    [[], ["prepare", "check", "ink", "profiles", "--help", "--version"]],
    [["prepare"], [...jobOptions, "--out", "--no-pictures"]],
    [["check"], jobOptions],
    [["ink"], [...inkOptions, "--out"]],
    [["profiles"], ["--json", "lenses"]],
  ])("%j names everything it takes, on standard output", (command, names) => {
    for (const args of [
      [...command, "--help"],
      [...command, "-h"],
      ["help", ...command],
    ]) {
      const { code, out, err } = fallaway(args);
      expect({ code, err }).toEqual({ code: 0, err: "" });
      expect(out).toMatch(/^Usage: fallaway/);
      for (const name of names) expect(out, args.join(" ")).toContain(name);
    }
  });
  test("says the exit codes and the defaults", () => {
    expect(fallaway(["--help"]).out).toMatch(
      /0 ready or caution.*3 stop[\s\S]*2 the job.*wrong[\s\S]*1 internal/,
    );
    const { out } = fallaway(["prepare", "--help"]);
    for (const value of [
      "(default 0,0)",
      "(default girth)",
      "(default field-300)",
      "(default 60)",
      "(default dark)",
      "(default 0.5)",
      "(default outline)",
      "(default best)",
      "(default y)",
    ])
      expect(out.replace(/\s+/g, " ")).toContain(value);
  });
  test("wins over a job that is not complete", () => {
    expect(fallaway(["prepare", "art.svg", "--help"])).toMatchObject({ code: 0, err: "" });
  });
});

test.each([[[]], [["prepare"]], [["check"]], [["ink"]], [["profiles"]]])("%j --version", (command) => {
  for (const flag of ["--version", "-V"])
    expect(fallaway([...command, flag])).toEqual({ code: 0, out: `${version}\n`, err: "" });
});

describe("profiles", () => {
  const fields = [70, 110, 145, 175, 200, 220, 300];
  test("lists a lens for each common field", () => {
    const { code, out, err } = fallaway(["profiles", "lenses"]);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    for (const field of fields) expect(out).toMatch(new RegExp(`^field-${field} .*\\b${field} mm`, "m"));
    expect(out).not.toContain("pulsed-fibre");
  });
  test("both lists without a kind, sources alone with it", () => {
    const both = fallaway(["profiles"]).out;
    expect(both).toContain("field-300");
    expect(both).toContain("pulsed-fibre");
    expect(fallaway(["profiles", "sources"]).out).not.toContain("field-300");
  });
  test("--json: every number has a source", () => {
    const ran = fallaway(["profiles", "--json"]);
    expect(ran).toMatchObject({ code: 0, err: "" });
    const { lenses, sources } = JSON.parse(ran.out) as Record<string, Record<string, unknown>[]>;
    expect(lenses!.map((l) => (l.fieldMm as { value: number }).value)).toEqual(
      expect.arrayContaining(fields),
    );
    let numbers = 0;
    const walk = (value: unknown, inSourced: boolean): void => {
      if (typeof value === "number") {
        expect(inSourced).toBe(true);
        numbers++;
      } else if (value !== null && typeof value === "object") {
        const { source } = value as { source?: unknown };
        const sourced = typeof source === "string" && source.trim().length > 0;
        for (const child of Object.values(value)) walk(child, inSourced || sourced);
      }
    };
    walk(lenses, false);
    walk(sources, false);
    expect(numbers).toBeGreaterThanOrEqual(7 * 5 + 3);
    const alone = fallaway(["profiles", "lenses", "--json"]);
    expect(JSON.parse(alone.out)).toEqual(lenses);
  });
});
