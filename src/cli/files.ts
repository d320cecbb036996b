/** Reading with errors that name the file, and writing files whole or not at all. */
import { createHash } from "node:crypto";
import {
  accessSync,
  closeSync,
  constants,
  fsyncSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmdirSync,
  rmSync,
  statSync,
  writeSync,
} from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { JobError } from "../problem.ts";

/** The file's bytes, or a JobError that names it. */
export function readInput(path: string, what: string): Buffer {
  try {
    const bytes = readFileSync(path);
    if (bytes.length === 0)
      throw new JobError("file-empty", `${path} is empty`, `give ${what} that has content`);
    return bytes;
  } catch (error) {
    if (error instanceof JobError) throw error;
    const code = (error as NodeJS.ErrnoException).code;
    const why =
      code === "ENOENT" ? "does not exist" : code === "EISDIR" ? "is a folder" : `cannot be read (${code})`;
    throw new JobError("file-unreadable", `${path} ${why}`, `give the path of ${what}`);
  }
}

export const isFolder = (path: string): boolean =>
  statSync(path, { throwIfNoEntry: false })?.isDirectory() === true;

export const sha256 = (data: Uint8Array | string): string => createHash("sha256").update(data).digest("hex");

/** The same of text that comes in pieces. */
export function sha256OfText(text: Iterable<string>): string {
  const hash = createHash("sha256");
  for (const piece of text) hash.update(piece);
  return hash.digest("hex");
}

/** Says early, before any work, that a folder cannot be written. */
export function checkFolder(folder: string): void {
  if (folder === "")
    throw new JobError("folder-missing", "--out is empty", "give the folder for the results");
  let place = resolve(folder);
  for (;;) {
    try {
      if (!statSync(place).isDirectory()) throw refused(folder, `${place} is a file`);
      accessSync(place, constants.W_OK);
      return;
    } catch (error) {
      if (error instanceof JobError) throw error;
      const code = (error as NodeJS.ErrnoException).code;
      if (code !== "ENOENT" && code !== "ENOTDIR") throw refused(folder, String(code));
      if (dirname(place) === place) throw refused(folder, String(code));
      place = dirname(place);
    }
  }
}

const refused = (folder: string, why: string): JobError =>
  new JobError(
    "folder-unwritable",
    `--out ${folder} cannot be written (${why})`,
    "choose a folder that you may write to",
  );

/** What the names of a run's pictures end in. */
export const pictureEnds = ["heatmap.png", "layers.png", "zones.svg"] as const;

/** What else the names of marks and pictures end in, for every turn or for all. */
const otherEnds = ["warped.svg", "turns.png"] as const;
/** The same of lines and bands: names that people give to artwork too, so that the file itself must say that it is ours. */
const laidEnds = ["fill.svg", "fill.dxf", "bands.svg", "evenness.png"] as const;

/** Marks and pictures of an artwork's name that a folder holds from earlier runs, of all turns and sets. */
export function namesOf(folder: string, name: string): string[] {
  const ends = new Set<string>([...otherEnds, ...pictureEnds]);
  const laid = new Set<string>(laidEnds);
  const ours = (entry: string): boolean => {
    if (!entry.startsWith(`${name}.`)) return false;
    const rest = entry.slice(name.length + 1).replace(/^turn-\d+\./, "");
    return (
      ends.has(rest) || (laid.has(rest.replace(/^fill\.set-\d+\./, "fill.")) && isOurs(folder, name, entry))
    );
  };
  return statSync(folder, { throwIfNoEntry: false })?.isDirectory() ? readdirSync(folder).filter(ours) : [];
}

/** Our marks say so in the file; a comment with all its cautions may stand before that. */
const HEAD = 1 << 18;

/** Whether a run of ours has written a file: it says so itself, or the report beside it lists it. */
function isOurs(folder: string, name: string, entry: string): boolean {
  try {
    if (/\.(svg|dxf)$/.test(entry)) {
      const head = readFileSync(join(folder, entry)).subarray(0, HEAD).toString("latin1");
      return head.includes(entry.endsWith("dxf") ? "bent by fallaway" : 'data-fallaway="bent"');
    }
    const report = JSON.parse(readFileSync(join(folder, `${name}.report.json`), "utf8"));
    return report.files.some(({ path }: { path: unknown }) => path === entry);
  } catch {
    return false;
  }
}

