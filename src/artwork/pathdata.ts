/** Path data → pen: every command of SVG 2, 9.3, drawn up to the first error. */
import { drawArc } from "./arcs.ts";
import type { Pen } from "./pen.ts";
import type { PathFault } from "./scan.ts";
import { scanPathData } from "./scan.ts";

/** Draws segments and keeps, between them, the arm that S and T reflect. */
class Plotter {
  readonly #pen: Pen;
  #armX = 0;
  #armY = 0;
  #arm: "C" | "Q" | "" = "";

  constructor(pen: Pen) {
    this.#pen = pen;
  }

  draw(letter: string, v: Float64Array): void {
    const pen = this.#pen;
    const px = pen.x;
    const py = pen.y;
    const relative = letter >= "a";
    const dx = relative ? px : 0;
    const dy = relative ? py : 0;
    let arm: "C" | "Q" | "" = "";
    switch (letter) {
      case "M":
      case "m":
        pen.move(v[0]! + dx, v[1]! + dy);
        break;
      case "L":
      case "l":
        pen.line(v[0]! + dx, v[1]! + dy);
        break;
      case "H":
      case "h":
        pen.line(v[0]! + dx, py);
        break;
      case "V":
      case "v":
        pen.line(px, v[0]! + dy);
        break;
      case "C":
      case "c":
        arm = this.#keep("C", v[2]! + dx, v[3]! + dy);
        pen.cubic(v[0]! + dx, v[1]! + dy, v[2]! + dx, v[3]! + dy, v[4]! + dx, v[5]! + dy);
        break;
      case "S":
      case "s": {
        const x1 = this.#arm === "C" ? 2 * px - this.#armX : px;
        const y1 = this.#arm === "C" ? 2 * py - this.#armY : py;
        arm = this.#keep("C", v[0]! + dx, v[1]! + dy);
        pen.cubic(x1, y1, v[0]! + dx, v[1]! + dy, v[2]! + dx, v[3]! + dy);
        break;
      }
      case "Q":
      case "q":
        arm = this.#keep("Q", v[0]! + dx, v[1]! + dy);
        pen.quadratic(v[0]! + dx, v[1]! + dy, v[2]! + dx, v[3]! + dy);
        break;
      case "T":
      case "t": {
        const x1 = this.#arm === "Q" ? 2 * px - this.#armX : px;
        const y1 = this.#arm === "Q" ? 2 * py - this.#armY : py;
        arm = this.#keep("Q", x1, y1);
        pen.quadratic(x1, y1, v[0]! + dx, v[1]! + dy);
        break;
      }
      case "A":
      case "a":
        drawArc(pen, {
          rx: v[0]!,
          ry: v[1]!,
          rotation: v[2]!,
          large: v[3] === 1,
          sweep: v[4] === 1,
          x: v[5]! + dx,
          y: v[6]! + dy,
        });
        break;
      default:
        pen.close();
    }
    this.#arm = arm;
  }

  #keep(arm: "C" | "Q", x: number, y: number): "C" | "Q" {
    this.#armX = x;
    this.#armY = y;
    return arm;
  }
}

/**
 * Draws path data. Returns the first error, or null; what stands before the error is drawn. `none` and an empty text
 * draw nothing.
 */
export function drawPathData(d: string, pen: Pen): PathFault | null {
  if (d.trim() === "none") return null;
  const plotter = new Plotter(pen);
  return scanPathData(d, (letter, values) => plotter.draw(letter, values));
}
