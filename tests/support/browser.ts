/** A headless Chromium for the tests of what is read in a browser: the one that the machine has, driven from here. */
import { accessSync, constants } from "node:fs";
import { delimiter, join } from "node:path";
import { type Browser, chromium } from "playwright-core";
import { afterAll } from "vitest";

/** Names and places that Chromium goes by, in the order they are tried. */
const places = ["/usr/bin/chromium", "/usr/bin/chromium-browser"];
const names = ["google-chrome", "google-chrome-stable", "chromium", "chromium-browser"];

/** Of its own accord the browser would look for updates. */
const args = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

/** The browser's path; throws with what to install where there is none. */
export function browserPath(env: NodeJS.ProcessEnv = process.env): string {
  const given = env.FALLAWAY_CHROMIUM;
  if (given) {
    if (runs(given)) return given;
    throw new Error(`FALLAWAY_CHROMIUM is ${given}, which cannot be run`);
  }
  const folders = (env.PATH ?? "").split(delimiter).filter((folder) => folder !== "");
  const all = [...places, ...names.flatMap((name) => folders.map((folder) => join(folder, name)))];
  const found = all.find(runs);
  if (found !== undefined) return found;
  throw new Error(
    "no browser for the tests: install Chromium (apt-get install chromium), or name one in FALLAWAY_CHROMIUM",
  );
}

function runs(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

/** A browser for the file's tests, closed after them. */
export async function openBrowser(): Promise<Browser> {
  const browser = await chromium.launch({ executablePath: browserPath(), args });
  afterAll(() => browser.close());
  return browser;
}
