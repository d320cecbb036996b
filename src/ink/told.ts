/** What is said of the ink: tones that were taken, paint that is not marked, ink cut off, nothing left. */
import type { Painted, Rgba } from "../artwork/types.ts";
import { convexOutline } from "../geometry/convex.ts";
import { JobError, type Problem, type Where } from "../problem.ts";
import type { InkOptions } from "./options.ts";
import { contains, overlap, type Piece } from "./pieces.ts";
import type { Tone } from "./tone.ts";

/** From this relative luminance on, paint is taken for the page's white. */
const paperWhite = 0.9;
/** Ink may reach this far over the page's edge (mm² cut off) before it is reported: rounding, not drawing. */
const crumb = 1e-6;
/** So many colours are named. */
const named = 4;

/** Gradients, each element's once: copies by `use` are the same element. */
export function gradientProblems(tones: readonly { item: Painted; tone: Tone }[]): Problem[] {
  const became = {
    ink: "is marked",
    hides: "is not marked, and hides ink below it",
    nothing: "does nothing",
  };
  const seen = new Set<string>();
  const key = ({ line, column }: Where): string => `${line}:${column}`;
  return tones.flatMap(({ item: { colours, where }, tone: { does, luminance } }): Problem[] => {
    if (colours.length < 2 || seen.has(key(where))) return [];
    seen.add(key(where));
    const message = `a gradient was taken as one tone, its mean luminance of ${luminance.toFixed(2)}: it ${became[does]}`;
    const hint = "give the shape a plain dark or light colour in the drawing program";
    return [{ code: "gradient-flattened", severity: "caution", message, where, hint }];
  });
}

/** What the page's edge cut off, in one caution. `far`: those of which only a part was measured. */
export function beyondProblems(beyond: ReadonlyMap<Painted, number>, far: ReadonlySet<Painted>): Problem[] {
  const cut = [...beyond].filter(([, area]) => area > crumb);
  const [first] = cut;
  if (!first) return [];
  const area = cut.reduce((sum, [, a]) => sum + a, 0);
  const size = area < 0.01 ? "less than 0.01" : area < 10 ? area.toPrecision(2) : area.toFixed(0);
  const least = cut.some(([item]) => far.has(item)) ? "more than " : "";
  const more = cut.length > 1 ? `, from ${cut.length} shapes` : "";
  return [
    {
      code: "beyond-page",
      severity: "caution",
      message: `${least}${size} mm² of ink reaches beyond the page and was cut off at its edge${more}`,
      where: first[0].where,
      hint: "move the shapes onto the page, or make the page larger, to have them marked whole",
    },
  ];
}

/** Pairs of light shapes and ink that are compared; light shapes beyond that are taken to lie over ink. */
const mostPairs = 100_000_000;

/** Light shapes that are neither the page's white nor over ink: the mark will lack them. */
export function lightProblems(pieces: readonly Piece[], luminances: readonly number[]): Problem[] {
  const ink: Piece[] = [];
  let pairs = 0;
  const alone = ({ box }: Piece): boolean => {
    if (pairs > mostPairs) return false;
    pairs += ink.length;
    return !ink.some((below) => overlap(below.box, box));
  };
  return pieces.flatMap((piece, i): Problem[] => {
    const luminance = luminances[i] ?? 1;
    if (piece.does === "ink") ink.push(piece);
    else if (luminance < paperWhite && alone(piece)) {
      const message = `a light shape is not marked (luminance ${luminance.toFixed(2)}, ink is below the limit)`;
      const hint = "give it a dark colour if it is to be marked, or move the limit with --ink-below";
      return [{ code: "light-not-marked", severity: "caution", message, where: piece.item.where, hint }];
    }
    return [];
  });
}

/** A dark shape all over the page is most often what light art was drawn on. */
export function backdropNote(
  pieces: readonly Piece[],
  { widthMm, heightMm }: { widthMm: number; heightMm: number },
): Problem[] {
  const page = { minX: 0.01 * widthMm, minY: 0.01 * heightMm, maxX: 0.99 * widthMm, maxY: 0.99 * heightMm };
  const [first] = pieces;
  if (first?.does !== "ink" || first.item.stroke || !contains(first.box, page)) return [];
  const outline = convexOutline(first.item.path);
  if (!outline || outline.straight.length > 4 || outline.straight.includes(0)) return [];
  return [
    {
      code: "page-is-ink",
      severity: "note",
      message: "the first shape covers the whole page and is ink: what is light on it stays unmarked",
      where: first.item.where,
      hint: "leave the backdrop out, or give --ink light, if the light art on it is to be marked instead",
    },
  ];
}

/** Codes of --allow that nothing was found for: a misspelt one would let nothing pass. */
export function unusedNote(allow: readonly string[], problems: readonly Problem[]): Problem[] {
  const unused = allow.filter((code) => !problems.some((p) => p.code === code));
  if (unused.length === 0) return [];
  return [
    {
      code: "allow-unused",
      severity: "note",
      message: `nothing in the artwork needed --allow ${unused.join(" ")}`,
      hint: "check the spelling; codes stand apart, with spaces between them",
    },
  ];
}

/** Why nothing is left to mark. `tones`: all that is painted; `left`: what of it is ink before anything cuts it. */
export function noInk(
  { from, below, colours }: InkOptions,
  tones: readonly { item: Painted; tone: Tone }[],
): JobError {
  const nothing = "nothing in the file can be marked";
  if (tones.length === 0) {
    return new JobError(
      "no-ink",
      `${nothing}: nothing is painted`,
      "check that its layers are visible and not empty",
    );
  }
  if (tones.some(({ tone }) => tone.does === "ink")) {
    return new JobError(
      "no-ink",
      `${nothing}: its ink is covered by light paint, cut away by clips, or off the page`,
      "look at it in the drawing program",
    );
  }
  const found = [...new Set(tones.flatMap(({ item }) => item.colours.map(hex)))];
  const list =
    found.slice(0, named).join(" ") + (found.length > named ? ` and ${found.length - named} more` : "");
  const many = `${tones.length} ${tones.length === 1 ? "shape is" : "shapes are"}`;
  if (colours.length > 0) {
    return new JobError(
      "no-ink",
      `${nothing}: no paint has a colour of --ink-colour`,
      `the file has ${list}`,
    );
  }
  const limit = from === "light" ? `darker than the limit of ${below}` : `lighter than the limit of ${below}`;
  return new JobError(
    "no-ink",
    `${nothing}: ${many} painted, all ${limit} (${list})`,
    `give --ink ${from === "light" ? "dark" : "light"}, or move the limit with --ink-below`,
  );
}

/** As seen over white. */
function hex({ r, g, b, a }: Rgba): string {
  const byte = (v: number): string =>
    Math.round(255 * (1 - a + v * a))
      .toString(16)
      .padStart(2, "0");
  return `#${byte(r)}${byte(g)}${byte(b)}`;
}
