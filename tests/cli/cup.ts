/**
 * The geometry of a cup under a two-pivot head, written down a second time from the model (sections 2 and 3), so
 * that written marks can be sent back to the cup without any code of src.
 *
 * model: circular-segment relations, Machinery's Handbook 31st ed. p. 79 (half-chord R sin θ, height R(1 − cos θ));
 * model: central projection from a pivot, u = X/(1 + d/p) (with one pivot: Snyder, USGS PP 1395, 1987, pp. 169–175).
 */
import type { Report } from "../../src/plan/report.ts";
import type { Point } from "./marks.ts";

export interface Cup {
  readonly radius: number;
  readonly pivotAcross: number;
  readonly pivotAlong: number;
  /** Focal plane below the crown line, mm. */
  readonly focus: number;
  readonly axis: "x" | "y";
}

/** Where a mark lands: the angle from the crown line, the way around, the way along, and how the beam meets it. */
export interface Landing {
  readonly angle: number;
  readonly around: number;
  readonly along: number;
  readonly defocus: number;
  readonly incidenceDeg: number;
  /** Commanded place across and along, mm from the optical axis. */
  readonly across: number;
  readonly lengthwise: number;
}

export function cupOf(report: Report): Cup {
  const distance = (p: number | "telecentric"): number => (p === "telecentric" ? Infinity : p);
  const [x, y] = report.head.pivotMm.map(distance) as [number, number];
  const { axis, diameterMm } = report.vessel;
  return {
    radius: diameterMm / 2,
    // The deflection along the bed's x is across a vessel that lies along y, and along one that lies along x.
    pivotAcross: axis === "y" ? x : y,
    pivotAlong: axis === "y" ? y : x,
    focus: report.focus.belowCrownMm,
    axis,
  };
}

/** The angle where a beam from the pivot only grazes the cup: the tangent from a point R − δ + p above the axis. */
export const horizon = (cup: Cup): number =>
  cup.pivotAcross === Infinity
    ? Math.PI / 2
    : Math.acos(cup.radius / (cup.radius - cup.focus + cup.pivotAcross));

/** A point of the written file → the cup, by halving the angle's range. */
export function land(cup: Cup, [x, y]: Point): Landing {
  // The vessel's top is up on the page; with the axis along x it points to the bed's +x: a quarter turn.
  const [u, v] = cup.axis === "y" ? [x, y] : [y, -x];
  const depth = (angle: number): number => cup.radius * (1 - Math.cos(angle)) - cup.focus;
  const across = (angle: number): number =>
    (cup.radius * Math.sin(angle)) / (1 + depth(angle) / cup.pivotAcross);
  let low = -horizon(cup);
  let high = horizon(cup);
  if (u < across(low) - 0.002 || u > across(high) + 0.002)
    throw new Error(`${u} mm is beyond the cup's side`);
  for (let i = 0; i < 80; i++) {
    const middle = (low + high) / 2;
    if (across(middle) < u) low = middle;
    else high = middle;
  }
  const angle = (low + high) / 2;
  const d = depth(angle);
  const along = v * (1 + d / cup.pivotAlong);
  const lean = [u / cup.pivotAcross, v / cup.pivotAlong] as const;
  const cos = (Math.cos(angle) - lean[0] * Math.sin(angle)) / Math.hypot(lean[0], lean[1], 1);
  return {
    angle,
    around: cup.radius * angle,
    along,
    defocus: d,
    incidenceDeg: (Math.acos(Math.min(1, cos)) * 180) / Math.PI,
    across: u,
    lengthwise: v,
  };
}
