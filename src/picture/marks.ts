/** The marks as an SVG for the station: one user unit = 1 mm, (0, 0) the optical axis, the page the lens's field. */
import { type INode, stringify } from "svgson";
import type { Contour, Path, Space } from "../geometry/path.ts";
import type { Mark, Plan } from "../plan/types.ts";
import { shapeWords } from "../plan/vesselsaid.ts";
import { zoneNames } from "../plan/zones.ts";

export const element = (name: string, attributes: Record<string, string>, children: INode[] = []): INode => ({
  name,
  type: "element",
  value: "",
  attributes,
  children,
});

/** Marks beyond the limits are grey, so that a stopped job does not look like a finished one. */
const BEYOND = "#a6a6a6";

export function marksSvg(plan: Plan): string {
  const groups = zoneNames.flatMap((zone) => {
    const marks = plan.marks.get(zone);
    return marks && marks.length > 0
      ? [
          element(
            "g",
            { id: groupId(zone, plan) },
            marks.map((mark) => markNode(mark, zone === "usable" ? "#000000" : BEYOND)),
          ),
        ]
      : [];
  });
  const root = element("svg", pageAttributes(plan), groups);
  return `${XML}\n${headline(plan)}\n${stringify(root, { transformAttr })}\n`;
}

export const XML = '<?xml version="1.0" encoding="UTF-8"?>';

/** Of the root element of what the station is given. */
export function pageAttributes({ job }: Pick<Plan, "job">): Record<string, string> {
  const field = job.lens.fieldMm;
  const half = field / 2;
  return {
    xmlns: "http://www.w3.org/2000/svg",
    width: `${field}mm`,
    height: `${field}mm`,
    viewBox: `${-half} ${-half} ${field} ${field}`,
    "data-fallaway": "bent",
  };
}

/** Path data is ours and has nothing to escape; it is most of the file. */
export const transformAttr = (key: string, value: string, escaped: (text: string) => string): string =>
  `${key}="${key === "d" ? value : escaped(value)}"`;

/** The zone's name as its group has it, or one made of it that no shape of the artwork has for its id. */
export function groupId(zone: string, plan: Plan): string {
  const taken = new Set([...plan.marks.values()].flatMap((list) => list.map((m) => m.id)));
  let id = zone;
  while (taken.has(id)) id = `zone-${id}`;
  return id;
}

/** The verdict, and what the file is bent for. */
export function verdictLine({ job, verdict }: Plan): string {
  const first = verdict === "stop" ? "STOP, do not mark this file as it is" : verdict;
  return `${first}: bent for a vessel, ${shapeWords(job.vessel)}, lens ${job.lens.id}`;
}

/** The verdict, what else is to be said and the reasons, as a comment for whoever opens the file as text. */
export function headline(plan: Plan, more: readonly string[] = []): string {
  const reasons = plan.reasons.map((r) => `${r.severity}: ${r.message}`);
  const lines = [verdictLine(plan), ...more, ...reasons];
  // Two hyphens would end a comment.
  return `<!-- ${lines
    .join("\n     ")
    .replace(/-(?=-)/g, "- ")
    .replace(/-$/, "- ")} -->`;
}

/** One shape as a path element; a centre line is drawn 0.05 mm wide. */
export const markNode = (mark: Omit<Mark, "path"> & { readonly path: Path<Space> }, colour: string): INode =>
  element("path", {
    id: mark.id,
    ...(mark.paint === "fill" ? { fill: colour } : { fill: "none", stroke: colour, "stroke-width": "0.05" }),
    d: pathData(mark.path),
  });

/** Absolute path data of numbers that are already rounded: M, L, C and Z. */
export const pathData = (path: Path<Space>): string => path.contours.map(contourData).join("");

function contourData(c: Contour<Space>): string {
  const p = c.points;
  let d = `M${p[0]} ${p[1]}`;
  for (let k = 0; k < c.straight.length; k++) {
    const i = 6 * k;
    d += c.straight[k]
      ? `L${p[i + 6]} ${p[i + 7]}`
      : `C${p[i + 2]} ${p[i + 3]} ${p[i + 4]} ${p[i + 5]} ${p[i + 6]} ${p[i + 7]}`;
  }
  return c.closed ? `${d}Z` : d;
}

/** The same path with its numbers rounded to `decimals`, for pictures. */
export function roundedPath<S extends Space>(path: Path<S>, decimals: number): Path<S> {
  const unit = 10 ** decimals;
  return {
    contours: path.contours.map((c) => ({
      ...c,
      points: c.points.map((v) => Math.round(v * unit) / unit + 0),
    })),
  };
}
