/** Files meant to break a reader: what each one is, and what must come of it. */
import { gzipSync } from "node:zlib";
import { page } from "./helpers.ts";
import { doctype, file, type Hostile, lineAt, many, ok, path, raw, square } from "./hostile-parts.ts";
import { encodings, numbers, regexes } from "./hostile-values.ts";

const laughs = (last: string): string =>
  doctype(
    `<!ENTITY a0 "ha ">${many(10, (i) => `<!ENTITY a${i + 1} "${`&a${i};`.repeat(10)}">`)}`,
    last + square,
  );

const entities: Hostile[] = [
  raw("nested entities", () => laughs("<text>&a10;</text>"), { error: /entities.*too much/ }),
  raw("nested entities in an attribute", () => laughs('<g class="&a10;"/>'), { error: /entities.*too much/ }),
  raw("nested entities, never used", () => laughs(""), ok),
  raw(
    "one long entity, many times",
    () => doctype(`<!ENTITY a "${"x".repeat(100_000)}">`, `<desc>${"&a;".repeat(100_000)}</desc>`),
    { error: /entities.*too much/ },
  ),
  raw(
    "an entity that contains itself",
    () => doctype('<!ENTITY a "&b;"><!ENTITY b "&a;">', "<desc>&a;</desc>"),
    {
      error: /“a” contains itself/,
    },
  ),
  raw(
    "a chain of 100,000 entities",
    () =>
      doctype(
        `<!ENTITY e0 "x">${many(100_000, (i) => `<!ENTITY e${i + 1} "&e${i};">`)}`,
        "<desc>&e100000;</desc>",
      ),
    { error: /entities/ },
  ),
  raw("an entity from a file", () => doctype('<!ENTITY a SYSTEM "file:///etc/passwd">', "<desc>&a;</desc>"), {
    error: /undefined entity/,
  }),
  raw(
    "a parameter entity from the network",
    () => doctype('<!ENTITY % a SYSTEM "http://127.0.0.1:9/a.dtd"> %a;', square),
    ok,
  ),
  raw(
    "a DTD from the network",
    () => `<!DOCTYPE svg SYSTEM "http://127.0.0.1:9/svg.dtd">${page(square)}`,
    ok,
  ),
  raw("an entity that holds shapes", () => doctype("<!ENTITY a '<rect/>'>", "&a;"), {
    error: /“a” holds elements/,
  }),
  raw("an entity called constructor", () => page("<desc>&constructor;</desc>"), {
    error: /undefined entity/,
  }),
  raw("comments without end in the DOCTYPE", () => `<!DOCTYPE svg [${"<!-- ".repeat(400_000)}`, {
    error: /line 1/,
  }),
  raw(
    "entities without end in the DOCTYPE",
    () => `<!DOCTYPE svg [${"<!ENTITY a SYSTEM ".repeat(200_000)}]>${page("")}`,
    { error: /./ },
  ),
  raw("spaces without end in the DOCTYPE", () => doctype(`<!ENTITY a${" ".repeat(2_000_000)}`, square), ok),
];

const outside: Hostile[] = [
  file(
    "includes",
    () => `<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="file:///etc/passwd"/>${square}`,
  ),
  raw(
    "style sheets outside",
    () =>
      `<?xml-stylesheet href="file:///etc/passwd"?>${page(`<style>@import "http://127.0.0.1:9/a";</style>${square}`)}`,
    ok,
  ),
  file("links to files", () =>
    [
      '<image href="file:///etc/passwd" width="5" height="5"/><image href="/etc/passwd" width="5" height="5"/>',
      '<image href="http://127.0.0.1:9/a.png" width="5" height="5"/><use href="/etc/passwd#a"/>',
      `<use href="http://127.0.0.1:9/a.svg#a"/><rect fill="url(file:///etc/passwd#a)" width="9" height="9"/>${square}`,
    ].join(""),
  ),
  file(
    "fonts outside",
    () => `<style>@font-face{font-family:a;src:url(file:///etc/passwd)}</style>${square}`,
    ok,
  ),
  file("scripts", () => `<script>process.exit(9)</script><script href="/etc/passwd"/>${square}`, ok),
  file(
    "links that run",
    () => `<a href="javascript:process.exit(9)" onclick="process.exit(9)">${square}</a>`,
    ok,
  ),
  file("handlers", () => `<g onload="process.exit(9)">${square}</g>`, ok),
  file("data in data", () => {
    let inner = page(square);
    for (let i = 0; i < 6; i++) {
      const uri = `data:image/svg+xml;base64,${Buffer.from(inner).toString("base64")}`;
      inner = page(`<image href="${uri}" width="100" height="100"/>`);
    }
    return `<image href="data:image/svg+xml;base64,${Buffer.from(inner).toString("base64")}" width="9" height="9"/>`;
  }),
];

