/**
 * A file's bytes → its text: unpacked, and decoded by its mark, its zero bytes or its declaration, in the order
 * of XML 1.0, appendix F. Labels mean what the WHATWG Encoding Standard says they mean.
 */
import { gunzipSync } from "node:zlib";
import { JobError } from "../problem.ts";
import { type Encoding, encodingOf } from "./encoding.ts";
import { kindOf } from "./magic.ts";

/** As many bytes as the reader of the text takes characters. */
const cap = 64 * 1024 * 1024;

const again = "save the drawing as plain SVG in UTF-8";

/**
 * The text of an SVG or svgz file; `path` is for the messages.
 *
 * Throws JobError: `too-large` (more than 64 MB of text), `svgz-broken`, `svgz-nested`, `not-svg` (another kind of
 * file), `encoding-not-read` (UTF-32, an unknown encoding), `not-text`.
 */
export function decode(bytes: Uint8Array, path: string): string {
  const plain = isGzip(bytes) ? unpack(bytes, path) : bytes;
  const kind = kindOf(plain);
  if (kind) throw new JobError("not-svg", `${path} is ${kind.name}, not an SVG`, kind.hint);
  const encoding = encodingOf(plain);
  const wide = encoding.label.startsWith("utf-16");
  if (plain.length > (wide ? 2 * cap : cap)) throw tooLarge(path);
  const text = textOf(plain, encoding, path);
  if (text.includes("\0")) {
    throw new JobError("not-text", `${path} holds zero bytes: it is binary data, not an SVG`, again);
  }
  return text;
}

const isGzip = (bytes: Uint8Array): boolean => bytes[0] === 0x1f && bytes[1] === 0x8b;

const tooLarge = (path: string): JobError =>
  new JobError("too-large", `${path} holds more than 64 MB of text`, "simplify or split the artwork");

function unpack(bytes: Uint8Array, path: string): Uint8Array {
  let plain: Uint8Array;
  try {
    plain = gunzipSync(bytes, { maxOutputLength: 2 * cap });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ERR_BUFFER_TOO_LARGE") throw tooLarge(path);
    throw new JobError(
      "svgz-broken",
      `${path} is compressed (svgz) and cannot be unpacked: it is cut short or damaged`,
      "save it again, or save it as plain SVG",
    );
  }
  if (plain.length === 0) {
    throw new JobError("file-empty", `${path} is compressed and holds nothing`, "save it as plain SVG");
  }
  if (isGzip(plain)) {
    throw new JobError("svgz-nested", `${path} is compressed more than once`, "unpack it to plain SVG");
  }
  return plain;
}

function textOf(bytes: Uint8Array, { label, said }: Encoding, path: string): string {
  const unread = (): JobError =>
    new JobError("encoding-not-read", `${path} is in the encoding “${said}”, which is not read`, again);
  if (label.startsWith("utf-32")) throw unread();
  let decoder: InstanceType<typeof TextDecoder>;
  try {
    decoder = new TextDecoder(label, { fatal: true });
  } catch {
    throw unread();
  }
  if (decoder.encoding === "windows-1252") return westernText(bytes);
  try {
    return decoder.decode(bytes);
  } catch {
    const line = decoder.encoding === "utf-8" ? ` (line ${firstBadLine(bytes)})` : "";
    throw new JobError("not-text", `${path} is not ${said.toUpperCase()} text${line}`, again);
  }
}

/** The line of the first byte that is no UTF-8. */
function firstBadLine(bytes: Uint8Array): number {
  const text = new TextDecoder().decode(bytes);
  const end = text.indexOf("\ufffd");
  let line = 1;
  for (let i = text.indexOf("\n"); i >= 0 && i < end; i = text.indexOf("\n", i + 1)) line++;
  return line;
}

/** What windows-1252 has at 80…9f hex (index-windows-1252 of the Encoding Standard); gaps stay what they are. */
const western = "€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ";

/** windows-1252, which latin-1 and ASCII are read as. Node 20's own decoder leaves 80…9f hex as control codes. */
const westernText = (bytes: Uint8Array): string =>
  Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength)
    .toString("latin1")
    .replace(/[\u0080-\u009f]/g, (c) => western.charAt(c.charCodeAt(0) - 0x80));
