/** The inherited properties of an element, computed from its parent's and its own values. */
import type { Own } from "./cascade.ts";
import type { FillRule } from "./types.ts";
import { parseLength, userUnits } from "./units.ts";

export interface Style {
  /** Paints stay as written: currentColor is resolved where it is painted. */
  readonly fill: string;
  readonly stroke: string;
  readonly color: string;
  readonly fillOpacity: number;
  readonly strokeOpacity: number;
  readonly fillRule: FillRule;
  readonly strokeWidth: string;
  readonly visible: boolean;
  readonly strokeFirst: boolean;
  /** marker-start, -mid and -end; "none" three times for no marker. */
  readonly markers: readonly [string, string, string];
  /** In user units (px). */
  readonly fontSize: number;
}

export const initialStyle: Style = {
  fill: "black",
  stroke: "none",
  color: "black",
  fillOpacity: 1,
  strokeOpacity: 1,
  fillRule: "nonzero",
  strokeWidth: "1",
  visible: true,
  strokeFirst: false,
  markers: ["none", "none", "none"],
  fontSize: 16,
};

const namedSizes: Readonly<Record<string, number>> = {
  "xx-small": 9,
  "x-small": 10,
  small: 13,
  medium: 16,
  large: 18,
  "x-large": 24,
  "xx-large": 32,
};

/** A number or percentage cut to 0…1; null for anything else. */
export function parseOpacity(text: string | undefined): number | null {
  if (text === undefined) return null;
  const length = parseLength(text);
  if (!length || (length.unit !== "" && length.unit !== "%")) return null;
  return Math.min(1, Math.max(0, length.unit === "%" ? length.value / 100 : length.value));
}

function fontSizeOf(text: string | undefined, parent: number): number {
  if (text === undefined) return parent;
  const named = namedSizes[text];
  if (named !== undefined) return named;
  const length = parseLength(text);
  if (!length || length.value < 0) return parent;
  return userUnits(length, "x", { width: parent, height: parent, fontSize: parent });
}

/** Applies an element's own values to the style it inherits. What is not understood inherits. */
export function inheritStyle(parent: Style, own: Own): Style {
  /** The own value, with `inherit` and `unset` as nothing said and `initial` as the initial value. */
  const get = (property: string, initial: string): string | undefined => {
    const value = own.get(property);
    if (value === undefined || value === "") return undefined;
    if (value === "inherit" || value === "unset" || value === "revert") return undefined;
    return value === "initial" ? initial : value;
  };
  const opacity = (property: string, inherited: number): number =>
    parseOpacity(get(property, "1")) ?? inherited;
  const rule = get("fill-rule", "nonzero");
  const visibility = get("visibility", "visible");
  const order = get("paint-order", "normal");
  const marker = get("marker", "none");
  return {
    fill: get("fill", "black") ?? parent.fill,
    stroke: get("stroke", "none") ?? parent.stroke,
    color: colorOf(get("color", "black"), parent.color),
    fillOpacity: opacity("fill-opacity", parent.fillOpacity),
    strokeOpacity: opacity("stroke-opacity", parent.strokeOpacity),
    fillRule: rule === "evenodd" || rule === "nonzero" ? rule : parent.fillRule,
    strokeWidth: get("stroke-width", "1") ?? parent.strokeWidth,
    visible: visibility === undefined ? parent.visible : visibility === "visible",
    strokeFirst: order === undefined ? parent.strokeFirst : /^(markers\s+)?stroke/.test(order),
    markers: [
      get("marker-start", "none") ?? marker ?? parent.markers[0],
      get("marker-mid", "none") ?? marker ?? parent.markers[1],
      get("marker-end", "none") ?? marker ?? parent.markers[2],
    ],
    fontSize: fontSizeOf(get("font-size", "medium"), parent.fontSize),
  };
}

const colorOf = (own: string | undefined, inherited: string): string =>
  own === undefined || own.toLowerCase() === "currentcolor" ? inherited : own;
