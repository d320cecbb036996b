/** What the bytes of a font file say of themselves before they are opened. */

/** The first four bytes: OpenType "Organization of an OpenType Font", WOFF 1 and 2; "true" is Apple's. */
const kinds: Readonly<Record<string, "one" | "many" | "packed">> = {
  "\0\x01\0\0": "one",
  OTTO: "one",
  true: "one",
  ttcf: "many",
  wOFF: "packed",
  wOF2: "packed",
};

const tagOf = (bytes: Uint8Array, length = 4): string => String.fromCharCode(...bytes.subarray(0, length));

/** "it is cut short, …", or null where all bytes are there that the file's directory speaks of, or it has none. */
export function cutShort(bytes: Uint8Array): string | null {
  const kind = kinds[tagOf(bytes)];
  if (!kind) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let needed: number;
  try {
    needed = kind === "packed" ? view.getUint32(8) : endOf(view, kind === "one" ? [0] : startsOf(view));
  } catch (error) {
    if (error instanceof RangeError) return `it is cut short after ${bytes.length} bytes`;
    throw error;
  }
  return needed <= bytes.length ? null : `it is cut short, ${bytes.length} bytes of ${needed}`;
}

/** Where the fonts of a collection start. */
function startsOf(view: DataView): number[] {
  const starts: number[] = [];
  for (let i = 0; i < view.getUint32(8); i++) starts.push(view.getUint32(12 + 4 * i));
  return starts;
}

/** The end of the last table. Throws RangeError where the directory itself is not whole. */
function endOf(view: DataView, starts: readonly number[]): number {
  let end = 0;
  for (const start of starts) {
    for (let i = 0; i < view.getUint16(start + 4); i++) {
      const entry = start + 12 + 16 * i;
      end = Math.max(end, view.getUint32(entry + 8) + view.getUint32(entry + 12));
    }
  }
  return end;
}

/** "it is empty" or "it is no font: …", null where it begins as fonts do. */
export function notAFont(bytes: Uint8Array): string | null {
  if (bytes.length === 0) return "it is empty";
  if (kinds[tagOf(bytes)]) return null;
  const start = tagOf(bytes, 8).replace(/[^ -~]+$/, "");
  return /^[ -~]{3,}$/.test(start) ? `it is no font: it begins with “${start.trim()}”` : "it is no font";
}
