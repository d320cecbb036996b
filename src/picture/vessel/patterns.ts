/** Areas of the vessel's page: a tint, a hatch and an outline; zones look as in the other pictures. */
import type { ZoneRow } from "../../plan/vesselzone.ts";
import { zoneStyles } from "../colours.ts";
import type { PageItem } from "../page/page.ts";
import { ringData, segmentsData } from "../svg.ts";
import { hatchLines } from "../zoneareas.ts";

export type Shown = "printable" | ZoneRow["limitedBy"];
export type Ring = { x: number; y: number }[];

interface Pattern {
  readonly word: string;
  readonly shade: string;
  readonly shadeOpacity: number;
  readonly hatch: readonly number[];
  readonly gap: number;
}

const printable: Pattern = {
  word: "printable",
  shade: "#1f7a5c",
  shadeOpacity: 0.16,
  hatch: [-70],
  gap: 1.5,
};

export const patternOf = (shown: Shown): Pattern => (shown === "printable" ? printable : zoneStyles[shown]);

/** Between hatch lines (mm on the page), times the pattern's own. */
const HATCH = 1.8;
const HATCH_WIDTH = 0.16;
const EDGE_WIDTH = 0.25;
const HATCH_INK = "#6b6b6b";

/** Rings and lines along them, on the page, mm. */
export function patterned(shown: Shown, rings: readonly Ring[], edges: readonly Ring[]): PageItem[] {
  const full = rings.filter((ring) => ring.length > 2);
  if (full.length === 0) return [];
  const { shade, shadeOpacity, hatch, gap } = patternOf(shown);
  const d = full.map((ring) => ringData(ring, true, 3)).join("");
  const lines = hatch.map((angle) => segmentsData(hatchLines([...full], angle, HATCH * gap), 3)).join("");
  const outline = edges.map((edge) => ringData(edge, false, 3)).join("");
  return [
    { kind: "path", d, fill: onWhite(shade, shadeOpacity) },
    ...drawn(lines, HATCH_WIDTH),
    ...drawn(outline, EDGE_WIDTH),
  ];
}

const drawn = (d: string, width: number): PageItem[] =>
  d === "" ? [] : [{ kind: "path", d, fill: "none", stroke: HATCH_INK, width }];

/** A colour so opaque on white paper: pages have no see-through ink. */
function onWhite(colour: string, opacity: number): string {
  const mixed = [1, 3, 5].map((i) => {
    const part = Number.parseInt(colour.slice(i, i + 2), 16);
    return Math.round(255 + (part - 255) * opacity)
      .toString(16)
      .padStart(2, "0");
  });
  return `#${mixed.join("")}`;
}
