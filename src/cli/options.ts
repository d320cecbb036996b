/** The job's options: which command has them, and what a command line's values say of the job. */
import type { Command } from "commander";
import { inkSpecs, type OptionSpec, specs } from "./optionspecs.ts";
import { addOwnStripOptions } from "./stripoptions.ts";

export function addJobOptions(command: Command): Command {
  addInkOptions(command);
  for (const { flags, help } of specs) command.option(flags, help);
  return command;
}

/** What decides the reach but for the lens: that one is compared. */
const reachFlags = [
  ...[
    "--diameter",
    "--circumference",
    "--taper",
    "--sphere",
    "--profile",
    "--vessel",
    "--vessel-height",
    "--below-rim",
  ],
  ...["--pose", "--fidelity", "--viewing-distance", "--axis", "--usable-depth", "--max-incidence"],
  ...["--source", "--beam-diameter", "--m2", "--wavelength", "--column-travel", "--rest-height"],
];

export function addReachOptions(command: Command): Command {
  command.option("--job <JOB.json>", "a job file; options override it");
  command.option("--json", "the table as JSON on standard output, nothing else there");
  for (const spec of specs) if (reachFlags.includes(nameOf(spec))) command.option(spec.flags, spec.help);
  return command;
}

/** What the vessel is, how it lies, and what it lies under. */
const vesselFlags = [
  ...reachFlags,
  ...["--handle-at", "--seam-at", "--blocked", "--at", "--focus", "--vessel-name"],
  ...["--lens", "--focal-length", "--field", "--working-distance", "--pivot"],
];

export function addVesselOptions(command: Command): Command {
  command.option("--job <JOB.json>", "a job file; options override it");
  command.option("--json", "the table as JSON on standard output, nothing else there");
  for (const spec of specs) if (vesselFlags.includes(nameOf(spec))) command.option(spec.flags, spec.help);
  return command;
}

/** What is under the beam, and what it is marked with; no artwork. */
const stripFlags = [
  ...vesselFlags.filter((flag) => !["--at", "--fidelity", "--viewing-distance"].includes(flag)),
  ...["--power", "--speed", "--frequency", "--pitch", "--angles", "--passes", "--jump-speed"],
  ...["--coating", "--coating-thickness", "--metal", "--calibration", "--tolerance", "--date"],
];

export function addStripOptions(command: Command): Command {
  addOwnStripOptions(command);
  command.option("--job <JOB.json>", "a job file; options override it");
  command.option("--json", "the strip and its files as JSON on standard output, nothing else there");
  for (const spec of specs) if (stripFlags.includes(nameOf(spec))) command.option(spec.flags, spec.help);
  return command;
}

/** Settings that worked and where. */
const carryFlags = ["--lens", "--power", "--speed", "--frequency", "--pitch", "--angles", "--passes"];

export function addCarryOptions(command: Command): Command {
  command.option("--from <ID|60W>", "the source that the settings worked on: a profile, or its mean power");
  for (const spec of specs) if (carryFlags.includes(nameOf(spec))) command.option(spec.flags, spec.help);
  command.requiredOption("--to <ID|30W>", "the source to carry them to");
  command.option("--to-lens <ID>", "the lens to carry them to (default: the same)");
  command.option("--job <JOB.json>", "a job file with source, lens and settings; options override it");
  return command.option("--json", "the answer as JSON on standard output, nothing else there");
}

/** The options that say what the ink is, and those every command on artwork has. */
export function addInkOptions(command: Command): Command {
  command.option("--job <JOB.json>", "a job file; options override it");
  command.option("--json", "the report as JSON on standard output, nothing else there");
  for (const { flags, help } of inkSpecs) command.option(flags, help);
  return command;
}

const nameOf = (spec: OptionSpec): string => spec.flags.split(" ")[0]!;

/** commander's option values → the part of a job file that they stand for, unchecked. */
export function jobOfOptions(values: Record<string, unknown>): unknown {
  const job: Record<string, Record<string, unknown> | unknown> = {};
  for (const spec of [...inkSpecs, ...specs]) {
    const key = nameOf(spec)
      .slice(2)
      .replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());
    const given = values[key];
    if (given === undefined) continue;
    const read = (text: unknown): unknown => spec.read?.(String(text), nameOf(spec)) ?? given;
    const value = Array.isArray(given) ? given.map(read) : read(given);
    const [group, field] = spec.also?.form.test(String(given)) ? spec.also.path : spec.path;
    if (field === undefined) job[group] = value;
    else job[group] = { ...(job[group] as Record<string, unknown> | undefined), [field]: value };
  }
  return job;
}

/** The option that a place in the job belongs to, for messages. */
export const optionAt = (path: readonly PropertyKey[]): string | null => {
  const at = (place: readonly string[]): boolean => place.every((key, i) => key === path[i]);
  const spec = [...inkSpecs, ...specs].find((s) => at(s.path) || (s.also && at(s.also.path)));
  return spec ? nameOf(spec) : null;
};

/** The first option that takes a value and has another option after it. */
export const withoutValue = (argv: readonly string[]): string | undefined =>
  argv.find((word, i) => {
    const spec = [...inkSpecs, ...specs].find((one) => nameOf(one) === word);
    return spec?.flags.includes("<") && /^--[a-z]/.test(argv[i + 1] ?? "");
  });
