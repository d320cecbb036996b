/**
 * Hostile files through the door: the right ink or a clear error, in bounded time and memory, with nothing opened
 * but the artwork and the program itself, and no stack trace.
 */
import { execFile } from "node:child_process";
import { existsSync, readFileSync, rmSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { Worker } from "node:worker_threads";
import { describe, expect, test } from "vitest";
import { readInk } from "../../src/ink/ink.ts";
import type { Report } from "../../src/plan/report.ts";
import { JobError, type ProblemsError } from "../../src/problem.ts";
import { art, door, folder } from "./helpers.ts";
import { alone, together } from "./hostile-files.ts";
import type { Hostile } from "./hostile-parts.ts";
import { numbers, truncated } from "./hostile-values.ts";

const cpuLimitS = 20;
const memoryLimitMb = 1000;
/** A process that hangs is ended after this long; the limit above is of its own time, whatever else runs. */
const patienceMs = 120_000;

const dir = folder();
const local = (name: string): string => fileURLToPath(new URL(name, import.meta.url));
const watch = local("./watch-process.mjs");
const home = dirname(dirname(door));
let count = 0;

interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

interface Watched extends Ran {
  readonly opened: readonly string[];
  readonly called: readonly string[];
  readonly rssMb: number;
  readonly cpuS: number;
}

/** A Node process with the watch on; one that hangs is ended. */
function watched(args: readonly string[], note: string): Promise<Watched> {
  const options = { maxBuffer: 1 << 28, timeout: patienceMs, env: { ...process.env, WATCH: note } };
  return new Promise((done) => {
    const child = execFile(process.execPath, ["--import", watch, ...args], options, (_, out, err) => {
      const none = { opened: [], called: [], rssMb: Number.NaN, cpuS: Number.NaN };
      const seen = existsSync(note) ? JSON.parse(readFileSync(note, "utf8")) : none;
      rmSync(note, { force: true });
      done({ code: child.exitCode, out, err, ...seen });
    });
  });
}

/** Two at a time, however many tests are begun. */
let free = 2;
const waiting: (() => void)[] = [];
async function inTurn(work: () => Promise<void>): Promise<void> {
  if (free > 0) free--;
  else await new Promise<void>((begin) => waiting.push(begin));
  try {
    await work();
  } finally {
    const next = waiting.shift();
    if (next) next();
    else free++;
  }
}

const file = ({ make }: Hostile): string => art(dir, `hostile-${count++}.svg`, make());

function expectBounded({ opened, called, rssMb, cpuS }: Watched, files: readonly string[]): void {
  expect(called).toEqual([]);
  const foreign = opened.filter((path) => !files.includes(path) && !path.startsWith(home));
  expect(foreign, "opened").toEqual([]);
  expect(cpuS, "seconds of CPU").toBeLessThan(cpuLimitS);
  expect(rssMb, "MB at most").toBeLessThan(memoryLimitMb);
}

function expectAnswer({ name, error, ink }: Hostile, { code, out, err }: Ran): void {
  expect([0, 2, 3], `${name}: exit ${code}, ${err.slice(0, 500)}`).toContain(code);
  expect(err, name).not.toMatch(/\n\s+at |[A-Z]\w*Error\b/);
  if (code === 2) {
    expect(out, name).toBe("");
    expect(err, name).toMatch(/^fallaway: [^\n]+\n( {2}[^\n]+\n)*$/);
    for (const line of err.split("\n")) expect(line.length, name).toBeLessThan(600);
  } else {
    expect(err, name).toBe("");
    // JSON has no NaN: it would be null.
    expect(Object.values((JSON.parse(out) as Report).artwork), out).not.toContain(null);
  }
  if (error) {
    expect(code, `${name}: ${err}`).toBe(2);
    expect(err, name).toMatch(error);
  }
  if (ink) {
    expect(code, `${name}: ${err}`).not.toBe(2);
    const { artwork } = JSON.parse(out) as Report;
    expect([artwork.widthMm, artwork.heightMm], name).toEqual(ink);
  }
}

describe("through the door", () => {
  test.concurrent.each(alone.map((one) => [one.name, one] as const))(
    "%s",
    async (_, one) => {
      await inTurn(async () => {
        const path = file(one);
        const ran = await watched([door, "check", path, "--diameter", "80", "--json"], `${path}.json`);
        rmSync(path);
        expectBounded(ran, [path]);
        expectAnswer(one, ran);
      });
    },
    20 * patienceMs,
  );

  // The limits are those of all of them together.
  test.concurrent.each(together.map((list) => [list.map(({ name }) => name).join(", "), list] as const))(
    "%s",
    async (_, list) => {
      await inTurn(async () => {
        const paths = list.map(file);
        const ran = await watched([local("./door-many.mjs"), door, ...paths], `${paths[0]}.json`);
        for (const path of paths) rmSync(path);
        expect([ran.code, ran.err]).toEqual([0, ""]);
        expectBounded(ran, [local("./door-many.mjs"), ...paths]);
        const said = JSON.parse(ran.out) as readonly Ran[];
        expect(said.length).toBe(list.length);
        list.forEach((one, i) => {
          expectAnswer(one, said[i]!);
        });
      });
    },
    20 * patienceMs,
  );
});

test("no number comes out that is none, and nothing else is thrown than a refusal", async () => {
  for (const { name, make } of numbers) {
    const text = String(make());
    const codes: string[] = [];
    for (let pass = 0; pass < 2; pass++) {
      try {
        const { shapes, widthMm, heightMm } = await readInk(text, { allow: codes });
        const all = [
          widthMm,
          heightMm,
          ...shapes.flatMap((s) => s.path.contours.flatMap((c) => Array.from(c.points))),
        ];
        expect(all.every(Number.isFinite), name).toBe(true);
        break;
      } catch (error) {
        expect(error, name).toBeInstanceOf(JobError);
        const { problems = [] } = error as ProblemsError;
        codes.push(...problems.map((p) => p.code));
      }
    }
  }
});

test("cut short at any character, it is refused as broken XML, or as holding nothing", async () => {
  for (const text of truncated) {
    const refused = await readInk(text).then(
      () => null,
      (error: unknown) => error,
    );
    expect(refused, text).toBeInstanceOf(JobError);
    expect(["broken-xml", "empty-text"], text).toContain((refused as JobError).problem.code);
  }
});

test.each([0.5, 1, 4])(
  "deep nesting on a stack of %f MB ends in a reading or a refusal",
  async (stackSizeMb) => {
    const library = pathToFileURL(join(home, "dist/index.js")).href;
    const options = { workerData: library, resourceLimits: { stackSizeMb } };
    const { shallow, deep } = await new Promise<Record<"shallow" | "deep", Record<string, string>>>(
      (done, fail) => {
        new Worker(local("./deep-worker.mjs"), options).on("message", done).on("error", fail);
      },
    );
    const refused = ["too-deep", "too-many-elements"];
    for (const [what, end] of Object.entries({ ...shallow, ...deep })) {
      expect(["read", ...refused], what).toContain(end);
    }
    for (const [what, end] of Object.entries(shallow)) {
      if (what.endsWith(" 50") || (stackSizeMb > 1 && what.endsWith(" 300"))) expect(end, what).toBe("read");
      if (what.endsWith(" 5000")) expect(refused, what).toContain(end);
    }
    // Some were tried where there was too little left, and, on a large stack, some where there was enough.
    expect(Object.values(deep)).toContain("too-deep");
    if (stackSizeMb > 1) expect(Object.values(deep)).toContain("read");
  },
);

test("the watch sees what it is there for", async () => {
  const script = art(
    dir,
    "spy.mjs",
    'import { readFileSync } from "node:fs"; import net from "node:net";' +
      `readFileSync("${join(home, "package.json")}"); net.connect(9, "127.0.0.1").on("error", () => {});`,
  );
  const note = join(dir, "spy.json");
  await new Promise((done) =>
    execFile(process.execPath, ["--import", watch, script], { env: { ...process.env, WATCH: note } }, done),
  );
  const seen = JSON.parse(readFileSync(note, "utf8")) as Watched;
  expect(seen.opened).toContain(join(home, "package.json"));
  expect(seen.called).toContain("connect");
  expect(seen.rssMb).toBeGreaterThan(10);
  expect(seen.cpuS).toBeGreaterThan(0);
});
