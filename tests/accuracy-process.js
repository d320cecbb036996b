/** The process rows of the accuracy table: closed forms against sums that know nothing of them. */
import { peakFluence, pulseDensity, pulseEnergy } from "../dist/beam/pulse.js";
import { pulseDepth, pulseVolume } from "../dist/beam/removal.js";

const WAIST = 0.061;
const THRESHOLD = 0.5;
const DEPTH = 0.003;

/** Largest relative difference of the volume of one pulse from its depth summed over the footprint's plane. */
export function volumeApart() {
  let apart = 0;
  for (const degrees of [0, 30, 60]) {
    const cos = Math.cos((degrees * Math.PI) / 180);
    for (const q of [1.5, 3, Math.E ** 2, 15]) {
      const n = 3000;
      const half = 1.5 * WAIST * Math.sqrt(Math.log(q) + 0.1);
      let sum = 0;
      for (let i = 0; i < n; i++) {
        const x = ((2 * i + 1) / n - 1) * half;
        for (let j = 0; j < n / 4; j++) {
          const y = ((2 * j + 1) / (n / 4) - 1) * half;
          const fluence = q * THRESHOLD * Math.exp((-2 * (x * x + y * y)) / WAIST ** 2);
          sum += pulseDepth(fluence, THRESHOLD, DEPTH);
        }
      }
      // Across the beam; the surface is longer by 1/cos i.
      const summed = (sum * ((2 * half) / n) * ((2 * half) / (n / 4))) / cos;
      const closed = pulseVolume(q * THRESHOLD, THRESHOLD, DEPTH, (Math.PI * WAIST ** 2) / cos);
      apart = Math.max(apart, Math.abs(summed / closed - 1));
    }
  }
  return apart;
}

/** Relative difference of the mean depth of a raster, laid pulse by pulse on a patch, from z = N ρ V. */
export function rasterApart() {
  const settings = { powerW: 27, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.025 };
  const energy = pulseEnergy(settings.powerW, settings.frequencyKHz);
  const peak = peakFluence(energy, WAIST, 1);
  const [side, cells] = [0.4, 160];
  const depth = new Float64Array(cells * cells);
  const step = settings.speedMmS / settings.frequencyKHz / 1000;
  const far = 4 * WAIST;
  let seed = 11;
  const random = () => {
    // Park and Miller, Comm. ACM 31, 1192 (1988).
    seed = (seed * 48271) % 2147483647;
    return seed / 2147483647;
  };
  for (const set of [0, 1]) {
    for (let line = -far; line < side + far; line += settings.pitchMm) {
      const phase = random() * step;
      for (let along = -far + phase; along < side + far; along += step) {
        const [x, y] = set === 0 ? [along, line] : [line, along];
        for (let i = 0; i < cells; i++) {
          const dx = ((i + 0.5) * side) / cells - x;
          if (Math.abs(dx) > 3 * WAIST) continue;
          for (let j = 0; j < cells; j++) {
            const dy = ((j + 0.5) * side) / cells - y;
            const r2 = dx * dx + dy * dy;
            if (r2 > 9 * WAIST * WAIST) continue;
            depth[j * cells + i] += pulseDepth(peak * Math.exp((-2 * r2) / WAIST ** 2), THRESHOLD, DEPTH);
          }
        }
      }
    }
  }
  const mean = depth.reduce((sum, d) => sum + d, 0) / depth.length;
  const volume = pulseVolume(peak, THRESHOLD, DEPTH, Math.PI * WAIST ** 2);
  return Math.abs(mean / (2 * pulseDensity(settings.frequencyKHz, settings) * volume) - 1);
}
