/** Runs the command line and says its peak memory (resident, in MB) on standard error. */
import { main } from "../../dist/cli/main.js";

process.exitCode = await main(process.argv);
process.stderr.write(`peak ${Math.round(process.resourceUsage().maxRSS / 1024)}\n`);
