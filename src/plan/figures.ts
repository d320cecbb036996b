/** How figures are written: as exact as they are worth, and a limit that is named must hold. */

export const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;

/** The same of what is there, even where it rounds to none. */
export const somePercent = (share: number): string => (share < 0.005 ? "under 1 %" : percent(share));

/** Two digits as people write them, rounded to the near side, up, or down. */
export const two = (v: number, round: (v: number) => number = Math.round): string => {
  if (!(v > 0)) return "0";
  const unit = 10 ** (Math.floor(Math.log10(v)) - 1);
  return String(Number((round(v / unit - (round === Math.ceil ? 1e-9 : -1e-9)) * unit).toPrecision(2)));
};

/** Four digits: as exact as a setting is worth. */
export const four = (v: number): string => String(Number(v.toPrecision(4)));

/** Seconds to two digits, then minutes and seconds, then hours and minutes. */
export function timeWords(seconds: number): string {
  if (seconds < 99.5) return `${two(seconds)} s`;
  const whole = Math.round(seconds);
  if (whole < 3600) return `${Math.floor(whole / 60)} min ${whole % 60} s`;
  const minutes = Math.round(seconds / 60);
  return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}

/** A tenth of a millimetre, rounded down: what fits. */
export const floorTenth = (mm: number): number => Math.floor(mm * 10 + 1e-6) / 10;
export const downTenth = (mm: number): string => floorTenth(mm).toFixed(1);

/** A tenth of a millimetre, rounded up: what is missing. */
export const upTenth = (mm: number): string => (Math.ceil(mm * 10 - 1e-6) / 10).toFixed(1);

/** A spread in percent, to a tenth where it is small. */
export function spreadWords(spread: number | null): string {
  if (spread === null) return "not known";
  const share = 100 * spread;
  return share < 0.05 ? "under 0.1 %" : `${share.toFixed(share < 9.95 ? 1 : 0)} %`;
}
