import { describe, expect, test } from "vitest";
import { textOf } from "../../src/artwork/node.ts";
import { readXml } from "../../src/artwork/xml.ts";
import { readInk } from "../../src/ink/ink.ts";
import { JobError } from "../../src/problem.ts";
import { boxOf, codes, errorOf, ids, ink, page, read, readText } from "./helpers.ts";

describe("broken files throw, with line and column", () => {
  test.each([
    ["", "empty-text", undefined, undefined],
    [" \n ", "empty-text", undefined, undefined],
    ["hello", "broken-xml", 1, 5],
    ["<svg>\n <g>\n </svg>", "broken-xml", 3, 7],
    ["<svg>\n  <rect x=5/>\n</svg>", "broken-xml", 2, 11],
    ["<svg>\n  <rect", "broken-xml", 2, 7],
    ["<svg>&nothing;</svg>", "broken-xml", 1, 14],
    ["<svg><!-- a -- b --></svg>", "broken-xml", 1, 15],
    ["<html><body/></html>", "not-svg", 1, 1],
    ['<svg xmlns="urn:other"><rect width="1" height="1"/></svg>', "not-svg", 1, 1],
  ])("%j → %s", (text, code, line, column) => {
    const { problem } = errorOf(text);
    expect(problem.code).toBe(code);
    expect(problem.severity).toBe("error");
    if (line === undefined) return;
    expect(problem.where?.line).toBe(line);
    expect(problem.where?.column).toBe(column);
    if (code === "broken-xml") {
      expect(problem.message).toContain(`line ${problem.where?.line}, column ${problem.where?.column}`);
    }
  });

  test("nothing to mark", async () => {
    await expect(readInk(page(""))).rejects.toMatchObject({ problem: { code: "no-ink" } });
    const white = page('<rect fill="white" width="9" height="9"/>');
    await expect(readInk(white)).rejects.toMatchObject({ problem: { code: "no-ink" } });
  });
});

describe("the tree", () => {
  test("elements know their line and column", () => {
    const { root } = readXml(
      '<?xml version="1.0"?>\n<svg>\n  <g\n   id="a">é<b/></g><!-- <c/> -->\n\t<d/></svg>',
    );
    const [g, d] = root.children.filter((n) => n.type === "element");
    expect([root.line, root.column]).toEqual([2, 1]);
    expect([g.line, g.column]).toEqual([3, 3]);
    expect([g.children[1].line, g.children[1].column]).toEqual([4, 12]);
    expect([d.name, d.line, d.column]).toEqual(["d", 5, 2]);
  });

  test("comments stay dead, CDATA and references are text", () => {
    const { root } = readXml("<svg>a<!-- <b/> -->&amp;<![CDATA[<c>]]>&#x41;</svg>");
    expect(textOf(root)).toBe("a&<c>A");
    expect(root.children.every((n) => n.type === "text")).toBe(true);
  });

  test("prefixes are resolved, foreign elements ignored", () => {
    const artwork = readText(
      '<s:svg xmlns:s="http://www.w3.org/2000/svg" xmlns:o="urn:o" width="9mm" height="9mm" viewBox="0 0 9 9">' +
        '<o:rect width="5" height="5"/><o:g><s:rect width="5" height="5"/></o:g>' +
        '<s:rect id="a" width="2" height="3"/></s:svg>',
    );
    expect(ids(artwork)).toEqual(["a"]);
    expect(codes(artwork)).toEqual([]);
  });

  test("a missing namespace is a caution, an undeclared xlink is understood", () => {
    const artwork = readText(
      '<svg width="9mm" height="9mm" viewBox="0 0 9 9"><rect id="a" width="2" height="3"/><use xlink:href="#a" x="3"/></svg>',
    );
    expect(artwork.shapes.length).toBe(2);
    expect(codes(artwork)).toEqual(["namespace-missing"]);
  });
});

