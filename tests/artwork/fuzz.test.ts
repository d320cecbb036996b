/** Mutated drawings, from a seed: each is read or refused with a JobError, in bounded time, with finite numbers. */
import { expect, test } from "vitest";
import { readInk } from "../../src/ink/ink.ts";
import { JobError, ProblemsError } from "../../src/problem.ts";
import { page } from "./helpers.ts";

const seed = Number(process.env.FUZZ_SEED ?? 20_261_103);
const cases = Number(process.env.FUZZ_CASES ?? 400);
/** Of the processor's time, whatever else runs on the machine. */
const slowestMs = 1000;

/**
 * Text in, everything that comes out of it: the ink, or what is left of it when all that stands in the way is let
 * pass. Every third is read with strokes as lines, every third with its shapes kept apart.
 */
async function read(text: string, number: number): Promise<{ artwork: unknown; code: string }> {
  const way = {
    strokes: number % 3 === 1 ? "centre-line" : "outline",
    keepShapes: number % 3 === 2,
  } as const;
  try {
    return { artwork: await readInk(text, way), code: "read" };
  } catch (error) {
    if (!(error instanceof ProblemsError)) throw error;
    const allow = error.problems.map((p) => p.code);
    return { artwork: await readInk(text, { ...way, allow }), code: error.problem.code };
  }
}

const drawings: readonly string[] = [
  '<path d="M10 10C20 0 40 0 50 10S80 20 90 10" fill="none" stroke="#000" stroke-width="3" stroke-linecap="round"/>' +
    '<path d="M10 60l20 20 20-20 20 20" fill="none" stroke="#111" stroke-width="2" stroke-linejoin="miter" stroke-miterlimit="8" stroke-dasharray="5 2 1" stroke-dashoffset="1.5"/>',
  '<clipPath id="c" clipPathUnits="objectBoundingBox"><circle cx=".5" cy=".5" r=".4"/></clipPath><g clip-path="url(#c)" transform="rotate(20 50 50)">' +
    '<rect x="10" y="10" width="60" height="50" rx="5"/><rect x="30" y="30" width="20" height="20" fill="#fff"/></g>',
  '<mask id="m" x="0" y="0" width="100" height="100" maskUnits="userSpaceOnUse"><rect width="100" height="100" fill="white"/>' +
    '<ellipse cx="40" cy="40" rx="20" ry="10" fill="black"/></mask><rect x="5" y="5" width="80" height="70" mask="url(#m)"/>',
  '<linearGradient id="g" gradientTransform="rotate(30)"><stop offset="0" stop-color="#000"/><stop offset="100%" stop-color="#999" stop-opacity=".5"/></linearGradient>' +
    '<radialGradient id="h" href="#g" r="40%"/><circle cx="30" cy="30" r="20" fill="url(#g)"/><path d="M60 60h30v30z" fill="url(#h) none"/>',
  '<pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse" patternTransform="rotate(45) scale(2)"><circle cx="3" cy="3" r="2"/></pattern>' +
    '<rect x="10" y="10" width="50" height="40" fill="url(#p)" stroke="black" stroke-width=".5"/>',
  '<text x="10 15 20" y="30" font-size="12" font-family="Noto Sans" text-anchor="middle" letter-spacing="1">Heron <tspan dy="4" font-weight="bold">Reach</tspan></text><rect width="20" height="20"/>',
  '<defs><g id="a"><rect width="8" height="8"/><circle cx="12" cy="4" r="3" fill="#eee"/></g><symbol id="s" viewBox="0 0 10 10"><path d="M0 0L10 5 0 10z"/></symbol></defs>' +
    '<use href="#a" x="10" y="10"/><use xlink:href="#s" x="40" y="40" width="20" height="30"/><use href="#a" transform="matrix(2 .5 -.5 2 50 10)"/>',
  '<marker id="k" markerWidth="4" markerHeight="4" refX="2" refY="2" orient="auto" viewBox="0 0 4 4"><path d="M0 0L4 2 0 4z"/></marker>' +
    '<polyline points="10,10 40,30 70,10 90,50" fill="none" stroke="black" marker-start="url(#k)" marker-mid="url(#k)" marker-end="url(#k)"/>',
  '<svg x="10" y="10" width="60" height="40" viewBox="0 0 30 30" preserveAspectRatio="xMinYMax slice"><circle cx="15" cy="15" r="12"/>' +
    '<svg x="50%" width="50%" height="50%"><rect width="100%" height="100%" fill="#ccc"/></svg></svg>',
  '<style>.st0{fill:#123456;stroke:none} g > .st1{fill:white!important} #z, [id="y"] {fill-rule:evenodd;opacity:.9} @media print{rect{fill:red}}</style>' +
    '<g><path class="st0" id="z" d="M10 10h60v60h-60zM20 20h40v40h-40z"/><rect class="st1" x="30" y="30" width="10" height="10" style="fill: rgb(0 0 0 / 50%); transform: scale(1.1)"/></g>',
  '<path fill-rule="evenodd" d="M50,10a40,40 0 1 0 .1,0zM50 30A20 20 0 0 1 50 70 20 20 0 0 1 50 30M10 90q5-5 10 0t10 0 10 0T60 95H70V90Z"/><polygon points="1,1 9,1 5,9"/>',
  '<switch><g systemLanguage="de"><rect width="9" height="9"/></g><g opacity=".8" color="#222"><line x1="5" y1="5" x2="95" y2="95" stroke="currentColor" stroke-width="2mm" vector-effect="non-scaling-stroke"/></g></switch>' +
    '<image width="2" height="2" href="data:image/png;base64,iVBORw0KGgo="/><ellipse cx="50" cy="50" rx="30" ry="1e1" paint-order="stroke" stroke="#000"/>',
];

