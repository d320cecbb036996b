/**
 * The command line. Heavy packages are imported only by the command that needs them, so that --help is quick.
 * Exit codes: 0 ready or caution, 1 internal error, 2 the job or the artwork is wrong, 3 stop.
 */
import { readFileSync } from "node:fs";
import { Command, CommanderError } from "commander";
import {
  addCarryOptions,
  addInkOptions,
  addJobOptions,
  addReachOptions,
  addStripOptions,
  addVesselOptions,
  withoutValue,
} from "./options.ts";

const help = `
Exit codes: 0 ready or caution; 3 stop: do not mark it as it is (files are still written, marked);
2 the job or the artwork is wrong (nothing is written); 1 internal error.

A class 4 laser on bright curved metal reflects in all directions: work in the closed enclosure, with eyewear
for the wavelength and fume extraction. Local codes, the laser safety officer and the makers' data go first.`;

/** Runs one command; the number is the process's exit code. */
export async function main(argv: readonly string[]): Promise<number> {
  let code = 0;
  // A reader that went away is no error of ours; a full disk is said in one line.
  process.stdout.on("error", (error: NodeJS.ErrnoException) => {
    if (error.code !== "EPIPE")
      process.stderr.write(`fallaway: standard output cannot be written: ${error.code}\n`);
    process.exitCode = 1;
  });
  const program = new Command("fallaway")
    .description(
      "Bends vector artwork so that it reads true on a round vessel, and says before a cup is spoiled where the beam fades.",
    )
    .version(version(), "-V, --version", "print the version")
    .helpOption("-h, --help", "print this help")
    .addHelpText("after", help)
    .exitOverride()
    .configureOutput({ outputError: (text, write) => write(`fallaway: ${mistake(text, argv)}\n`) });

  addJobOptions(
    program
      .command("prepare")
      .description(
        "write the bent artwork, a heat map, a zones drawing, a report and the resolved job into DIR",
      )
      .argument("[ART.svg]", "the artwork (may be left out where the job file names it)")
      .requiredOption("--out <DIR>", "folder for the results; made if it is missing"),
  )
    .option("--no-pictures", "leave the heat map and the zones drawing out")
    .action(async (art: string | undefined, options: Record<string, unknown>) => {
      const { ask } = await import("./ask.ts");
      const asked = ask(art, options);
      const { prepare } = await import("./prepare.ts");
      code = await prepare(asked, options.out as string, options.pictures !== false);
    });

  addJobOptions(
    program
      .command("check")
      .description("say whether the artwork fits, and why not; writes no files")
      .argument("[ART.svg]", "the artwork (may be left out where the job file names it)"),
  ).action(async (art: string | undefined, options: Record<string, unknown>) => {
    const { ask } = await import("./ask.ts");
    const asked = ask(art, options);
    const { check } = await import("./prepare.ts");
    code = await check(asked);
  });

  addJobOptions(
    program
      .command("proof")
      .description(
        "write what the customer signs: the vessel as it will look, and the artwork flat at true size",
      )
      .argument("[ART.svg]", "the artwork, or a folder of drawings for a contact sheet")
      .requiredOption("--out <DIR>", "folder for the results; made if it is missing"),
  )
    .option("--paper <a4|letter>", "paper of the PDF (default a4)")
    .option("--with-ideal", "also show the mark as if it cleared evenly, beside the predicted one")
    .action(async (art: string | undefined, options: Record<string, unknown>) => {
      const [{ ask }, { isFolder }, { paperOf }] = await Promise.all([
        import("./ask.ts"),
        import("./files.ts"),
        import("./paper.ts"),
      ]);
      const wanted = {
        folder: options.out as string,
        paper: paperOf(options.paper),
        withIdeal: options.withIdeal === true,
      };
      if (art !== undefined && isFolder(art)) {
        const { contactSheet } = await import("./contact.ts");
        code = await contactSheet(art, options, wanted);
        return;
      }
      const asked = ask(art, options);
      const { proof } = await import("./proof.ts");
      code = await proof(asked, wanted);
    });

  addJobOptions(
    program
      .command("sheet")
      .description(
        "write what the operator takes to the laser: the marks, a line to align by, and the station sheet",
      )
      .argument("[ART.svg]", "the artwork (may be left out where the job file names it)")
      .requiredOption("--out <DIR>", "folder for the results; made if it is missing"),
  )
    .option("--paper <a4|letter>", "paper of the sheet (default a4)")
    .action(async (art: string | undefined, options: Record<string, unknown>) => {
      const [{ ask }, { paperOf }] = await Promise.all([import("./ask.ts"), import("./paper.ts")]);
      const paper = paperOf(options.paper);
      const asked = ask(art, options);
      const { sheet } = await import("./sheet.ts");
      code = await sheet(asked, options.out as string, paper);
    });

  addInkOptions(
    program
      .command("ink")
      .description("write the artwork's ink alone: flat, in mm, what will be marked as clean outlines")
      .argument("[ART.svg]", "the artwork (may be left out where the job file names it)")
      .requiredOption("--out <INK.svg>", "the file to write"),
  ).action(async (art: string | undefined, options: Record<string, unknown>) => {
    const { askInk } = await import("./ask.ts");
    const asked = askInk(art, options);
    const { ink } = await import("./ink.ts");
    code = await ink(asked, options.out as string);
  });

  addReachOptions(
    program
      .command("reach")
      .description("compare all lenses: how wide artwork may be on a vessel, and at which focus")
      .option("--csv", "the table as CSV on standard output, nothing else there")
      .option("--out <DIR>", "folder for the table as CSV and JSON and a chart; made if it is missing"),
  ).action(async (options: Record<string, unknown>) => {
    const { reach } = await import("./reach.ts");
    await reach(options);
  });

  addVesselOptions(
    program
      .command("vessel")
      .description("draw a vessel and tabulate it: girth and taper along it, and where it can be marked")
      .argument("[FILE]", "a measured profile (CSV or JSON) or a job file; else the options tell the vessel")
      .option("--csv", "the table as CSV on standard output, nothing else there")
      .option("--out <DIR>", "folder for the drawing (SVG, PNG) and the table; made if it is missing"),
  ).action(async (file: string | undefined, options: Record<string, unknown>) => {
    const { vessel } = await import("./vessel.ts");
    code = await vessel(file, options);
  });

  addStripOptions(
    program
      .command("strip")
      .description(
        "write a test mark for the vessel, numbered bars in rows of other settings or focus, with a sheet to read it by",
      )
      .requiredOption("--out <DIR>", "folder for the results; made if it is missing"),
  ).action(async (options: Record<string, unknown>) => {
    const { strip } = await import("./strip.ts");
    code = await strip(options);
  });

  program
    .command("fit")
    .description("work out machine, coating and lay from the readings of strips, and write a calibration")
    .argument("<READINGS...>", "forms that were filled in (CSV), or the same as JSON")
    .option("--strip <FILE...>", "the strips they are read from (default: NAME.strip.json beside each form)")
    .option("--out <DIR>", "folder for the calibration, the plot and the figures; made if it is missing")
    .option("--machine <TEXT>", "what the machine is called in the calibration")
    .option("--date <YYYY-MM-DD>", "the day on which the marks were read (default today)")
    .option("--json", "the figures as JSON on standard output, nothing else there")
    .action(async (paths: readonly string[], options: Record<string, unknown>) => {
      const { fitReadings } = await import("./fit.ts");
      code = await fitReadings(paths, options);
    });

  addCarryOptions(
    program.command("carry").description("carry settings that worked on one source and lens to another"),
  ).action(async (options: Record<string, unknown>) => {
    const { carrySettings } = await import("./carry.ts");
    carrySettings(options);
  });

  program
    .command("profiles")
    .description(
      "list the stored lenses, sources, coatings, metals and vessels, each figure with where it comes from",
    )
    .argument("[kind]", "lenses, sources, coatings, metals or vessels; all where left out")
    .option("--json", "as JSON")
    .action(async (kind: string | undefined, options: { json?: boolean }) => {
      const { listProfiles } = await import("./profiles.ts");
      listProfiles(kind, options.json === true);
    });

  for (const command of program.commands) {
    command.addHelpText("after", help);
    command.exitOverride().version(version(), "-V, --version", "print the version");
  }
  try {
    if (argv.length <= 2) {
      program.outputHelp();
      return 0;
    }
    await program.parseAsync(argv as string[]);
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
    const { tell } = await import("./tell.ts");
    return tell(error);
  }
  return code;
}

/** commander's words in our one line, with what to do. */
function mistake(text: string, argv: readonly string[]): string {
  const [what, near] = text
    .replace(/^error: /, "")
    .trim()
    .split("\n");
  const lacking = withoutValue(argv);
  if (/^too many arguments/.test(what ?? "") && lacking)
    return `${lacking} lacks its value, another option follows it: see --help`;
  if (/^too many arguments/.test(what ?? ""))
    return `${what?.replace(/\.$/, "")}: numbers that belong together have commas and no blanks, as in --taper 88,64,110; see --help`;
  const meant = near ? `${near.replace(/[()]/g, "").replace(/^D/, "d")} ` : "";
  return `${what?.replace(/\.$/, "")}: ${meant}see --help`;
}

function version(): string {
  const text = readFileSync(new URL("../../package.json", import.meta.url), "utf8");
  return (JSON.parse(text) as { version: string }).version;
}
