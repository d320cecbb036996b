/** What the forecast means for the job, in words: problems with computed hints. Nothing here stops a job. */
import type { Span } from "../../job/job.ts";
import type { Problem } from "../../problem.ts";
import type { Plan } from "../types.ts";
import { bestWindow, type Forecast } from "./forecast.ts";
import type { Outcome } from "./process.ts";
import { zonesWithOutcome } from "./section.ts";

type Known = Pick<Plan, "job" | "ink" | "spot" | "zones" | "forecast">;

/** Below this chance of a clean result a note is due (our own choice). */
const SURE = 0.9;
/** Below this one a caution, and below this no setting is worth a hint. */
const LIKELY = 0.5;
const HOPE = 0.05;
/** Less of the ink than this is not worth a word. */
const SHARE = 0.001;

const percent = (v: number): string => `${(100 * v).toFixed(0)} %`;
/** Two digits as people write them, rounded to the near side, up, or down: a limit that is named must hold. */
export const two = (v: number, round: (v: number) => number = Math.round): string => {
  if (!(v > 0)) return "0";
  const unit = 10 ** (Math.floor(Math.log10(v)) - 1);
  return String(Number((round(v / unit - (round === Math.ceil ? 1e-9 : -1e-9)) * unit).toPrecision(2)));
};

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
  return [...list, ...spacing(known, forecast), ...pulseLengths(known), ...removal(known, forecast)];
}

function removal({ zones, spot }: Known, forecast: Forecast): Problem[] {
  const { outcome } = forecast;
  if (!outcome) return [];
  const list: Problem[] = [];
  const hint = settingsHint(forecast, coarse({ spot }, forecast));
  const rows = zonesWithOutcome(zones, forecast);
  const of = (zone: Outcome): number => rows.find((row) => row.zone === zone)?.share ?? 0;
  if (of("residue") > SHARE) {
    list.push({
      code: "coating-stays",
      severity: "caution",
      message: `uncalibrated: coating likely stays on ${percent(of("residue"))} of the ink, where it is weakest in ${percent(outcome.highest.residue)} of the cases`,
      hint,
    });
  }
  if (of("metal") > SHARE) {
    list.push({
      code: "metal-at-risk",
      severity: "caution",
      message: `uncalibrated: the metal is likely at risk on ${percent(of("metal"))} of the ink, where it is strongest in ${percent(outcome.highest.metal)} of the cases`,
      hint,
    });
  }
  const { allClean } = outcome.chance;
  if (list.length === 0 && allClean < SURE) {
    list.push({
      code: "clean-not-sure",
      severity: allClean < LIKELY ? "caution" : "note",
      message: `uncalibrated: all ink comes out clean in ${percent(allClean)} of the cases that the profiles allow`,
      hint,
    });
  }
  return list;
}

/** Power and passes that clear the weakest ink while the metal is spared, or that none do. */
function settingsHint({ process, outcome, windows }: Forecast, tooCoarse: string): string {
  const now = outcome?.chance.allClean ?? 0;
  const best = bestWindow(windows);
  const first = tooCoarse ? `first mend the ${tooCoarse}; ` : "";
  if (!best || best.chance < HOPE) {
    return `${first}no power clears all ink and spares the metal at up to ${windows.length} passes with this speed, frequency and pitch: a narrower artwork or a longer lens fades less, a test on a spare cup tells`;
  }
  const { passes, bestW, clearsFromW, sparesUpToW, chance } = best;
  const at = `at ${passes} ${passes === 1 ? "pass" : "passes"} it clears from ${two(clearsFromW.value, Math.ceil)} W and spares the metal up to ${two(sparesUpToW.value, Math.floor)} W`;
  if (chance <= now + 0.03) {
    return `${first}${at}; other powers and passes hardly do better with this speed, frequency and pitch: mark a test on a spare cup`;
  }
  const sets = passes === process.settings.passes ? "" : ` --passes ${passes}`;
  return `${first}--power ${bestW}W${sets} comes out clean in ${percent(chance)} of the cases, now ${percent(now)} (${at}); mark a test on a spare cup first`;
}

/** What is wider than the spot: pitch, pulse distance, both or nothing. */
function coarse({ spot }: Pick<Known, "spot">, { process }: Forecast): string {
  const { pitchMm, speedMmS, frequencyKHz } = process.settings;
  const wide = spot.waistDiameterMm;
  return [
    ...(pitchMm > wide ? ["pitch"] : []),
    ...(speedMmS / frequencyKHz / 1000 > wide ? ["distance of the pulses"] : []),
  ].join(" and the ");
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
