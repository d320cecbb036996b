/** Which encoding a file's bytes are in: XML 1.0, appendix F, "Autodetection of Character Encodings". */

export interface Encoding {
  /** For a TextDecoder, in lower case; `utf-32` has no decoder. */
  readonly label: string;
  /** The name for a message: as declared, or as detected. */
  readonly said: string;
}

const named = (name: string): Encoding => ({ label: name.toLowerCase(), said: name });

const declaration =
  /^[ \t\r\n]*<\?xml[ \t\r\n][^>]{0,200}?encoding[ \t\r\n]*=[ \t\r\n]*["']([^"'<>]{1,80})["']/;

/** A byte order mark wins, then zero bytes beside the first character, then the declaration; else UTF-8. */
export function encodingOf(bytes: Uint8Array): Encoding {
  const [a, b, c, d] = bytes;
  if (a === 0 && b === 0 && c === 0xfe && d === 0xff) return named("UTF-32");
  if (a === 0xff && b === 0xfe && c === 0 && d === 0) return named("UTF-32");
  if (a === 0xfe && b === 0xff) return named("UTF-16BE");
  if (a === 0xff && b === 0xfe) return named("UTF-16LE");
  if (a === 0xef && b === 0xbb && c === 0xbf) return named("UTF-8");
  if (a === 0 && b === 0 && c === 0 && begins(d)) return named("UTF-32");
  if (begins(a) && b === 0 && c === 0 && d === 0) return named("UTF-32");
  if (a === 0 && begins(b)) return named("UTF-16BE");
  if (begins(a) && b === 0) return named("UTF-16LE");
  const head = String.fromCharCode(...bytes.subarray(0, 512));
  const declared = declaration.exec(head)?.[1]?.trim();
  if (declared === undefined) return named("UTF-8");
  // A declaration that can be read byte by byte is not in two-byte text, whatever it says.
  return /^(utf-?16|ucs-2|iso-10646-ucs-2|unicode$)/i.test(declared) ? named("UTF-8") : named(declared);
}

/** The first character of a document: `<` or white space. */
const begins = (c: number | undefined): boolean =>
  c === 0x3c || c === 0x20 || c === 0x09 || c === 0x0a || c === 0x0d;
