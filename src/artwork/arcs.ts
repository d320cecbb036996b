/**
 * Elliptical arcs: SVG 2, B.2.4 and B.2.5 (end points → centre), then cubics of at most 35° each, whose radial
 * error stays below 1e-6 of the radius: 4/27 · sin⁶(θ/4)/cos²(θ/4) = 9.4e-7 at θ = 35°.
 */
import type { Pen } from "./pen.ts";

/** `rx`, `ry` are the radii after scaling up; angles in radians, `sweep` signed, clockwise (y down) positive. */
export interface ArcCentre {
  readonly cx: number;
  readonly cy: number;
  readonly rx: number;
  readonly ry: number;
  readonly phi: number;
  readonly theta1: number;
  readonly sweep: number;
  /** The Λ of B.2.5 before scaling; above 1 the radii were too small. */
  readonly lambda: number;
}

/** An ellipse as the image of the unit circle: where its centre and its radii along x and y come to lie. */
export interface EllipseAxes {
  readonly cx: number;
  readonly cy: number;
  readonly ux: number;
  readonly uy: number;
  readonly vx: number;
  readonly vy: number;
}

/** An arc as path data gives it; `rotation` in degrees. */
export interface EndpointArc {
  readonly rx: number;
  readonly ry: number;
  readonly rotation: number;
  readonly large: boolean;
  readonly sweep: boolean;
  readonly x: number;
  readonly y: number;
}

const pieceAngle = (35 * Math.PI) / 180;

/** Centre form of an arc from (x0, y0). Null where there is no ellipse: equal ends, or a radius of 0. */
export function arcCentre(x0: number, y0: number, arc: EndpointArc): ArcCentre | null {
  let rx = Math.abs(arc.rx);
  let ry = Math.abs(arc.ry);
  if (rx === 0 || ry === 0 || (x0 === arc.x && y0 === arc.y)) return null;
  const phi = ((arc.rotation % 360) * Math.PI) / 180;
  const cos = Math.cos(phi);
  const sin = Math.sin(phi);
  const hx = (x0 - arc.x) / 2;
  const hy = (y0 - arc.y) / 2;
  const x1 = cos * hx + sin * hy;
  const y1 = -sin * hx + cos * hy;
  const lambda = (x1 / rx) ** 2 + (y1 / ry) ** 2;
  if (lambda > 1) {
    rx *= Math.sqrt(lambda);
    ry *= Math.sqrt(lambda);
  }
  // (rx²ry² − rx²y1² − ry²x1²) / (rx²y1² + ry²x1²) is 1/Λ − 1; exactly 0 for radii that were too small.
  const root = lambda >= 1 ? 0 : Math.sqrt(1 / lambda - 1);
  const sign = arc.large === arc.sweep ? -1 : 1;
  const cx1 = (sign * root * rx * y1) / ry;
  const cy1 = (-sign * root * ry * x1) / rx;
  const theta1 = Math.atan2((y1 - cy1) / ry, (x1 - cx1) / rx);
  const theta2 = Math.atan2((-y1 - cy1) / ry, (-x1 - cx1) / rx);
  let sweep = theta2 - theta1;
  if (arc.sweep && sweep < 0) sweep += 2 * Math.PI;
  if (!arc.sweep && sweep > 0) sweep -= 2 * Math.PI;
  return {
    cx: cos * cx1 - sin * cy1 + (x0 + arc.x) / 2,
    cy: sin * cx1 + cos * cy1 + (y0 + arc.y) / 2,
    rx,
    ry,
    phi,
    theta1,
    sweep,
    lambda,
  };
}

/** An arc of the unit circle as cubics of six numbers each, without its start. */
export function unitArc(theta1: number, sweep: number): Float64Array {
  const pieces = Math.max(1, Math.ceil(Math.abs(sweep) / pieceAngle - 1e-9));
  const step = sweep / pieces;
  const k = (4 / 3) * Math.tan(step / 4);
  const points = new Float64Array(6 * pieces);
  let c = Math.cos(theta1);
  let s = Math.sin(theta1);
  for (let i = 0; i < pieces; i++) {
    const angle = theta1 + (i + 1) * step;
    const c2 = Math.cos(angle);
    const s2 = Math.sin(angle);
    points.set([c - k * s, s + k * c, c2 + k * s2, s2 - k * c2, c2, s2], 6 * i);
    c = c2;
    s = s2;
  }
  return points;
}

/**
 * Draws an arc of the unit circle, mapped so that the circle's centre lies at (cx, cy) and its radii along x and y are
 * (ux, uy) and (vx, vy), from the pen's place to exactly (x, y).
 */
export function drawUnitArc(
  pen: Pen,
  arc: Float64Array,
  { cx, cy, ux, uy, vx, vy }: EllipseAxes,
  x: number,
  y: number,
): void {
  const last = arc.length - 6;
  for (let i = 0; i <= last; i += 6) {
    const a = arc[i]!;
    const b = arc[i + 1]!;
    const a2 = arc[i + 2]!;
    const b2 = arc[i + 3]!;
    const c2 = arc[i + 4]!;
    const s2 = arc[i + 5]!;
    pen.cubic(
      cx + a * ux + b * vx,
      cy + a * uy + b * vy,
      cx + a2 * ux + b2 * vx,
      cy + a2 * uy + b2 * vy,
      i === last ? x : cx + c2 * ux + s2 * vx,
      i === last ? y : cy + c2 * uy + s2 * vy,
    );
  }
}

/** Draws an arc of path data from the pen's place: nothing for equal ends, a line for a radius of 0. */
export function drawArc(pen: Pen, arc: EndpointArc): void {
  const centre = arcCentre(pen.x, pen.y, arc);
  if (!centre) {
    pen.line(arc.x, arc.y);
    return;
  }
  const { cx, cy, rx, ry, phi, theta1, sweep } = centre;
  const cos = Math.cos(phi);
  const sin = Math.sin(phi);
  const axes = { cx, cy, ux: cos * rx, uy: sin * rx, vx: -sin * ry, vy: cos * ry };
  drawUnitArc(pen, unitArc(theta1, sweep), axes, arc.x, arc.y);
}
