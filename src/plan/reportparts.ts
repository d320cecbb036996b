/** Parts that the report's sections share. */
import { z } from "zod";
import type { Box } from "../geometry/path.ts";

export const mm = z.number();
export const point = z.tuple([mm, mm]);
export const box = z.object({
  centreMm: point.describe("from the optical axis; x to the right, y down, as in the file"),
  sizeMm: point,
});

export const boxFacts = (b: Box): { centreMm: [number, number]; sizeMm: [number, number] } => ({
  centreMm: [neat((b.minX + b.maxX) / 2), neat((b.minY + b.maxY) / 2)],
  sizeMm: [neat(b.maxX - b.minX), neat(b.maxY - b.minY)],
});

/** Rounding noise away: nanometres of a millimetre say nothing. */
export const neat = (v: number): number => Math.round(v * 1e6) / 1e6 + 0;

/** Six digits: figures that are worth two. */
export const six = (v: number): number => Number(v.toPrecision(6));
