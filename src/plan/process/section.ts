/** The process in the report: every absolute figure with its range, 5th to 95th percentile of the possible worlds. */
import { z } from "zod";
import { footprint } from "../../beam/pulse.ts";
import type { Figure } from "../../job/job.ts";
import { six } from "../reportparts.ts";
import type { Plan } from "../types.ts";
import { bestWindow, type Forecast } from "./forecast.ts";
import { coatingCalibrated } from "./label.ts";
import type { Met } from "./process.ts";
import { spreadAt } from "./spread.ts";
import type { SafeWindow } from "./window.ts";

const number = z.number();
const figure = z.object({ value: number, low: number, high: number }).meta({
  id: "figure",
  description: "by the middle figures; 90 % of the cases lie from low to high",
});
const chance = z.object({ residue: number, metal: number, clean: number });
const point = z
  .object({
    atMm: z.tuple([number, number]).describe("right of the crown line, below the placement point"),
    incidenceDeg: number,
    areaRatio: number.describe(
      "J: area in the command plane per area on the vessel; with lines laid, what all sets lay there over what they lay in the command plane at the pitch asked for",
    ),
    spotMm: z
      .object({ acrossMm: figure, alongMm: figure })
      .describe("1/e² diameters of the footprint: across the beam's lean on the surface and along it"),
    peakFluenceJPerCm2: figure,
    pulsesPerSpot: figure.describe("pulses within one footprint, of one pass of all sets"),
    doseJPerCm2: number.describe("all sets and passes"),
    removalPerPassUm: figure.nullable().describe("null without a coating"),
    removalUm: figure.nullable().describe("after all passes, were there coating enough"),
    cleared: figure.nullable().describe("removal over the coating's thickness: 1 and more is cleared"),
    metalMargin: figure.describe(
      "fluence over the metal's threshold after incubation: above 1 at risk once bare",
    ),
    chance: chance.nullable().describe("share of the cases"),
  })
  .meta({ id: "point" });

export const processSchema = z
  .object({
    calibrated: z
      .boolean()
      .describe("the coating's figures are a calibration's; else the profiles': test on the real coating"),
    source: z.object({
      id: z.string(),
      meanPowerW: number.nullable(),
      pulseNs: z.tuple([number, number]),
      repetitionKHz: z.tuple([number, number]),
      maxPulseEnergyMj: number,
    }),
    coating: z.string().nullable(),
    metal: z.object({ id: z.string(), grain: z.enum(["around", "along"]) }),
    settings: z.object({
      powerW: number,
      powerPercent: number.nullable(),
      speedMmS: number,
      frequencyKHz: number,
      pitchMm: number,
      anglesDeg: z.array(number).describe("90 along the axis, 0 around"),
      passes: z.int(),
      jumpSpeedMmS: number,
    }),
    pulseEnergyMj: number,
    pulseSpacingMm: number.describe("along a line, as commanded"),
    doseJPerCm2: z
      .object({ commanded: number, least: number, most: number })
      .describe("all sets and passes: as commanded, and over the usable filled ink (0 where there is none)"),
    inFocus: point.describe("in focus, met squarely"),
    weakest: point.nullable().describe("the usable ink cleared least"),
    strongest: point.nullable().describe("the usable ink whose metal is nearest to harm"),
    profile: z.array(point).describe("across the vessel at the placement point"),
    share: z
      .object({ residue: figure, metal: figure, clean: figure })
      .nullable()
      .describe("of the usable ink"),
    chance: z
      .object({ allCleared: number, noMetal: number, allClean: number })
      .nullable()
      .describe("share of the cases in which it is so for all usable ink"),
    window: z
      .array(
        z.object({
          passes: z.int(),
          clearsFromW: figure.describe("least power that clears all usable ink"),
          sparesUpToW: figure.describe("largest power that puts no bare metal at risk"),
          bestW: number
            .nullable()
            .describe("power that most likely leaves all usable ink clean; null where none does"),
          chance: number.describe("share of the cases in which it does"),
        }),
      )
      .describe("the safe window of the power, other settings as they are"),
    suggested: z
      .object({ powerW: number, passes: z.int(), chance: number })
      .nullable()
      .describe("power and passes that most likely leave all usable ink clean; null where none does"),
    time: z.object({
      seconds: number,
      sets: z.array(
        z.object({
          angleDeg: number,
          lines: z.int(),
          markLengthMm: number.describe("in the command plane"),
          jumpLengthMm: number,
        }),
      ),
      lineDelayMs: number.describe("settling, for each line"),
      stride: z.int().describe("every so many-th line was counted"),
    }),
  })
  .describe("what the settings will do; null without settings");
export type ProcessSection = z.infer<typeof processSchema>;

