/** Path data → pen: every command of SVG 2, 9.3, drawn up to the first error. */
import type { PathCommand } from "svg-path-parser";
import svgPathParser from "svg-path-parser";
import { drawArc } from "./arcs.ts";
import type { Pen } from "./pen.ts";
import type { PathFault } from "./scan.ts";
import { scanPathData } from "./scan.ts";

/** Segments per text for the parser: it is quadratic in subpaths and recursive in segments. */
const chunkSize = 200;

/** What a parsed command says, with 0 for what its kind does not have. */
interface Numbers {
  readonly x: number;
  readonly y: number;
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
}

/** Draws commands and keeps, between texts, the arm that S and T reflect. */
class Plotter {
  readonly #pen: Pen;
  #armX = 0;
  #armY = 0;
  #arm: "C" | "Q" | "" = "";

  constructor(pen: Pen) {
    this.#pen = pen;
  }

  draw(command: PathCommand): void {
    const pen = this.#pen;
    const px = pen.x;
    const py = pen.y;
    const dx = command.relative ? px : 0;
    const dy = command.relative ? py : 0;
    const n = command as PathCommand & Numbers;
    const x = n.x + dx;
    const y = n.y + dy;
    let arm: "C" | "Q" | "" = "";
    switch (command.code.toUpperCase()) {
      case "M":
        pen.move(x, y);
        break;
      case "L":
        pen.line(x, y);
        break;
      case "H":
        pen.line(x, py);
        break;
      case "V":
        pen.line(px, y);
        break;
      case "C":
        arm = this.#keep("C", n.x2 + dx, n.y2 + dy);
        pen.cubic(n.x1 + dx, n.y1 + dy, n.x2 + dx, n.y2 + dy, x, y);
        break;
      case "S": {
        const x1 = this.#arm === "C" ? 2 * px - this.#armX : px;
        const y1 = this.#arm === "C" ? 2 * py - this.#armY : py;
        arm = this.#keep("C", n.x2 + dx, n.y2 + dy);
        pen.cubic(x1, y1, n.x2 + dx, n.y2 + dy, x, y);
        break;
      }
      case "Q":
        arm = this.#keep("Q", n.x1 + dx, n.y1 + dy);
        pen.quadratic(n.x1 + dx, n.y1 + dy, x, y);
        break;
      case "T": {
        const x1 = this.#arm === "Q" ? 2 * px - this.#armX : px;
        const y1 = this.#arm === "Q" ? 2 * py - this.#armY : py;
        arm = this.#keep("Q", x1, y1);
        pen.quadratic(x1, y1, x, y);
        break;
      }
      case "A":
        drawArc(pen, {
          rx: command.rx as number,
          ry: command.ry as number,
          rotation: command.xAxisRotation as number,
          large: command.largeArc as boolean,
          sweep: command.sweep as boolean,
          x,
          y,
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
 * Draws path data, at most `size` segments per parse. Returns the first error, or null; what stands before the
 * error is drawn. `none` and an empty text draw nothing.
 */
export function drawPathData(d: string, pen: Pen, size = chunkSize): PathFault | null {
  if (d.trim() === "none") return null;
  const plotter = new Plotter(pen);
  return scanPathData(d, size, (text) => {
    const commands = svgPathParser.parseSVG(text);
    for (let i = 1; i < commands.length; i++) plotter.draw(commands[i]);
  });
}
