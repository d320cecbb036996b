/**
 * `data:` addresses (RFC 2397) → their type and bytes: base64 (RFC 4648, 4 and 5) or percent-encoded. As browsers
 * do (WHATWG Fetch and Infra, "forgiving-base64 decode"), white space counts for nothing and padding may be left out.
 */

/** Longest content that is read, in bytes. */
const cap = 64 * 1024 * 1024;

/** Null for anything else, for broken content, and for more than 64 MB. The type is lower-case, without parameters. */
export function parseDataUri(href: string): { type: string; bytes: Uint8Array } | null {
  const start = /^[\s\0]*data:/i.exec(href)?.[0].length;
  if (start === undefined) return null;
  const comma = href.indexOf(",", start);
  // A head longer than this is no media type.
  if (comma < 0 || comma - start > 1024) return null;
  const head = href.slice(start, comma).trim();
  const packed = /;\s*base64$/i.test(head);
  const type = (head.split(";")[0] as string).trim().toLowerCase() || "text/plain";
  // Three characters at most make a byte.
  if (href.length - comma - 1 > 3 * cap) return null;
  const raw = fromPercent(href, comma + 1);
  const bytes = raw && packed ? fromBase64(raw) : raw;
  return bytes && bytes.length <= cap ? { type, bytes } : null;
}

const isSpace = (c: number): boolean => c === 32 || (c >= 9 && c <= 13);

function hex(c: number): number {
  if (c >= 48 && c <= 57) return c - 48;
  const letter = c | 32;
  return letter >= 97 && letter <= 102 ? letter - 87 : -1;
}

/** Bytes of percent-encoded text from `start`, white space left out; null where a character is no byte. */
function fromPercent(text: string, start: number): Uint8Array | null {
  const out = new Uint8Array(text.length - start);
  let n = 0;
  for (let i = start; i < text.length; i++) {
    const c = text.charCodeAt(i);
    if (isSpace(c)) continue;
    if (c > 127) return null;
    const high = c === 37 ? hex(text.charCodeAt(i + 1)) : -1;
    const low = high >= 0 ? hex(text.charCodeAt(i + 2)) : -1;
    if (low >= 0) {
      out[n++] = 16 * high + low;
      i += 2;
    } else out[n++] = c;
  }
  return out.subarray(0, n);
}

/** The digits' values; −1 for what is none. */
const digits = new Int8Array(256).fill(-1);
for (const [i, c] of [..."ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"].entries())
  digits[c.charCodeAt(0)] = i;
// RFC 4648, 5: the same two digits where + and / are taken.
digits["-".charCodeAt(0)] = 62;
digits["_".charCodeAt(0)] = 63;

function fromBase64(raw: Uint8Array): Uint8Array | null {
  let end = raw.length;
  // White space may have been percent-encoded.
  let kept = 0;
  for (let i = 0; i < end; i++) if (!isSpace(raw[i] as number)) raw[kept++] = raw[i] as number;
  end = kept;
  if (end % 4 === 0) for (let pads = 0; pads < 2 && end > 0 && raw[end - 1] === 61; pads++) end--;
  if (end % 4 === 1) return null;
  const out = new Uint8Array(Math.floor((end * 3) / 4));
  let n = 0;
  let bits = 0;
  let held = 0;
  for (let i = 0; i < end; i++) {
    const d = digits[raw[i] as number] as number;
    if (d < 0) return null;
    bits = ((bits << 6) | d) & 0xffff;
    held += 6;
    if (held >= 8) {
      held -= 8;
      out[n++] = (bits >> held) & 255;
    }
  }
  return out;
}
