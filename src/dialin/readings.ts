/** Readings as they were written down → readings that can be: each thing that cannot is said with its row and mark. */

import { isCoupon, type Reading, type Strip } from "../plan/strip/types.ts";
import { JobError } from "../problem.ts";
import { checkEnough } from "./enough.ts";

/** A row as it was written: numbers, "none", or nothing. */
export interface RawReading {
  readonly row: number;
  readonly mark: number;
  readonly firstClear?: number | "none";
  readonly lastClear?: number | "none";
  readonly firstGap?: number | "none";
  readonly lastGap?: number | "none";
  readonly firstMetal?: number | "none";
  readonly lastMetal?: number | "none";
  readonly leftMm?: number;
  readonly rightMm?: number;
  readonly xMm?: number;
  readonly yMm?: number;
}

type Ends = readonly [number, number] | "none";

/** A side is drawn no farther off than this (share), and a coupon's fall (our own choice, both: slips of the pen are larger). */
const SIDE = 0.3;
const FALL = 0.5;

/** In the order of the rows; rows without any reading are left out. Throws JobError, naming row and mark. */
export function checkReadings(strip: Strip, rows: readonly RawReading[]): Reading[] {
  const seen = new Map<number, number>();
  const readings = rows.flatMap((raw): Reading[] => {
    const before = seen.get(raw.mark);
    if (before !== undefined) refuse(raw, `is read twice, in row ${before} too`, "keep one of the two rows");
    seen.set(raw.mark, raw.row);
    if (strip.marks.every((mark) => mark.number !== raw.mark))
      refuse(
        raw,
        `is not on the strip, which has marks 1 to ${strip.marks.length}`,
        "write the number of the mark as it stands on it",
      );
    foreign(strip, raw);
    const reading = strip.ladder === "squares" ? squareOf(strip, raw) : barsOf(strip, raw);
    return Object.keys(reading).length > 2 ? [reading] : [];
  });
  checkEnough(strip, readings);
  return readings;
}

function refuse({ row, mark }: Pick<RawReading, "row" | "mark">, what: string, hint: string): never {
  throw new JobError("reading-wrong", `row ${row}: mark ${mark} ${what}`, hint);
}

const barKeys = ["firstClear", "lastClear", "firstGap", "lastGap", "firstMetal", "lastMetal"] as const;
const sideKeys = ["xMm", "yMm"] as const;
const heightKeys = ["leftMm", "rightMm"] as const;
const readOn = { squares: sideKeys, ramp: [...barKeys, ...heightKeys] } as const;

/** What is not read of such a strip belongs to another. */
function foreign({ ladder }: Strip, raw: RawReading): void {
  const own: readonly string[] = ladder === "squares" || ladder === "ramp" ? readOn[ladder] : barKeys;
  for (const key of [...barKeys, ...heightKeys, ...sideKeys]) {
    if (raw[key] === undefined || own.includes(key)) continue;
    const column = key.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);
    refuse(
      raw,
      `has ${column}, which is not read of this strip (${ladder})`,
      "take it out, or name the strip that was read",
    );
  }
}

function barsOf(strip: Strip, raw: RawReading): Reading {
  const { mark, row } = raw;
  const clear = ends(strip, raw, "clear", raw.firstClear, raw.lastClear);
  const gap = ends(strip, raw, "gap", raw.firstGap, raw.lastGap);
  const metal = ends(strip, raw, "metal", raw.firstMetal, raw.lastMetal);
  if (gap !== undefined && gap !== "none") {
    if (clear === undefined || clear === "none")
      refuse(
        raw,
        "has a gap and nothing that is clear about it",
        "give first_clear and last_clear too, or leave the gap empty",
      );
    if (gap[0] <= clear[0] || gap[1] >= clear[1])
      refuse(
        raw,
        `has a gap from bar ${gap[0]} to ${gap[1]}, which does not lie between its clear bars ${clear[0]} and ${clear[1]}`,
        "a gap is what is not clear between the first and the last clear bar",
      );
  }
  if (metal !== undefined && metal !== "none") {
    if (clear === "none")
      refuse(
        raw,
        "shows metal, and no bar is clear",
        "metal shows only where the coat is gone: look again; where no bar is clear as a whole leave the metal's cells empty",
      );
    // A bar beside the clear ones may be clear in part.
    if (
      clear !== undefined &&
      (metal[0] < beside(strip, clear[0], -1) || metal[1] > beside(strip, clear[1], 1))
    )
      refuse(
        raw,
        `shows metal from bar ${metal[0]} to ${metal[1]}, beyond its clear bars ${clear[0]} to ${clear[1]}`,
        "metal shows only where the coat is gone: look again",
      );
    // The gap's own ends may be clear in part. A vessel is in focus twice, so that its middle may be clear inside a gap; a coupon
    // is once, and what it leaves in between is all of one piece.
    const inGap =
      gap && gap !== "none" && isCoupon(strip) && metal.find((bar) => bar > gap[0] + 1 && bar < gap[1] - 1);
    if (inGap)
      refuse(
        raw,
        `shows metal at bar ${inGap}, inside its gap from bar ${gap[0]} to ${gap[1]}`,
        "metal shows only where the coat is gone: look again",
      );
  }
  const endsMm = strip.ladder === "ramp" ? heightsOf(strip, raw) : undefined;
  return {
    mark,
    row,
    ...(clear === undefined ? {} : { clear }),
    ...(gap === undefined ? {} : { gap }),
    ...(metal === undefined ? {} : { metal }),
    // Heights of a mark that nobody looked at tell nothing.
    ...(endsMm === undefined || (clear ?? gap ?? metal) === undefined ? {} : { endsMm }),
  };
}

