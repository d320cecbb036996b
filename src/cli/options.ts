/** The job's options on the command line, each with the place in the job that it overrides. */
import type { Command } from "commander";
import { JobError } from "../problem.ts";

interface OptionSpec {
  readonly flags: string;
  readonly help: string;
  /** Path in the job file. */
  readonly path: readonly [string, ...string[]];
  /** Another place that a text of this form goes to. */
  readonly also?: { readonly path: readonly [string, string]; readonly form: RegExp };
  /** Left out for a switch that is on or off. */
  readonly read?: (text: string, name: string) => unknown;
}

/** A decimal number, as people write it: no unit, no hexadecimal. */
const decimal = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

/** Reads a number, or one of some words, and says in the option's own terms what it takes. */
const number =
  (unit: string, ...words: string[]) =>
  (text: string, name: string): number | string => {
    if (words.includes(text)) return text;
    const value = decimal.test(text.trim()) ? Number(text) : Number.NaN;
    if (Number.isFinite(value)) return value;
    if (/^[+-]?\d+,\d+$/.test(text.trim())) {
      const said = `${name} cannot be "${text}"`;
      throw new JobError(
        "option-value",
        said,
        `write a point for the comma: ${text.trim().replace(",", ".")}`,
      );
    }
    const allowed = [...words, `a plain number${unit && ` of ${unit}`}`].join(" or ");
    throw new JobError("option-value", `${name} cannot be "${text}"`, `give ${allowed}, without a unit`);
  };
const mm = number("millimetres");
const degrees = number("degrees");
const word = (text: string): string => text;

/** "27W" or "45%"; a space before the unit is let pass. */
const power = (text: string, name: string): number => {
  const value = /^\s*(.+?)\s*(?:W|%)$/i.exec(text)?.[1] ?? "";
  if (decimal.test(value)) return Number(value);
  throw new JobError(
    "option-value",
    `${name} cannot be "${text}"`,
    "give watts or percent of the source, as in 27W or 45%",
  );
};
const angles = (text: string, name: string): unknown[] => text.split(",").map((one) => degrees(one, name));

/** "120,40" → [120, 40]; one value stands for both where `same`. */
const pair =
  (read: (text: string, name: string) => unknown, same: boolean) =>
  (text: string, name: string): [unknown, unknown] => {
    const parts = text.split(",");
    if (parts.length === 1 && same) return [read(text, name), read(text, name)];
    if (parts.length !== 2)
      throw new JobError(
        "option-value",
        `${name} takes two numbers with a comma between, found "${text}"`,
        `as in ${name} 0,12.5`,
      );
    return [read(parts[0]!, name), read(parts[1]!, name)];
  };

