/** What a fit tells, in words: what to do about it first. */
import { join } from "node:path";
import type { DialIn, Estimate, Residual } from "../dialin/types.ts";
import { mainStrip } from "../dialin/unknowns.ts";
import type { Calibration } from "../job/calibration.ts";
import type { Output } from "./files.ts";
import { careRows, fixed, row, table } from "./rows.ts";
import { problemRows } from "./summary.ts";

const names: Readonly<Record<string, string>> = {
  sidewaysMm: "crown line right of the optical axis",
  focusErrorMm: "focal plane below where it was set",
  spotUm: "spot, 1/e² diameter in focus",
  rayleighMm: "Rayleigh range, the usable depth",
  thresholdRatio: "peak fluence in focus over the threshold",
  thresholdJPerCm2: "coating's threshold",
  depthUm: "coating's depth constant",
  metalThresholdJPerCm2: "metal's threshold, one pulse",
  incubation: "its fall with the pulses, S",
  pivotXMm: "pivot along the bed's x",
  pivotYMm: "pivot along the bed's y",
};

/** "sidewaysMm:focus" is that of the strip called focus. */
export function figureName(key: string): string {
  const [name, strip] = key.split(":") as [string, string | undefined];
  return `${names[name] ?? name}${strip === undefined ? "" : `, strip ${strip}`}`;
}

/** Of bars read, those farther off than this are listed (standard deviations). */
const WORTH_A_ROW = 2;

export function fitLines(
  found: DialIn,
  calibration: Calibration | null,
  folder: string | undefined,
  files: readonly Output[],
): string {
  const { job } = found.strips[0]!.strip;
  const readings = found.residuals.length;
  const lines = [
    "FITTED",
    row("from", `${readings} readings of ${found.strips.map(({ strip }) => strip.name).join(", ")}`),
    ...advice(found),
    ...figureRows(found).map((line, i) => row(i === 0 ? "figures" : "", line)),
    ...untold(found),
    ...residualRows(found),
    ...problemRows(found.problems),
    ...(folder === undefined
      ? [row("files", "none: give --out DIR for the calibration and the plot")]
      : files.map(({ name }, i) => row(i === 0 ? "files" : "", join(folder, name)))),
    ...nextRows(calibration, folder, files),
    ...careRows(job.source.wavelengthNm),
  ];
  return `${lines.join("\n")}\n`;
}

/** What to move, and where to. */
function advice({ estimates, unresolved, strips }: DialIn): string[] {
  const told = (name: string): Estimate | null =>
    estimates[name] && !unresolved.includes(name) ? estimates[name] : null;
  const range = ({ low, high }: Estimate, sign: 1 | -1): string => {
    const [one, other] = sign > 0 ? [low, high!] : [-high!, -low];
    return `(${fixed(one, 1)} to ${fixed(other, 1)})`;
  };
  const rows: string[] = [];
  const sideways = told("sidewaysMm");
  if (sideways) {
    const right = sideways.value >= 0;
    const zero = sideways.low <= 0 && sideways.high! >= 0;
    rows.push(
      row(
        "sideways",
        `the crown line stood ${fixed(Math.abs(sideways.value), 1)} mm ${right ? "right" : "left"} of the optical axis ${range(sideways, right ? 1 : -1)}${zero ? ": within the readings' error" : `: move the vessel so far to the ${right ? "left" : "right"}`}`,
      ),
    );
  }
  const focus = told("focusErrorMm");
  if (focus) {
    const deeper = focus.value >= 0;
    const zero = focus.low <= 0 && focus.high! >= 0;
    // The figure without a strip's name is the main one's, whose job need not be the first one's.
    const distance = mainStrip(strips.map(({ strip }) => strip)).job.lens.workingDistanceMm;
    rows.push(
      row(
        "focus",
        `the focal plane lay ${fixed(Math.abs(focus.value), 1)} mm ${deeper ? "deeper" : "higher"} than set ${range(focus, deeper ? 1 : -1)}${zero ? ": within the readings' error" : `: the working distance is ${fixed(distance + focus.value, 1)} mm, not ${fixed(distance, 1)} mm`}`,
      ),
    );
  }
  return rows;
}

function figureRows({ estimates, unresolved }: DialIn): string[] {
  const rows = Object.entries(estimates)
    .filter(([name]) => !unresolved.includes(name))
    .map(([name, { value, low, high, unit }]) => [
      figureName(name),
      three(value),
      `${three(low)} to ${high === null ? "any" : three(high)}`,
      unit === "1" ? "" : unit,
    ]);
  return rows.length === 0 ? [] : table([["", "value", "90 % interval", "unit"], ...rows], [1]);
}

function untold({ unresolved, suggestions }: DialIn): string[] {
  if (unresolved.length === 0) return [];
  const helped = new Set(suggestions.flatMap((one) => one.names));
  const none = unresolved.filter((name) => !helped.has(name));
  const said = (list: readonly string[]): string => list.map(figureName).join("; ");
  return [
    ...suggestions.map(({ names: list, option }, i) =>
      row(i === 0 ? "not told" : "", `${said(list)}: mark fallaway strip ${option}`),
    ),
    ...(none.length > 0
      ? [row(helped.size === 0 ? "not told" : "", `${said(none)}: the profile's range stands`)]
      : []),
  ];
}

function residualRows({ residuals, rms }: DialIn): string[] {
  const far = residuals.filter((r) => Math.abs(r.off) >= WORTH_A_ROW);
  const head = row("readings", `off by ${rms.toFixed(1)} of their own error on the whole; 1 is usual`);
  if (far.length === 0) return [head];
  const rows = far.map((r) => [
    r.strip,
    String(r.row),
    String(r.mark),
    r.what,
    shown(r.read, r),
    shown(r.predicted, r),
    fixed(r.off, 1),
  ]);
  return [
    head,
    ...table([["strip", "row", "mark", "what", "read", "fitted", "off"], ...rows], [1, 2, 4, 5, 6]).map(
      (line) => row("", line),
    ),
  ];
}

const shown = (v: number | "none", { unit }: Residual): string =>
  v === "none" ? "none" : unit === "mm" ? v.toFixed(1) : String(Math.round(v));

function nextRows(
  calibration: Calibration | null,
  folder: string | undefined,
  files: readonly Output[],
): string[] {
  const file = files.find(({ name }) => name.endsWith(".calibration.json"));
  if (calibration && folder !== undefined && file)
    return [
      row(
        "next",
        `name it in the job, "calibration": "${file.name}", or with --calibration ${join(folder, file.name)}`,
      ),
    ];
  if (!calibration)
    return [row("next", "no calibration: the readings tell nothing yet that a job could take over")];
  return [];
}

const three = (v: number): string => {
  const digits =
    Math.abs(v) < 10 ? (Math.abs(v) < 1e-9 ? "0" : Number(v.toPrecision(3)).toString()) : v.toPrecision(4);
  return String(Number(digits));
};
