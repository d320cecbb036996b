/** Compares the files it is sent, one after the other. */
import { readInk } from "../../dist/ink/ink.js";
import { compareText } from "./compare.js";
import { setNamed } from "./corpus.js";

process.on("message", async ({ set, file }) => {
  try {
    process.send(await compareText(setNamed(set).text(file), readInk));
  } catch (error) {
    process.send({ outcome: "failed", why: String(error.stack ?? error), found: [] });
  }
});
process.on("disconnect", () => process.exit());