describe("entities", () => {
  const doctype = (declarations: string): string =>
    `<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "x" [${declarations}]>`;

  test("declared in the file they are expanded", () => {
    const artwork = readText(
      doctype(
        '<!ENTITY ns "http://www.w3.org/2000/svg">\n<!ENTITY dark \'#123\'><!-- <!ENTITY dark "x"> -->',
      ) +
        '<svg xmlns="&ns;" width="9mm" height="9mm" viewBox="0 0 9 9"><rect fill="&dark;" width="2" height="3"/></svg>',
    );
    expect(codes(artwork)).toEqual([]);
    expect(artwork.shapes.length).toBe(1);
  });

  // XML 1.0, appendix D "Expansion of Entity and Character References": the second example's entities, as text.
  test.each([
    ['<!ENTITY a "x"><!ENTITY b "&a;&#65;&a;">', "&b;", "xAx"],
    ['<!ENTITY b "&a;"><!ENTITY a "later">', "&b;", "later"],
    ['<!ENTITY a "first"><!ENTITY a "second">', "&a;", "first"],
    ["<!ENTITY a 'says \"so\"'>", "&a;", 'says "so"'],
    ['<!ENTITY a "&lt;b&gt; &amp;amp;">', "&a;", "<b> &amp;"],
    ['<!ENTITY a "&#38;#60;b>">', "&a;", "<b>"],
    ['<!ENTITY % p "x"><!ENTITY a "y">', "&a;", "y"],
    ['<!ELEMENT svg ANY><!ATTLIST svg q CDATA "<!ENTITY a \'no\'>"><!ENTITY a "yes">', "&a;", "yes"],
    ["<?p <!ENTITY a 'no'> ?><!-- <!ENTITY a 'no'> --><!ENTITY a 'yes'>", "&a;", "yes"],
    ['<!ENTITY\n a\t"x"\r\n>', "&a;", "x"],
    ['<!ENTITY é-1.x "x">', "&é-1.x;", "x"],
  ])("%s: %s is %s", (declarations, content, expected) => {
    expect(textOf(readXml(`${doctype(declarations)}<svg>${content}</svg>`).root)).toBe(expected);
    const { root } = readXml(`${doctype(declarations)}<svg a="${content}"/>`);
    expect(root.attributes.a).toBe(expected);
  });

  test.each([
    ["<!ENTITY a '<rect/>'>", "entity-markup"],
    ["<!ENTITY a '&#60;rect/>'>", "entity-markup"],
    ["<!ENTITY a '&a;'>", "entity-cycle"],
    ["<!ENTITY a '&b;'><!ENTITY b '&c;'><!ENTITY c '&a;'>", "entity-cycle"],
    ["<!ENTITY a '&b;'>", "broken-xml"],
    ["<!-- <!ENTITY a 'x'> -->", "broken-xml"],
    ["<!ENTITY % a 'x'>", "broken-xml"],
    ["<!ENTITY a PUBLIC 'x' 'http://127.0.0.1:9/'>", "broken-xml"],
    ["", "broken-xml"],
  ])("%s: a use of a is %s, its place named; without a use it is nothing", (declarations, code) => {
    const { problem } = errorOf(`${doctype(declarations)}\n<svg>&a;</svg>`);
    expect(problem).toMatchObject({ code, where: { line: 2, column: 8 } });
    expect(readXml(`${doctype(declarations)}<svg/>`).root.name).toBe("svg");
  });

  test.each(["constructor", "toString", "__proto__", "hasOwnProperty"])("&%s; is not declared", (name) => {
    expect(errorOf(`<svg>&${name};</svg>`).problem.code).toBe("broken-xml");
    const { root } = readXml(`${doctype(`<!ENTITY ${name} "x">`)}<svg>&${name};</svg>`);
    expect(textOf(root)).toBe("x");
  });

  test("nested without end they are too large, at once", () => {
    let declarations = '<!ENTITY e0 "ha">';
    for (let i = 0; i < 30; i++) declarations += `<!ENTITY e${i + 1} "${`&e${i};`.repeat(10)}">`;
    expect(errorOf(`${doctype(declarations)}<svg>&e30;</svg>`).problem.code).toBe("entity-too-large");
    expect(textOf(readXml(`${doctype(declarations)}<svg>&e3;</svg>`).root)).toBe("ha".repeat(1000));
  });

  test("outside ones are refused", () => {
    const text = `${doctype('<!ENTITY out SYSTEM "file:///etc/hosts">')}<svg>&out;</svg>`;
    expect(errorOf(text).problem.code).toBe("broken-xml");
  });

  test("their expansion is capped", () => {
    const text = `${doctype(`<!ENTITY a "${"x".repeat(100_000)}">`)}<svg>${"&a;".repeat(1000)}</svg>`;
    expect(errorOf(text).problem.code).toBe("entity-too-large");
  });
});

describe("caps", () => {
  test("deep nesting is read to 950 levels and refused beyond 1,000", () => {
    const nest = (n: number): string => page("<g>".repeat(n) + ink + "</g>".repeat(n));
    expect(readText(nest(950)).shapes.length).toBe(1);
    expect(errorOf(nest(1000)).problem.code).toBe("too-deep");
    expect(errorOf(nest(100_000)).problem.code).toBe("too-deep");
  });
  test("nesting through uses to 1,100 levels is read, beyond 1,200 refused", () => {
    const chain = (n: number): string =>
      page(
        `<defs>${"<g>".repeat(n)}<use href="#b"/>${"</g>".repeat(n)}</defs>`.replace("<g>", '<g id="a">') +
          `<defs>${"<g>".repeat(n)}${ink}${"</g>".repeat(n)}</defs>`.replace("<g>", '<g id="b">') +
          '<use href="#a"/>',
      );
    expect(readText(chain(545)).shapes.length).toBe(1);
    expect(errorOf(chain(650)).problem.code).toBe("too-many-elements");
  });
  test("elements, texts and attributes", () => {
    expect(errorOf(page("<g/>".repeat(1_000_001))).problem.code).toBe("too-many-elements");
    expect(errorOf(page("x<!---->".repeat(1_000_001))).problem.code).toBe("too-many-elements");
    expect(
      errorOf(page('<g a="" b=""/>'.repeat(700_000) + '<g a="" b="" c=""/>'.repeat(299_000))).problem.code,
    ).toBe("too-many-elements");
  });
  test("a long line costs no more than a short one", () => {
    // All on one line: a place is found without a search to the end of the text.
    const { root } = readXml(`<svg>${"<g/>".repeat(300_000)}</svg>`);
    expect(root.children[299_999].column).toBe(6 + 4 * 299_999);
  });
  test("size", () => {
    expect(() => readXml(" ".repeat(64 * 1024 * 1024) + "<svg/>")).toThrow(JobError);
  });
  test("repeated uses that multiply without end", () => {
    let defs = '<g id="g0"><g/></g>';
    for (let i = 1; i < 30; i++) defs += `<g id="g${i}">${`<use href="#g${i - 1}"/>`.repeat(4)}</g>`;
    expect(errorOf(page(`<defs>${defs}</defs><use href="#g29"/>`)).problem.code).toBe("too-many-elements");
  });
});

test("where names element, id, line and column", () => {
  const artwork = read(`\n${ink}\n <text id="t">Hello</text>`);
  expect(artwork.problems[0].where).toEqual({ element: "text", id: "t", line: 3, column: 2 });
  expect(artwork.shapes[0].where).toEqual({ element: "rect", id: "ink", line: 2, column: 1 });
  expect(boxOf(artwork)).toEqual([90, 90, 95, 95]);
});
