/** Encodings and packings: the same drawing in each must be read as the same text, and what is none is named. */
import { deflateSync, gzipSync } from "node:zlib";
import { describe, expect, test } from "vitest";
import { decode } from "../../src/cli/decode.ts";
import { JobError } from "../../src/problem.ts";

const said = (label: string | null): string =>
  label === null ? "" : `<?xml version="1.0" encoding="${label}"?>\n`;
const svg = (words: string, label: string | null = null): string =>
  `${said(label)}<svg xmlns="http://www.w3.org/2000/svg"><text>${words}</text></svg>`;

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const le = (text: string): Buffer => Buffer.from(text, "utf16le");
const be = (text: string): Buffer => le(text).swap16();
const utf32 = (text: string, little: boolean): Buffer => {
  const bytes = Buffer.alloc(4 * text.length);
  for (let i = 0; i < text.length; i++) {
    if (little) bytes.writeUInt32LE(text.charCodeAt(i), 4 * i);
    else bytes.writeUInt32BE(text.charCodeAt(i), 4 * i);
  }
  return bytes;
};
const marked = (mark: readonly number[], bytes: Uint8Array): Uint8Array =>
  Uint8Array.from([...mark, ...bytes]);

function refusal(bytes: Uint8Array): JobError["problem"] {
  try {
    decode(bytes, "art.svg");
  } catch (error) {
    if (error instanceof JobError) return error.problem;
    throw error;
  }
  throw new Error("the bytes were read without an error");
}

describe("marks and zero bytes (XML 1.0, appendix F)", () => {
  const words = "Ruderclub Höhe €𝄞";
  const text = svg(words);
  test.each([
    ["UTF-8", utf8(text)],
    ["UTF-8 with its mark", marked([0xef, 0xbb, 0xbf], utf8(text))],
    ["UTF-16LE with its mark", marked([0xff, 0xfe], le(text))],
    ["UTF-16BE with its mark", marked([0xfe, 0xff], be(text))],
    ["UTF-16LE without", le(text)],
    ["UTF-16BE without", be(text)],
  ])("%s", (_name, bytes) => expect(decode(bytes, "art.svg")).toBe(text));

  test.each([
    ["UTF-16LE after a line feed", le(`\n${text}`), `\n${text}`],
    ["UTF-16BE declared as UTF-8: the bytes are right", be(svg(words, "UTF-8")), svg(words, "UTF-8")],
    ["UTF-8 declared as UTF-16: the bytes are right", utf8(svg(words, "UTF-16")), svg(words, "UTF-16")],
    [
      "UTF-8 with its mark, declared as latin-1",
      marked([0xef, 0xbb, 0xbf], utf8(svg(words, "latin1"))),
      svg(words, "latin1"),
    ],
    ["a view into a larger buffer", Buffer.concat([Buffer.from("xx"), utf8(text)]).subarray(2), text],
  ])("%s", (_name, bytes, expected) => expect(decode(bytes, "art.svg")).toBe(expected));

  test.each([
    ["little", true],
    ["big", false],
  ])("UTF-32, %s end first, is named, with its mark and without", (_name, little) => {
    for (const content of [text, `\ufeff${text}`]) {
      expect(refusal(utf32(content, little))).toMatchObject({ code: "encoding-not-read" });
      expect(refusal(utf32(content, little)).message).toContain("UTF-32");
    }
  });
});

describe("declared encodings", () => {
  // Bytes from the Encoding Standard's indexes, https://encoding.spec.whatwg.org/#indexes
  test.each([
    ["ISO-8859-1", [0xe9, 0xfc, 0xff], "éüÿ"],
    ["latin1", [0xe9], "é"],
    ["windows-1252", [0x80, 0x93, 0x94, 0x9f, 0xe9], "€“”Ÿé"],
    ["iso-8859-1", [0x80, 0x81, 0x92, 0x9d], "€\u0081’\u009d"],
    ["us-ascii", [0x41], "A"],
    ["iso-8859-15", [0xa4], "€"],
    ["iso-8859-2", [0xb1, 0xb3], "ął"],
    ["windows-1251", [0xc8, 0xe2], "Ив"],
    ["koi8-r", [0xe9], "И"],
    ["Shift_JIS", [0x83, 0x65], "テ"],
    ["gbk", [0xc4, 0xe3], "你"],
    ["big5", [0xa7, 0x41], "你"],
    ["euc-kr", [0xb0, 0xa1], "가"],
    ["UTF-8", [0xc3, 0xa9], "é"],
    ["utf8", [0xc3, 0xa9], "é"],
  ])("%s", (label, bytes, expected) => {
    const [head = "", tail = ""] = svg("|", label).split("|");
    const file = Uint8Array.from([...utf8(head), ...bytes, ...utf8(tail)]);
    expect(decode(file, "art.svg")).toBe(svg(expected, label));
  });

  test.each([["all of windows-1252 is one character for each byte", 0x20, 0xff]])("%s", (_name, from, to) => {
    const head = said("windows-1252");
    const bytes = Uint8Array.from({ length: to - from + 1 }, (_, i) => from + i);
    const text = decode(Buffer.concat([Buffer.from(head), bytes]), "art.svg").slice(head.length);
    expect(text.length).toBe(bytes.length);
    expect(new Set(text).size).toBe(bytes.length);
  });

  test("single quotes and other attributes before it", () => {
    const head = "<?xml version='1.0' encoding = 'latin1' standalone='no'?>";
    expect(decode(Buffer.concat([Buffer.from(head), Uint8Array.of(0xe9)]), "art.svg")).toBe(`${head}é`);
  });

  test.each(["klingon", "x-user-defined", "iso-2022-kr", "constructor", "UTF-7"])("%s is named", (label) => {
    const problem = refusal(utf8(svg("x", label)));
    expect(problem).toMatchObject({ code: "encoding-not-read", severity: "error" });
    expect(problem.message).toContain(`art.svg is in the encoding “${label}”`);
  });
});

