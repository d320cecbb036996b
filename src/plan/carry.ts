/**
 * Settings that worked on one station, carried to another source and lens.
 *
 *   E = P / f,   F₀ = 2 E / (π w₀²)      pulse energy and peak fluence at best focus
 *   D = N P / (v h)                      areal dose of N = sets × passes
 *   n = N f π w₀² / (v h)                pulses per spot;  n F₀ = 2 D, so that two of the three fix the third
 *
 * F₀, D and n are held first: they decide whether the coat clears and the steel is spared. P is held last.
 *
 *   h′ = h w₀′/w₀                        lines overlap alike
 *   E′ = min(E (w₀′/w₀)², E_max′)        asked by the fluence, as far as the new source's pulses go
 *   f′ = min(P, P_max′) / E′             clamped to the new repetition range
 *   P′ = min(E′ f′, P_max′)              where E′ is more than there is for each pulse, the fluence gives
 *   v′ = N P′ / (D h′)                   the dose always holds; time per area v h / (v′ h′) = P / P′
 *
 * Spots are as measured, else of the profiles' middle figures. Pulse length, the head's own top speed and its jumps are not counted.
 */
import { arealDose, footprintArea, peakFluence, pulseDensity, pulseEnergy } from "../beam/pulse.ts";
import type { Job, Settings, Source } from "../job/job.ts";
import { spotOf } from "./station.ts";

/** Relative difference up to which a quantity counts as held. */
const HELD = 0.005;

export interface CarryStation {
  readonly source: Source;
  readonly focalLengthMm: number;
  /** As measured with the source. */
  readonly spot?: NonNullable<Job["lens"]["spot"]>;
}
export type CarrySettings = Omit<Settings, "jumpSpeedMmS">;

const carryQuantities = ["meanPower", "peakFluence", "dose", "pulsesPerSpot"] as const;
export type CarryQuantity = (typeof carryQuantities)[number];

/** Settings and what they come to at best focus. */
export interface Carriage extends CarrySettings {
  readonly waistDiameterMm: number;
  readonly pulseEnergyMj: number;
  readonly peakFluenceJPerCm2: number;
  /** Of all sets and passes. */
  readonly doseJPerCm2: number;
  readonly pulsesPerSpot: number;
}

export interface Carried {
  readonly from: Carriage;
  readonly to: Carriage;
  /** Equal within 0.5 %. */
  readonly keeps: readonly CarryQuantity[];
  /** The others: new value over old, and what that costs. */
  readonly gives: readonly {
    readonly quantity: CarryQuantity;
    readonly factor: number;
    readonly price: string;
  }[];
  /** Time that the lines of one area take, new over old; jumps and turns not counted. */
  readonly timeFactor: number;
  readonly notes: readonly string[];
}

/** `from.settings` within the bounds of `from.source`, as the job's settings are; all lengths and powers > 0. */
export function carry(from: CarryStation & { readonly settings: CarrySettings }, to: CarryStation): Carried {
  const { powerW, frequencyKHz, speedMmS, pitchMm, anglesDeg, passes } = from.settings;
  const [old, spot] = [from, to].map((s) => spotOf(s.source, s));
  const widening = spot!.waistDiameterMm / old!.waistDiameterMm;
  const maxW = to.source.meanPowerW ?? Infinity;
  const [low, high] = to.source.repetitionKHz;

  const freeW = Math.min(powerW, maxW);
  const energyMj = Math.min((powerW / frequencyKHz) * widening ** 2, to.source.maxPulseEnergyMj);
  const asked = freeW / energyMj;
  const newKHz = Math.min(Math.max(asked, low), high);
  const newW = newKHz === asked ? freeW : Math.min(energyMj * newKHz, maxW);
  const before = carriage(
    { powerW, frequencyKHz, speedMmS, pitchMm, anglesDeg, passes },
    old!.waistDiameterMm,
  );
  const after = carriage(
    {
      powerW: newW,
      frequencyKHz: newKHz,
      speedMmS: (speedMmS * (newW / powerW)) / widening,
      pitchMm: pitchMm * widening,
      anglesDeg,
      passes,
    },
    spot!.waistDiameterMm,
  );
  const factors: Record<CarryQuantity, number> = {
    meanPower: after.powerW / before.powerW,
    peakFluence: after.peakFluenceJPerCm2 / before.peakFluenceJPerCm2,
    dose: after.doseJPerCm2 / before.doseJPerCm2,
    pulsesPerSpot: after.pulsesPerSpot / before.pulsesPerSpot,
  };
  const held = (quantity: CarryQuantity): boolean => Math.abs(factors[quantity] - 1) <= HELD;
  return {
    from: before,
    to: after,
    keeps: carryQuantities.filter(held),
    gives: (Object.keys(prices) as (keyof typeof prices)[])
      .filter((quantity) => !held(quantity))
      .map((quantity) => ({
        quantity,
        factor: factors[quantity],
        price: prices[quantity](factors[quantity]),
      })),
    timeFactor: powerW / newW,
    notes: [
      ...pulseNotes(from.source, to.source),
      ...spotNotes(from, to, old!.rayleighMm, spot!.rayleighMm),
      ...speedNotes(before.speedMmS / from.focalLengthMm, after.speedMmS / to.focalLengthMm),
    ],
  };
}

