/** A QR code (ISO/IEC 18004) as path data: its dark modules, with the four light ones around it that a reader needs. */
import { encode } from "uqr";
import { fixed } from "../svg.ts";

/** Modules that stay light on each side. */
const QUIET = 4;

/** Dark modules as runs of rectangles inside the square of `size` at (x, y); to be filled nonzero. */
export function qrPath(text: string, x: number, y: number, size: number): string {
  const { data } = encode(text, { ecc: "M", border: 0 });
  const unit = size / (data.length + 2 * QUIET);
  const n = (v: number): string => fixed(v, 4);
  const runs = data.flatMap((row, j) => {
    const list: string[] = [];
    for (let i = 0; i < row.length; i++) {
      if (!row[i]) continue;
      const from = i;
      while (row[i + 1]) i++;
      const [left, right] = [x + (from + QUIET) * unit, x + (i + 1 + QUIET) * unit];
      const [top, bottom] = [y + (j + QUIET) * unit, y + (j + 1 + QUIET) * unit];
      list.push(`M${n(left)} ${n(top)}H${n(right)}V${n(bottom)}H${n(left)}Z`);
    }
    return list;
  });
  return runs.join("");
}