/** Throws JobError where a file of lines or bands would be written over one that no run of ours has written. */
export function keepOthers(folder: string, name: string, outputs: readonly Output[]): void {
  for (const output of outputs) {
    const place = join(folder, output.name);
    if (!laidEnds.some((end) => output.name.replace(/set-\d+\./, "").endsWith(`.${end}`))) continue;
    if (!statSync(place, { throwIfNoEntry: false })?.isFile() || isOurs(folder, name, output.name)) continue;
    throw new JobError(
      "file-not-ours",
      `${place} would be written over, and it is not of an earlier run`,
      "move or rename it, or choose another folder with --out",
    );
  }
}

export interface Output {
  readonly name: string;
  /** Text that comes in pieces of whole characters is never held as a whole; it is gone through once. */
  readonly data: Uint8Array | string | Iterable<string>;
}

/** A file as it was written. */
export interface Written {
  readonly name: string;
  readonly bytes: number;
  readonly sha256: string;
}

/**
 * Writes all files into a folder, first each under a temporary name beside its place; then those that `conclude` gives,
 * which is told of them; then all are renamed. A process killed in between leaves no half-written file under a real
 * name; what it leaves under temporary ones is swept by the next run. Last, the files named `stale` are removed.
 */
export function writeAll(
  folder: string,
  outputs: readonly Output[],
  stale: readonly string[] = [],
  conclude: (written: readonly Written[]) => readonly Output[] = () => [],
): Written[] {
  const waiting: [string, string][] = [];
  const written: Written[] = [];
  let made: string[] = [];
  const write = (files: readonly Output[]): void => {
    for (const { name } of files) {
      const place = join(folder, name);
      if (statSync(place, { throwIfNoEntry: false })?.isDirectory())
        throw refused(folder, `${place} is a folder`);
    }
    sweep(folder, files);
    for (const { name, data } of files) {
      const temporary = join(folder, `.${basename(name)}.${process.pid}.tmp`);
      waiting.push([temporary, join(folder, name)]);
      written.push({ name, ...writeWhole(temporary, data) });
    }
  };
  try {
    made = makeFolder(folder);
    write(outputs);
    write(conclude([...written]));
    for (const [temporary, final] of waiting) renameSync(temporary, final);
    for (const name of stale) rmSync(join(folder, name), { force: true });
    return written;
  } catch (error) {
    tidy(
      waiting.map(([temporary]) => temporary),
      made,
    );
    const { code } = error as NodeJS.ErrnoException;
    // What goes wrong while the text is made is not the folder's fault.
    if (error instanceof JobError || code === undefined) throw error;
    throw refused(folder, code);
  }
}

/** Makes the folder level by level (Node's own recursion hangs on some system folders); returns what was made. */
function makeFolder(folder: string): string[] {
  const missing: string[] = [];
  for (let place = resolve(folder); !statSync(place, { throwIfNoEntry: false }); place = dirname(place)) {
    missing.push(place);
  }
  missing.reverse();
  for (const place of missing) mkdirSync(place);
  return missing;
}

/** After a failure: nothing of ours stays, neither files nor the folders that were made for them. */
function tidy(files: readonly string[], folders: readonly string[]): void {
  const removals = [
    ...files.map((f) => () => rmSync(f, { force: true })),
    ...folders.map((f) => () => rmdirSync(f)).reverse(),
  ];
  for (const remove of removals) {
    try {
      remove();
    } catch {
      // A name that cannot be written cannot be removed either; a folder someone else filled stays.
    }
  }
}

/** Removes the temporary files that runs that are no more have left for these outputs. */
function sweep(folder: string, outputs: readonly Output[]): void {
  const ours = new Set(outputs.map(({ name }) => basename(name)));
  for (const entry of readdirSync(folder)) {
    const [, name, pid] = /^\.(.*)\.(\d+)\.tmp$/.exec(entry) ?? [];
    if (name !== undefined && ours.has(name) && !alive(Number(pid)))
      rmSync(join(folder, entry), { force: true });
  }
}

function alive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}

/** Text is written when this much of it has come (UTF-16 units). */
const PIECE = 1 << 18;

function writeWhole(path: string, data: Output["data"]): Pick<Written, "bytes" | "sha256"> {
  const hash = createHash("sha256");
  let bytes = 0;
  const file = openSync(path, "w");
  const write = (piece: Uint8Array): void => {
    hash.update(piece);
    bytes += piece.length;
    for (let done = 0; done < piece.length; ) done += writeSync(file, piece, done);
  };
  try {
    if (data instanceof Uint8Array) write(data);
    else {
      let text = "";
      for (const piece of typeof data === "string" ? [data] : data) {
        text += piece;
        if (text.length < PIECE) continue;
        write(Buffer.from(text));
        text = "";
      }
      write(Buffer.from(text));
    }
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
  return { bytes, sha256: hash.digest("hex") };
}