/** The next bar that there is; of the strip's own end that one. */
function beside({ bars }: Strip, bar: number, next: 1 | -1): number {
  const i = bars.findIndex(({ number }) => number === bar);
  return bars[i + next]?.number ?? bar;
}

function ends(
  strip: Strip,
  raw: RawReading,
  of: "clear" | "gap" | "metal",
  first: number | "none" | undefined,
  last: number | "none" | undefined,
): Ends | undefined {
  if (first === undefined && last === undefined) return undefined;
  const [one, other] = first === undefined ? ["last", "first"] : ["first", "last"];
  if (first === undefined || last === undefined)
    refuse(
      raw,
      `has a ${one}_${of} and no ${other}_${of}`,
      "give both, or neither; the same bar twice where it is one alone",
    );
  if (first === "none" || last === "none") {
    if (first !== last)
      refuse(
        raw,
        `has none for one of first_${of} and last_${of}, and a bar for the other`,
        "write none for both, or bars for both",
      );
    return "none";
  }
  for (const [name, bar] of [
    [`first_${of}`, first],
    [`last_${of}`, last],
  ] as const) {
    if (strip.bars.some(({ number }) => number === bar)) continue;
    const [from, to] = [strip.bars[0]!.number, strip.bars.at(-1)!.number];
    const inside = Number.isInteger(bar) && bar >= from && bar <= to;
    refuse(
      raw,
      `has ${name} ${bar}, ${inside ? "a bar that was left out of the strip" : `and the strip has bars ${from} to ${to}`}`,
      "write the number of a bar as it stands on the mark, or none where there is no such bar",
    );
  }
  if (first > last)
    refuse(
      raw,
      `has first_${of} ${first}, which is right of last_${of} ${last}: sides swapped?`,
      `the first bar is the left one, seen from the lens${strip.ladder === "ramp" ? "" : " with the rim up"}`,
    );
  return [first, last];
}

function heightsOf(strip: Strip, raw: RawReading): readonly [number, number] | undefined {
  const { leftMm, rightMm } = raw;
  if (leftMm === undefined && rightMm === undefined) return undefined;
  if (leftMm === undefined || rightMm === undefined)
    refuse(raw, "has the height of one end alone", "measure both ends over the bed, or neither");
  for (const [name, height] of [
    ["left_mm", leftMm],
    ["right_mm", rightMm],
  ] as const) {
    if (!(height >= 0 && height < Infinity))
      refuse(
        raw,
        `has ${name} ${height}, no height over the bed`,
        "measure from the bed up to the coupon's surface",
      );
  }
  const apart = strip.bars.at(-1)!.atMm - strip.bars[0]!.atMm;
  const fall = apart * Math.sin((strip.tiltDeg! * Math.PI) / 180);
  const found = leftMm - rightMm;
  if (found < 0)
    refuse(
      raw,
      `has its right end ${(-found).toFixed(1)} mm above its left one: ends swapped?`,
      "the coupon's right end lies lower, seen from the lens",
    );
  if (!(Math.abs(found / fall - 1) <= FALL))
    refuse(
      raw,
      `falls by ${found.toFixed(1)} mm from end to end, and a tilt of ${strip.tiltDeg} degrees makes ${fall.toFixed(1)} mm`,
      "measure both heights again, at the first and at the last bar",
    );
  return [leftMm, rightMm];
}

function squareOf(strip: Strip, raw: RawReading): Reading {
  const { mark, row, xMm, yMm } = raw;
  if (xMm === undefined && yMm === undefined) return { mark, row };
  if (xMm === undefined || yMm === undefined)
    refuse(raw, "has one side alone", "measure both sides, or neither");
  for (const [name, length] of [
    ["x_mm", xMm],
    ["y_mm", yMm],
  ] as const) {
    if (Math.abs(length / strip.sideMm! - 1) <= SIDE) continue;
    refuse(
      raw,
      `has ${name} ${length} mm, and the square was commanded ${strip.sideMm} mm`,
      "measure it again, in mm, from line to line",
    );
  }
  return { mark, row, sidesMm: [xMm, yMm] };
}
