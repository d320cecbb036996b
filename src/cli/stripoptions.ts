/** What `strip` is asked beside the job: its options, and their values read and held within bounds. */
import type { Command } from "commander";
import { nearest } from "../job/nearest.ts";
import type { StripAsked } from "../plan/strip/layout.ts";
import type { Ladder } from "../plan/strip/types.ts";
import { JobError } from "../problem.ts";
import { degrees, mm, number, pair, whole } from "./optionreaders.ts";

const ladders: readonly Ladder[] = ["settings", "power", "speed", "focus", "ramp", "squares"];

const own: readonly (readonly [flags: string, help: string])[] = [
  [
    "--ladder <WHICH>",
    `what changes from mark to mark: ${ladders.join(", ")} (default settings: power and speed; ramp and squares are on flat coupons)`,
  ],
  ["--marks <N>", "how many marks, a row each (default 8; ramp and squares 2)"],
  [
    "--range <FROM,TO>",
    "the ladder's ends: W, mm/s, mm of focus below the crown line, mm below the focal plane (default: aimed by what is known of the coating)",
  ],
  ["--bar-pitch <MM>", "from bar to bar around (default 1, more on large vessels)"],
  ["--bar-width <MM>", "a bar's width around (default 0.6 of the pitch)"],
  ["--bar-height <MM>", "a bar's height along the vessel (default 3)"],
  ["--tilt <DEG>", "ramp: the coupon's tilt, right end down (default 20)"],
  ["--side <MM>", "squares: the side as commanded (default 0.6 of the field)"],
  ["--name <NAME>", "what the files are called (default: the ladder)"],
  ["--paper <a4|letter>", "paper of the reading sheet (default a4)"],
];

export function addOwnStripOptions(command: Command): Command {
  for (const [flags, help] of own) command.option(flags, help);
  return command;
}

export function stripAsked(options: Record<string, unknown>): StripAsked {
  const read = <T>(key: string, name: string, how: (text: string, name: string) => T): T | undefined =>
    options[key] === undefined ? undefined : how(String(options[key]), name);
  const bounded =
    (how: (text: string, name: string) => unknown, low: number, high: number) =>
    (text: string, name: string): number => {
      const value = Number(how(text, name));
      if (value >= low && value <= high) return value;
      throw new JobError("option-value", `${name} must be ${low} to ${high}, found ${text}`, "see --help");
    };
  const ladder = read("ladder", "--ladder", ladderOf) ?? "settings";
  const marks = read("marks", "--marks", bounded(whole, ladder === "squares" ? 2 : 1, 24));
  const range = read("range", "--range", pair(number(""), false, "10,40"));
  const name = read("name", "--name", nameOf);
  const barPitchMm = read("barPitch", "--bar-pitch", bounded(mm, 0.2, 20));
  const barWidthMm = read("barWidth", "--bar-width", bounded(mm, 0.1, 20));
  const barHeightMm = read("barHeight", "--bar-height", bounded(mm, 0.5, 50));
  const tiltDeg = read("tilt", "--tilt", bounded(degrees, 1, 60));
  const sideMm = read("side", "--side", bounded(mm, 5, 2000));
  misplaced(ladder, { "--tilt": [tiltDeg, "ramp"], "--side": [sideMm, "squares"] });
  return {
    ladder,
    ...(marks === undefined ? {} : { marks }),
    ...(range === undefined ? {} : { range: range as [number, number] }),
    ...(name === undefined ? {} : { name }),
    ...(barPitchMm === undefined ? {} : { barPitchMm }),
    ...(barWidthMm === undefined ? {} : { barWidthMm }),
    ...(barHeightMm === undefined ? {} : { barHeightMm }),
    ...(tiltDeg === undefined ? {} : { tiltDeg }),
    ...(sideMm === undefined ? {} : { sideMm }),
  };
}

function ladderOf(text: string): Ladder {
  const ladder = ladders.find((one) => one === text);
  if (ladder) return ladder;
  const near = nearest(text, ladders);
  throw new JobError(
    "option-value",
    `--ladder cannot be "${text}"`,
    near.length > 0 ? `did you mean ${near.join(" or ")}?` : `one of ${ladders.join(", ")}`,
  );
}

/** A file's name on every computer. */
function nameOf(text: string): string {
  if (/^[\p{L}\p{N}][\p{L}\p{N} ._-]{0,99}$/u.test(text)) return text;
  throw new JobError(
    "option-value",
    `--name cannot be "${text.slice(0, 40)}"`,
    "begin with a letter or digit, then letters, digits, blanks, points, hyphens",
  );
}

function misplaced(ladder: Ladder, given: Record<string, readonly [unknown, Ladder]>): void {
  for (const [name, [value, of]] of Object.entries(given)) {
    if (value === undefined || ladder === of) continue;
    throw new JobError(
      "option-value",
      `${name} is for --ladder ${of}`,
      `leave it out, or give --ladder ${of}`,
    );
  }
}
