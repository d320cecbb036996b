/**
 * Files over as many processes as there are processors. A file that takes too long is given up with its process; a
 * panic in the renderer's native code ends the process, and the next file gets a new one.
 */
import { fork } from "node:child_process";
import { availableParallelism } from "node:os";
import { fileURLToPath } from "node:url";

/** Seconds for one file with both renderings. */
const patience = 60;

/** Compares every `{ set, file }`; the results come in the same order. `told(done)` is called after each. */
export async function compareAll(files, told) {
  const results = new Array(files.length);
  let next = 0;
  let done = 0;
  const serve = async () => {
    let worker = null;
    while (next < files.length) {
      const place = next++;
      worker ??= fork(fileURLToPath(new URL("./worker.js", import.meta.url)), {
        stdio: ["ignore", "inherit", "ignore", "ipc"],
      });
      const answer = await asked(worker, files[place]);
      results[place] = answer.result;
      if (!answer.alive) {
        worker.kill("SIGKILL");
        worker = null;
      }
      told(++done);
    }
    worker?.disconnect();
  };
  await Promise.all(Array.from({ length: availableParallelism() }, serve));
  return results;
}

function asked(worker, file) {
  return new Promise((resolve) => {
    const settle = (alive, result) => {
      clearTimeout(timer);
      for (const [event, listener] of Object.entries(listeners)) worker.off(event, listener);
      resolve({ alive, result });
    };
    const lost = (outcome, why) => settle(false, { outcome, why, found: [] });
    const listeners = {
      message: (result) => settle(true, result),
      error: (error) => lost("failed", String(error.message ?? error)),
      exit: (code, signal) =>
        signal === "SIGABRT"
          ? lost("unrendered", "resvg panics")
          : lost("failed", `the process ended with ${signal ?? code}`),
    };
    for (const [event, listener] of Object.entries(listeners)) worker.on(event, listener);
    const timer = setTimeout(() => lost("failed", `no answer in ${patience} s`), 1000 * patience);
    worker.send(file);
  });
}
