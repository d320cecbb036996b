/** What to load and where, how the vessel lies, the crown line, the lens's height: the sheet's first sections. */
import type { Box } from "../../geometry/path.ts";
import { arcOf, sideWords } from "../../plan/around.ts";
import { diameterOf } from "../../plan/body.ts";
import { percent } from "../../plan/figures.ts";
import { loadedOf } from "../../plan/fill/loaded.ts";
import type { Plan } from "../../plan/types.ts";
import { widthWords } from "../../plan/vesselsaid.ts";
import { groupId } from "../marks.ts";
import { plain, signed } from "../ticks.ts";
import { alignBox, alignEnds } from "./align.ts";
import { HANDLE_DOWN } from "./around.ts";
import { boxLoaded, laidRows } from "./laid.ts";
import { crownOf, freeRows, placementRow, poseRows } from "./lying.ts";
import type { Row, SchematicWords, Section, SheetFacts } from "./types.ts";

const mm = (v: number, decimals: number): string => `${signed(v, decimals)} mm`;

export function loadSection(plan: Plan, facts: SheetFacts): Section {
  const { usable } = plan.box;
  const all = boxLoaded(plan, plan.turns[0]!, "all");
  const several = plan.turns.length > 1;
  const beyond = [...plan.marks].filter(([zone, marks]) => zone !== "usable" && marks.length > 0);
  const away = beyond.map(([zone]) => zone).join(", ");
  const lines = (plan.marks.get("usable") ?? []).filter((mark) => mark.paint !== "fill").length;
  const fills = (plan.marks.get("usable") ?? []).length - lines;
  const rows: Row[] = [
    {
      name: several ? "files" : "file",
      value: several ? `${facts.marks}: see Turns` : facts.marks,
      strong: true,
    },
    {
      name: "where",
      value: "(0, 0) of the file on the optical axis; do not move, scale, turn or mirror it",
    },
  ];
  if (plan.verdict === "stop")
    rows.push({
      name: "",
      value: "stop: not to be marked as it is; have the job mended first",
      strong: true,
    });
  if (loadedOf(plan) !== "warped") rows.push(...laidRows(plan));
  else if (beyond.length > 0) {
    rows.push({
      name: "groups",
      value: usable
        ? `what lies within the limits is the group ${groupId("usable", plan)} (black); ${away} (grey) lies beyond`
        : `none: all of it lies beyond the limits (${away})`,
      strong: true,
    });
  } else if (usable) rows.push({ name: "groups", value: `one, ${groupId("usable", plan)}` });
  if (lines > 0 && loadedOf(plan) === "fill")
    rows.push({
      name: "lines",
      value: "single-lines comes first: open lines, marked once along their middle",
    });
  else if (lines > 0) {
    const what = "open lines, marked once along their middle and not filled";
    rows.push({ name: "lines", value: fills > 0 ? `some shapes are ${what}` : what });
  }
  const both = beyond.length > 0 && usable && loadedOf(plan) === "warped";
  if (all && !several) rows.push(...boxRows(all, both ? "all" : ""));
  if (both && !several) rows.push(...boxRows(usable, "usable"));
  if (all || several)
    rows.push({
      name: "centring",
      value: `a station that centres what it loads by its box: then set the box centre ${several ? "of the turn" : "above"}, from the optical axis (x right, y down)`,
    });
  return { title: "Load", wide: false, blocks: [{ kind: "rows", rows }] };
}

const boxRows = (box: Box, of: string): Row[] => [
  { name: of ? `centre, ${of}` : "box centre", value: centre(box), strong: true },
  {
    name: of ? `size, ${of}` : "box size",
    value: `${plain(box.maxX - box.minX, 2)} × ${mm(box.maxY - box.minY, 2)}; check it once loaded`,
  },
];
const centre = (box: Box): string =>
  `x ${signed((box.minX + box.maxX) / 2, 3)}, y ${mm((box.minY + box.maxY) / 2, 3)}`;

export function poseSection(plan: Plan): Section {
  const { job, ink, column } = plan;
  const { belowRimMm, handleDeg, seamDeg, sphereMm } = job.vessel;
  const rest = job.column.restHeightMm;
  const of = crownOf(plan);
  const round = (deg: number): string => {
    const side = sideWords(deg, of);
    return side ? `${side}, ${mm(arcOf(job, deg), 1)} on the girth` : `on ${of}`;
  };
  const [a, b] = [(ink.box.minX + ink.box.maxX) / 2, (ink.box.minY + ink.box.maxY) / 2];
  const rows: Row[] = [
    {
      name: "lying",
      value:
        job.axis === "y"
          ? "top to where up is in the file (the field's −y)"
          : "top to where right is in the file (the field's +x); the file is turned to match",
      strong: true,
    },
    ...(job.axis === "x"
      ? [
          {
            name: "left, right",
            value: "here: with the vessel's top up. Right is down in the file, left is up",
          },
        ]
      : []),
    ...poseRows(plan),
    {
      name: "rest",
      value: `lowest line ${rest > 0 ? `${mm(rest, 1)} above` : "on"} the bed, crown line ${mm(column.crownHeightMm, 1)} above it${plan.levelling ? " at the placement point" : ", level"}`,
    },
    placementRow(belowRimMm, sphereMm !== undefined),
    ...(handleDeg === undefined
      ? []
      : [{ name: "handle", value: `${round(handleDeg)}${underneath(handleDeg)}` }]),
    ...(seamDeg === undefined ? [] : [{ name: "seam", value: round(seamDeg) }]),
    ...freeRows(plan),
    {
      name: "ink",
      value: `${plain(ink.box.maxX - ink.box.minX, 1)} mm ${widthWords[job.placement.fidelity]}, ${plain(ink.box.maxY - ink.box.minY, 1)} mm along; its middle ${middle(a, b)}`,
    },
  ];
  return { title: "Vessel", wide: false, blocks: [{ kind: "rows", rows }] };
}

