/** A small writer of SVG text: escaped attributes, rounded numbers, and a stop at any number that is none. */

export type Attributes = Readonly<Record<string, string | number>>;

/** `<name …>children</name>`; numbers are written with `decimals` places. */
export function tag(name: string, attributes: Attributes, children = "", decimals = 2): string {
  const written = Object.entries(attributes)
    .map(([key, value]) => ` ${key}="${typeof value === "number" ? fixed(value, decimals) : escaped(value)}"`)
    .join("");
  return children === "" ? `<${name}${written}/>` : `<${name}${written}>${children}</${name}>`;
}

/** A number with at most so many decimals, never in powers of ten. */
export function fixed(value: number, decimals: number): string {
  if (!Number.isFinite(value)) throw new Error(`a picture was given ${value} for a length`);
  const text = value.toFixed(decimals);
  const short = text.includes(".") ? text.replace(/\.?0+$/, "") : text;
  return short === "-0" ? "0" : short;
}

/** Path data of open lines x0 y0 x1 y1. */
export const segmentsData = (segments: readonly (readonly number[])[], decimals = 2): string =>
  segments
    .map(([x0, y0, x1, y1]) => {
      const [a, b, c, d] = [x0!, y0!, x1!, y1!].map((v) => fixed(v, decimals));
      return `M${a} ${b}L${c} ${d}`;
    })
    .join("");

/** Path data of points x y, x y, …; closed where asked. */
export const ringData = (
  points: readonly { readonly x: number; readonly y: number }[],
  closed: boolean,
  decimals = 2,
): string =>
  points.length < 2
    ? ""
    : points.map((p, i) => `${i === 0 ? "M" : "L"}${fixed(p.x, decimals)} ${fixed(p.y, decimals)}`).join("") +
      (closed ? "Z" : "");

export const escaped = (text: string): string =>
  text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;").replace(/"/g, "&quot;");
