/** The order and the vessel in the job: precedence, look, angles, texts and what is refused. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../src/job/job.ts";
import { readJobFile, resolveJob } from "../../src/job/resolve.ts";
import { JobError } from "../../src/problem.ts";
import { profiles } from "../support/profiles.ts";

const job = (file: unknown, options: JobFile = {}) =>
  resolveJob(readJobFile(file, "job.json"), options, profiles);
const cup = { diameterMm: 82 };
const refused = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (error instanceof JobError) return `${error.problem.message}: ${error.problem.hint}`;
    throw error;
  }
  throw new Error("nothing was wrong");
};
const looks = (id: string) => {
  const { colour, gloss } = profiles.coatings.find((c) => c.id === id)!.look;
  return { colour, gloss };
};

describe("option over job file, field by field", () => {
  it.each([
    ["name", "Crest, 2026", "Crest, 2027"],
    ["customer", "Heron Reach", "Heron Reach juniors"],
    ["revision", "A", "B"],
    ["quantity", 24, 25],
    ["date", "2026-11-26", "2028-02-29"],
  ] as const)("order.%s", (key, said, over) => {
    const file = { vessel: cup, order: { [key]: said } };
    expect(job(file).order).toEqual({ [key]: said });
    expect(job(file, { order: { [key]: over } }).order).toEqual({ [key]: over });
    expect(job({ vessel: cup }, { order: { [key]: over } }).order).toEqual({ [key]: over });
  });

  it.each([
    ["name", "mug", "tumbler"],
    ["heightMm", 120, 0.5e3],
    ["belowRimMm", 60, 0],
    ["handleDeg", 90, -90],
    ["seamDeg", 180, 0],
    ["colour", "#102030", "#fefefe"],
    ["gloss", 85, 0],
  ] as const)("vessel.%s", (key, said, over) => {
    const file = { vessel: { ...cup, [key]: said } };
    expect(job(file).vessel).toEqual({ ...cup, [key]: said });
    expect(job(file, { vessel: { [key]: over } }).vessel).toEqual({ ...cup, [key]: over });
    expect(job({ vessel: cup }, { vessel: { [key]: over } }).vessel).toEqual({ ...cup, [key]: over });
  });

  it("what nobody gave is not in the job", () => {
    expect(job({ vessel: cup })).toMatchObject({ order: {}, vessel: cup });
    expect(Object.keys(job({ vessel: cup }).vessel)).toEqual(["diameterMm"]);
  });

  it("the keys' order does not depend on who gave what: a repeated run writes the same bytes", () => {
    const mixed = job(
      { order: { date: "2026-11-26", customer: "c" }, vessel: { ...cup, gloss: 5, seamDeg: 170 } },
      {
        order: { revision: "B", name: "n", quantity: 3 },
        vessel: { handleDeg: -90, name: "v", colour: "#102030", belowRimMm: 50, heightMm: 110 },
      },
    );
    const text = JSON.stringify(mixed);
    expect(JSON.stringify(job(JSON.parse(text)))).toBe(text);
  });
});

describe("the look: option > job file > coating's profile", () => {
  const black = { coating: { id: "powder-black" } };

  it("is the profile's where nothing else is said, each part by itself", () => {
    expect(job({ vessel: cup }, black).vessel).toEqual({ ...cup, ...looks("powder-black") });
    expect(job({ vessel: { ...cup, gloss: 85 } }, black).vessel).toEqual({
      ...cup,
      colour: looks("powder-black").colour,
      gloss: 85,
    });
    expect(job({ vessel: cup, ...black }, { vessel: { colour: "#0a0b0c" } }).vessel).toEqual({
      ...cup,
      colour: "#0a0b0c",
      gloss: looks("powder-black").gloss,
    });
  });

  it("another coating leaves the file's look behind, the same one keeps it", () => {
    const file = { vessel: { ...cup, name: "mug", colour: "#0a0b0c", gloss: 3 }, ...black };
    expect(job(file, { coating: { id: "paint-red" } }).vessel).toEqual({
      ...cup,
      name: "mug",
      ...looks("paint-red"),
    });
    expect(job(file, black).vessel).toMatchObject({ colour: "#0a0b0c", gloss: 3 });
    const asked: JobFile = { coating: { id: "paint-red" }, vessel: { colour: "#ff0000" } };
    expect(job(file, asked).vessel).toMatchObject({ ...looks("paint-red"), colour: "#ff0000" });
  });

  it("a look in a file that names no coating is the vessel's own, and stays", () => {
    const file = { vessel: { ...cup, colour: "#0a0b0c", gloss: 3 } };
    expect(job(file, { coating: { id: "paint-red" } }).vessel).toMatchObject(file.vessel);
  });

  it("a written job that took its look from a profile takes the new coating's", () => {
    const written = JSON.parse(JSON.stringify(job({ vessel: cup }, black)));
    expect(job(written, { coating: { id: "paint-white" } }).vessel).toEqual({
      ...cup,
      ...looks("paint-white"),
    });
  });
});

describe("angles are turns from −180 (not reached) to 180", () => {
  it.each([
    [0, 0],
    [90, 90],
    [180, 180],
    [-180, 180],
    [181, -179],
    [270, -90],
    [-270, 90],
    [360, 0],
    [-360, 0],
  ])("%d → %d", (given, turn) => {
    expect(job({ vessel: { ...cup, handleDeg: given, seamDeg: given } }).vessel).toEqual({
      ...cup,
      handleDeg: turn,
      seamDeg: turn,
    });
  });

  it("point the same way as before, by the angle of their cosine and sine", () => {
    fc.assert(
      fc.property(fc.double({ min: -360, max: 360, noNaN: true }), (given) => {
        const { seamDeg } = job({ vessel: { ...cup, seamDeg: given } }).vessel;
        const radians = (given * Math.PI) / 180;
        const turn = (Math.atan2(Math.sin(radians), Math.cos(radians)) * 180) / Math.PI;
        const apart = Math.abs(seamDeg! - turn);
        expect(Math.min(apart, 360 - apart)).toBeLessThan(1e-9);
        expect(seamDeg! > -180 && seamDeg! <= 180).toBe(true);
      }),
      { seed: 62, numRuns: 300 },
    );
  });
});

describe("texts are one line in normal form C", () => {
  const read = (text: string) => job({ vessel: { ...cup, name: text }, order: { customer: text } });
  it.each([
    // Unicode Standard Annex #15, figure 3: A with ring, as one character or two; o with circumflex and dot below.
    ["A\u030angstro\u0308m", "\u00c5ngstr\u00f6m"],
    ["o\u0323\u0302", "\u1ed9"],
    ["  Heron\r\n\tReach \u2028 \u0007 eight\u00a0", "Heron Reach eight"],
    ["half \ud83d of a pair", "half of a pair"],
    // A joiner between letters is part of how they are written (Unicode Standard, 9.2: Arabic cursive joining).
    ["می\u200cخواهم", "می\u200cخواهم"],
    ["白鷺 🚣 Ærø", "白鷺 🚣 Ærø"],
  ])("%j → %j", (given, line) => {
    expect(read(given)).toMatchObject({ vessel: { name: line }, order: { customer: line } });
  });

  it.each(["", "   ", "\n\t", "\u200b", "\u2060 \ufeff"])("%j is empty", (given) => {
    expect(refused(() => read(given))).toMatch(
      /^job\.json: (order\.customer|vessel\.name) must not be empty, found/,
    );
  });

  it("200 characters pass, 201 do not, and the message does not hold them all", () => {
    expect(read("x".repeat(200)).order.customer).toHaveLength(200);
    const message = refused(() => read("x".repeat(5000)));
    expect(message).toMatch(/must be at most 200 characters long, found "x+… \(5002 characters\)/);
    expect(message.length).toBeLessThan(300);
  });
});

describe("days", () => {
  it("are those of the calendar: as ECMAScript's Date counts them", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1600, max: 2400 }),
        fc.integer({ min: 0, max: 13 }),
        fc.integer({ min: 0, max: 32 }),
        (year, month, day) => {
          const text = `${year}-${String(month).padStart(2, "0")}-${String(day).padStart(2, "0")}`;
          const date = new Date(Date.UTC(year, month - 1, day));
          const real = date.toISOString().startsWith(text);
          const read = () => job({ vessel: cup, order: { date: text } });
          if (real) expect(read().order.date).toBe(text);
          else expect(refused(read)).toMatch(/must be a day that the calendar has, found/);
        },
      ),
      {
        seed: 63,
        numRuns: 400,
        examples: [
          [2000, 2, 29],
          [1900, 2, 29],
          [2024, 2, 30],
          [2026, 2, 30],
        ],
      },
    );
  });
});

describe("what is refused, in a job file", () => {
  it.each([
    [
      { order: { date: "26.11.2026" } },
      /order\.date must be a day of the form YYYY-MM-DD, found "26\.11\.2026"/,
    ],
    [{ order: { date: "2026-11-26T10:00" } }, /order\.date must be a day of the form YYYY-MM-DD/],
    [{ order: { date: 20261126 } }, /order\.date must be a string, found 20261126/],
    [{ order: { quantity: 2.5 } }, /order\.quantity must be a whole number, found 2\.5/],
    [{ order: { quantity: 0 } }, /order\.quantity must be at least 1, found 0/],
    [{ order: { quantty: 2 } }, /unknown key "order\.quantty": did you mean "quantity"\?/],
    [
      { vessel: { ...cup, colour: "#12345" } },
      /vessel\.colour must be a colour of the form #rrggbb, found "#12345"/,
    ],
    [{ vessel: { ...cup, colour: "black" } }, /vessel\.colour must be a colour of the form #rrggbb/],
    [{ vessel: { ...cup, gloss: 101 } }, /vessel\.gloss must be at most 100/],
    [{ vessel: { ...cup, heightMm: "120mm" } }, /vessel\.heightMm takes a plain number in mm/],
    [{ vessel: { ...cup, belowRimMm: -1 } }, /vessel\.belowRimMm must be at least 0/],
    [{ vessel: { ...cup, seamDeg: 361 } }, /vessel\.seamDeg must be at most 360/],
    [
      { vessel: { ...cup, heightMm: 90, belowRimMm: 90.1 } },
      /90\.1 mm below the rim of a vessel 90 mm tall.*--below-rim/,
    ],
  ])("%j", (file, message) => {
    expect(refused(() => job(file))).toMatch(message);
  });

  it("a placement point on the base is not refused; colours become small letters", () => {
    expect(job({ vessel: { ...cup, heightMm: 90, belowRimMm: 90 } }).vessel.belowRimMm).toBe(90);
    expect(job({ vessel: { ...cup, colour: "#ABCDEF" } }).vessel.colour).toBe("#abcdef");
  });
});
