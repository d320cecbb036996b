/** Checks one artwork after another as the door does, and writes what each run said, as JSON, to standard output. */
import { pathToFileURL } from "node:url";

const [door, ...files] = process.argv.slice(2);
const { main } = await import(new URL("../dist/cli/main.js", pathToFileURL(door)).href);
const ran = [];
for (const file of files) {
  const said = { out: "", err: "" };
  const real = { out: process.stdout.write, err: process.stderr.write };
  process.stdout.write = (text) => {
    said.out += text;
    return true;
  };
  process.stderr.write = (text) => {
    said.err += text;
    return true;
  };
  let code;
  try {
    code = await main([process.execPath, door, "check", file, "--diameter", "80", "--json"]);
  } finally {
    process.stdout.write = real.out;
    process.stderr.write = real.err;
  }
  ran.push({ code, ...said });
}
process.stdout.write(JSON.stringify(ran));
