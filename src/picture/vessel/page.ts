/**
 * The vessel's page: its side view with the printable zone and its dimensions, a table of girths, and how it lies under
 * the lens. A4 of ISO 216, turned; for SVG and PNG.
 */

import type { Lettering } from "../lettering.ts";
import { paragraph } from "../page/boxes.ts";
import { type Area, line, text, WIDE } from "../page/items.ts";
import { type Page, type PageItem, papers } from "../page/page.ts";
import { QUIET } from "../parts.ts";
import { MARGIN } from "../proof/pageparts.ts";
import { plain } from "../ticks.ts";
import { behindNames, sideAreas } from "./areas.ts";
import { scaleFor, scaleWords } from "./fit.ts";
import { FOOT_HEIGHT, foot, key } from "./foot.ts";
import { girths, girthsHeight, rowsShown } from "./girths.ts";
import { lyingView } from "./lying.ts";
import { AROUND, sideMeasures } from "./measures.ts";
import { patternOf } from "./patterns.ts";
import { type Spot, sideView } from "./sideview.ts";
import { type Drawn, drawnOf, type Subject, widestOf } from "./subject.ts";
import { areaWords, limitWords, poseWords } from "./words.ts";

const PAGE = { widthMm: papers.a4.heightMm, heightMm: papers.a4.widthMm };
const HEAD = 17;
const KEY = 8;
/** Width of the column with the table, and its distance from the side view. */
const COLUMN = 96;
const GAP = 8;
const SMALL = 3;

export function vesselPage(subject: Subject, lettering: Lettering): Page {
  const drawn = drawnOf(subject);
  const top = MARGIN + HEAD;
  const bottom = PAGE.heightMm - MARGIN - FOOT_HEIGHT - KEY - 2;
  const columnX = PAGE.widthMm - MARGIN - COLUMN;
  const view: Area = { x: MARGIN, y: top, width: columnX - GAP - MARGIN, height: bottom - top };
  const spot = spotFor(subject, drawn, view);
  const bounds = { top: top + 3, bottom: bottom - 3, right: columnX - GAP };
  return {
    ...PAGE,
    items: [
      ...head(subject, lettering),
      text(`upright view, scale ${scaleWords(spot.scale)}`, view.x, top + 2.2, SMALL, { weight: "bold" }),
      ...sideView(subject, drawn, spot),
      ...sideMeasures(subject, drawn, spot, lettering, bounds),
      ...column(subject, drawn, { x: columnX, y: top, width: COLUMN, height: bottom - top }, lettering),
      ...key(keyOf(subject, drawn), bottom + 2, lettering),
      ...foot(fields(subject, scaleWords(spot.scale)), PAGE, lettering),
    ],
  };
}

function head({ name, shape }: Subject, lettering: Lettering): PageItem[] {
  const width = PAGE.widthMm - 2 * MARGIN;
  const title = lettering.fitted(name, width - 60, 5.5, "bold");
  return [
    text(title, MARGIN, MARGIN + 5, 5.5, { weight: "bold" }),
    text(lettering.fitted(shape, width, 3.4), MARGIN, MARGIN + 10.6, 3.4),
    text("dimensions in mm", MARGIN + width, MARGIN + 10.6, 3.4, { anchor: "end", fill: QUIET }),
    line(MARGIN, MARGIN + 13, MARGIN + width, MARGIN + 13, WIDE),
  ];
}

/** The largest scale with which outline, dimensions and names go into the view, in its middle. */
function spotFor({ study }: Subject, { rows }: Drawn, view: Area): Spot {
  const widest = widestOf(rows);
  const top = Math.min(rows[0]!.y, study.ends.rimY ?? Infinity);
  const bottom = Math.max(rows.at(-1)!.y, study.ends.baseY ?? -Infinity);
  const room = {
    width: view.width - AROUND.left - AROUND.right,
    height: view.height - AROUND.above - AROUND.below,
  };
  const scale = scaleFor(2 * widest, bottom - top, room);
  return {
    scale,
    x: view.x + AROUND.left + scale * widest + (room.width - 2 * scale * widest) / 2,
    y: view.y + AROUND.above + (room.height - scale * (bottom - top)) / 2 - scale * top,
  };
}

function column(subject: Subject, drawn: Drawn, area: Area, lettering: Lettering): PageItem[] {
  const { table } = subject.study;
  const tall = girthsHeight(rowsShown(table).length);
  const y = area.y + tall + 5;
  const said = paragraph(lettering, poseWords(subject), area.width, SMALL, { most: 4 });
  const view = { ...area, y: y + 2, height: area.y + area.height - y - 2 - said.height - 2 };
  const { items, scale } = lyingView(subject, drawn, view);
  return [
    ...girths(table, area),
    text(`as it lies under the lens, scale ${scale}`, area.x, y, SMALL, {
      weight: "bold",
    }),
    ...items,
    ...said.items(area.x, area.y + area.height - said.height),
  ];
}

function keyOf(subject: Subject, { rows }: Drawn) {
  const { limits } = subject.study.table;
  const behind = behindNames(subject);
  const shown = sideAreas(rows, subject.study.body.limits.blocked ?? []).map((area) => area.shown);
  const names = (subject.study.body.limits.blocked ?? []).map(({ name }) => name);
  const words = {
    printable: "printable",
    oblique: `wall steeper than ${limits.maxIncidenceDeg}° to the beam`,
    "out-of-depth": `out of the usable depth, ±${plain(limits.usableDepthMm, 1)} mm`,
    "off-field": "beyond the lens's field",
    hidden: "turned away or behind another part",
    blocked: `blocked: ${names.filter((name) => !behind.includes(name)).join(", ")}${
      behind.length > 0 ? `; behind: ${behind.join(", ")}` : ""
    }`,
  } as const;
  return [
    ...shown.map((one) => ({
      shown: one,
      words: one in words ? words[one as keyof typeof words] : patternOf(one).word,
    })),
    { shown: null, words: "too far around" },
  ];
}

const fields = (subject: Subject, scale: string) => [
  { label: "lens", value: subject.lens, share: 18 },
  {
    label: "focal plane below crown",
    value: `${plain(subject.study.table.focus.belowCrownMm, 2)} mm`,
    share: 22,
  },
  { label: "limits", value: limitWords(subject), share: 34 },
  { label: "printable area", value: areaWords(subject), share: 18 },
  { label: "scale of the upright view", value: scale, share: 18 },
];
