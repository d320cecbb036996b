/** Values and encodings meant to break a reader: what each file holds, and what must come of it. */
import { gzipSync } from "node:zlib";
import { page } from "./helpers.ts";
import { type Hostile, lineAt, many, ok, raw, square, xlink } from "./hostile-parts.ts";

const rules = (n: number, rule: (i: number) => string, elements: string): string =>
  page(`<style>${many(n, rule)}</style>${elements}`);
const rects = (n: number): string =>
  many(n, (i) => `<rect class="c${i} d" x="${i % 100}" y="${Math.floor(i / 100)}" width=".5" height=".5"/>`);

export const regexes: readonly Hostile[] = [
  raw("10,000 rules, 10,000 elements", () => rules(10_000, (i) => `.c${i}{fill:#000}`, rects(10_000))),
  raw("10,000 rules for all, 10,000 elements", () => rules(10_000, () => "rect{fill:#000}", rects(10_000))),
  raw("1,000 rules by descent, 10,000 elements", () =>
    rules(1000, () => "a b c *{fill:#000}", rects(10_000)),
  ),
  raw("a selector of 30 steps, 900 groups deep", () =>
    page(
      `<style>${"g ".repeat(30)}x ${"g ".repeat(30)}rect{fill:red}</style>${"<g>".repeat(900)}${square}${"</g>".repeat(900)}`,
    ),
  ),
  raw("10,000 siblings", () => rules(1, () => "a~b~rect{fill:#f00}", rects(10_000))),
  raw("20,000 brackets in a style sheet", () => rules(1, () => "(".repeat(20_000), square)),
  raw("20,000 rules inside rules", () => rules(1, () => "a{".repeat(20_000), square)),
  raw("20,000 nested media", () => rules(1, () => "@media screen{".repeat(20_000), square)),
  raw("20,000 brackets in a style", () => page(`<g style="fill:${"(".repeat(20_000)}">${square}</g>`)),
  raw("comments without end in a style sheet", () => rules(1, () => "/*".repeat(1_000_000), square)),
  raw("comments without end in a value", () =>
    page(`<g style="fill:${"/* ".repeat(200_000)}">${square}</g>`),
  ),
  raw("a transform of a million spaces", () =>
    page(`<g transform="scale(1)${" ".repeat(1_000_000)}x">${square}</g>`),
  ),
  raw("a transform of a million brackets", () =>
    page(`<g transform="${"scale(".repeat(160_000)}">${square}</g>`),
  ),
  raw("a transform of a million digits", () =>
    page(`<g transform="scale(${"1".repeat(1_000_000)}x)">${square}</g>`),
  ),
  raw("200,000 transforms", () => page(`<g transform="${"rotate(1)".repeat(200_000)}">${square}</g>`)),
  raw("points of a million spaces", () =>
    page(`<polygon points="0 0 9 0 9 9${" ,".repeat(500_000)}x"/>${square}`),
  ),
  raw("points of a million digits", () => page(`<polygon points="${"1".repeat(1_000_000)}x"/>${square}`)),
  raw("a length of a million spaces", () =>
    page(`<rect width="1${" ".repeat(1_000_000)}x" height="1"/>${square}`),
  ),
  raw("a length of a million digits", () =>
    page(`<rect width="${"1".repeat(1_000_000)}!" height="1"/>${square}`),
  ),
  raw("a viewBox of a million spaces", () =>
    page(`<svg viewBox="0${" ".repeat(1_000_000)}x">${square}</svg>`),
  ),
  raw("a fit of a million spaces", () =>
    page(`<svg preserveAspectRatio="${" ".repeat(1_000_000)}x">${square}</svg>`),
  ),
  raw("a url of a million spaces", () => page(`<g fill="url(${" ".repeat(1_000_000)}">${square}</g>`)),
  raw("a clip's url of a million spaces", () =>
    page(`<g clip-path="url(${" ".repeat(1_000_000)}x">${square}</g>`),
  ),
  raw("a colour of a million digits", () => page(`<g fill="rgb(${"1".repeat(1_000_000)}">${square}</g>`)),
  raw("a colour of 300,000 numbers", () => page(`<g fill="rgb(${"1,".repeat(300_000)}">${square}</g>`)),
  raw("a profile colour without end", () => page(`<g fill="${"icc-color(".repeat(100_000)}">${square}</g>`)),
  raw("a dash list of a million", () =>
    page(`<path ${lineAt} stroke-dasharray="${"1 ".repeat(500_000)}x"/>`),
  ),
  raw("a class of a million words", () =>
    rules(1, () => ".a{fill:#000}", `<g class="${"b ".repeat(500_000)}">${square}</g>`),
  ),
  raw("a font size of a million digits", () =>
    page(`<g font-size="${"1".repeat(1_000_000)}e">${square}</g>`),
  ),
  raw("a paint order of a million spaces", () =>
    page(`<g paint-order="markers${" ".repeat(1_000_000)}">${square}</g>`),
  ),
  raw("languages without end", () =>
    page(`<g systemLanguage="${"de,".repeat(300_000)}">${square}</g>${square}`),
  ),
  raw("text of a million spaces", () => page(`<text>${" x".repeat(500_000)}</text>${square}`)),
  raw("an origin of a million spaces", () =>
    page(`<g transform="scale(1)" transform-origin="1${" ".repeat(1_000_000)}x">${square}</g>`),
  ),
  raw("20,000 gradients that refer to each other", () =>
    page(
      many(
        20_000,
        (i) =>
          `<linearGradient id="g${i}" href="#g${i + 1}"/><rect width="1" height="1" fill="url(#g${i})"/>`,
      ) + square,
    ),
  ),
  raw("a patterns' chain of 20,000", () =>
    page(
      many(20_000, (i) => `<pattern id="p${i}" href="#p${i + 1}"/>`) +
        '<rect width="9" height="9" fill="url(#p0)"/>'.repeat(100) +
        square,
    ),
  ),
  raw(
    "200,000 copies of a long value",
    () =>
      page(
        `<defs><g id="a" class="${"x".repeat(10_000)}"/></defs>${'<use href="#a"/>'.repeat(200_000)}${square}`,
      ),
    { error: /repeats/ },
  ),
  raw("a family of backslashes", () =>
    page(`<text font-family='"${"\\".repeat(500_000)}x'>Heron</text>${square}`),
  ),
  raw("copies 900 levels deep", () =>
    page("<g>".repeat(900) + '<use href="#ink"/>'.repeat(30_000) + "</g>".repeat(900) + square),
  ),
  raw("prefixes 900 levels deep", () =>
    page("<g>".repeat(900) + "<a:b c:d=''/>".repeat(100_000) + "</g>".repeat(900) + square),
  ),
  raw("names of inherited things", () =>
    page(
      `<g font-size="constructor"><rect width="1em" height="1em"/><rect fill="constructor" stroke="__proto__" width="9" height="9"/>` +
        `<rect width="9" height="9" transform="rotate(5constructor)"/><g transform="constructor(1)" transform-origin="constructor __proto__"><rect width="3" height="3"/></g>` +
        `<rect id="__proto__" class="constructor" style="constructor:1;__proto__:2" width="5" height="5"/><use href="#constructor"/></g>${square}`,
    ),
  ),
];

