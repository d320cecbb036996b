/** The fonts of `--fonts`: files and folders → a FontBook, or an error that names the path. */
import { readdirSync, readFileSync, type Stats, statSync } from "node:fs";
import { basename, join } from "node:path";
import { type FontBook, type FontFile, openFonts } from "../artwork/text.ts";
import { JobError } from "../problem.ts";

const fontName = /\.(ttf|otf|ttc|otc|woff2?)$/i;

interface Named {
  /** As it was given. */
  readonly path: string;
  readonly folder: boolean;
  readonly files: readonly FontFile[];
}

/**
 * Throws JobError `font-unreadable` for a path that is not there or cannot be read, a file that is no whole font, and
 * a folder without one. A broken file beside good ones in a folder is left out: text says so with a caution.
 */
export async function fontsOf(paths: readonly string[]): Promise<FontBook> {
  const named = paths.map(filesOf);
  const book = await openFonts(named.flatMap(({ files }) => files));
  for (const { path, folder, files } of named) {
    const broken = files.find(({ name }) => book.unread.has(name));
    if (!broken || files.some(({ name }) => !book.unread.has(name))) continue;
    const why = book.unread.get(broken.name);
    throw folder
      ? unreadable(`${path} holds no font that can be used (${basename(broken.name)}: ${why})`, another)
      : unreadable(`${path} cannot be used as a font: ${why}`, another);
  }
  return book;
}

/** The files themselves, for text that is ours. */
export const fontFilesOf = (paths: readonly string[]): FontFile[] =>
  paths.flatMap((path) => filesOf(path).files);

const unreadable = (message: string, hint: string): JobError =>
  new JobError("font-unreadable", message, hint);
const kinds = "TrueType, OpenType, WOFF or WOFF2";
const another = `give --fonts a whole copy of the font, as ${kinds}`;

function filesOf(path: string): Named {
  const kind = reading(path, () => statSync(path));
  if (!kind.isDirectory()) return { path, folder: false, files: [fileAt(path, kind)] };
  const entries = reading(path, () => readdirSync(path)).sort();
  const files = entries
    .filter((name) => fontName.test(name))
    .map((name) => join(path, name))
    .filter((file) => !statSync(file, { throwIfNoEntry: false })?.isDirectory())
    .map((file) =>
      fileAt(
        file,
        reading(file, () => statSync(file)),
      ),
    );
  if (files.length > 0) return { path, folder: true, files };
  throw unreadable(
    `${path} holds no font file: ${found(entries)}`,
    "give --fonts the font files (.ttf .otf .ttc .woff .woff2) or the folder they lie in; folders inside it are not searched",
  );
}

function found(entries: readonly string[]): string {
  if (entries.length === 0) return "it is empty";
  const more = entries.length > 3 ? ` and ${entries.length - 3} more` : "";
  return `only ${entries.slice(0, 3).join(", ")}${more} was found`;
}

function fileAt(path: string, kind: Stats): FontFile {
  // A device may never end.
  if (!kind.isFile() && !kind.isFIFO()) throw unreadable(`${path} is no file`, another);
  return { name: path, bytes: reading(path, () => readFileSync(path)) };
}

/** What the system says of a path in our words. */
function reading<T>(path: string, read: () => T): T {
  try {
    return read();
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    const why = code === "ENOENT" || code === "ENOTDIR" ? "does not exist" : `cannot be read (${code})`;
    const name = path === "" ? 'the path ""' : path;
    throw unreadable(`${name} ${why}`, "give --fonts the path of a font file or folder");
  }
}
