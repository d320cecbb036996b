/** Lengths: CSS units to user units (px) and to mm. 1 in = 96 px = 72 pt = 6 pc = 25.4 mm = 101.6 Q. */

export interface Length {
  readonly value: number;
  /** Lower case; "" for plain user units. */
  readonly unit: string;
}

/** What relative lengths refer to, in user units. */
export interface LengthContext {
  readonly width: number;
  readonly height: number;
  readonly fontSize: number;
}

export type Axis = "x" | "y" | "diagonal";

export const mmPerPx = 25.4 / 96;

const pxPer: ReadonlyMap<string, number> = new Map([
  ["", 1],
  ["px", 1],
  ["in", 96],
  ["cm", 96 / 2.54],
  ["mm", 96 / 25.4],
  ["q", 96 / 101.6],
  ["pt", 96 / 72],
  ["pc", 16],
]);
const mmPer: ReadonlyMap<string, number> = new Map([
  ["", mmPerPx],
  ["px", mmPerPx],
  ["in", 25.4],
  ["cm", 10],
  ["mm", 1],
  ["q", 0.25],
  ["pt", 25.4 / 72],
  ["pc", 25.4 / 6],
]);
const emPer: ReadonlyMap<string, number> = new Map([
  ["em", 1],
  ["ex", 0.5],
  ["ch", 0.5],
]);
const rootFontSize = 16;

const pattern = /^([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d+)?)(?:\s*(%|[a-z]+))?$/i;

/** Digits with at most one point among them, but not at an end: the most frequent lengths by far. */
function isDecimal(text: string): boolean {
  const n = text.length;
  if (n === 0 || n > 15) return false;
  let points = 0;
  for (let i = 0; i < n; i++) {
    const c = text.charCodeAt(i);
    if (c === 46 && i > 0 && i < n - 1) points++;
    else if (c < 48 || c > 57) return false;
  }
  return points <= 1;
}

/** Number and unit, or null for anything else: an unknown unit, no number, a number beyond 1e308. */
export function parseLength(text: string): Length | null {
  if (isDecimal(text)) return { value: Number(text), unit: "" };
  const match = pattern.exec(text.trim());
  if (!match) return null;
  const value = Number(match[1]);
  const unit = (match[2] ?? "").toLowerCase();
  const known = unit === "%" || unit === "rem" || pxPer.has(unit) || emPer.has(unit);
  return known && Number.isFinite(value) ? { value, unit } : null;
}

/** In mm, or null for a percentage. Font units count as 16 px: outside any element there is no other size. */
export function lengthMm(length: Length): number | null {
  if (length.unit === "%") return null;
  const mm = mmPer.get(length.unit) ?? mmPerPx * rootFontSize * (emPer.get(length.unit) ?? 1);
  return length.value * mm;
}

/** In user units; percentages of the viewport's width, height, or diagonal/√2. */
export function userUnits(length: Length, axis: Axis, context: LengthContext): number {
  const { value, unit } = length;
  if (unit === "%") {
    const { width, height } = context;
    const whole =
      axis === "x" ? width : axis === "y" ? height : Math.sqrt((width * width + height * height) / 2);
    return (value / 100) * whole;
  }
  if (unit === "rem") return value * rootFontSize;
  const em = emPer.get(unit);
  return em === undefined ? value * (pxPer.get(unit) as number) : value * em * context.fontSize;
}
