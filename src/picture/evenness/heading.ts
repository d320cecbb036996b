/** What stands over a kind's map, the frame of what is asked for, and what stands in the place of a map that is not there. */
import type { Fill, ProofKind } from "../../plan/fill/types.ts";
import type { Lettering } from "../lettering.ts";
import { INK, QUIET, SMALL, text } from "../parts.ts";
import { tag } from "../svg.ts";
import type { View } from "../view.ts";
import { isAskedFor, nameWords, spreadWords } from "./words.ts";

/** Room of name and spread. */
export const HEADING = 112;
const LARGE = 46;
const PAD = 16;

/** A column of the picture. */
export interface Column {
  readonly kind: ProofKind;
  readonly left: number;
  readonly width: number;
}

export function heading(
  fill: Fill,
  { kind, left, width }: Column,
  top: number,
  bottom: number,
  lettering: Lettering,
): string {
  const name = { x: left, y: top + 28, size: SMALL, weight: "bold" } as const;
  const spread = { x: left, y: top + 88, size: LARGE, weight: "bold" } as const;
  const parts = [
    text(lettering, lettering.fitted(nameWords(fill, kind), width, SMALL, "bold"), name),
    text(lettering, spreadWords(fill, kind), spread),
  ];
  if (!isAskedFor(fill, kind)) return parts.join("");
  const words = "asked for";
  const wide = lettering.width(words, SMALL, "bold") + 32;
  // On the frame's upper edge.
  const box = { x: left + width - wide, y: top - PAD - 21, width: wide, height: 42 };
  const place = {
    x: box.x + wide / 2,
    y: box.y + 30,
    size: SMALL,
    anchor: "middle",
    weight: "bold",
  } as const;
  return [
    tag("rect", {
      x: left - PAD,
      y: top - PAD,
      width: width + 2 * PAD,
      height: bottom - top + 2 * PAD,
      rx: 10,
      fill: "none",
      stroke: INK,
      "stroke-width": 4,
    }),
    tag("rect", { ...box, rx: 8, fill: INK }),
    text(lettering, words, place, { fill: "#ffffff" }),
    ...parts,
  ].join("");
}

/** Says why in the middle of an empty frame. */
export function missing(words: string, { left, width }: Column, view: View, lettering: Lettering): string {
  const frame = { x: left, y: view.top, width, height: view.height };
  const lines = lettering.lines(words, width - 48, SMALL, "regular", 4);
  const first = view.top + view.height / 2 - 17 * (lines.length - 1) + 9;
  return [
    tag("rect", {
      ...frame,
      fill: "#f4f4f4",
      stroke: QUIET,
      "stroke-width": 1.5,
      "stroke-dasharray": "10 7",
    }),
    ...lines.map((line, i) =>
      text(lettering, line, { x: left + width / 2, y: first + 34 * i, size: SMALL, anchor: "middle" }),
    ),
  ].join("");
}
