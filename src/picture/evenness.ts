/**
 * How even plain fill, even fill and bands come out on one turn, by simulation: the three side by side on one scale, each
 * as a map over the ink and as a profile across the vessel, and what each varies. Shapes only: its text is outlines.
 */
import type { Grid } from "../plan/fill/coverage.ts";
import { type Fill, type ProofKind, proofs } from "../plan/fill/types.ts";
import type { Plan } from "../plan/types.ts";
import { barSvg } from "./evenness/bar.ts";
import type { Chart } from "./evenness/chart.ts";
import { type Column, HEADING, heading, missing } from "./evenness/heading.ts";
import { evennessKey } from "./evenness/key.ts";
import { inkDefs, mapPanel, mapRuler, mapView, padded, shownZones } from "./evenness/mappanel.ts";
import { paintBar, paintMap, type Raster } from "./evenness/paint.ts";
import { type Bin, profileOf } from "./evenness/profile.ts";
import { PROFILE, profileChart, profileRange } from "./evenness/profilechart.ts";
import { scaleOf } from "./evenness/scale.ts";
import { variedRow } from "./evenness/variedrow.ts";
import { missingWords, spreadMeans, spreadWords } from "./evenness/words.ts";
import { type HeatmapParts, headSvg } from "./heatmap.ts";
import { aroundWords } from "./jobwords.ts";
import type { Lettering } from "./lettering.ts";
import { tag } from "./svg.ts";
import type { View } from "./view.ts";
import { zoneKeyItems } from "./zonekey.ts";

const WIDTH = 2000;
const EDGE = 40;
/** Room at the left and right for the charts' numbers, and between the columns. */
const SIDE = 116;
const GAP = 56;
const COLUMN = Math.floor((WIDTH - 2 * EDGE - 2 * SIDE - 2 * GAP) / 3);
const BAR = 24;
const MAP_ROOM = 760;
/** Least width of a step of the profiles (px). */
const STEP = 2;

/** A kind with its places in the picture. */
interface Place extends Column {
  readonly view: View;
  readonly chart: Chart;
}

/**
 * `turnIndex` counts from 0; `plan` is the whole job's or that turn's alone, `title` the artwork's name. Throws RangeError
 * where the turn has no proof.
 */
export function evenness(
  plan: Plan,
  fill: Fill,
  turnIndex: number,
  lettering: Lettering,
  title: string,
): Omit<HeatmapParts, "view"> {
  const turn = plan.turns.length === 1 ? plan.turns[0] : plan.turns[turnIndex];
  const proof = fill.proof[turnIndex];
  if (!turn || !proof) throw new RangeError(`there is no proof of turn ${turnIndex + 1}`);
  const { grid, maps } = proof;
  const scale = scaleOf(plan, fill, proof);
  const runs = new Map<ProofKind, Bin[][]>();
  for (const kind of proofs) {
    const map = maps[kind];
    if (map) runs.set(kind, profileOf(map, proof, (STEP * grid.columns * grid.cellMm) / COLUMN));
  }
  const head = headSvg(plan, lettering, title, spreadMeans(fill), WIDTH);
  const bar = { left: EDGE + SIDE, top: head.bottom + 52, width: WIDTH - 2 * (EDGE + SIDE), height: BAR };
  const headingTop = bar.top + BAR + 108;
  const places = proofs.map((kind, i) =>
    placeOf(kind, i, grid, headingTop + HEADING, profileRange(runs, scale)),
  );
  const [{ view }] = places as [Place];
  const zones = shownZones(plan, turn, view);
  const charts = places.map(({ chart }) => chart);
  const varied = variedRow(plan, fill, turnIndex, charts, lettering);
  const key = evennessKey(
    [...runs.keys()],
    maps.even ? fill.uneven : [],
    zoneKeyItems({ zones: turn.zones, forecast: null, job: plan.job }, [...zones.keys()]),
    { left: EDGE, right: WIDTH - EDGE, top: varied.bottom + 16 },
    lettering,
  );
  const height = Math.ceil(key.bottom + EDGE / 2);
  const raster: Raster = { width: WIDTH, data: new Uint8Array(4 * WIDTH * height).fill(255) };
  paintBar(bar, raster);
  const panel = (place: Place): string => {
    const { kind, view, chart } = place;
    const map = maps[kind];
    const over = heading(
      fill,
      place,
      headingTop,
      view.top + view.height + mapRuler(view, COLUMN).below,
      lettering,
    );
    if (!map) return over + missing(missingWords(fill, kind), place, view, lettering);
    paintMap(map, proof, scale, view, raster);
    return [
      over,
      mapPanel(kind, view, zones, kind === "even" ? fill.uneven : [], lettering),
      mapRuler(view, COLUMN).svg(lettering),
      profileChart(chart, runs, kind, scale, `from the crown line, ${aroundWords(plan)}`, lettering),
    ].join("");
  };
  const panels = places.map((place) =>
    tag("g", { id: `kind-${place.kind}`, "data-words": spreadWords(fill, place.kind) }, panel(place)),
  );
  const content = [
    head.svg,
    barSvg(scale, bar, lettering),
    inkDefs(turn, view),
    ...panels,
    varied.svg,
    key.svg,
  ];
  const attributes = {
    xmlns: "http://www.w3.org/2000/svg",
    width: WIDTH,
    height,
    viewBox: `0 0 ${WIDTH} ${height}`,
  };
  return { width: WIDTH, height, field: raster.data, overlay: tag("svg", attributes, content.join("\n")) };
}

/** Map and profile of the i-th column, the map's upper edge at `top`. */
function placeOf(kind: ProofKind, i: number, grid: Grid, top: number, up: readonly [number, number]): Place {
  const column = { kind, left: EDGE + SIDE + i * (COLUMN + GAP), width: COLUMN };
  const view = mapView(grid, column, top, MAP_ROOM);
  const wide = grid.columns * grid.cellMm;
  const middle = grid.left + wide / 2;
  const chart: Chart = {
    id: `profile-${kind}`,
    left: column.left,
    top: top + view.height + mapRuler(view, COLUMN).below + 44,
    width: COLUMN,
    height: PROFILE,
    across: [middle - padded(wide) / 2, middle + padded(wide) / 2],
    up,
  };
  return { ...column, view, chart };
}
