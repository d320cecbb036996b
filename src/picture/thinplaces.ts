/**
 * Places thinner than the spot on the zones drawing: the thin widths themselves, too small to be seen at arm's
 * length, and a sign around each, a ring for lines and a diamond for gaps.
 */
import type { Box } from "../geometry/path.ts";
import type { ThinKind, ThinPlaces } from "../plan/thin/thin.ts";
import type { Plan } from "../plan/types.ts";
import { ringData, segmentsData, tag } from "./svg.ts";

/** How a kind is told apart: by its sign and its words as well as by its colour. */
const styles: Readonly<Record<ThinKind, { colour: string; corners: number; what: string }>> = {
  line: { colour: "#a3005f", corners: 24, what: "line" },
  gap: { colour: "#005f8a", corners: 4, what: "gap" },
};
export const thinKinds = ["line", "gap"] as const;

/** Widths that are drawn, evenly thinned out above it: a drawing need not hold every one of a large artwork. */
const MOST_SPANS = 5000;
const DECIMALS = 4;

/** What the key says of a kind, or null where none is thin. */
export function thinWords(plan: Pick<Plan, "thin">, kind: ThinKind): string | null {
  const { places } = plan.thin[kind];
  const { what } = styles[kind];
  return places === 0
    ? null
    : `${what} thinner than the spot: ${places} ${places === 1 ? "place" : "places"}`;
}

/** The widths and their signs; `size` is the sign's and `hair` its line's (mm). */
export function thinSvg(thin: ThinPlaces, kind: ThinKind, size: number, hair: number, step: number): string {
  const { spans } = thin;
  const { colour } = styles[kind];
  const stride = 4 * Math.max(1, Math.ceil(spans.length / 4 / MOST_SPANS));
  const drawn: number[][] = [];
  for (let i = 0; i < spans.length; i += stride) drawn.push(Array.from(spans.subarray(i, i + 4)));
  const widths = segmentsData(drawn, DECIMALS);
  const signs = signPlaces(spans, size).map(([x, y]) => sign(kind, x, y, size));
  return (
    tag("path", outline(widths, colour, Math.min(hair, step)), "", DECIMALS) +
    tag("path", outline(signs.join(""), colour, 2 * hair), "", DECIMALS)
  );
}

/** The sign in the key, in the middle of a box. */
export function thinKeySvg(kind: ThinKind, box: Box, hair: number): string {
  const size = box.maxY - box.minY;
  const d = sign(kind, (box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2, size);
  return tag("path", outline(d, styles[kind].colour, 2 * hair), "", DECIMALS);
}

const outline = (d: string, stroke: string, width: number) => ({
  d,
  fill: "none",
  stroke,
  "stroke-width": width,
});

function sign(kind: ThinKind, x: number, y: number, size: number): string {
  const { corners } = styles[kind];
  const points = Array.from({ length: corners }, (_, k) => {
    const angle = (2 * Math.PI * k) / corners;
    return { x: x + (size / 2) * Math.cos(angle), y: y + (size / 2) * Math.sin(angle) };
  });
  return ringData(points, true, DECIMALS);
}

/** One place for each cell of a grid that has thin widths: the middle of those in it. A long line gets a row. */
function signPlaces(spans: Float64Array, cell: number): [number, number][] {
  const cells = new Map<string, [number, number, number]>();
  for (let i = 0; i < spans.length; i += 4) {
    const x = (spans[i]! + spans[i + 2]!) / 2;
    const y = (spans[i + 1]! + spans[i + 3]!) / 2;
    const key = `${Math.floor(x / cell)} ${Math.floor(y / cell)}`;
    const sum = cells.get(key);
    if (sum) {
      sum[0] += x;
      sum[1] += y;
      sum[2]++;
    } else cells.set(key, [x, y, 1]);
  }
  return [...cells.values()].map(([x, y, n]) => [x / n, y / n]);
}