/** Numbers that no length can be, wherever a length stands. */
export const numbers: readonly Hostile[] = [
  ...["1e308", "-1e154", "1e400", "NaN", "-0", "1e-320", "9".repeat(400)].flatMap((n) => [
    raw(`a path to ${n.slice(0, 12)}`, () => page(`<path d="M0 0L${n} 5L5 ${n}z"/>${square}`)),
    raw(`curves to ${n.slice(0, 12)}`, () =>
      page(`<path stroke="black" d="M0 0C${n} 1 2 ${n} 3 3Q1 ${n} 9 9A${n} 2 0 0 1 4 4z"/>${square}`),
    ),
    raw(`points at ${n.slice(0, 12)}`, () =>
      page(`<polygon stroke="black" points="0 0 ${n} 9 9 ${n}"/>${square}`),
    ),
    raw(`a circle of ${n.slice(0, 12)}`, () =>
      page(`<circle cx="${n}" cy="5" r="${n}" stroke="black"/>${square}`),
    ),
    raw(`a box of ${n.slice(0, 12)}`, () =>
      page(`<rect x="${n}" width="${n}" height="5" rx="${n}"/>${square}`),
    ),
    raw(`a line ${n.slice(0, 12)} wide`, () =>
      page(
        `<path ${lineAt} stroke-width="${n}" stroke-dasharray="${n} 1" stroke-dashoffset="${n}" stroke-miterlimit="${n}"/>${square}`,
      ),
    ),
    raw(`scaled by ${n.slice(0, 12)}`, () =>
      page(`<g transform="scale(${n})"><rect width="1" height="1" stroke="black"/></g>${square}`),
    ),
    raw(`moved by ${n.slice(0, 12)}`, () =>
      page(`<g transform="translate(${n} 1) rotate(${n})"><rect width="1" height="1"/></g>${square}`),
    ),
    raw(`a page of ${n.slice(0, 12)}`, () => page(square).replace('width="100mm"', `width="${n}mm"`)),
    raw(`a viewBox of ${n.slice(0, 12)}`, () => page(square).replace("0 0 100 100", `0 0 ${n} ${n}`)),
    raw(`a tile of ${n.slice(0, 12)}`, () =>
      page(
        `<pattern id="p" x="${n}" width="${n}" height="${n}" patternUnits="userSpaceOnUse"><rect width="1" height="1"/></pattern><rect width="9" height="9" fill="url(#p)"/>${square}`,
      ),
    ),
    raw(`text of ${n.slice(0, 12)}`, () =>
      page(`<text x="${n}" font-size="${n}" letter-spacing="${n}">Heron</text>${square}`),
    ),
  ]),
  raw("transforms without area", () =>
    page(
      `<g transform="scale(0 1)"><rect width="9" height="9" stroke="black"/></g><g transform="matrix(1 1 1 1 0 0)"><rect width="9" height="9"/></g>` +
        `<g transform="skewX(90)"><rect width="9" height="9"/></g><g transform="scale(1e-200)"><rect width="9" height="9" stroke="black"/></g>${square}`,
    ),
  ),
  raw("a million mm wide", () => page(square).replace('width="100mm"', 'width="1e9mm"')),
  raw("a page of no size", () => page(square).replace('width="100mm"', 'width="0"'), { error: /width/ }),
  raw("a page of less than no size", () => page(square).replace('width="100mm"', 'width="-5"'), {
    error: /width/,
  }),
  raw("a viewBox of no size", () => page(square).replace("0 0 100 100", "0 0 0 100"), { error: /viewBox/ }),
  raw("sizes below zero", () =>
    page(`<rect width="-5" height="5"/><circle r="-5"/><ellipse rx="-5" ry="5"/>${square}`),
  ),
];

