/** The part of svg-path-parser 1.1 that is used here; the package ships no types. */
declare module "svg-path-parser" {
  export interface PathCommand {
    code: string;
    command: string;
    relative?: boolean;
    x?: number;
    y?: number;
    x0?: number;
    y0?: number;
    x1?: number;
    y1?: number;
    x2?: number;
    y2?: number;
    rx?: number;
    ry?: number;
    xAxisRotation?: number;
    largeArc?: boolean;
    sweep?: boolean;
  }
  const parser: {
    parseSVG(data: string): PathCommand[];
    /** Changes the commands it is given. */
    makeAbsolute(commands: PathCommand[]): PathCommand[];
  };
  export default parser;
}
