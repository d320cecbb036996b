import type { Reporter, TestModule } from "vitest/node";

/** Ends a run with one plain line that a script can read: `N passed, N failed`. */
export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: ReadonlyArray<TestModule>): void {
    let passed = 0;
    let failed = 0;
    for (const module of modules) {
      if (module.errors().length > 0) failed++;
      for (const test of module.children.allTests()) {
        const { state } = test.result();
        if (state === "passed") passed++;
        if (state === "failed") failed++;
      }
    }
    process.on("exit", () => process.stdout.write(`${passed} passed, ${failed} failed\n`));
  }
}
