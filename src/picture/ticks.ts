/** Round values on a scale, and how they are written. */

/** The smallest of 1, 2, 5 × 10ⁿ that is no smaller than `least` (> 0). */
export function roundStep(least: number): number {
  const unit = 10 ** Math.floor(Math.log10(least) + 1e-9);
  const factor = [1, 2, 5, 10].find((f) => f * unit >= least * (1 - 1e-9)) ?? 10;
  return factor * unit;
}

/** Multiples of `step` from `min` to `max`, both counted with a hair of slack. */
export function ticks(min: number, max: number, step: number): number[] {
  const list: number[] = [];
  for (let k = Math.ceil(min / step - 1e-6); k * step <= max + 1e-6 * step; k++) list.push(k * step);
  return list;
}

/** A tick's number with as many decimals as its step needs and a true minus sign. */
export function tickText(value: number, step: number): string {
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return signed(value, decimals);
}

/** A number with fixed decimals and a true minus sign; no minus before a zero. */
export function signed(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? `−${text}` : text;
}

/** Up to so many decimals, none that are zeros: sizes as people write them. */
export function plain(value: number, decimals: number): string {
  const text = signed(value, decimals);
  return text.includes(".") ? text.replace(/\.?0+$/, "") : text;
}