const underneath = (deg: number): string =>
  Math.abs(deg) > 180 - HANDLE_DOWN ? "; it points down: the rest must leave it room" : "";

function middle(a: number, b: number): string {
  const [across, along] = [signed(Math.abs(a), 1), signed(Math.abs(b), 1)];
  const parts = [
    ...(Number(across) === 0 ? [] : [`${across} mm ${a > 0 ? "right" : "left"} of the crown line`]),
    ...(Number(along) === 0 ? [] : [`${along} mm ${b > 0 ? "below" : "above"} the placement point`]),
  ];
  return parts.length === 0 ? "on the placement point" : parts.join(", ");
}

export function crownSection(plan: Plan, facts: SheetFacts): Section {
  const { heightMm, belowRimMm } = plan.job.vessel;
  const known = heightMm !== undefined && belowRimMm !== undefined;
  const { top, bottom } = alignEnds(plan);
  const cut = [...(top ? ["rim"] : []), ...(bottom ? ["base"] : [])].join(" and ");
  const over = !known
    ? "It is one line across the field"
    : cut
      ? `It is one line as far as the field goes: it ends short of the ${cut}`
      : "It is one line from rim to base";
  return {
    title: "Crown line",
    wide: false,
    blocks: [
      {
        kind: "steps",
        steps: [
          plan.job.vessel.sphereMm === undefined
            ? "Find the crown line: lay a level across the vessel near rim and base, and mark where it touches, on tape or with what wipes off. Mark the placement point on it."
            : "Find the crown: lay a level across the ball, and mark where it touches, on tape or with what wipes off. That is the placement point.",
          `Load ${facts.align} alone, (0, 0) on the optical axis (box centre ${centre(alignBox(plan))}). ${over}, with a tick at the placement point.`,
          "Show it with the visible pointer, never with the working beam.",
          "Shift and turn the vessel until the line lies on the crown line all along, and the tick on the placement point. Make it fast.",
          `Take ${facts.align} out again, before the marks are loaded.`,
        ],
      },
    ],
  };
}

/** A fifth of the usable depth: where that is the Rayleigh range no fluence changes by more than about a fifth (our own choice). */
const SHARE = 0.2;

export function heightSection(plan: Plan, { html }: Pick<SheetFacts, "html">): Section {
  const { job, focus, column, limits } = plan;
  const wd = job.lens.workingDistanceMm;
  const below = focus.belowCrownMm;
  const height = signed(wd - below, 1);
  const shift = signed(Math.abs(below), 1);
  const stop = column.atStop !== null;
  const touch =
    Number(shift) === 0 ? "the height is right" : `${below > 0 ? "lower" : "raise"} the head by ${shift} mm`;
  const { travelMm } = job.column;
  // The crown and a stick of the working distance must fit below the head.
  const fits = !stop && (travelMm === undefined || wd + column.crownHeightMm <= travelMm);
  const lens = `${job.lens.id}: f ${plain(job.lens.focalLengthMm, 1)}, field ${plain(job.lens.fieldMm, 1)}, working distance ${mm(wd, 1)}`;
  return {
    title: "Lens height",
    wide: false,
    blocks: [
      { kind: "schematic", instead: `Figure: in ${html}.` },
      {
        kind: "rows",
        rows: [
          {
            name: "lens reference",
            value: `${height} mm above the crown line${stop ? ": the column's stop" : ""}`,
            strong: true,
          },
          ...(stop
            ? [
                {
                  name: "",
                  value: `the focal plane wanted lies ${mm(below - focus.wantedMm, 1)} higher; all is worked out for the stop`,
                },
              ]
            : []),
          {
            name: "from the bed",
            value: `${signed(wd + column.crownHeightMm - below, 1)} mm, the vessel at rest as above`,
          },
          {
            name: "within",
            value: `± ${mm(SHARE * limits.usableDepthMm, 1)} (${percent(SHARE)} of the usable depth of ± ${mm(limits.usableDepthMm, 1)})`,
          },
          { name: "lens", value: lens },
        ],
      },
      {
        kind: "steps",
        steps: [
          `Laser off and interlocked. Stand a stick cut to ${height} mm upright on the crown line, below the lens reference (the flange or mark that the working distance is measured from), never below the glass. Bring the head down until they just touch. Take the stick away.`,
          ...(fits
            ? [
                `Instead, with a stick of the working distance, ${mm(wd, 1)}: the same, take the stick away, and only then ${touch}.`,
              ]
            : []),
        ],
      },
    ],
  };
}

export function schematicWords({ job, focus }: Pick<Plan, "job" | "focus">): SchematicWords {
  const wd = job.lens.workingDistanceMm;
  const below = focus.belowCrownMm;
  const shift = signed(Math.abs(below), 1);
  const side = Number(shift) === 0 ? "on" : below > 0 ? "below" : "above";
  return {
    stick: mm(wd - below, 1),
    workingDistance: mm(wd, 1),
    focus: side === "on" ? "on the crown line" : `${shift} mm ${side} crown`,
    diameter: `diameter ${plain(diameterOf(job.vessel), 2)}`,
    side,
  };
}
