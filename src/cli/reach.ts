/** `reach`: how wide artwork may be on a vessel through every lens, as a table, CSV, JSON and a chart. */
import { join } from "node:path";
import type { Job } from "../job/job.ts";
import { lensOf } from "../job/profiles.ts";
import { resolveJob } from "../job/resolve.ts";
import { diameterOf } from "../plan/body.ts";
import { downTenth, percent, upTenth } from "../plan/figures.ts";
import { type ReachRow, reachCurves, reachTable } from "../plan/reachtable.ts";
import type { Lens } from "../plan/station.ts";
import { shapeWords, widthWords } from "../plan/vesselsaid.ts";
import { JobError } from "../problem.ts";
import { fromOptions, jobFrom } from "./ask.ts";
import { calibrationFor } from "./calibrationfile.ts";
import { checkFolder, type Output, writeAll } from "./files.ts";
import { loadProfiles } from "./profiles.ts";
import { careRows, row, table } from "./rows.ts";

/** Answers on standard output, and in files where a folder is given. */
export async function reach(options: Record<string, unknown>): Promise<void> {
  const folder = options.out as string | undefined;
  if (options.json === true && options.csv === true)
    throw new JobError("output-twice", "both --json and --csv are given", "give one of the two");
  const { file: asked } = fromOptions(options);
  const jobPath = options.job as string | undefined;
  const profiles = loadProfiles();
  const file = jobPath === undefined ? {} : jobFrom(jobPath);
  const job = resolveJob(file, asked, profiles, jobPath, calibrationFor(file, jobPath, asked));
  if (folder !== undefined) checkFolder(folder);
  // The job's own figures stand for its lens.
  const lenses = profiles.lenses.map((p) => (p.id === job.lens.id ? job.lens : lensOf(p)));
  const rows = reachTable(lenses, job);
  const files: Output[] = [];
  if (folder !== undefined) {
    files.push({ name: "reach.csv", data: csv(rows) }, { name: "reach.json", data: json(rows) });
    files.push(...(await pictures(lenses, rows, job)));
    writeAll(folder, files);
  }
  if (options.json === true) process.stdout.write(json(rows));
  else if (options.csv === true) process.stdout.write(csv(rows));
  else {
    const profile = lensOf(profiles.lenses.find((p) => p.id === job.lens.id)!);
    const own =
      job.lens.spot !== undefined ||
      (Object.keys(profile) as (keyof Lens)[]).some((key) => String(job.lens[key]) !== String(profile[key]));
    const written = files.map(({ name }) => join(folder!, name));
    process.stdout.write(said(rows, job, own, written));
  }
}

const json = (rows: readonly ReachRow[]): string => `${JSON.stringify(rows, null, 2)}\n`;

/** RFC 4180: a header, lines end in CR LF, quotes where a field needs them; empty where the JSON has null. */
function csv(rows: readonly ReachRow[]): string {
  const cell = (value: string | number | null): string => {
    const text = String(value ?? "");
    return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  };
  const flat = rows.map(({ column, ...rest }) => ({
    ...rest,
    columnNeededMm: column.neededMm,
    columnShortMm: column.shortMm,
  }));
  const lines = [Object.keys(flat[0]!), ...flat.map((r) => Object.values(r))];
  return lines.map((line) => `${line.map(cell).join(",")}\r\n`).join("");
}

async function pictures(lenses: readonly Lens[], rows: readonly ReachRow[], job: Job): Promise<Output[]> {
  const { diametersAround, reachChart } = await import("../picture/reachchart.ts");
  const { drawingPng, lettering } = await import("./pictures.ts");
  const diameterMm = diameterOf(job.vessel);
  const diametersMm = diametersAround(diameterMm);
  const svg = reachChart(
    {
      diameterMm,
      diametersMm,
      curves: reachCurves(lenses, job, diametersMm),
      hereMm: rows.map((r) => r.reachMm),
      tooTall: rows.map((r) => (r.column.shortMm ?? 0) > 0),
      fidelity: job.placement.fidelity,
      note: `source ${sourceWords(job)}, ${limitWords(job)}`,
    },
    lettering(),
  );
  const png = await drawingPng(svg);
  return [
    { name: "reach.svg", data: svg },
    { name: "reach.png", data: png },
  ];
}