const layers = (n: number, of: number): string =>
  `<defs><g id="u0">${square}</g>${many(n, (i) => `<g id="u${i + 1}">${`<use href="#u${i}"/>`.repeat(of)}</g>`)}</defs>` +
  `<use href="#u${n}"/>`;

const circles: Hostile[] = [
  file("copies of copies, 10 × 10 levels", () => layers(10, 10), { error: /repeats|draws more than/ }),
  file("copies of nothing, 10 × 10 levels", () => layers(10, 10).replace(square, "<g/>"), {
    error: /repeats/,
  }),
  file("copies of copies, 5 × 10 levels", () => layers(5, 10)),
  file("a copy of itself", () => `<g id="a"><use href="#a"/></g>${square}`),
  file("copies in a circle", () => `<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>${square}`),
  file(
    "a copy of the document",
    () => `<use href="#top"/>${square}`.replace("<use", '<g id="top"><use') + "</g>",
  ),
  file("clips in a circle", () =>
    [
      '<clipPath id="a" clip-path="url(#b)"><rect width="99" height="99"/></clipPath>',
      '<clipPath id="b" clip-path="url(#a)"><rect width="99" height="99" clip-path="url(#b)"/></clipPath>',
      `<g clip-path="url(#a)">${square}</g>`,
    ].join(""),
  ),
  file("masks in a circle", () =>
    [
      '<mask id="a" mask="url(#b)"><rect width="99" height="99" fill="#fff" mask="url(#a)"/></mask>',
      `<mask id="b" mask="url(#a)"><rect width="99" height="99" fill="#fff"/></mask><g mask="url(#a)">${square}</g>`,
    ].join(""),
  ),
  file("patterns in a circle", () =>
    [
      '<pattern id="a" width="2" height="2" patternUnits="userSpaceOnUse" href="#b"><rect width="1" height="1" fill="url(#b)"/></pattern>',
      '<pattern id="b" width="2" height="2" patternUnits="userSpaceOnUse" href="#a"><rect width="1" height="1" fill="url(#a)"/></pattern>',
      `<rect width="90" height="90" fill="url(#a)"/>${square}`,
    ].join(""),
  ),
  file("gradients in a circle", () =>
    [
      '<linearGradient id="a" href="#b"/><radialGradient id="b" href="#a"/>',
      `<rect width="9" height="9" fill="url(#a)"/>${square}`,
    ].join(""),
  ),
  file("markers in a circle", () =>
    [
      `<marker id="a"><path ${lineAt} marker-mid="url(#b)"/></marker>`,
      `<marker id="b"><path ${lineAt} marker-mid="url(#a)"/></marker><path ${lineAt} marker-mid="url(#a)"/>${square}`,
    ].join(""),
  ),
  file("text on a path on text", () =>
    [
      '<text id="t"><textPath href="#p">Heron</textPath></text>',
      `<path id="p" d="M0 0h9" fill="none"/><text><textPath href="#t">Reach</textPath></text>${square}`,
    ].join(""),
  ),
  file("tiles without number", () =>
    [
      '<pattern id="a" width="1e-6" height="1e-6" patternUnits="userSpaceOnUse"><rect width="5e-7" height="5e-7"/></pattern>',
      '<rect width="90" height="90" fill="url(#a)"/>',
    ].join(""),
  ),
  file("tiles of tiles of tiles", () =>
    [
      many(
        6,
        (i) =>
          `<pattern id="p${i}" width="5" height="5" patternUnits="userSpaceOnUse"><rect width="4" height="4" fill="${i === 0 ? "black" : `url(#p${i - 1})`}"/><rect width="2" height="2" fill="${i === 0 ? "black" : `url(#p${i - 1})`}"/></pattern>`,
      ),
      '<rect width="90" height="90" fill="url(#p5)"/>',
    ].join(""),
  ),
  file("dashes without number", () => `<path ${lineAt} stroke-dasharray="1e-9 1e-9"/>`),
  file("markers on 100,000 points, each a crowd", () =>
    [
      `<marker id="a">${many(100, (i) => `<rect x="${i}" width="1" height="1"/>`)}</marker>`,
      `<path fill="none" stroke="black" marker-mid="url(#a)" d="M0 0${"l1 1-1-1".repeat(50_000)}"/>`,
    ].join(""),
  ),
  file("clips of clips, 10 × 10 levels", () =>
    [
      '<clipPath id="c0"><rect width="99" height="99"/></clipPath>',
      many(
        10,
        (i) =>
          `<clipPath id="c${i + 1}">${`<rect width="99" height="99" clip-path="url(#c${i})"/>`.repeat(10)}</clipPath>`,
      ),
      `<g clip-path="url(#c10)">${square}</g>`,
    ].join(""),
  ),
  file("masks of masks, 10 × 10 levels", () =>
    [
      '<mask id="m0"><rect width="99" height="99" fill="#fff"/></mask>',
      many(
        10,
        (i) =>
          `<mask id="m${i + 1}">${`<rect width="99" height="99" fill="#fff" mask="url(#m${i})"/>`.repeat(10)}</mask>`,
      ),
      `<g mask="url(#m10)">${square}</g>`,
    ].join(""),
  ),
];

const sizes: Hostile[] = [
  file("100,000 groups deep", () => "<g>".repeat(100_000) + square + "</g>".repeat(100_000), {
    error: /nested deeper/,
  }),
  file("100,000 groups deep, never closed", () => "<g>".repeat(100_000), { error: /nested deeper/ }),
  raw("200,000 lines in one contour", () =>
    path(
      `M50 50${many(200_000, (i) => `L${(50 + 40 * Math.cos(i / 31831)).toFixed(5)} ${(50 + 40 * Math.sin(i / 31831)).toFixed(5)}`)}z`,
    ),
  ),
  raw("200,000 contours", () =>
    path(many(200_000, (i) => `M${(i % 500) / 5} ${Math.floor(i / 500) / 5}h.1v.1z`)),
  ),
  raw("200,000 arcs", () => path(`M50 50${"a1 1 0 0 1 1 0a1 1 0 0 1-1 0".repeat(100_000)}`)),
  raw("200,000 relative curves, tangled", () => path(`M5 5${"c9 0 9 9 0 9s-9-8 .01-9".repeat(100_000)}`)),
  raw("200,000 points", () => page(`<polygon points="${many(200_000, (i) => `${i % 97},${i % 89} `)}"/>`)),
  raw("5,000 points, a star", () =>
    page(
      `<polygon points="${many(5000, (i) => `${(50 + 40 * Math.cos(i * 2.5)).toFixed(3)},${(50 + 40 * Math.sin(i * 2.5)).toFixed(3)} `)}"/>`,
    ),
  ),
  raw("an attribute of 10 MB", () => page(`<g data-a="${"x".repeat(10_000_000)}">${square}</g>`), ok),
  raw(
    "a path drawn 1,001 times, by the even-odd rule",
    () => page(`<path fill-rule="evenodd" d="${"M40 40h20v20h-20z".repeat(1001)}"/>`),
    ok,
  ),
  raw("6,000 squares in each other, dark and light in turn", () =>
    page(
      many(
        6000,
        (i) =>
          `<rect fill="${i % 2 ? "#fff" : "#000"}" x="${i / 130}" y="${i / 130}" width="${(100 - i / 65).toFixed(3)}" height="${(100 - i / 65).toFixed(3)}"/>`,
      ),
    ),
  ),
  raw("10,000 lines across each other", () =>
    page(
      `<g fill="none" stroke="#000" stroke-width=".01">${many(10_000, (i) => `<path d="M${(i * 37) % 101} 0L${(i * 71) % 103} 99"/>`)}</g>`,
    ),
  ),
  raw("50,000 curves in one stroke", () =>
    page(
      `<path fill="none" stroke="#000" stroke-width="3" d="M50 50${many(50_000, (i) => `c${(i % 7) - 3} ${(i % 5) - 2} ${(i % 11) - 5} ${(i % 3) - 1} ${(i % 13) - 6} ${(i % 17) - 8}`)}"/>`,
    ),
  ),
  raw("40,000 dashes on each of 20 lines", () =>
    page(many(20, (i) => `<path fill="none" stroke="#000" stroke-dasharray=".0013" d="M0 ${i}h100"/>`)),
  ),
  raw("30,000 faults", () => page(`<rect filter="url(#f)" width="1" height="1" fill="x"/>`.repeat(30_000)), {
    error: /filter|lie over/,
  }),
  raw("a colour of 10 MB", () => page(`<g fill="rgb(${" ".repeat(10_000_000)}">${square}</g>`)),
  raw("a name of 10 MB", () => `<${"x".repeat(10_000_000)}>`, { error: /line 1/ }),
  raw("a million elements", () => page("<g/>".repeat(999_990) + square)),
  raw("16 million elements", () => page("<g/>".repeat(16_000_000)), { error: /more elements/ }),
  raw("a million shapes", () => page("<rect width='1' height='1'/>".repeat(990_000))),
  raw(
    "a million attributes on one element",
    () => page(`<g ${many(1_000_000, (i) => `a${i}='' `)}>${square}</g>`),
    ok,
  ),
  raw("six million attributes", () => page(many(3_000_000, (i) => `<g a='' b='${i % 10}'/>`)), {
    error: /more elements/,
  }),
  raw("attributes given twice", () => page(`<g id="a" id="b">${square}</g>`), { error: /duplicate/ }),
  raw("200,000 comments", () => page(`<!-- -->x`.repeat(200_000) + square), ok),
  raw("CDATA, 200,000 times", () => page(`<desc>${"<![CDATA[x]]>".repeat(200_000)}</desc>${square}`), ok),
  raw("CDATA of brackets", () => page(`<desc><![CDATA[${"]".repeat(3_000_000)}]]></desc>${square}`), ok),
  raw("a million instructions", () => "<?a b?>".repeat(1_000_000) + page(square), ok),
  raw("more than 64 MB", () => page(" ".repeat(65 * 1024 * 1024)), { error: /64 MB/ }),
  raw("64 kB that unpack to 65 MB", () => gzipSync(page(" ".repeat(65 * 1024 * 1024))), { error: /64 MB/ }),
  raw("1 MB that unpacks to 1 GB", () => gzipSync(Buffer.alloc(1 << 30, 32)), { error: /64 MB/ }),
];

const all = [
  ...entities,
  ...outside,
  ...circles,
  ...sizes,
  ...encodings,
  ...regexes,
  ...numbers.filter(({ name }) => !/-1e154|1e400|-0|1e-320|999/.test(name)),
];

/** Those that take more than a second, or much memory. */
const slow =
  /copies|of (tiles|clips|masks)|crowd|star|in turn|lines|rules|siblings|selector|stroke|dashes on|faults|gradients that|levels deep|million (elements|shapes|attributes)|^200,000 (contours|arcs|relative|points)| GB$|MB$/;

/** Each in a process of its own. */
export const alone: readonly Hostile[] = all.filter(({ name }) => slow.test(name));

const quick = all.filter(({ name }) => !slow.test(name));
/** Several in one process after each other: each of them takes a fraction of a second. */
export const together: readonly (readonly Hostile[])[] = Array.from(
  { length: Math.ceil(quick.length / 10) },
  (_, i) => quick.slice(10 * i, 10 * i + 10),
);