/** A small generator with 32 bits of state (mulberry32). */
function randomFrom(state: number): () => number {
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

class Mutator {
  readonly #random: () => number;
  constructor(random: () => number) {
    this.#random = random;
  }

  int(below: number): number {
    return Math.floor(this.#random() * below);
  }

  pick<T>(list: readonly T[]): T {
    return list[this.int(list.length)] as T;
  }

  /** The text with one match of a pattern replaced. */
  one(text: string, pattern: RegExp, by: (found: string) => string): string {
    const all = [...text.matchAll(pattern)];
    if (all.length === 0) return text;
    const match = this.pick(all);
    const at = match.index as number;
    return text.slice(0, at) + by(match[0]) + text.slice(at + match[0].length);
  }

  mutate(text: string): string {
    return this.pick(this.int(8) === 0 ? breaks : changes)(text, this);
  }
}

const extremes = (
  "0 -0 -1 1e-9 -1e-9 1e-320 1e308 -1e308 1e400 1e155 1e16 -1e16 1e9 4294967296 .1 00001 1. 1e 1e+ - + . NaN Infinity " +
  "-Infinity 100% -50% 1em 1mm 5q 1vw 0x10 １ constructor 1,2 999999999999999999999999"
).split(" ");
const numberPattern = /(?<![\w#.])[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?/g;
const words = (
  "none inherit initial black white transparent currentColor url(#a) url(#g) url(#p) url(#m) url(#c) url(#missing) url( context-fill " +
  "evenodd nonzero hidden auto userSpaceOnUse objectBoundingBox var(--x) calc(1px+2%) #12345 rgb(1,2) hsl(1turn) scale(0) matrix(1) skewX(90)"
).split(" ");

const changes: readonly ((text: string, m: Mutator) => string)[] = [
  (text, m) => m.one(text, numberPattern, () => m.pick(extremes)),
  (text, m) => m.one(text, numberPattern, () => m.pick(extremes)),
  (text, m) => m.one(text, numberPattern, () => String((m.int(2000) - 1000) * 10 ** (m.int(8) - 4))),
  (text, m) => m.one(text, /"[^"]*"/g, () => `"${m.pick(words)}"`),
  (text, m) => m.one(text, /<(\w+)[^>]*\/>/g, (tag) => tag + tag),
  (text, m) => m.one(text, /<(\w+)[^>]*\/>/g, () => ""),
  (text, m) => m.one(text, / [\w:-]+="[^"]*"/g, () => ""),
  (text, m) => {
    const attribute = m.pick([...text.matchAll(/ [\w:-]+="[^"]*"/g)])?.[0] ?? "";
    return m.one(text, /(?<=<\w+)(?=[ />])/g, () => attribute);
  },
  (text, m) => {
    const value = m.pick([...text.matchAll(/"[^"]*"/g)])?.[0] ?? '""';
    return m.one(text, /"[^"]*"/g, () => value);
  },
  (text, m) =>
    m.one(text, /(?<=<\/?)\w+/g, () =>
      m.pick("g path rect use svg clipPath mask pattern marker text style image".split(" ")),
    ),
  (text, m) => m.one(text, /(?<= d=")[^"]*/g, (d) => [...d].sort(() => m.int(3) - 1).join("")),
  (text, m) => m.one(text, /(?<= d=")[^"]*/g, (d) => d.repeat(1 + m.int(20))),
  (text, m) => m.one(text, /[a-z](?=[-\d. ])/gi, () => m.pick([..."MmLlHhVvCcSsQqTtAaZz"])),
  (text, m) => m.one(text, /#\w+/g, () => `#${m.pick(["a", "c", "g", "h", "k", "m", "p", "s", "z"])}`),
];

/** Changes that most often leave no XML. */
const breaks: readonly ((text: string, m: Mutator) => string)[] = [
  (text, m) => {
    const at = m.int(text.length);
    return text.slice(0, at) + String.fromCharCode(32 + m.int(95)) + text.slice(at + 1);
  },
  (text, m) => {
    const at = m.int(text.length);
    return (
      text.slice(0, at) +
      String.fromCharCode(m.pick([0, 9, 10, 0x7f, 0x9b, 0x2028, 0xd800, 0xfffe])) +
      text.slice(at)
    );
  },
  (text, m) => text.slice(0, m.int(text.length)),
  (text, m) => {
    const at = m.int(text.length);
    return text.slice(0, at) + text.slice(at + 1 + m.int(30));
  },
  (text, m) => m.one(text, /<[^>]*>/g, (tag) => tag.repeat(1 + m.int(4))),
];

function mutant(number: number): string {
  const m = new Mutator(randomFrom(seed + number * 7919));
  let text = page(m.pick(drawings) + (m.int(4) === 0 ? m.pick(drawings) : ""));
  for (let i = 1 + m.int(4); i > 0; i--) text = m.mutate(text);
  return text;
}

/** The first place of a number that is none, in anything. */
function notFinite(value: unknown, at = ""): string | null {
  if (typeof value === "number") return Number.isFinite(value) ? null : `${at} = ${value}`;
  if (ArrayBuffer.isView(value)) return notFinite(Array.from(value as unknown as ArrayLike<number>), at);
  if (typeof value !== "object" || value === null) return null;
  for (const [key, inner] of Object.entries(value)) {
    const found = notFinite(inner, `${at}.${key}`);
    if (found) return found;
  }
  return null;
}

test("the search for numbers that are none finds them", () => {
  expect(notFinite({ a: [1, { b: Float64Array.of(1, Number.NaN) }] })).toBe(".a.1.b.1 = NaN");
  expect(notFinite({ a: [1, "NaN", null] })).toBeNull();
});

test("unchanged, the drawings are read, or refused for what they hold", async () => {
  let readable = 0;
  for (const drawing of drawings) {
    try {
      expect(notFinite((await read(page(drawing), 0)).artwork)).toBeNull();
      readable++;
    } catch (error) {
      expect(error).toBeInstanceOf(JobError);
    }
  }
  // Most of them reach the end of the line, or the mutants would only ever try the beginning.
  expect(readable).toBeGreaterThan(drawings.length / 2);
});

test(`${cases} mutants`, async () => {
  const codes = new Map<string, number>();
  let drawn = 0;
  const failed: string[] = [];
  for (let number = 0; number < cases; number++) {
    const text = mutant(number);
    const start = process.cpuUsage();
    let fault: string | null = null;
    try {
      const { artwork, code } = await read(text, number);
      fault = notFinite(artwork);
      codes.set(code, (codes.get(code) ?? 0) + 1);
      drawn++;
    } catch (error) {
      if (error instanceof JobError) codes.set(error.problem.code, (codes.get(error.problem.code) ?? 0) + 1);
      else
        fault = String((error as Error).stack ?? error)
          .split("\n")
          .slice(0, 3)
          .join(" ");
    }
    const { user, system } = process.cpuUsage(start);
    const ms = (user + system) / 1000;
    if (ms > slowestMs) fault = `${fault ?? ""} took ${ms.toFixed(0)} ms`;
    if (fault) failed.push(`FUZZ_SEED=${seed} number ${number}: ${fault}\n${text}`);
  }
  expect(failed.join("\n\n")).toBe("");
  // A run in which nearly all are refused, or nearly none, tries nothing.
  expect(drawn / cases, JSON.stringify([...codes])).toBeGreaterThan(0.4);
  expect(drawn / cases, JSON.stringify([...codes])).toBeLessThan(0.95);
  expect(codes.size).toBeGreaterThan(5);
}, 60_000);
