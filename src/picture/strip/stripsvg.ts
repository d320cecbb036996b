/**
 * The strip as SVG for the station: the marks' own page, one group for each mark, whose title says what to set. A lens height
 * of its own is a file of its own.
 */
import { type INode, stringify } from "svgson";
import type { Path } from "../../geometry/path.ts";
import { Bender } from "../../plan/bent.ts";
import { bentWith, faceOf } from "../../plan/strip/meets.ts";
import type { Strip, StripMark } from "../../plan/strip/types.ts";
import { shapeWords } from "../../plan/vesselsaid.ts";
import type { Lettering } from "../lettering.ts";
import { element, markNode, pageAttributes, transformAttr, XML } from "../marks.ts";
import { shapesOf, squareOf, words } from "./shapes.ts";

export interface StripFile {
  readonly name: string;
  readonly marks: readonly StripMark[];
  readonly svg: string;
}

/** Throws JobError `curve-not-fitted` where a curve cannot be certified. */
export function stripFiles(strip: Strip, lettering: Lettering): StripFile[] {
  const heights = [...new Set(strip.marks.map((mark) => mark.belowCrownMm))];
  return heights.map((height, i) => {
    const marks = strip.marks.filter((mark) => mark.belowCrownMm === height);
    const part = heights.length === 1 ? "" : `.height-${i + 1}`;
    return { name: `${strip.name}.strip${part}.svg`, marks, svg: svgOf(strip, marks, lettering) };
  });
}

function svgOf(strip: Strip, marks: readonly StripMark[], lettering: Lettering): string {
  const root = element(
    "svg",
    pageAttributes(strip),
    marks.map((mark) =>
      element("g", { id: `mark-${mark.number}` }, [
        titled(markWords(strip, mark)),
        ...(strip.ladder === "squares" ? square(strip, mark, lettering) : bent(strip, mark, lettering)),
      ]),
    ),
  );
  const lines = [
    "a test mark for a spare vessel, to be filled by the station like a customer's; one group a mark, its title says what to set",
    `bent for ${placeWords(strip)}, lens ${strip.job.lens.id}, ${heightWords(strip, marks[0]!)}`,
  ];
  return `${XML}\n<!-- ${lines.join("\n     ")} -->\n${stringify(root, { transformAttr })}\n`;
}

export const placeWords = ({ ladder, job, tiltDeg }: Strip): string =>
  ladder === "ramp"
    ? `a flat coupon tilted by ${tiltDeg} degrees, its right end down`
    : ladder === "squares"
      ? "a flat plate"
      : `a vessel, ${shapeWords(job.vessel)}`;

/** As "lens reference 449.1 mm above the crown line". */
export function heightWords({ ladder, job }: Strip, { belowCrownMm }: StripMark): string {
  const what =
    ladder === "ramp" ? "the coupon's middle" : ladder === "squares" ? "the plate" : "the crown line";
  return `lens reference ${(job.lens.workingDistanceMm - belowCrownMm).toFixed(1)} mm above ${what}`;
}

/** As "mark 2 of 8: 51 W, 3290 mm/s, 50 kHz, pitch 0.025 mm". */
export function markWords(strip: Strip, mark: StripMark): string {
  const { powerW, speedMmS, frequencyKHz, pitchMm } = mark.settings;
  const name = `mark ${mark.number} of ${strip.marks.length}`;
  if (strip.ladder === "squares") {
    return `${name}: a square of ${strip.sideMm} mm as commanded, one line, with whatever shows on the plate`;
  }
  return `${name}: ${powerW} W, ${speedMmS} mm/s, ${frequencyKHz} kHz, pitch ${pitchMm} mm`;
}

function bent(strip: Strip, mark: StripMark, lettering: Lettering): INode[] {
  const warp = bentWith(strip, mark, faceOf(strip));
  const bender = new Bender(warp, strip.job);
  const reached = (path: Path<"flat">): boolean =>
    path.contours.every(({ points }) => {
      for (let i = 0; i < points.length; i += 2)
        if (warp.failureAt(points[i]!, points[i + 1]!) !== null) return false;
      return true;
    });
  return shapesOf(strip, mark, lettering)
    .filter(({ path }) => reached(path))
    .map(({ id, path }) =>
      markNode(
        {
          id,
          paint: "fill",
          path: { contours: path.contours.map((one) => bender.bend(one, { id, where: {} }).contour) },
        },
        "#000000",
      ),
    );
}

function square(strip: Strip, mark: StripMark, lettering: Lettering): INode[] {
  const number = words<"command">(lettering, String(mark.number), { x: 0, y: 0, anchor: "middle" });
  const frame = { contours: [squareOf(strip.sideMm!)] };
  return [
    markNode({ id: `square-${mark.number}`, paint: "centre-line", path: frame }, "#000000"),
    markNode({ id: `mark-${mark.number}-number`, paint: "centre-line", path: number }, "#000000"),
  ];
}

const titled = (text: string): INode => ({
  ...element("title", {}),
  children: [{ name: "", type: "text", value: text, attributes: {}, children: [] }],
});
