/** Holds the walls between the rooms: reads every import in src and fails on an arrow that is not in the table. */
import { readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";

const src = fileURLToPath(new URL("../src", import.meta.url));
/** What each room may import; `types` only types of the rooms named. Every room may import problem.ts. */
const may: Record<string, { all: string[]; types?: string[] }> = {
  geometry: { all: [] },
  script: { all: [] },
  artwork: { all: ["geometry", "script"] },
  vessel: { all: ["geometry"] },
  head: { all: ["geometry"] },
  warp: { all: ["geometry", "vessel", "head"] },
  fit: { all: ["geometry"] },
  beam: { all: ["geometry"] },
  region: { all: ["geometry"] },
  ink: { all: ["geometry", "artwork", "fit", "region"] },
  job: { all: [] },
  plan: { all: ["geometry", "region", "vessel", "head", "warp", "fit", "beam"], types: ["artwork", "job"] },
  dialin: { all: ["geometry", "vessel", "head", "warp", "beam", "plan"], types: ["job"] },
  picture: {
    all: ["geometry", "script", "warp", "beam", "plan"],
    types: ["job", "artwork", "vessel", "dialin"],
  },
  cli: {
    all: [
      "geometry",
      "script",
      "artwork",
      "region",
      "ink",
      "vessel",
      "head",
      "warp",
      "fit",
      "beam",
      "job",
      "plan",
      "dialin",
      "picture",
    ],
  },
};

interface Arrow {
  file: string;
  room: string;
  target: string;
  typeOnly: boolean;
}

const files = readdirSync(src, { recursive: true, encoding: "utf8" }).filter((f) => f.endsWith(".ts"));
const arrows: Arrow[] = files.flatMap((file) => {
  const text = readFileSync(join(src, file), "utf8");
  const room = file.includes("/") ? file.split("/")[0]! : "";
  return [
    ...text.matchAll(/(?:import|export)\s+(type\s+)?(?:[^"';]*?\sfrom\s+)?"([^"]+)"|import\("([^"]+)"\)/g),
  ].map((m) => ({
    file,
    room,
    target: m[2] ?? m[3]!,
    typeOnly: m[1] !== undefined,
  }));
});

it("finds the imports it is to judge", () => {
  expect(arrows.length).toBeGreaterThan(100);
  const rooms = files.filter((f) => f.includes("/")).map((f) => f.split("/")[0]!);
  expect(new Set(rooms)).toEqual(new Set(Object.keys(may)));
});

it("every arrow between rooms is in the table", () => {
  const wrong = arrows.filter(({ file, room, target, typeOnly }) => {
    if (!target.startsWith(".") || room === "") return false;
    const place = relative(src, join(src, file, "..", target));
    if (place === "problem.ts") return false;
    const other = place.split("/")[0]!;
    if (other === room) return false;
    const rule = may[room]!;
    return !rule.all.includes(other) && !(typeOnly && rule.types?.includes(other));
  });
  expect(wrong).toEqual([]);
});

// The compiler holds the rest (src/tsconfig.walls.json): no DOM, no node globals.
it("only the command line has files, a screen or a clock", () => {
  const outside = arrows.filter(
    (a) => a.room !== "cli" && (a.target.startsWith("node:") || a.target === "sharp"),
  );
  expect(outside).toEqual([]);
  for (const file of files.filter((f) => !f.startsWith("cli/"))) {
    const code = readFileSync(join(src, file), "utf8").replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, "");
    expect(code, file).not.toMatch(/\b(Date\.now|new Date|Math\.random)\b/);
  }
});

it("no file outgrows one idea (400 lines)", () => {
  for (const file of files) {
    expect(readFileSync(join(src, file), "utf8").split("\n").length, file).toBeLessThanOrEqual(401);
  }
});
