/** What the forecast means for the job, in words: problems with computed hints. Nothing here stops a job. */
import type { Figure, Span } from "../../job/job.ts";
import type { Problem } from "../../problem.ts";
import type { Plan } from "../types.ts";
import { bestWindow, type Forecast } from "./forecast.ts";

type Known = Pick<Plan, "job" | "ink" | "spot" | "forecast">;

/** Below this chance of a clean result a note is due (our own choice). */
const SURE = 0.9;
/** Less of the ink than this is not worth a word. */
const SHARE = 0.001;

const percent = (v: number): string => `${(100 * v).toFixed(0)} %`;
/** Two figures as people write them. */
export const two = (v: number): string => (v >= 10 ? v.toFixed(0) : v.toPrecision(2));
const between = (f: Figure): string =>
  percent(f.low) === percent(f.high)
    ? "in nearly every case"
    : `${percent(f.low)} to ${percent(f.high)} in 90 % of the cases`;

export function processProblems(known: Known): Problem[] {
  const { job, forecast, ink } = known;
  if (!forecast) {
    return job.coating
      ? [
          note(
            "coating-without-settings",
            "a coating is given, but no settings: nothing is said of removal",
            "give --power, --speed, --frequency and --pitch",
          ),
        ]
      : [];
  }
  const list: Problem[] = [];
  if (!job.coating) {
    list.push(
      note(
        "settings-without-coating",
        "settings are given, but no coating: nothing is said of removal",
        "give --coating, see: fallaway profiles coatings",
      ),
    );
  }
  if (ink.lengthMm > 0) {
    list.push(
      note(
        "lines-not-forecast",
        "of centre lines only the time is told: removal is worked out for filled ink",
        "mark a test line on a spare cup",
      ),
    );
  }
  return [...list, ...spacing(known, forecast), ...pulseLengths(known), ...removal(forecast)];
}

function removal(forecast: Forecast): Problem[] {
  const { outcome } = forecast;
  if (!outcome) return [];
  const list: Problem[] = [];
  const hint = settingsHint(forecast);
  const total = forecast.cells.reduce((sum, c) => sum + c.areaMm2, 0);
  const likely = (area: number): number => area / total;
  if (likely(outcome.likeliestMm2.residue) > SHARE) {
    list.push({
      code: "coating-stays",
      severity: "caution",
      message: `uncalibrated: coating likely stays on ${percent(likely(outcome.likeliestMm2.residue))} of the usable ink (${between(outcome.share.residue)})`,
      hint,
    });
  }
  if (likely(outcome.likeliestMm2.metal) > SHARE) {
    list.push({
      code: "metal-at-risk",
      severity: "caution",
      message: `uncalibrated: the metal is likely at risk on ${percent(likely(outcome.likeliestMm2.metal))} of the usable ink (${between(outcome.share.metal)})`,
      hint,
    });
  }
  if (list.length === 0 && outcome.chance.allClean < SURE) {
    list.push(
      note(
        "clean-not-sure",
        `uncalibrated: all ink comes out clean in ${percent(outcome.chance.allClean)} of the cases that the profiles allow`,
        hint,
      ),
    );
  }
  return list;
}

/** Power and passes that clear the weakest ink while the metal is spared, or that none do. */
export function settingsHint({ process, outcome, windows }: Forecast): string {
  const now = outcome?.chance.allClean ?? 0;
  const best = bestWindow(windows);
  if (!best) {
    return `no power clears all ink and spares the metal at up to ${windows.length} passes by the profiles' middle figures: make the artwork narrower, use a longer lens, or mark a test on a spare cup`;
  }
  const { passes, middleW, clearsFromW, sparesUpToW, chance } = best;
  const room = `at ${passes} ${passes === 1 ? "pass" : "passes"} it clears from ${two(clearsFromW.value)} W and spares the metal up to ${two(sparesUpToW.value)} W`;
  if (chance <= now + 0.05) {
    return `${room}; other powers and passes do no better: mark a test on a spare cup`;
  }
  const sets = passes === process.settings.passes ? "" : ` --passes ${passes}`;
  return `--power ${two(middleW!)}W${sets} comes out clean in ${percent(chance)} of the cases, now ${percent(now)} (${room}); mark a test on a spare cup first`;
}

function spacing({ job, spot }: Known, { process }: Forecast): Problem[] {
  const { pitchMm, speedMmS, frequencyKHz } = process.settings;
  const apart = speedMmS / frequencyKHz / 1000;
  const wide = spot.waistDiameterMm;
  const list: Problem[] = [];
  if (pitchMm > wide) {
    list.push({
      code: "pitch-beyond-spot",
      severity: "caution",
      message: `the pitch of ${pitchMm} mm is wider than the spot of ${wide.toFixed(3)} mm in focus: expect stripes, and no removal can be told from a mean`,
      hint: `give --pitch ${(wide / 2).toFixed(3)} or less`,
    });
  }
  if (apart > wide) {
    list.push({
      code: "pulses-apart",
      severity: "caution",
      message: `pulses lie ${apart.toFixed(3)} mm apart, more than the spot of ${wide.toFixed(3)} mm in focus: expect dots`,
      hint: `give --speed ${two(wide * 500 * frequencyKHz)} or less, or a higher --frequency (the source: ${job.source.repetitionKHz.join(" to ")} kHz)`,
    });
  }
  return list;
}

/** Thresholds hold for pulse lengths; a source of quite other ones makes them of no account. */
function pulseLengths({ job }: Known): Problem[] {
  const apart = ([a, b]: Span, [c, d]: Span): boolean => b < c || d < a;
  const off = [
    ...(job.coating && apart(job.source.pulseNs, job.coating.pulseNs)
      ? [`the coating ${job.coating.id}`]
      : []),
    ...(apart(job.source.pulseNs, job.metal.pulseNs) ? [`the metal ${job.metal.id}`] : []),
  ];
  return off.map((what) => ({
    code: "pulse-length-unsuited",
    severity: "caution",
    message: `the figures of ${what} are not for pulses of ${job.source.pulseNs.join(" to ")} ns`,
    hint: "give figures for this pulse length in a job file, or trust none of the removal",
  }));
}

const note = (code: string, message: string, hint: string): Problem => ({
  code,
  severity: "note",
  message,
  hint,
});
