/** A resolved job as the job file that repeats it: what it worked out of other words goes back into them. */
import type { Job, JobFile } from "./job.ts";

/** The keys keep the job's order, so that a repeated run writes the same bytes. Paths are as the job has them. */
export function jobFileOf(job: Job): JobFile {
  const { spot, ...lens } = job.lens;
  const { calibration: c } = job;
  const file = {
    ...job,
    lens: spot ? { ...lens, spotUm: spot.diameterUm, rayleighMm: spot.rayleighMm } : lens,
    ...(c
      ? {
          calibration: {
            path: c.path,
            ...(c.sha256 === undefined ? {} : { sha256: c.sha256 }),
            ...(c.own.length > 0 ? { own: [...c.own] } : {}),
          },
        }
      : {}),
  };
  return file as unknown as JobFile;
}
