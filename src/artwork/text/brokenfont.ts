/** A font that opens and then cannot be read: thrown with the file's name, so that it can be said. */

export class BrokenFont extends Error {
  /** A path or a plain name. */
  readonly file: string;
  constructor(file: string) {
    super(`${file} is broken`);
    this.file = file;
  }
}

/** What `read` gives; whatever it throws comes as a BrokenFont. */
export function reading<T>(file: string, read: () => T): T {
  try {
    return read();
  } catch {
    throw new BrokenFont(file);
  }
}
