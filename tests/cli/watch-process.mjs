/**
 * Loaded before the door: writes to the file named by WATCH, when the process ends, what it opened, whom it
 * called, its largest memory and its time.
 */
import childProcess from "node:child_process";
import dns from "node:dns";
import fs from "node:fs";
import { syncBuiltinESMExports } from "node:module";
import net from "node:net";
import { fileURLToPath } from "node:url";

const opened = new Set();
const called = [];
const { readFileSync: read, writeFileSync: write } = fs;
const watch = (owner, names, tell) => {
  for (const name of names) {
    const real = owner[name];
    if (typeof real !== "function") throw new Error(`${name} is not there to be watched`);
    owner[name] = function (...args) {
      tell(name, args[0]);
      return real.apply(this, args);
    };
  }
};
const open = (_, path) => {
  if (typeof path === "number") return;
  opened.add(path instanceof URL ? fileURLToPath(path) : String(path));
};
const call = (name) => called.push(name);
watch(
  fs,
  ["readFileSync", "openSync", "open", "readFile", "createReadStream", "opendirSync", "readdirSync"],
  open,
);
watch(fs.promises, ["readFile", "open", "opendir", "readdir"], open);
watch(net.Socket.prototype, ["connect"], call);
watch(net, ["connect", "createConnection"], call);
watch(dns, ["lookup", "resolve"], call);
watch(childProcess, ["spawn", "spawnSync", "execFile", "execFileSync", "fork"], call);
syncBuiltinESMExports();

process.on("exit", () => {
  // Unlike resourceUsage().maxRSS, which starts at the parent's size, this is the process's own.
  const own = /^VmHWM:\s+(\d+) kB$/m.exec(read("/proc/self/status", "utf8"));
  const rssMb = Number(own[1]) / 1024;
  const { user, system } = process.cpuUsage();
  const cpuS = (user + system) / 1e6;
  write(process.env.WATCH, JSON.stringify({ opened: [...opened], called, rssMb, cpuS }));
});
