/** Where markers stand on a line, and how they are turned: SVG 2, 13.7. */
import type { Affine } from "../geometry/affine.ts";
import { invert, multiply, rotate, scale, translate } from "../geometry/affine.ts";
import type { Contour, Path } from "../geometry/path.ts";

export interface MarkerPlace {
  /** 0 start, 1 mid, 2 end. */
  readonly which: 0 | 1 | 2;
  /** In the line's user space. */
  readonly x: number;
  readonly y: number;
  /** Directions in and out, radians; equal where there is only one. */
  readonly angle: number;
}

/** Direction of a segment at its start or end: of the first of its arms that is not zero. */
function direction({ points: p }: Contour<"page">, k: number, end: boolean): [number, number] {
  const i = 6 * k;
  const [x, y] = end ? [p[i + 6]!, p[i + 7]!] : [p[i]!, p[i + 1]!];
  const order = end ? [4, 2, 0] : [2, 4, 6];
  for (const j of order) {
    const dx = p[i + j]! - x;
    const dy = p[i + j + 1]! - y;
    if (dx !== 0 || dy !== 0) return end ? [-dx, -dy] : [dx, dy];
  }
  return [1, 0];
}

/** Every vertex of a line in order; `matrix` maps its user space onto the page. */
export function markerPlaces(path: Path<"page">, matrix: Affine): MarkerPlace[] {
  const back = invert(matrix);
  const places: MarkerPlace[] = [];
  const angleOf = ([dx, dy]: [number, number]): number =>
    Math.atan2(back.b * dx + back.d * dy, back.a * dx + back.c * dy);
  for (const contour of path.contours) {
    const { points: p, straight, closed } = contour;
    const n = straight.length;
    for (let k = 0; k <= n; k++) {
      const into = k > 0 ? k - 1 : closed ? n - 1 : null;
      const onto = k < n ? k : closed ? 0 : null;
      const from = into === null ? null : angleOf(direction(contour, into, true));
      const to = onto === null ? null : angleOf(direction(contour, onto, false));
      const angle =
        from === null || to === null
          ? (from ?? to ?? 0)
          : Math.atan2(Math.sin(from) + Math.sin(to), Math.cos(from) + Math.cos(to));
      const x = p[6 * k]!;
      const y = p[6 * k + 1]!;
      places.push({
        which: 1,
        x: back.a * x + back.c * y + back.e,
        y: back.b * x + back.d * y + back.f,
        angle,
      });
    }
  }
  return places.map((place, i) => ({
    ...place,
    which: i === 0 ? 0 : i === places.length - 1 ? 2 : 1,
  }));
}

/**
 * Marker content → the line's user space: `orient` as written, `unit` the stroke width or 1, `view` the content's
 * own viewport transform without its corner, (refX, refY) in content units.
 */
export function markerMatrix(
  place: MarkerPlace,
  orient: string,
  unit: number,
  view: Affine,
  refX: number,
  refY: number,
): Affine {
  const fixed = /^([+-]?[\d.]+(?:e[+-]?\d+)?)(deg|grad|rad|turn)?$/i.exec(orient);
  const per: Record<string, number> = { grad: Math.PI / 200, rad: 1, turn: 2 * Math.PI };
  const turn = fixed ? Number(fixed[1]) * (per[(fixed[2] ?? "deg").toLowerCase()] ?? Math.PI / 180) : 0;
  const along = orient === "auto" || orient === "auto-start-reverse";
  const reversed = orient === "auto-start-reverse" && place.which === 0;
  const angle = along ? place.angle + (reversed ? Math.PI : 0) : turn;
  const x = view.a * refX + view.c * refY + view.e;
  const y = view.b * refX + view.d * refY + view.f;
  return [translate(place.x, place.y), rotate(angle), scale(unit), translate(-x, -y)].reduce(multiply);
}