const utf16 = (text: string, big: boolean, mark: boolean): Uint8Array => {
  const bytes = Buffer.from((mark ? "\ufeff" : "") + text, "utf16le");
  return big ? bytes.swap16() : bytes;
};
const plain = page(`<title>Regattahöhe</title>${square}`);

/** How a file may be packed and written: XML 1.0, appendix F, and RFC 1952. */
export const encodings: readonly Hostile[] = [
  raw("UTF-8 with a mark", () => `\ufeff${plain}`, ok),
  raw("UTF-16 from the left, with a mark", () => utf16(plain, false, true), ok),
  raw("UTF-16 from the right, with a mark", () => utf16(plain, true, true), ok),
  raw("UTF-16 from the left, without one", () => utf16(plain, false, false), ok),
  raw("UTF-16 from the right, without one", () => utf16(plain, true, false), ok),
  raw(
    "UTF-16 that says UTF-8",
    () => utf16(`<?xml version="1.0" encoding="UTF-8"?>${plain}`, false, true),
    ok,
  ),
  raw("half a character of UTF-16", () => utf16(plain, false, true).subarray(0, -1), { error: /UTF-16/ }),
  raw(
    "latin-1 as declared",
    () => Buffer.from(`<?xml version="1.0" encoding="ISO-8859-1"?>${plain}`, "latin1"),
    ok,
  ),
  raw("latin-1, not declared", () => Buffer.from(plain, "latin1"), { error: /UTF-8.*line 1/ }),
  raw("svgz", () => gzipSync(plain), ok),
  raw("svgz in UTF-16", () => gzipSync(utf16(plain, true, true)), ok),
  raw("svgz cut short", () => gzipSync(plain).subarray(0, -9), { error: /cut short or damaged/ }),
  raw("svgz with a wrong byte", () => gzipSync(plain).fill(0x55, 40, 44), { error: /cut short or damaged/ }),
  raw("zero bytes", () => plain.replace("><", ">\0<"), { error: /zero bytes/ }),
  raw("nothing", () => "", { error: /empty/ }),
  raw("cut short in a tag", () => plain.slice(0, -10), { error: /not readable as XML at line 1/ }),
  raw("cut short in a value", () => plain.slice(0, plain.lastIndexOf("20")), {
    error: /not readable as XML at line 1/,
  }),
];

const rich =
  `<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY ns "http://www.w3.org/2000/svg">]><!-- c --><svg xmlns="&ns;" ${xlink} ` +
  `width="9mm" height="9mm"><style><![CDATA[.a{fill:#000}]]></style><g class="a" transform="scale(2)">` +
  `<path d="M0 0C1 2 3 4 5 6z"/><text>Heron &amp; Reach</text></g><?p q?></svg>`;

export const truncated: readonly string[] = Array.from({ length: rich.length - 1 }, (_, i) =>
  rich.slice(0, i + 1),
);
