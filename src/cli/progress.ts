/**
 * A line on standard error that says what is being done, once it takes more than a second (or `atOnce`, where it
 * surely will) and someone watches.
 */
export function startProgress(atOnce: boolean): { step(what: string): void; stop(): void } {
  const begun = performance.now();
  let shown = false;
  return {
    step(what) {
      if (!process.stderr.isTTY || (!atOnce && performance.now() - begun < 1000)) return;
      process.stderr.write(`\r\x1b[K${what} …`);
      shown = true;
    },
    stop() {
      if (shown) process.stderr.write("\r\x1b[K");
      shown = false;
    },
  };
}