/** The profile, and its power where its name does not tell. */
const sourceWords = ({ source: { id, meanPowerW } }: Job): string =>
  meanPowerW === undefined || id.endsWith(`-${meanPowerW}`) ? id : `${id} (${meanPowerW} W)`;

const limitWords = ({ limits: { usableDepthMm, maxIncidenceDeg } }: Job): string =>
  `usable depth ${usableDepthMm === "rayleigh" ? "of the Rayleigh range" : `±${usableDepthMm} mm`}, incidence up to ${maxIncidenceDeg}°`;

/** The vessel and source, the table, what its columns mean, and care. `own`: the job has figures of its lens. */
function said(rows: readonly ReachRow[], job: Job, own: boolean, written: readonly string[]): string {
  const { vessel, source, lens, placement } = job;
  const wide = widthWords[placement.fidelity];
  const lines = [
    `vessel ${shapeWords(vessel)}, ${(Math.PI * diameterOf(vessel)).toFixed(1)} mm around; ` +
      `source ${sourceWords(job)}, ${source.wavelengthNm} nm, M² ${source.m2.value}, beam ${source.beamDiameterMm.value} mm`,
    "",
    ...reachLines(rows, job),
    "",
    row("spot", "1/e² diameter at the waist"),
    row("depth", "depth of focus: twice the Rayleigh range (ISO 11146)"),
    row("focus", "best focal plane below the crown line, for artwork as wide as the reach"),
    ...(rows.some((r) => r.limitedBy !== "depth")
      ? [
          row(
            "",
            "(where field or incidence limits, the reach holds for a higher focal plane; at this one it is a hair less)",
          ),
        ]
      : []),
    row("reach", `widest artwork ${wide}, its middle on the crown line;`),
    row("", limitWords(job)),
    row("falloff", "over that width, the weakest relative fluence as a share of the strongest"),
    row("column", "can it lift the lens that high? asked with --column-travel and --rest-height"),
    row(
      "lens",
      own
        ? `${lens.id} by the job's own figures, the others by generic ones`
        : "the profiles' figures are generic: give your lens's own in a job file, with --job",
    ),
    ...written.map((path, i) => row(i === 0 ? "files" : "", path)),
    ...careRows(source.wavelengthNm),
  ];
  return `${lines.join("\n")}\n`;
}

/** Numbers stand to the right. */
const NUMBERS = [1, 2, 3, 4, 5, 7];

function reachLines(rows: readonly ReachRow[], job: Job): string[] {
  const cells = [
    [
      "lens",
      "field mm",
      "spot µm",
      "depth mm",
      "focus mm",
      `reach mm ${job.placement.fidelity === "sight" ? "as seen" : "around"}`,
      "limited by",
      "falloff",
      "column",
    ],
    ...rows.map((r) => [
      r.lens,
      String(r.fieldMm),
      (1000 * r.waistDiameterMm).toFixed(0),
      r.depthOfFocusMm.toPrecision(3),
      r.bestFocusMm.toFixed(2),
      downTenth(r.reachMm),
      r.limitedBy,
      r.falloffRatio < 0.01 ? "<1 %" : percent(r.falloffRatio),
      columnWords(r.column.shortMm),
    ]),
  ];
  return table(cells, NUMBERS);
}

/** What is short is rounded up. */
function columnWords(shortMm: number | null): string {
  if (shortMm === null) return "—";
  return shortMm === 0 ? "tall enough" : `${upTenth(shortMm)} mm short`;
}
