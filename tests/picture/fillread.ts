/** Reads the fill's files: dxf-parser for the DXF, svgson and svg-path-parser for the SVG. */
import dxfParser, { type IDxf } from "dxf-parser";
import svgPathParser from "svg-path-parser";
import { type INode, parseSync } from "svgson";
import type { LaidSet } from "../../src/plan/fill/types.ts";
import type { Plan } from "../../src/plan/types.ts";

export type Ends = [x0: number, y0: number, x1: number, y1: number];

/** Both ends of each line in the file's plane, mapped anew. */
export function mappedEnds({ warp, job }: Plan, { laid: { ends } }: LaidSet): Ends[] {
  const map = (i: number): [number, number] => {
    const p = warp.forward({ x: ends[i]!, y: ends[i + 1]! });
    if (typeof p === "string") throw new Error(p);
    return job.axis === "x" ? [-p.y, p.x] : [p.x, p.y];
  };
  return Array.from({ length: ends.length / 4 }, (_, k) => [...map(4 * k), ...map(4 * k + 2)]);
}

export interface Drawn {
  readonly points: readonly (readonly [number, number])[];
  readonly codes: string;
}
/** The lines of path data, one for each M. */
export function drawn(d: string): Drawn[] {
  const lines: { points: [number, number][]; codes: string }[] = [];
  for (const { code, x, y } of svgPathParser.parseSVG(d)) {
    if (code === "M") lines.push({ points: [], codes: "" });
    const line = lines.at(-1)!;
    line.codes += code;
    if (code !== "Z") line.points.push([x!, y!]);
  }
  return lines;
}
export const endsOf = ({ points }: Drawn): Ends => [...points[0]!, ...points.at(-1)!];

export const groupsOf = (svg: string): INode[] => parseSync(svg).children.filter((node) => node.name === "g");
export const pathsOf = (group: INode): INode[] => group.children.filter((node) => node.name === "path");
export const linesOf = (group: INode): Drawn[] => pathsOf(group).flatMap((path) => drawn(path.attributes.d!));
export const groupNamed = (svg: string, id: string): INode =>
  groupsOf(svg).find((g) => g.attributes.id === id)!;

/** The package is CommonJS whose exports are the class itself; its types say otherwise. */
const DxfParser = dxfParser as unknown as new () => { parseSync(text: string): IDxf | null };

export function read(text: string): IDxf {
  const dxf = new DxfParser().parseSync(text);
  if (!dxf) throw new Error("no DXF");
  return dxf;
}
export interface Entity {
  readonly type: string;
  readonly layer: string;
  /** Closed. */
  readonly shape: boolean;
  readonly vertices: readonly { readonly x: number; readonly y: number }[];
}
/** Without the handles that the reader gives by itself. */
export const entitiesOf = (text: string, layer?: string): Entity[] =>
  (read(text).entities as unknown as Entity[])
    .filter((e) => layer === undefined || e.layer === layer)
    .map(({ type, layer, shape = false, vertices }) => ({ type, layer, shape, vertices }));

/** From a place to the nearest of a chain of straight pieces (mm). */
export function distanceTo(points: readonly (readonly [number, number])[], x: number, y: number): number {
  let least = Infinity;
  for (let i = 1; i < points.length; i++) {
    const [[x0, y0], [x1, y1]] = [points[i - 1]!, points[i]!];
    const [dx, dy] = [x1 - x0, y1 - y0];
    const along = ((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy || 1);
    const t = Math.min(1, Math.max(0, along));
    least = Math.min(least, Math.hypot(x0 + t * dx - x, y0 + t * dy - y));
  }
  return least;
}