export function processSection(
  plan: Plan,
  profile: readonly (readonly [number, number])[],
): ProcessSection | null {
  const { job, forecast } = plan;
  if (!forecast) return null;
  const { process, outcome, time } = forecast;
  const { settings } = process;
  const { source } = job;
  const best = bestWindow(forecast.windows);
  const at = (a: number, b: number): z.infer<typeof point>[] => {
    const met = forecast.met(a, b);
    return met ? [pointOf(forecast, met, [a, b])] : [];
  };
  return {
    calibrated: job.coating !== undefined && coatingCalibrated(job),
    source: {
      id: source.id,
      meanPowerW: source.meanPowerW ?? null,
      pulseNs: [...source.pulseNs],
      repetitionKHz: [...source.repetitionKHz],
      maxPulseEnergyMj: source.maxPulseEnergyMj,
    },
    coating: job.coating?.id ?? null,
    metal: { id: job.metal.id, grain: job.metal.grain },
    settings: {
      powerW: settings.powerW,
      powerPercent: source.meanPowerW === undefined ? null : six((100 * settings.powerW) / source.meanPowerW),
      speedMmS: settings.speedMmS,
      frequencyKHz: settings.frequencyKHz,
      pitchMm: settings.pitchMm,
      anglesDeg: [...settings.anglesDeg],
      passes: settings.passes,
      jumpSpeedMmS: settings.jumpSpeedMmS,
    },
    pulseEnergyMj: six(process.energyMj),
    pulseSpacingMm: six(settings.speedMmS / settings.frequencyKHz / 1000),
    doseJPerCm2: doseRange(forecast),
    inFocus: pointOf(forecast, { defocus: 0, slant: 1, cosIncidence: 1, areaRatio: 1 }, [0, 0]),
    weakest: outcome && pointOf(forecast, outcome.weakest.met, [outcome.weakest.a, outcome.weakest.b]),
    strongest:
      outcome && pointOf(forecast, outcome.strongest.met, [outcome.strongest.a, outcome.strongest.b]),
    profile: profile.flatMap(([a, b]) => at(a, b)),
    share: outcome && {
      residue: rounded(outcome.share.residue),
      metal: rounded(outcome.share.metal),
      clean: rounded(outcome.share.clean),
    },
    chance: outcome && {
      allCleared: six(outcome.chance.allCleared),
      noMetal: six(outcome.chance.noMetal),
      allClean: six(outcome.chance.allClean),
    },
    window: forecast.windows.map(windowOf),
    suggested: best && { powerW: best.bestW!, passes: best.passes, chance: six(best.chance) },
    time: { ...time, seconds: six(time.seconds), sets: time.sets.map((s) => ({ ...s })) },
  };
}

function doseRange({ process, cells }: Forecast): ProcessSection["doseJPerCm2"] {
  const doses = cells.map((c) => process.dose(c.met));
  const least = doses.reduce((a, b) => Math.min(a, b), doses[0] ?? 0);
  const most = doses.reduce((a, b) => Math.max(a, b), 0);
  return { commanded: six(process.commandDose), least: six(least), most: six(most) };
}

const windowOf = (w: SafeWindow): ProcessSection["window"][number] => ({
  passes: w.passes,
  clearsFromW: rounded(w.clearsFromW),
  sparesUpToW: rounded(w.sparesUpToW),
  bestW: w.bestW,
  chance: six(w.chance),
});

function pointOf({ process }: Forecast, met: Met, atMm: [number, number]): z.infer<typeof point> {
  const s = spreadAt(process, met);
  const diameters = (key: "acrossMm" | "alongMm"): Figure =>
    figureOf(s.radiusMm, (r) => 2 * footprint(r, met.cosIncidence)[key]);
  const { removal } = s;
  return {
    atMm,
    incidenceDeg: six((Math.acos(Math.min(1, met.cosIncidence)) * 180) / Math.PI),
    areaRatio: six(met.areaRatio),
    spotMm: { acrossMm: diameters("acrossMm"), alongMm: diameters("alongMm") },
    peakFluenceJPerCm2: rounded(s.fluence),
    pulsesPerSpot: rounded(s.pulsesPerPass),
    doseJPerCm2: six(s.doseJPerCm2),
    removalPerPassUm: removal && rounded(removal.perPassUm),
    removalUm: removal && rounded(removal.allUm),
    cleared: removal && rounded(removal.cleared),
    metalMargin: rounded(s.metalMargin),
    chance: removal && {
      residue: six(removal.chance.residue),
      metal: six(removal.chance.metal),
      clean: six(removal.chance.clean),
    },
  };
}

const figureOf = (f: Figure, of: (v: number) => number): Figure =>
  rounded({ value: of(f.value), low: of(f.low), high: of(f.high) });
const rounded = ({ value, low, high }: Figure): Figure => ({
  value: six(value),
  low: six(low),
  high: six(high),
});