describe("what is no text", () => {
  test("the line of the first byte that is no UTF-8", () => {
    const bytes = Buffer.concat([Buffer.from("<svg>\n\n<g/>"), Uint8Array.of(0xe9), Buffer.from("\n</svg>")]);
    expect(refusal(bytes)).toMatchObject({ code: "not-text", message: "art.svg is not UTF-8 text (line 3)" });
  });
  test.each([
    ["half a UTF-16 unit", marked([0xff, 0xfe], le("<svg/>").subarray(0, 11))],
    ["a lone surrogate", le("<svg>\ud800</svg>")],
    ["UTF-8 of a surrogate", Buffer.concat([Buffer.from("<svg>"), Uint8Array.of(0xed, 0xa0, 0x80)])],
    ["UTF-8 longer than needed", Buffer.concat([Buffer.from("<svg>"), Uint8Array.of(0xc0, 0xbc)])],
    ["a declared encoding it is not in", utf8(svg("\u0080", "euc-kr").slice(0, -20) + "\uffff")],
    ["zero bytes", utf8("<svg>\0</svg>")],
    ["zero bytes before", utf8("\0\0\0\0\0\0\0\0")],
  ])("%s", (_name, bytes) => expect(refusal(bytes).code).toBe("not-text"));

  // First bytes: the formats' standards, as listed in the WHATWG MIME Sniffing Standard, 6 and 7, where it has them.
  test.each([
    ["89504e470d0a1a0a0000000d49484452", "a PNG picture"],
    ["ffd8ffe000104a464946", "a JPEG picture"],
    ["474946383961", "a GIF picture"],
    ["524946460000000057454250565038", "a WebP picture"],
    ["424d36000000000000003600", "a BMP picture"],
    ["49492a0008000000", "a TIFF picture"],
    ["4d4d002a00000008", "a TIFF picture"],
    ["255044462d312e37", "a PDF document"],
    ["252150532d41646f6265", "a PostScript document"],
    ["504b030414000000", "a ZIP archive"],
    ["425a6839", "a compressed archive"],
    ["774f4632", "a font"],
  ])("%s is %s", (hex, name) => {
    const plain = Buffer.from(hex, "hex");
    for (const bytes of [plain, gzipSync(plain)]) {
      const problem = refusal(bytes);
      expect(problem).toMatchObject({ code: "not-svg", message: `art.svg is ${name}, not an SVG` });
      expect(problem.hint.length).toBeGreaterThan(10);
    }
  });
});

describe("svgz", () => {
  const text = svg("Héron");
  const packed = gzipSync(utf8(text));

  test("is unpacked, in any encoding", () => {
    expect(decode(packed, "art.svgz")).toBe(text);
    expect(decode(gzipSync(be(text)), "art.svgz")).toBe(text);
    expect(decode(Buffer.concat([packed, gzipSync(utf8("<!-- -->"))]), "art.svgz")).toBe(`${text}<!-- -->`);
  });
  test.each([
    ["cut short", packed.subarray(0, packed.length - 12), "svgz-broken"],
    ["only its first bytes", packed.subarray(0, 2), "svgz-broken"],
    ["damaged", Buffer.from(packed).fill(0x55, 14, 30), "svgz-broken"],
    ["of another method", Buffer.concat([Uint8Array.of(0x1f, 0x8b, 7), packed.subarray(3)]), "svgz-broken"],
    ["packed twice", gzipSync(packed), "svgz-nested"],
    ["of nothing", gzipSync(Buffer.alloc(0)), "file-empty"],
    ["of more than 64 MB", gzipSync(Buffer.alloc(65 * 1024 * 1024, 32)), "too-large"],
    ["of more than 128 MB", gzipSync(Buffer.alloc(129 * 1024 * 1024, 32)), "too-large"],
  ])("%s", (_name, bytes, code) => {
    const problem = refusal(bytes);
    expect(problem.code).toBe(code);
    expect(problem.message).toMatch(/^art\.svg .*[^.]$/);
  });
  test("a wrong checksum is no drawing", () => {
    const wrong = Buffer.from(packed);
    wrong[wrong.length - 6] = (wrong[wrong.length - 6] as number) ^ 0xff;
    expect(refusal(wrong).code).toBe("svgz-broken");
  });
  test("zlib's own wrapping is not gzip", () =>
    expect(refusal(deflateSync(utf8(text))).code).toBe("not-text"));
});

test("more than 64 MB as they are", () => {
  expect(refusal(Buffer.alloc(64 * 1024 * 1024 + 1, 32)).code).toBe("too-large");
});
