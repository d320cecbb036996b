/** Runs the compiled door as a user would, in a temporary folder, and reads what it wrote. */
import { execFile, spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, expect } from "vitest";
import type { Report } from "../../src/plan/report.ts";

export const door = fileURLToPath(new URL("../../bin/fallaway.js", import.meta.url));
export const demo = (name: string): string =>
  fileURLToPath(new URL(`../../fixtures/demo/heron-reach-${name}.svg`, import.meta.url));
export const sharedJson = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../../shared/${name}`, import.meta.url), "utf8"));

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** A new folder under the system's temporary one, gone after the file's tests. */
export function folder(): string {
  const path = mkdtempSync(join(tmpdir(), "fallaway-cli-"));
  afterAll(() => rmSync(path, { recursive: true, force: true }));
  return path;
}

export function fallaway(args: readonly string[], cwd?: string): Ran {
  const ran = spawnSync(process.execPath, [door, ...args], {
    encoding: "utf8",
    maxBuffer: 1 << 28,
    ...(cwd === undefined ? {} : { cwd }),
  });
  return { code: ran.status, out: ran.stdout, err: ran.stderr };
}

/** The same without waiting, so that tests that only read may run side by side. */
export const running = (args: readonly string[]): Promise<Ran> =>
  new Promise((done) => {
    const child = execFile(process.execPath, [door, ...args], { maxBuffer: 1 << 28 }, (_, out, err) =>
      done({ code: child.exitCode, out, err }),
    );
  });

/** `check … --json`, its report. */
export async function checked(args: readonly string[], code = 0): Promise<Report> {
  const ran = await running(["check", ...args, "--json"]);
  expect(ran, args.join(" ")).toMatchObject({ code, err: "" });
  return JSON.parse(ran.out) as Report;
}

export interface Prepared extends Ran {
  readonly dir: string;
  readonly svg: string;
  readonly report: Report;
}

/** `prepare … --no-pictures` into `dir`, its files under `name`. */
export async function prepared(
  art: string,
  dir: string,
  args: readonly string[],
  code = 0,
): Promise<Prepared> {
  const ran = await running(["prepare", art, "--out", dir, "--no-pictures", ...args]);
  expect(ran, args.join(" ")).toMatchObject({ code, err: "" });
  return { ...ran, dir, ...results(dir) };
}

export function results(dir: string): { svg: string; report: Report } {
  const one = (end: string): string => readFileSync(join(dir, theFile(dir, end)), "utf8");
  return { svg: one(".warped.svg"), report: JSON.parse(one(".report.json")) as Report };
}

export function theFile(dir: string, end: string): string {
  const found = readdirSync(dir).filter((name) => name.endsWith(end));
  expect(found, `one file ${end} in ${dir}`).toHaveLength(1);
  return found[0]!;
}

/** A page of w × h mm whose user units are mm. */
export const page = (content: string, w = 100, h = 100): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="${w}mm" height="${h}mm" viewBox="0 0 ${w} ${h}">${content}</svg>`;

/** 20 × 20 mm, asymmetric place on the page. */
export const square = page('<path id="square" d="M30 40H50V60H30Z"/>');

export function art(dir: string, name: string, text: string | Uint8Array): string {
  const path = join(dir, name);
  writeFileSync(path, text);
  return path;
}

/** Exit 2, one line on standard error of the form `fallaway: what: what to do`, nothing else said or written. */
export function expectRefused(ran: Ran, names: RegExp, out?: string): void {
  expect(ran.code, ran.err).toBe(2);
  expect(ran.out).toBe("");
  expect(ran.err).toMatch(/^fallaway: [^\n]+\n$/);
  expect(ran.err).toMatch(names);
  expect(ran.err, "says what to do").toMatch(/^fallaway: \S.*: \S.*\n$/);
  if (out !== undefined) expect(existsSync(out), `${out} was made`).toBe(false);
}
