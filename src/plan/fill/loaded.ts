/** What a station loads of a job, and the box around it: that of lines lies a little inside the outlines'. */
import { type Box, pathBounds, uniteBoxes } from "../../geometry/path.ts";
import type { Plan, Turn } from "../types.ts";
import type { TurnFill } from "./types.ts";

/** As the files end: lines where they are laid, the outlines in bands where those are asked for, else the outlines. */
export type Loaded = "fill" | "bands" | "warped";

export const loadedOf = ({ fill }: Pick<Plan, "fill">): Loaded =>
  fill?.asked.lines ? "fill" : fill?.asked.bands && fill.bands ? "bands" : "warped";

/** Around all lines of a turn, its outline pass and its single lines, as in the file; null where there are none. */
export function boxOfLines({ marks }: Pick<Turn, "marks">, { sets, outline }: TurnFill): Box | null {
  const single = (marks.get("usable") ?? []).filter((mark) => mark.paint !== "fill");
  const paths = [...single.map((mark) => mark.path), ...(outline?.paths ?? [])];
  return [...sets.map((set) => set.box), ...paths.map(pathBounds)].reduce<Box | null>(uniteBoxes, null);
}
