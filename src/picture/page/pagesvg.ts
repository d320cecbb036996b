/** A page as SVG, text as outlines. Its images are left out: it is laid over them. */
import type { Lettering } from "../lettering.ts";
import { INK } from "../parts.ts";
import { fixed, tag } from "../svg.ts";
import type { Page, PageItem, PageLine, PagePath, PageText } from "./page.ts";

/** Sized in whole px, drawn in mm. Throws Error for a number that is none. */
export function pageSvg(page: Page, lettering: Lettering, pxPerMm: number): string {
  const { widthMm, heightMm, items } = page;
  return tag(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      width: Math.round(widthMm * pxPerMm),
      height: Math.round(heightMm * pxPerMm),
      viewBox: `0 0 ${fixed(widthMm, 4)} ${fixed(heightMm, 4)}`,
    },
    items.map((item) => drawn(item, lettering)).join(""),
  );
}

const drawn = (item: PageItem, lettering: Lettering): string =>
  item.kind === "text" ? text(item, lettering) : shapeSvg(item);

/** A line or a path; images are left out. Throws Error for a number that is none. */
export function shapeSvg(item: Exclude<PageItem, PageText>): string {
  if (item.kind === "image") return "";
  return item.kind === "line" ? line(item) : path(item);
}

function text({ words, fill = INK, kind: _, ...place }: PageText, lettering: Lettering): string {
  const d = lettering.path(words, { ...place, decimals: 4 });
  return d === "" ? "" : tag("path", { d, fill });
}

const line = ({ x1, y1, x2, y2, width, stroke = INK, dash }: PageLine): string =>
  tag("line", { x1, y1, x2, y2, stroke, "stroke-width": width, ...dashes(dash) }, "", 4);

function path({ d, fill, rule, stroke, width = 0.25, dash }: PagePath): string {
  return tag(
    "path",
    {
      d,
      fill: fill ?? (stroke ? "none" : INK),
      ...(rule === "evenodd" ? { "fill-rule": rule } : {}),
      ...(stroke ? { stroke, "stroke-width": width, ...dashes(dash) } : {}),
    },
    "",
    4,
  );
}

const dashes = (dash: readonly number[] = []): Record<string, string> =>
  dash.length === 0 ? {} : { "stroke-dasharray": dash.map((v) => fixed(v, 4)).join(" ") };
