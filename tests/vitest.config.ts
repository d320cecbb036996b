import { defineConfig } from "vitest/config";

export default defineConfig({
  root: new URL("..", import.meta.url).pathname,
  test: {
    include: ["tests/**/*.test.ts"],
    reporters: ["default", new URL("./closing-line.ts", import.meta.url).pathname],
    testTimeout: 60_000,
    // Else one processor of two would idle.
    maxWorkers: "100%",
  },
});
