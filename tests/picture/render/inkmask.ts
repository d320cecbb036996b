/** The ink as coverage, by an independent renderer of drawings, as the command line makes it. */
import sharp from "sharp";
import { InkMask, maskPlace, maskSvg } from "../../../src/picture/render/mask.ts";
import type { Plan } from "../../../src/plan/types.ts";

export async function maskOf(plan: Plan, perMm: number): Promise<InkMask> {
  const place = maskPlace(plan, perMm);
  const data = await sharp(Buffer.from(maskSvg(plan, place)))
    .extractChannel(0)
    .raw()
    .toBuffer();
  return new InkMask(place, data);
}
