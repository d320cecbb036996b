/** The key: the profiles' lines and shade, what is hatched, on as many rows as it needs. */
import type { Fill, ProofKind } from "../../plan/fill/types.ts";
import type { Lettering } from "../lettering.ts";
import { DASH_DOT, INK, line, RULE, SMALL, text } from "../parts.ts";
import { ringData, tag } from "../svg.ts";
import { tickText } from "../ticks.ts";
import { zonePaint } from "../turns/signs.ts";
import { boxRing, type KeyItem } from "../zonekey.ts";
import { unevenHatch } from "./mappanel.ts";
import { unevenWords } from "./words.ts";

/** Colour and dashes of a kind's profile. */
export const kindLines: Readonly<Record<ProofKind, { readonly colour: string; readonly dash: string }>> = {
  plain: { colour: "#8a3b12", dash: "5 5" },
  even: { colour: "#0b4f6c", dash: "" },
  bands: { colour: "#4a3a8c", dash: "16 7" },
};
export const SHADE = 0.18;

const BOX = 50;
const ROW = 44;
const GAP = 44;

interface Item {
  readonly words: string;
  /** Drawn in a box whose middle line lies at y. */
  sample(x: number, y: number): string;
}

export function evennessKey(
  kinds: readonly ProofKind[],
  uneven: Fill["uneven"],
  zones: readonly KeyItem[],
  place: { readonly left: number; readonly right: number; readonly top: number },
  lettering: Lettering,
): { svg: string; bottom: number } {
  const { left, right, top } = place;
  const parts = [line(left, top + 8, right, top + 8, RULE, 1)];
  let [x, y] = [left, top + 48];
  for (const { words, sample } of [
    ...profileItems(kinds),
    ...uneven.map(unevenItem),
    ...zones.flatMap(zoneItems),
  ]) {
    const said = lettering.fitted(words, right - left - BOX - 14, SMALL);
    const wide = BOX + 14 + lettering.width(said, SMALL);
    if (x > left && x + wide > right) [x, y] = [left, y + ROW];
    parts.push(sample(x, y - 8), text(lettering, said, { x: x + BOX + 14, y, size: SMALL }));
    x += wide + GAP;
  }
  return { svg: tag("g", { id: "key" }, parts.join("")), bottom: y + 12 };
}

const profileItems = (kinds: readonly ProofKind[]): Item[] => [
  ...kinds.map((kind): Item => {
    const { colour, dash } = kindLines[kind];
    return {
      words: `${kind}: mean along the axis`,
      sample: (x, y) => line(x, y, x + BOX, y, colour, 4, dash),
    };
  }),
  {
    words: "5th to 95th percentile",
    sample: (x, y) =>
      tag("rect", {
        x,
        y: y - 13,
        width: BOX,
        height: 26,
        fill: kindLines.even.colour,
        "fill-opacity": SHADE,
      }),
  },
  { words: "crown line", sample: (x, y) => line(x, y, x + BOX, y, INK, 1.5, DASH_DOT) },
];

const unevenItem = ({ reason, fromMm, toMm, share }: Fill["uneven"][number]): Item => ({
  words: `${unevenWords[reason]}: ${tickText(fromMm, 0.1)} to ${tickText(toMm, 0.1)} mm from the crown line, ${amount(share)} of the ink`,
  sample: (x, y) => unevenHatch(reason, { x, y: y - 14, width: BOX, height: 28 }),
});

const amount = (share: number): string => (share < 0.001 ? "under 0.1 %" : `${(100 * share).toFixed(1)} %`);

/** Zones alone: what the process makes of the ink is not drawn here. */
const zoneItems = ({ zone, words }: KeyItem): Item[] =>
  zone === "residue" || zone === "metal"
    ? []
    : [
        {
          words,
          sample: (x, y) => {
            const ring = boxRing(x, y - 14, BOX, 28);
            return zonePaint(zone, ringData(ring, true), [ring]);
          },
        },
      ];
