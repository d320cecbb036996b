/** The proof's pictures with the mask rasterised and each encoded. */
import sharp from "sharp";
import { ProofPictures } from "../picture/render/pictures.ts";
import type { Pixels } from "../picture/render/render.ts";
import type { Assumed } from "../picture/render/scene.ts";
import type { Plan } from "../plan/types.ts";

/** A picture in its place on a page. */
export interface EncodedShot {
  readonly name: string;
  readonly label: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly png: Buffer;
}

export interface Shots {
  readonly notes: readonly Assumed[];
  readonly predicted: readonly EncodedShot[];
  /** Null unless asked for. */
  readonly ideal: readonly EncodedShot[] | null;
}

/** `side`: px of a picture's longer side; `only`: the first so many views. */
export async function shotsOf(plan: Plan, side: number, withIdeal: boolean, only?: number): Promise<Shots> {
  const pictures = new ProofPictures(plan, side);
  sharp.cache(false);
  const coverage = await sharp(Buffer.from(pictures.maskSvg), { unlimited: true })
    .extractChannel(0)
    .raw()
    .toBuffer();
  const encoded = (ideal: boolean): Promise<EncodedShot[]> =>
    Promise.all(
      pictures.shots(coverage, ideal, only).map(async ({ name, label, pixels }) => ({
        name,
        label,
        widthPx: pixels.width,
        heightPx: pixels.height,
        png: await pngOf(pixels),
      })),
    );
  const predicted = await encoded(false);
  return { notes: pictures.notes, predicted, ideal: withIdeal ? await encoded(true) : null };
}

const pngOf = ({ width, height, rgb }: Pixels): Promise<Buffer> =>
  sharp(rgb, { raw: { width, height, channels: 3 } })
    .png({ compressionLevel: 6 })
    .toBuffer();