function carriage(settings: CarrySettings, waistDiameterMm: number): Carriage {
  const { powerW, frequencyKHz, anglesDeg, passes } = settings;
  const sets = anglesDeg.length * passes;
  const energy = pulseEnergy(powerW, frequencyKHz);
  return {
    ...settings,
    waistDiameterMm,
    pulseEnergyMj: energy,
    peakFluenceJPerCm2: peakFluence(energy, waistDiameterMm / 2, 1),
    doseJPerCm2: arealDose(powerW, settings, sets),
    pulsesPerSpot: sets * pulseDensity(frequencyKHz, settings) * footprintArea(waistDiameterMm / 2, 1),
  };
}

const short = (v: number): number => Number(v.toPrecision(3));

/** What a quantity that does not hold costs, by its factor; the dose always holds, and the fluence never rises. */
const prices = {
  meanPower: (factor: number): string =>
    factor < 1
      ? `takes ${short(1 / factor)} times as long`
      : `takes ${short(1 / factor)} of the time, and the heat comes ${short(factor)} times as fast`,
  peakFluence: (factor: number): string =>
    `peak fluence falls to ${short(100 * factor)} %: the coating's threshold is nearer, do a test mark`,
  pulsesPerSpot: (factor: number): string =>
    `each spot gets ${short(factor)} times the pulses: bare steel bears less fluence the more there are`,
};

/** Thresholds depend on pulse length and wavelength, so that equal fluence is not equal effect. */
function pulseNotes(old: Source, now: Source): string[] {
  const notes: string[] = [];
  const [a, b] = [old.pulseNs, now.pulseNs];
  const [low, high] = [Math.max(a[0], b[0]), Math.min(a[1], b[1])];
  const spans = `pulse lengths differ (${a.join(" to ")} ns, then ${b.join(" to ")} ns) and thresholds depend on them`;
  if (low > high)
    notes.push(`${spans}: none is common to both, so that equal fluence need not do equal work`);
  else if (a[0] !== b[0] || a[1] !== b[1])
    notes.push(`${spans}: the figures hold for the same pulse length on both, within ${low} to ${high} ns`);
  if (old.wavelengthNm !== now.wavelengthNm)
    notes.push(
      `wavelengths differ (${old.wavelengthNm} nm, then ${now.wavelengthNm} nm) and thresholds depend on them`,
    );
  return notes;
}

function spotNotes(from: CarryStation, to: CarryStation, oldDepth: number, depth: number): string[] {
  const notes: string[] = [];
  const [old, now] = [from.source, to.source];
  if (old.id !== now.id || old.meanPowerW !== now.meanPowerW) {
    // w₀ goes with M²/D, where it is not measured.
    const ratios = [from, to].map(({ spot, source: { m2, beamDiameterMm: d } }) =>
      spot
        ? {
            low: spot.diameterUm.low / spot.diameterUm.value,
            high: spot.diameterUm.high / spot.diameterUm.value,
          }
        : {
            low: (m2.low / m2.value) * (d.value / d.high),
            high: (m2.high / m2.value) * (d.value / d.low),
          },
    );
    const low = Math.min(...ratios.map((r) => r.low));
    const high = Math.max(...ratios.map((r) => r.high));
    if (low < high)
      notes.push(
        `each real spot may be ${short(low)} to ${short(high)} times as wide as the profile's: compare M² and beam diameter in both data sheets`,
      );
  }
  if (Math.abs(depth / oldDepth - 1) > HELD)
    notes.push(
      `the Rayleigh range goes from ${short(oldDepth)} mm to ${short(depth)} mm: run check for the new lens and source`,
    );
  return notes;
}

/** Turning rates of the beam, in one unit of their own. */
const speedNotes = (old: number, now: number): string[] =>
  now > old * (1 + HELD)
    ? [`the head turns ${short(now / old)} times as fast as before: its own top speed is not known here`]
    : [];
