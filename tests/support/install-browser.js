/** Before the tests: sees to a browser where the machine has none and lets one be installed; else says what to do. */
import { spawnSync } from "node:child_process";
import { accessSync, constants } from "node:fs";
import { delimiter, join } from "node:path";

const runs = (path) => {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
};
const folders = ["/usr/bin", ...(process.env.PATH ?? "").split(delimiter)];
const found = (...names) =>
  names.some((name) => folders.some((folder) => folder && runs(join(folder, name))));
const browser = () =>
  process.env.FALLAWAY_CHROMIUM
    ? runs(process.env.FALLAWAY_CHROMIUM)
    : found("chromium", "chromium-browser", "google-chrome", "google-chrome-stable");

const apt = (...args) =>
  spawnSync("apt-get", ["-qq", "-o=Dpkg::Use-Pty=0", ...args], {
    stdio: "ignore",
    env: { ...process.env, DEBIAN_FRONTEND: "noninteractive" },
  }).status === 0;
const install = () => apt("install", "-y", "--no-install-recommends", "chromium");

if (!browser()) {
  const mayInstall = !process.env.FALLAWAY_CHROMIUM && process.getuid?.() === 0 && found("apt-get");
  // The package lists may be missing or old.
  if (mayInstall && !install() && apt("update")) install();
  if (!browser()) {
    console.log(
      "tests in a browser need Chromium: install it (apt-get install chromium), or name one in FALLAWAY_CHROMIUM",
    );
  }
}
