/** `ink`: the artwork's ink by itself, flat and at its place on the page. */
import { statSync } from "node:fs";
import { basename, dirname, resolve } from "node:path";
import type { Artwork } from "../artwork/types.ts";
import { contourLength } from "../geometry/cubic.ts";
import { pathBounds, segmentCount, signedArea, uniteBoxes } from "../geometry/path.ts";
import { inkSvg } from "../picture/inksvg.ts";
import { JobError } from "../problem.ts";
import { named, readArt } from "./art.ts";
import type { InkAskedOf } from "./ask.ts";
import { writeAll } from "./files.ts";
import { startProgress } from "./progress.ts";
import { row } from "./rows.ts";
import { problemRows } from "./summary.ts";

/** Of strokes' outlines, mm on the page. */
const TOLERANCE_MM = 0.0005;

export async function ink(asked: InkAskedOf, out: string): Promise<number> {
  if (out === "" || out.endsWith("/")) {
    throw new JobError("file-missing", `--out "${out}" names no file`, "give the SVG file to write");
  }
  if (sameFile(out, asked.artPath)) {
    throw new JobError(
      "out-is-artwork",
      `--out ${out} is the artwork itself`,
      "give the ink a file of its own",
    );
  }
  const progress = startProgress(asked.bytes.length > 2_000_000);
  try {
    const artwork = await readArt({ ...asked, job: asked }, progress.step, () => TOLERANCE_MM);
    progress.step("writing the ink");
    writeAll(dirname(out), [{ name: basename(out), data: inkSvg(artwork) }]);
    progress.stop();
    const found = figures(artwork, out);
    process.stdout.write(asked.asJson ? `${JSON.stringify(found, null, 2)}\n` : summary(found));
    return 0;
  } catch (error) {
    progress.stop();
    throw named(error, asked.artPath);
  }
}

function sameFile(a: string, b: string): boolean {
  const [one, other] = [a, b].map((path) => statSync(path, { throwIfNoEntry: false }));
  return resolve(a) === resolve(b) || (one !== undefined && one.ino === other?.ino && one.dev === other.dev);
}

/** What was found, as data: lengths mm, areas mm². */
function figures(artwork: Artwork, file: string) {
  const { shapes, widthMm, heightMm } = artwork;
  const box = shapes.map((s) => pathBounds(s.path)).reduce(uniteBoxes, null);
  const fills = shapes.filter((s) => s.paint === "fill");
  const lines = shapes.filter((s) => s.paint === "centre-line");
  const neat = (v: number): number => Math.round(v * 1e6) / 1e6;
  const sum = (list: readonly number[]): number => neat(list.reduce((a, b) => a + b, 0));
  return {
    file,
    pageMm: [neat(widthMm), neat(heightMm)],
    inkBoxMm: box && [box.minX, box.minY, box.maxX, box.maxY].map(neat),
    // With --keep-shapes what overlaps counts for each shape.
    inkAreaMm2: sum(fills.flatMap((s) => s.path.contours.map(signedArea))),
    lineLengthMm: sum(lines.flatMap((s) => s.path.contours.map(contourLength))),
    shapes: shapes.length,
    segments: shapes.reduce((n, s) => n + segmentCount(s.path), 0),
    problems: artwork.problems,
  };
}

function summary(found: ReturnType<typeof figures>): string {
  const [width, height] = found.pageMm;
  const box = found.inkBoxMm;
  const count = (n: number, what: string): string => `${n} ${what}${n === 1 ? "" : "s"}`;
  const fixed = (v: number | undefined): string => (v ?? 0).toFixed(2);
  const sizes = [
    found.inkAreaMm2 > 0 ? `${found.inkAreaMm2.toPrecision(6)} mm² of area` : "",
    found.lineLengthMm > 0 ? `${found.lineLengthMm.toPrecision(6)} mm of centre line` : "",
  ].filter(Boolean);
  const lines = [
    "INK",
    row("page", `${fixed(width)} × ${fixed(height)} mm`),
    ...(box
      ? [
          row(
            "ink",
            `${fixed(box[2]! - box[0]!)} × ${fixed(box[3]! - box[1]!)} mm, from ${fixed(box[0])} right and ${fixed(box[1])} below the page's corner`,
          ),
        ]
      : []),
    row(
      "amount",
      `${sizes.join(" and ")} in ${count(found.shapes, "shape")} of ${count(found.segments, "segment")}`,
    ),
    ...problemRows(found.problems),
    row("file", found.file),
  ];
  return `${lines.join("\n")}\n`;
}