/** "#abc" is short for "#aabbcc". */
const colour = (text: string): string => text.replace(/^#(.)(.)(.)$/, "#$1$1$2$2$3$3");

const inkSpecs: readonly OptionSpec[] = [
  {
    flags: "--ink <WHICH>",
    help: "which paint is ink: dark, light or any (default dark)",
    path: ["ink", "from"],
    read: word,
  },
  {
    flags: "--ink-below <N>",
    help: "the relative luminance, 0 to 1, that parts dark from light (default 0.5)",
    path: ["ink", "below"],
    read: number(""),
  },
  {
    flags: "--ink-colour <#RRGGBB...>",
    help: "only paint of these colours is ink",
    path: ["ink", "colours"],
    read: colour,
  },
  {
    flags: "--strokes <HOW>",
    help: "outline: as wide as drawn; centre-line: single lines (default outline)",
    path: ["ink", "strokes"],
    read: word,
  },
  {
    flags: "--keep-shapes",
    help: "leave overlapping shapes apart, each with its id",
    path: ["ink", "keepShapes"],
  },
  {
    flags: "--fonts <PATH...>",
    help: "font files, or folders of them, that text is drawn with",
    path: ["ink", "fonts"],
    read: word,
  },
  { flags: "--trace", help: "trace embedded pictures to outlines", path: ["ink", "trace"] },
  {
    flags: "--allow <CODE...>",
    help: "let problems of these codes pass as cautions",
    path: ["ink", "allow"],
    read: word,
  },
];

const specs: readonly OptionSpec[] = [
  {
    flags: "--diameter <MM>",
    help: "the vessel's outer diameter where the artwork goes",
    path: ["vessel", "diameterMm"],
    read: mm,
  },
  {
    flags: "--circumference <MM>",
    help: "or the way around it, by tape",
    path: ["vessel", "circumferenceMm"],
    read: mm,
  },
  {
    flags: "--vessel-height <MM>",
    help: "rim to base, for the proof and against ink beyond them",
    path: ["vessel", "heightMm"],
    read: mm,
  },
  {
    flags: "--below-rim <MM>",
    help: "the placement point below the rim",
    path: ["vessel", "belowRimMm"],
    read: mm,
  },
  {
    flags: "--handle-at <DEG>",
    help: "the handle's middle, around from the crown line; to the right seen from the lens",
    path: ["vessel", "handleDeg"],
    read: degrees,
  },
  {
    flags: "--seam-at <DEG>",
    help: "the seam, likewise",
    path: ["vessel", "seamDeg"],
    read: degrees,
  },
  {
    flags: "--vessel-name <TEXT>",
    help: "the vessel in words, for proof and station sheet",
    path: ["vessel", "name"],
    read: word,
  },
  {
    flags: "--coating-colour <#RRGGBB>",
    help: "the coating's colour in the proof (default: from the coating profile)",
    path: ["vessel", "colour"],
    read: colour,
  },
  {
    flags: "--gloss <GU>",
    help: "the coating's gloss at 60 degrees, 0 to 100 (default: from the coating profile)",
    path: ["vessel", "gloss"],
    read: number("gloss units"),
  },
  {
    flags: "--job-name <TEXT>",
    help: "the job's name on proof and station sheet (default: the artwork's)",
    path: ["order", "name"],
    read: word,
  },
  { flags: "--customer <TEXT>", help: "the customer", path: ["order", "customer"], read: word },
  { flags: "--revision <TEXT>", help: "the proof's revision", path: ["order", "revision"], read: word },
  {
    flags: "--quantity <N>",
    help: "how many vessels",
    path: ["order", "quantity"],
    read: number(""),
  },
  {
    flags: "--date <YYYY-MM-DD>",
    help: "the day on proof and station sheet (default: today)",
    path: ["order", "date"],
    read: word,
  },
  {
    flags: "--width <MM>",
    help: "the ink's size around the vessel; alone it keeps the proportions (default: as drawn)",
    path: ["placement", "widthMm"],
    read: mm,
  },
  {
    flags: "--height <MM>",
    help: "the ink's size along the vessel; with --width it stretches",
    path: ["placement", "heightMm"],
    read: mm,
  },
  {
    flags: "--rotate <DEG>",
    help: "turn the artwork first, clockwise (lettering up the length: 90 reads downward, -90 upward)",
    path: ["placement", "rotateDeg"],
    read: degrees,
  },
  {
    flags: "--at <A,B>",
    help: "where the ink's centre lands, mm right of the crown line and below the placement point (default 0,0)",
    path: ["placement", "atMm"],
    read: pair(mm, false),
  },
  {
    flags: "--fidelity <RULE>",
    help: "girth: true lengths on the vessel; sight: undistorted from the front (default girth)",
    path: ["placement", "fidelity"],
    read: word,
  },
  {
    flags: "--lens <ID>",
    help: "lens profile, see: fallaway profiles lenses (default field-300)",
    path: ["lens", "id"],
    read: word,
  },
  {
    flags: "--focal-length <MM>",
    help: "focal length (this and what follows: default from the profile)",
    path: ["lens", "focalLengthMm"],
    read: mm,
  },
  { flags: "--field <MM>", help: "side of the lens's square field", path: ["lens", "fieldMm"], read: mm },
  {
    flags: "--working-distance <MM>",
    help: "lens reference to focal plane",
    path: ["lens", "workingDistanceMm"],
    read: mm,
  },
  {
    flags: "--pivot <MM[,MM]>",
    help: "deflection pivots above the focal plane, bed x and y; or telecentric",
    path: ["lens", "pivotMm"],
    read: pair(number("millimetres", "telecentric"), true),
  },
  {
    flags: "--source <ID|60W>",
    help: "source profile or its mean power, see: fallaway profiles sources (default pulsed-fibre)",
    path: ["source", "id"],
    read: word,
  },
  {
    flags: "--beam-diameter <MM>",
    help: "1/e² diameter entering the lens",
    path: ["source", "beamDiameterMm"],
    read: mm,
  },
  { flags: "--m2 <N>", help: "beam quality M²", path: ["source", "m2"], read: number("") },
  {
    flags: "--wavelength <NM>",
    help: "wavelength in nanometres",
    path: ["source", "wavelengthNm"],
    read: number("nanometres"),
  },
  {
    flags: "--power <27W|45%>",
    help: "mean power, or its share of the source's",
    path: ["settings", "powerW"],
    also: { path: ["settings", "powerPercent"], form: /%\s*$/ },
    read: power,
  },
  {
    flags: "--speed <MM/S>",
    help: "marking speed, as commanded",
    path: ["settings", "speedMmS"],
    read: number("millimetres a second"),
  },
  {
    flags: "--frequency <KHZ>",
    help: "repetition rate of the pulses",
    path: ["settings", "frequencyKHz"],
    read: number("kilohertz"),
  },
  {
    flags: "--pitch <MM>",
    help: "distance between the lines of the fill",
    path: ["settings", "pitchMm"],
    read: mm,
  },
  {
    flags: "--angles <DEG,...>",
    help: "sets of lines in their order, 90 along the axis, 0 around (default: across the metal's grain, then along it)",
    path: ["settings", "anglesDeg"],
    read: angles,
  },
  {
    flags: "--passes <N>",
    help: "how often all sets are marked (default 1)",
    path: ["settings", "passes"],
    read: number(""),
  },
  {
    flags: "--jump-speed <MM/S>",
    help: "speed between lines, for the time (default 3000)",
    path: ["settings", "jumpSpeedMmS"],
    read: number("millimetres a second"),
  },
  {
    flags: "--coating <ID>",
    help: "coating profile, see: fallaway profiles coatings",
    path: ["coating", "id"],
    read: word,
  },
  {
    flags: "--coating-thickness <UM>",
    help: "its thickness in micrometres, where it was measured",
    path: ["coating", "thicknessUm"],
    read: number("micrometres"),
  },
  {
    flags: "--metal <ID>",
    help: "metal below the coating, see: fallaway profiles metals (default steel-brushed)",
    path: ["metal", "id"],
    read: word,
  },
  {
    flags: "--column-travel <MM>",
    help: "largest height of the lens reference above the bed",
    path: ["column", "travelMm"],
    read: mm,
  },
  {
    flags: "--rest-height <MM>",
    help: "height of the vessel's lowest line above the bed, in its rest or jig (default 0)",
    path: ["column", "restHeightMm"],
    read: mm,
  },
  {
    flags: "--usable-depth <MM>",
    help: "usable depth either side of the focal plane (default: the Rayleigh range)",
    path: ["limits", "usableDepthMm"],
    read: number("millimetres", "rayleigh"),
  },
  {
    flags: "--max-incidence <DEG>",
    help: "steepest angle to the surface's normal (default 60)",
    path: ["limits", "maxIncidenceDeg"],
    read: degrees,
  },
  {
    flags: "--focus <WHERE>",
    help: "best, crown, or mm below the crown line (default best)",
    path: ["focus"],
    read: number("millimetres", "best", "crown"),
  },
  {
    flags: "--axis <x|y>",
    help: "how the vessel lies on the bed; x: its top toward +x (default y)",
    path: ["axis"],
    read: word,
  },
  {
    flags: "--layer <LAYER>",
    help: "what prepare's heat map shows: falloff, dose, removal or metal (default falloff)",
    path: ["layer"],
    read: word,
  },
  {
    flags: "--tolerance <MM>",
    help: "largest error of the bent curves, on the vessel (default 0.002)",
    path: ["toleranceMm"],
    read: mm,
  },
];

export function addJobOptions(command: Command): Command {
  addInkOptions(command);
  for (const { flags, help } of specs) command.option(flags, help);
  return command;
}

/** What decides the reach but for the lens: that one is compared. */
const reachFlags = [
  ...["--diameter", "--circumference", "--fidelity", "--axis", "--usable-depth", "--max-incidence"],
  ...["--source", "--beam-diameter", "--m2", "--wavelength", "--column-travel", "--rest-height"],
];

export function addReachOptions(command: Command): Command {
  command.option("--job <JOB.json>", "a job file; options override it");
  command.option("--json", "the table as JSON on standard output, nothing else there");
  for (const spec of specs) if (reachFlags.includes(nameOf(spec))) command.option(spec.flags, spec.help);
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
