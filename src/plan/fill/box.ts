/** The box around a file of lines: a little inside that of the outlines, since the first line lies half a pitch inside. */
import { type Box, pathBounds, uniteBoxes } from "../../geometry/path.ts";
import type { Turn } from "../types.ts";
import type { TurnFill } from "./types.ts";

/** Around all lines of a turn, its outline pass and its single lines, as in the file; null where there are none. */
export function boxOfLines({ marks }: Pick<Turn, "marks">, { sets, outline }: TurnFill): Box | null {
  const single = (marks.get("usable") ?? []).filter((mark) => mark.paint !== "fill");
  const paths = [...single.map((mark) => mark.path), ...(outline?.paths ?? [])];
  return [...sets.map((set) => set.box), ...paths.map(pathBounds)].reduce<Box | null>(uniteBoxes, null);
}
