/** Files written piece by piece, and what is said of them when they are. */
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { namesOf, type Written, writeAll } from "../../src/cli/files.ts";
import { JobError } from "../../src/problem.ts";
import { art, folder } from "./helpers.ts";

const dir = folder();
const hashOf = (text: string): string => createHash("sha256").update(text).digest("hex");

test("the hash and size of text, bytes and pieces", () => {
  const written = writeAll(join(dir, "abc"), [
    { name: "text", data: "abc" },
    { name: "bytes", data: Uint8Array.of(97, 98, 99) },
    { name: "pieces", data: ["a", "", "bc"] },
    { name: "none", data: [] },
  ]);
  // NIST, FIPS 180-4 examples: SHA-256 of "abc" and of nothing.
  const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
  const none = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
  expect(written).toEqual([
    ...["text", "bytes", "pieces"].map((name) => ({ name, bytes: 3, sha256: abc })),
    { name: "none", bytes: 0, sha256: none },
  ]);
  for (const { name, bytes } of written) expect(statSync(join(dir, "abc", name)).size).toBe(bytes);
});

test("pieces reach the disk while the text is being made", () => {
  const out = join(dir, "flow");
  const line = "Schilf, Möwe, Łódź 𓅞\n".repeat(500);
  const onDisk: number[] = [];
  function* text(): Generator<string> {
    for (let i = 0; i < 200; i++) {
      yield line;
      onDisk.push(Math.max(...readdirSync(out).map((name) => statSync(join(out, name)).size)));
    }
  }
  const [written] = writeAll(out, [{ name: "flow.txt", data: text() }]);
  const whole = line.repeat(200);
  expect(readFileSync(join(out, "flow.txt"), "utf8") === whole).toBe(true);
  expect(written).toEqual({ name: "flow.txt", bytes: Buffer.byteLength(whole), sha256: hashOf(whole) });
  // What is held back is never more than a megabyte.
  const each = Buffer.byteLength(line);
  onDisk.forEach((size, i) => {
    expect((i + 1) * each - size).toBeLessThan(1 << 20);
  });
});

test("the last files are told of the others, and all get their names together", () => {
  const out = join(dir, "last");
  let told: readonly Written[] = [];
  let seen: string[] = [];
  const written = writeAll(out, [{ name: "lines.svg", data: ["<svg", "/>"] }], [], (others) => {
    told = others;
    seen = readdirSync(out);
    return [{ name: "report.json", data: JSON.stringify(others) }];
  });
  expect(told).toEqual([{ name: "lines.svg", bytes: 6, sha256: hashOf("<svg/>") }]);
  expect(seen).toEqual([expect.stringMatching(/^\.lines\.svg\.\d+\.tmp$/)]);
  expect(written.map(({ name }) => name)).toEqual(["lines.svg", "report.json"]);
  expect(readdirSync(out).sort()).toEqual(["lines.svg", "report.json"]);
  expect(JSON.parse(readFileSync(join(out, "report.json"), "utf8"))).toEqual(told);
});

test.each([
  ["a bug", new RangeError("no such line")],
  ["something in the way", new JobError("line-lost", "a line is lost", "none")],
])("%s while the text is made: nothing is left, and it is said as it is", (_, error) => {
  const out = join(dir, "broken");
  function* broken(): Generator<string> {
    yield "x".repeat(1 << 20);
    throw error;
  }
  const write = (): unknown =>
    writeAll(out, [
      { name: "whole.txt", data: "whole" },
      { name: "broken.txt", data: broken() },
    ]);
  expect(write).toThrow(error);
  expect(existsSync(out)).toBe(false);
  const concluding = (): unknown =>
    writeAll(out, [{ name: "whole.txt", data: "whole" }], [], () => {
      throw error;
    });
  expect(concluding).toThrow(error);
  expect(existsSync(out)).toBe(false);
});

test("the names that a run may have left: every turn's and set's, of this artwork alone", () => {
  const there = folder();
  const ours = [
    "cup.warped.svg",
    "cup.turn-2.warped.svg",
    "cup.turns.png",
    "cup.turn-12.heatmap.png",
    "cup.fill.svg",
    "cup.fill.dxf",
    "cup.fill.set-1.svg",
    "cup.fill.set-12.dxf",
    "cup.turn-1.fill.svg",
    "cup.turn-3.fill.set-2.svg",
    "cup.turn-3.fill.set-2.dxf",
    "cup.bands.svg",
    "cup.turn-1.bands.svg",
    "cup.evenness.png",
  ];
  const others = [
    "cup.svg",
    "cup.set-1.svg",
    "cup.fill.set-x.svg",
    "cup.fill.png",
    "cup.fill.set-1.set-2.svg",
    "cup.two.fill.svg",
    "mug.fill.svg",
    "cup.report.json",
  ];
  // Lines and bands must say that they are ours, or the report that a picture is.
  const said = (name: string): string =>
    name.endsWith(".dxf") ? "999\nbent by fallaway\n" : `<svg data-fallaway="bent"/>`;
  for (const name of [...ours, ...others]) art(there, name, said(name));
  art(there, "cup.report.json", JSON.stringify({ files: [{ path: "cup.evenness.png" }] }));
  expect(namesOf(there, "cup").sort()).toEqual([...ours].sort());
  for (const name of ours.filter((one) => /fill|bands/.test(one))) art(there, name, "<svg/>");
  art(there, "cup.report.json", "{}");
  expect(namesOf(there, "cup").sort()).toEqual(
    ["cup.warped.svg", "cup.turn-2.warped.svg", "cup.turns.png", "cup.turn-12.heatmap.png"].sort(),
  );
});
