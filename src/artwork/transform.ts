/** `transform`, as attribute and as CSS property: every two-dimensional function of both, with units. */
import type { Affine } from "../geometry/affine.ts";
import { identity, multiply, rotate, scale, translate } from "../geometry/affine.ts";
import type { Axis, LengthContext } from "./units.ts";
import { parseLength, userUnits } from "./units.ts";

const call = /\s*(?:,\s*)?([a-zA-Z0-9]+)\s*\(([^()]*)\)/gy;
const argument = /\s*(?:,\s*)?([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)(%|[a-zA-Z]*)/gy;
const radiansPer: Readonly<Record<string, number>> = {
  "": Math.PI / 180,
  deg: Math.PI / 180,
  grad: Math.PI / 200,
  rad: 1,
  turn: 2 * Math.PI,
};

interface Argument {
  readonly value: number;
  readonly unit: string;
}

function argumentsOf(text: string): Argument[] | null {
  const list: Argument[] = [];
  let end = 0;
  argument.lastIndex = 0;
  for (let m = argument.exec(text); m; m = argument.exec(text)) {
    list.push({ value: Number(m[1]), unit: m[2].toLowerCase() });
    end = argument.lastIndex;
  }
  return text.slice(end).trim() === "" && list.every((a) => Number.isFinite(a.value)) ? list : null;
}

/** One function's matrix, or null when its name, number of arguments or units are wrong. */
function matrixOf(name: string, args: readonly Argument[], context: LengthContext): Affine | null {
  let wrong = false;
  const plain = (i: number): number => {
    if (args[i].unit === "%") return args[i].value / 100;
    if (args[i].unit !== "") wrong = true;
    return args[i].value;
  };
  const length = (i: number, axis: Axis): number => {
    if (args[i].unit === "") return args[i].value;
    const parsed = parseLength(args[i].value + args[i].unit);
    if (!parsed) wrong = true;
    return parsed ? userUnits(parsed, axis, context) : 0;
  };
  const angle = (i: number): number => {
    const per = radiansPer[args[i].unit];
    if (per === undefined) wrong = true;
    return args[i].value * (per ?? 0);
  };
  const skew = (x: number, y: number): Affine => ({ ...identity, c: Math.tan(x), b: Math.tan(y) });
  const count = args.length;
  let m: Affine | null = null;
  if (name === "matrix" && count === 6) {
    m = { a: plain(0), b: plain(1), c: plain(2), d: plain(3), e: plain(4), f: plain(5) };
  } else if (name === "translate" && (count === 1 || count === 2)) {
    m = translate(length(0, "x"), count === 2 ? length(1, "y") : 0);
  } else if (name === "scale" && (count === 1 || count === 2)) {
    m = scale(plain(0), count === 2 ? plain(1) : plain(0));
  } else if (name === "rotate" && count === 1) {
    m = rotate(angle(0));
  } else if (name === "rotate" && count === 3) {
    const x = length(1, "x");
    const y = length(2, "y");
    m = multiply(translate(x, y), multiply(rotate(angle(0)), translate(-x, -y)));
  } else if (name === "skew" && (count === 1 || count === 2)) {
    m = skew(angle(0), count === 2 ? angle(1) : 0);
  } else if (count === 1) {
    if (name === "skewX") m = skew(angle(0), 0);
    if (name === "skewY") m = skew(0, angle(0));
    if (name === "translateX") m = translate(length(0, "x"), 0);
    if (name === "translateY") m = translate(0, length(0, "y"));
    if (name === "scaleX") m = scale(plain(0), 1);
    if (name === "scaleY") m = scale(1, plain(0));
  }
  return wrong ? null : m;
}

/** The product of a transform list, the identity for "" and `none`, null for a list that is not understood. */
export function parseTransform(text: string, context: LengthContext): Affine | null {
  const list = text.trim();
  if (list === "" || list === "none") return identity;
  let m: Affine = identity;
  let end = 0;
  call.lastIndex = 0;
  for (let match = call.exec(list); match; match = call.exec(list)) {
    end = call.lastIndex;
    const args = argumentsOf(match[2]);
    const next = args && matrixOf(match[1], args, context);
    if (!next) return null;
    m = multiply(m, next);
  }
  return end === list.length ? m : null;
}

const sideShare: Readonly<Record<string, number>> = { left: 0, top: 0, center: 0.5, right: 1, bottom: 1 };

/** `transform-origin` in user units of the viewport (its z part is not used), or null if not understood. */
export function parseOrigin(text: string, context: LengthContext): { x: number; y: number } | null {
  const parts = text.trim().split(/\s+/);
  if (parts.length > 3) return null;
  let [first, second = "center"] = parts;
  if (/^(top|bottom)$/.test(first) || /^(left|right)$/.test(second)) [first, second] = [second, first];
  const resolve = (part: string, axis: Axis): number | null => {
    const side = sideShare[part];
    if (side !== undefined) return side * (axis === "x" ? context.width : context.height);
    const length = parseLength(part);
    return length && userUnits(length, axis, context);
  };
  const x = resolve(first, "x");
  const y = resolve(second, "y");
  return x === null || y === null ? null : { x, y };
}
