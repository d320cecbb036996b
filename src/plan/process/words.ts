/** What the forecast means for the job, in words: problems with computed hints. Nothing here stops a job. */
import type { Span } from "../../job/job.ts";
import { note, type Problem } from "../../problem.ts";
import { percent, somePercent, two } from "../figures.ts";
import type { Plan } from "../types.ts";
import { bestWindow, type Forecast } from "./forecast.ts";
import { casesWords, coatingLabel, metalLabel } from "./label.ts";
import { zonesWithOutcome } from "./outcome.ts";
import type { Outcome } from "./process.ts";

type Known = Pick<Plan, "job" | "ink" | "spot" | "zones" | "forecast">;

/** Below this chance of a clean result a note is due (our own choice). */
const SURE = 0.9;
/** Below this one a caution, and below this no setting is worth a hint. */
const LIKELY = 0.8;
const HOPE = 0.05;
/** Of the source's power: below it few are steady (from memory). */
const STEADY = 0.1;
/** Four times the dose, and of the repetition rate, that coats are usually cleared with (our own choice). */
const HOT_J_PER_CM2 = 1000;
const FAST_KHZ = 200;
/** Less of the ink than this is not worth a word. */
const SHARE = 0.001;

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
        "settings are given, but no coating: nothing is said of removal, nor of the metal",
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
  return [
    ...list,
    ...sourceLimits(known, forecast),
    ...heat(forecast),
    ...spacing(known, forecast),
    ...pulseLengths(known),
    ...removal(known, forecast),
  ];
}

function removal({ job, zones, spot }: Known, forecast: Forecast): Problem[] {
  const { outcome } = forecast;
  if (!outcome) return [];
  const list: Problem[] = [];
  const anew =
    job.fill?.lines === "even"
      ? "; its lines were laid for the settings as they are: lay them anew with others"
      : "";
  const hint = `${settingsHint(forecast, coarse({ spot }, forecast), job.source.meanPowerW ?? Infinity)}${anew}`;
  const rows = zonesWithOutcome(zones, outcome);
  const of = (zone: Outcome): number => rows.find((row) => row.zone === zone)?.share ?? 0;
  if (of("residue") > SHARE) {
    list.push({
      code: "coating-stays",
      severity: "caution",
      message: `${coatingLabel(job)}coating likely stays on ${somePercent(of("residue"))} of the ink (at the worst place in ${percent(outcome.highest.residue)} of the cases)`,
      hint,
    });
  }
  if (of("metal") > SHARE) {
    list.push({
      code: "metal-at-risk",
      severity: "caution",
      message: `${metalLabel(job)}the metal is likely at risk on ${somePercent(of("metal"))} of the ink (at the worst place in ${percent(outcome.highest.metal)} of the cases)`,
      hint,
    });
  }
  const { allClean } = outcome.chance;
  if (list.length === 0 && allClean < SURE) {
    list.push({
      code: "clean-not-sure",
      severity: allClean < LIKELY ? "caution" : "note",
      message: `${metalLabel(job)}all ink comes out clean in ${percent(allClean)} of ${casesWords(job)}`,
      hint,
    });
  }
  return list;
}

/** A source gives no larger pulses than it has, and is not steady at a small share of its power. */
function sourceLimits({ job: { source } }: Known, { process }: Forecast): Problem[] {
  const { settings, energyMj } = process;
  const list: Problem[] = [];
  if (energyMj > source.maxPulseEnergyMj * (1 + 1e-9)) {
    const from = Math.ceil((10 * settings.powerW) / source.maxPulseEnergyMj) / 10;
    list.push({
      code: "pulse-energy-beyond-source",
      severity: "caution",
      message: `pulses of ${two(energyMj)} mJ are more than the ${source.maxPulseEnergyMj} mJ that the source ${source.id} is taken to give`,
      hint: `give --frequency ${from} or more, less --power, or the source's own maxPulseEnergyMj in a job file`,
    });
  }
  if (source.meanPowerW !== undefined && settings.powerW < STEADY * source.meanPowerW) {
    list.push(
      note(
        "power-hardly-steady",
        `${two(settings.powerW)} W is less than a tenth of the source's ${source.meanPowerW} W: few sources are steady there (from memory)`,
        "mark a test on a spare cup",
      ),
    );
  }
  return list;
}

/** Heat that builds up is not in the model: from some dose and repetition rate on it must be said. */
function heat({ process, cells }: Forecast): Problem[] {
  const dose = cells.reduce((most, c) => Math.max(most, process.dose(c.met)), 0);
  const { frequencyKHz } = process.settings;
  if (dose <= HOT_J_PER_CM2 && frequencyKHz <= FAST_KHZ) return [];
  const why = [
    ...(dose > HOT_J_PER_CM2 ? [`a dose of ${two(dose)} J/cm²`] : []),
    ...(frequencyKHz > FAST_KHZ ? [`${frequencyKHz} kHz`] : []),
  ];
  return [
    {
      code: "heat-builds-up",
      severity: "caution",
      message: `${why.join(" at ")} heats the cup: that is not worked out here, the coating may burn or catch fire before it clears`,
      hint: `give ${[
        ...(dose > HOT_J_PER_CM2 ? ["fewer --passes, a higher --speed or a wider --pitch"] : []),
        ...(frequencyKHz > FAST_KHZ ? ["a lower --frequency"] : []),
      ].join(
        " and ",
      )}; stay with it, let it cool between passes, and mind that a sealed double wall must not get hot`,
    },
  ];
}

/** Power and passes that clear the weakest ink while the metal is spared, or that none do. */
function settingsHint({ process, outcome, windows }: Forecast, tooCoarse: string, most: number): string {
  const now = outcome?.chance.allClean ?? 0;
  const best = bestWindow(windows);
  if (tooCoarse) return `first mend the ${tooCoarse}: no power can be told before`;
  if (!best || best.chance < HOPE) {
    return `no power clears all ink and spares the metal at up to ${windows.length} passes with this speed, frequency and pitch: a narrower artwork or a longer lens fades less, a test on a spare cup tells`;
  }
  const { passes, bestW, clearsFromW, sparesUpToW, chance } = best;
  const at = `at ${passes} ${passes === 1 ? "pass" : "passes"} it clears from ${two(clearsFromW.value, Math.ceil)} W and spares the metal up to ${two(Math.min(sparesUpToW.value, most), Math.floor)} W`;
  if (chance <= now + 0.03) {
    return `${at}; other powers and passes hardly do better with this speed, frequency and pitch: mark a test on a spare cup`;
  }
  const sets = passes === process.settings.passes ? "" : ` --passes ${passes}`;
  return `--power ${bestW}W${sets} comes out clean in ${percent(chance)} of the cases, now ${percent(now)} (${at}); mark a test on a spare cup first`;
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
