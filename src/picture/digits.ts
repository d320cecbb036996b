/** Numbers of large files as text, to 0.0001. */
const UNIT = 1e4;
/** Texts of what comes after the whole number. */
const fractions: readonly string[] = Array.from({ length: UNIT }, (_, i) =>
  i === 0 ? "" : `.${String(i).padStart(4, "0").replace(/0+$/, "")}`,
);

/** At most four decimals, halves away from 0; no exponent, no −0. RangeError for what is no number or above 1e11. */
export function digits(value: number): string {
  const n = Math.round(Math.abs(value) * UNIT);
  if (!(n <= 1e15)) throw new RangeError(`${value} is not written as a length`);
  const whole = Math.floor(n / UNIT);
  const text = `${whole}${fractions[n - whole * UNIT]!}`;
  return value < 0 && n > 0 ? `-${text}` : text;
}
