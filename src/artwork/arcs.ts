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

/** Draws an arc in centre form from the pen's place to exactly (x, y). */
export function drawCentreArc(pen: Pen, arc: Omit<ArcCentre, "lambda">, x: number, y: number): void {
  const pieces = Math.max(1, Math.ceil(Math.abs(arc.sweep) / pieceAngle - 1e-9));
  const step = arc.sweep / pieces;
  const k = (4 / 3) * Math.tan(step / 4);
  const ux = Math.cos(arc.phi) * arc.rx;
  const uy = Math.sin(arc.phi) * arc.rx;
  const vx = -Math.sin(arc.phi) * arc.ry;
  const vy = Math.cos(arc.phi) * arc.ry;
  let c = Math.cos(arc.theta1);
  let s = Math.sin(arc.theta1);
  for (let i = 1; i <= pieces; i++) {
    const angle = arc.theta1 + i * step;
    const c2 = Math.cos(angle);
    const s2 = Math.sin(angle);
    const a = c - k * s;
    const b = s + k * c;
    const a2 = c2 + k * s2;
    const b2 = s2 - k * c2;
    pen.cubic(
      arc.cx + a * ux + b * vx,
      arc.cy + a * uy + b * vy,
      arc.cx + a2 * ux + b2 * vx,
      arc.cy + a2 * uy + b2 * vy,
      i === pieces ? x : arc.cx + c2 * ux + s2 * vx,
      i === pieces ? y : arc.cy + c2 * uy + s2 * vy,
    );
    c = c2;
    s = s2;
  }
}

/** Draws an arc of path data from the pen's place: nothing for equal ends, a line for a radius of 0. */
export function drawArc(pen: Pen, arc: EndpointArc): void {
  const centre = arcCentre(pen.x, pen.y, arc);
  if (centre) drawCentreArc(pen, centre, arc.x, arc.y);
  else pen.line(arc.x, arc.y);
}
