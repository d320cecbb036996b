/** `carry`: settings that worked on one source and lens, for another: a short table, what holds, what gives. */
import { layOver } from "../job/calibrated.ts";
import type { Job, JobFile } from "../job/job.ts";
import { resolveLens, resolveMetal, resolveSettings, resolveSource, sameBeam } from "../job/process.ts";
import { readJobFile } from "../job/resolve.ts";
import { type Carriage, type Carried, type CarryQuantity, carry } from "../plan/carry.ts";
import { JobError } from "../problem.ts";
import { jobFrom } from "./ask.ts";
import { calibrationFor } from "./calibrationfile.ts";
import { jobOfOptions, optionAt } from "./options.ts";
import { loadProfiles } from "./profiles.ts";
import { careRows, row, table } from "./rows.ts";

/** One side: its source and its lens. */
type Side = Pick<Job, "source" | "lens">;

/** Answers on standard output. */
export function carrySettings(options: Record<string, unknown>): void {
  const profiles = loadProfiles();
  const jobPath = options.job as string | undefined;
  if (options.from === undefined && jobPath === undefined) {
    throw new JobError(
      "from-missing",
      "the source that the settings worked on is not given",
      "give --from, as in --from 60W, or a job file that names it",
    );
  }
  const file: JobFile = jobPath === undefined ? {} : jobFrom(jobPath);
  const asked = readJobFile(jobOfOptions(options), "the options", optionAt);
  const where = jobPath ?? "the job file";
  const named = calibrationFor(file, jobPath, {});
  const side = (name: "from" | "to", lens: JobFile["lens"]): Side => {
    const id = (options[name] as string | undefined)?.trim();
    const wanted: JobFile = { lens, source: id === undefined ? undefined : { id } };
    const laid = named && layOver(file, wanted, named, profiles, where);
    const under = laid?.file ?? file;
    const keepsSpot = laid?.calibrated.spot || sameBeam(file, {}, wanted, profiles, where);
    return {
      source: resolveSource(under.source, wanted.source, profiles, where),
      lens: resolveLens(under.lens, lens, profiles, where, keepsSpot),
    };
  };
  const from = naming("from", () => side("from", asked.lens));
  const settings = naming("from", () => {
    const metal = resolveMetal(file.metal, undefined, profiles, where);
    // Without any the answer would be none: what is missing is named.
    return resolveSettings(file.settings, asked.settings ?? {}, from.source, metal)!;
  });
  const toLens = options.toLens as string | undefined;
  const to = naming("to", () => side("to", toLens === undefined ? asked.lens : { id: toLens }));

  const carried = carry({ source: from.source, ...from.lens, settings }, { source: to.source, ...to.lens });
  process.stdout.write(options.json === true ? json(carried, from, to) : said(carried, from, to));
}

/** Runs, and puts this command's own options into an error's words. */
function naming<T>(name: "from" | "to", run: () => T): T {
  try {
    return run();
  } catch (error) {
    if (!(error instanceof JobError)) throw error;
    const { code, message, hint } = error.problem;
    const own = (text: string): string =>
      text
        .replaceAll("--source", `--${name}`)
        .replaceAll("--lens", name === "to" ? "--to-lens" : "--lens")
        .replace(", or none of them", ", or a job file that has them");
    throw new JobError(code, own(message), own(hint));
  }
}

function json({ from, to, keeps, gives, timeFactor, notes }: Carried, old: Side, now: Side): string {
  const figures = (c: Carriage, side: Side) => ({
    source: side.source.id,
    lens: side.lens.id,
    powerW: c.powerW,
    powerPercent: percentOf(c, side),
    frequencyKHz: c.frequencyKHz,
    speedMmS: c.speedMmS,
    pitchMm: c.pitchMm,
    anglesDeg: c.anglesDeg,
    passes: c.passes,
    waistDiameterMm: c.waistDiameterMm,
    pulseEnergyMj: c.pulseEnergyMj,
    peakFluenceJPerCm2: c.peakFluenceJPerCm2,
    doseJPerCm2: c.doseJPerCm2,
    pulsesPerSpot: c.pulsesPerSpot,
  });
  const answer = { from: figures(from, old), to: figures(to, now), keeps, gives, timeFactor, notes };
  return `${JSON.stringify(answer, null, 2)}\n`;
}

/** Power as a share of the source's, where that is known. */
const percentOf = (c: Carriage, { source }: Side): number | null =>
  source.meanPowerW === undefined ? null : (100 * c.powerW) / source.meanPowerW;

const words: Record<CarryQuantity, string> = {
  meanPower: "mean power",
  peakFluence: "peak fluence",
  dose: "dose",
  pulsesPerSpot: "pulses per spot",
};
const round = (v: number): string => String(Number(v.toPrecision(4)));

function said({ from, to, keeps, gives, timeFactor, notes }: Carried, old: Side, now: Side): string {
  const sides = [column(from, old, "from", 1), column(to, now, "to", timeFactor)] as const;
  const cells = sides[0].map(([name, value], i) => [name!, value!, sides[1][i]![1]!]);
  const lines = [
    ...table(cells).map((line) => `  ${line}`),
    "",
    row("holds", `${keeps.map((q) => words[q]).join(", ")} (within 0.5 %)`),
    ...(gives.length === 0 ? [row("gives", "nothing")] : []),
    ...gives.map(({ quantity, factor, price }) =>
      row("gives", `${words[quantity]} × ${Number(factor.toPrecision(3))}: ${price}`),
    ),
    ...notes.map((note) => row("note", note)),
    row("first", "mark a spare cup, and look at both edges: a real station may differ from its profile"),
    ...careRows(now.source.wavelengthNm),
  ];
  return `${lines.join("\n")}\n`;
}

/** Name and value of every row, for one station. */
function column(c: Carriage, side: Side, head: string, time: number): [string, string][] {
  const percent = percentOf(c, side);
  const { meanPowerW } = side.source;
  return [
    ["quantity", head],
    ["source", `${side.source.id}${meanPowerW === undefined ? "" : `, ${round(meanPowerW)} W`}`],
    ["lens", side.lens.id],
    ["spot at the waist", `${round(1000 * c.waistDiameterMm)} µm`],
    ["power", `${round(c.powerW)} W${percent === null ? "" : ` (${round(percent)} %)`}`],
    ["frequency", `${round(c.frequencyKHz)} kHz`],
    ["speed", `${round(c.speedMmS)} mm/s`],
    ["pitch", `${round(c.pitchMm)} mm`],
    ["sets × passes", `${c.anglesDeg.length} (${c.anglesDeg.join("°, ")}°) × ${c.passes}`],
    ["pulse energy", `${round(c.pulseEnergyMj)} mJ`],
    ["peak fluence at best focus", `${round(c.peakFluenceJPerCm2)} J/cm²`],
    ["dose", `${round(c.doseJPerCm2)} J/cm²`],
    ["pulses per spot", round(c.pulsesPerSpot)],
    ["time of the lines", round(time)],
  ];
}
