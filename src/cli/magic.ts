/** Kinds of files that are taken for artwork now and then, by their first bytes. */

interface Kind {
  readonly name: string;
  readonly hint: string;
}

const picture = "trace it to shapes in a drawing program and save them as SVG";
const document = "open it in a drawing program and save it as plain SVG";
const archive = "unpack it and give the SVG file inside";

/** First bytes in hex, two dots for any byte; then what the file is and what to do. */
const kinds: readonly (readonly [RegExp, string, string])[] = [
  [/^89504e470d0a/, "a PNG picture", picture],
  [/^89504e47/, "a damaged PNG picture", picture],
  [/^ffd8ff/, "a JPEG picture", picture],
  [/^474946383[79]61/, "a GIF picture", picture],
  [/^52494646........57454250/, "a WebP picture", picture],
  [/^424d........00000000/, "a BMP picture", picture],
  [/^(49492a00|4d4d002a)/, "a TIFF picture", picture],
  [/^00000[1-9a-f]..66747970/, "a picture or film of the ISO base media format", picture],
  [/^00000100/, "an icon", picture],
  [/^(efbbbf)?255044462d/, "a PDF document", document],
  [/^(25215053|c5d0d3c6)/, "a PostScript document", document],
  [/^504b(0304|0506|0708)/, "a ZIP archive", archive],
  [/^(425a68|fd377a585a00|28b52ffd|377abcaf271c)/, "a compressed archive", archive],
  [/^(774f4646|774f4632|4f54544f|0001000000)/, "a font", "give the SVG file instead"],
];

/** What the bytes are, or null where they may be text. */
export function kindOf(bytes: Uint8Array): Kind | null {
  let hex = "";
  for (const byte of bytes.subarray(0, 16)) hex += byte.toString(16).padStart(2, "0");
  const found = kinds.find(([magic]) => magic.test(hex));
  return found ? { name: found[1], hint: found[2] } : null;
}
