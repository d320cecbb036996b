/** The options of lines laid for the station, and of bands. */
import { mm, pair, whole, word } from "./optionreaders.ts";
import type { OptionSpec } from "./optionspecs.ts";

export const fillSpecs: readonly OptionSpec[] = [
  {
    flags: "--fill <even|plain>",
    help: "lay the lines that clear the ink: even: nearer together where less comes off; plain: the same everywhere (needs --pitch)",
    path: ["fill", "lines"],
    read: word,
  },
  {
    flags: "--pitch-limits <MM,MM>",
    help: "smallest and largest pitch of evened lines (default a tenth of the pitch, and the pitch)",
    path: ["fill", "pitchLimitsMm"],
    read: pair(mm, false, "0.01,0.04"),
  },
  {
    flags: "--travel <WAY>",
    help: "both-ways: lines to and fro; one-way: all in one direction (default both-ways)",
    path: ["fill", "travel"],
    read: word,
  },
  {
    flags: "--outline-pass <before|after>",
    help: "mark the outline too, half a spot inside the ink, before or after the lines",
    path: ["fill", "outlinePass"],
    read: word,
  },
  {
    flags: "--trim-ends",
    help: "end each line the spot's radius inside the ink",
    path: ["fill", "trimEnds"],
  },
  {
    flags: "--lines <curves|polyline>",
    help: "bent lines as curves, or of straight pieces only (default curves)",
    path: ["fill", "form"],
    read: word,
  },
  {
    flags: "--fill-files <one|each>",
    help: "all sets of lines in one file, or a file for each (default one)",
    path: ["fill", "files"],
    read: word,
  },
  { flags: "--dxf", help: "write the lines as DXF too (R12: lines and polylines)", path: ["fill", "dxf"] },
  {
    flags: "--bands <N>",
    help: "cut the ink along the axis into N bands of equal falloff, each with a factor of its own",
    path: ["fill", "bands"],
    read: whole,
  },
  {
    flags: "--bands-by <speed|power>",
    help: "what a band's factor is of (default speed)",
    path: ["fill", "bandsBy"],
    read: word,
  },
];
