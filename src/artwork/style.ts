/** The inherited properties of an element, computed from its parent's and its own values. */
import type { Own } from "./cascade.ts";
import type { TextStyle } from "./text/textstyle.ts";
import type { FillRule, Stroke } from "./types.ts";
import { parseLength, userUnits } from "./units.ts";

export type PaintStep = "fill" | "stroke" | "markers";

export interface Style {
  /** Paints stay as written: currentColor is resolved where it is painted. */
  readonly fill: string;
  readonly stroke: string;
  readonly color: string;
  readonly fillOpacity: number;
  readonly strokeOpacity: number;
  readonly fillRule: FillRule;
  readonly clipRule: FillRule;
  readonly strokeWidth: string;
  readonly cap: Stroke["cap"];
  readonly join: Stroke["join"];
  readonly miterLimit: number;
  /** As written: its lengths depend on the viewport. */
  readonly dashes: string;
  readonly dashOffset: string;
  readonly visible: boolean;
  readonly paintOrder: readonly PaintStep[];
  /** marker-start, -mid and -end; "none" three times for no marker. */
  readonly markers: readonly [string, string, string];
  /** In user units (px). */
  readonly fontSize: number;
  /** Where the text properties are looked up, should there be text. */
  readonly lineage: Lineage | null;
}

/** The own values of an element and of all around it. */
export interface Lineage {
  readonly own: Own;
  readonly outer: Lineage | null;
  readonly fontSize: number;
  /** Keeps the text properties once they are known. */
  readonly memo: { text?: TextStyle };
}

export const initialStyle: Style = {
  fill: "black",
  stroke: "none",
  color: "black",
  fillOpacity: 1,
  strokeOpacity: 1,
  fillRule: "nonzero",
  clipRule: "nonzero",
  strokeWidth: "1",
  cap: "butt",
  join: "miter",
  miterLimit: 4,
  dashes: "none",
  dashOffset: "0",
  visible: true,
  paintOrder: ["fill", "stroke", "markers"],
  markers: ["none", "none", "none"],
  fontSize: 16,
  lineage: null,
};

const namedSizes: Readonly<Record<string, number>> = {
  "xx-small": 9,
  "x-small": 10,
  small: 13,
  medium: 16,
  large: 18,
  "x-large": 24,
  "xx-large": 32,
  "xxx-large": 48,
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
  if (text === "larger") return parent * 1.2;
  if (text === "smaller") return parent / 1.2;
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
  /** The own value if it is one of a property's words, else the inherited one. */
  const word = <T extends string>(property: string, words: readonly [T, ...T[]], inherited: T): T => {
    const value = get(property, words[0]);
    return words.find((w) => w === value) ?? inherited;
  };
  const visibility = get("visibility", "visible");
  const order = get("paint-order", "normal");
  const marker = get("marker", "none");
  const fontSize = fontSizeOf(get("font-size", "medium"), parent.fontSize);
  return {
    fill: get("fill", "black") ?? parent.fill,
    stroke: get("stroke", "none") ?? parent.stroke,
    color: colorOf(get("color", "black"), parent.color),
    fillOpacity: opacity("fill-opacity", parent.fillOpacity),
    strokeOpacity: opacity("stroke-opacity", parent.strokeOpacity),
    fillRule: word("fill-rule", ["nonzero", "evenodd"], parent.fillRule),
    clipRule: word("clip-rule", ["nonzero", "evenodd"], parent.clipRule),
    strokeWidth: get("stroke-width", "1") ?? parent.strokeWidth,
    cap: word("stroke-linecap", ["butt", "round", "square"], parent.cap),
    join: joinOf(get("stroke-linejoin", "miter"), parent.join),
    miterLimit: miterLimitOf(get("stroke-miterlimit", "4"), parent.miterLimit),
    dashes: get("stroke-dasharray", "none") ?? parent.dashes,
    dashOffset: get("stroke-dashoffset", "0") ?? parent.dashOffset,
    visible: visibility === undefined ? parent.visible : visibility === "visible",
    paintOrder: order === undefined ? parent.paintOrder : paintOrderOf(order),
    markers: [
      get("marker-start", "none") ?? marker ?? parent.markers[0],
      get("marker-mid", "none") ?? marker ?? parent.markers[1],
      get("marker-end", "none") ?? marker ?? parent.markers[2],
    ],
    fontSize,
    lineage: { own, outer: parent.lineage, fontSize, memo: {} },
  };
}

const colorOf = (own: string | undefined, inherited: string): string =>
  own === undefined || own.toLowerCase() === "currentcolor" ? inherited : own;

/** `arcs` falls back to miter, as the standard allows. */
function joinOf(own: string | undefined, inherited: Stroke["join"]): Stroke["join"] {
  if (own === "arcs") return "miter";
  return own === "miter" || own === "miter-clip" || own === "round" || own === "bevel" ? own : inherited;
}

/** A limit below 1 is an error in the file and says nothing. */
function miterLimitOf(own: string | undefined, inherited: number): number {
  const value = own === undefined ? Number.NaN : Number(own);
  return value >= 1 ? value : inherited;
}

const usualOrder: readonly PaintStep[] = ["fill", "stroke", "markers"];

/** The steps named come first, the others after them in the usual order (SVG 2, 13.8). */
function paintOrderOf(text: string): readonly PaintStep[] {
  const named = text.split(/\s+/).flatMap((word) => usualOrder.filter((step) => step === word));
  return [...new Set([...named, ...usualOrder])];
}
