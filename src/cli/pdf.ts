/**
 * Pages → one PDF: text as text with its fonts embedded, drawings as paths, pictures shared between pages. The same
 * pages give the same bytes. ISO 32000-1; its unit is 1/72 inch.
 */
import type { Font } from "fontkit";
import sharp from "sharp";
import type { Lettering } from "../picture/lettering.ts";
import type { Page, PageImage, PageText } from "../picture/page/page.ts";
import { INK } from "../picture/parts.ts";
import type { Run } from "../picture/setting.ts";
import { lineContent, numbers, paint, pathContent } from "./pdfcontent.ts";
import { canEmbed, hex, PdfFont } from "./pdffont.ts";

const POINTS_PER_MM = 72 / 25.4;

export interface PdfOptions {
  /** PNG or JPEG, by the names that the pages' images bear. */
  readonly images: ReadonlyMap<string, Uint8Array>;
  /** The fonts, and how text is set in them. */
  readonly lettering: Lettering;
  readonly title: string;
  readonly subject?: string;
  readonly author?: string;
  readonly keywords?: string;
  /** YYYY-MM-DD, told as the day on which it was made. */
  readonly date: string;
}

/**
 * Throws Error for a number that is none, a colour that is not "#rrggbb", a date that is none, and an image that was
 * not handed in. A character that no font has is drawn as a box: ask `Lettering.missing` before.
 */
export async function writePdf(pages: readonly Page[], options: PdfOptions): Promise<Buffer> {
  const { default: PDFDocument } = await import("pdfkit");
  const { images, lettering, title, subject, author, keywords, date } = options;
  const day = new Date(`${date}T00:00:00Z`);
  if (Number.isNaN(day.getTime())) throw new Error(`a PDF was given “${date}” for a date`);
  const doc = new PDFDocument({
    pdfVersion: "1.7",
    autoFirstPage: false,
    // No font but those used.
    font: "",
    lang: "en",
    displayTitle: true,
    info: {
      Title: title,
      ...(subject ? { Subject: subject } : {}),
      ...(author ? { Author: author } : {}),
      ...(keywords ? { Keywords: keywords } : {}),
      Creator: "fallaway",
      CreationDate: day,
      ModDate: day,
    },
  });
  // pdfkit would write the title unescaped into XML; what it says stands in the document's information as well.
  Object.assign(doc, { endMetadata: () => {} });
  const chunks: Buffer[] = [];
  const ended = new Promise<void>((resolve, reject) => {
    doc.on("data", (chunk: Buffer) => chunks.push(chunk));
    doc.on("end", resolve);
    doc.on("error", reject);
  });
  const writer = new Writer(doc, lettering, images);
  for (const page of pages) await writer.page(page);
  writer.end();
  doc.end();
  await ended;
  return Buffer.concat(chunks);
}

interface Picture {
  readonly width: number;
  readonly height: number;
}
/** What of pdfkit its types do not tell. */
interface Openers {
  openImage(bytes: Buffer): Picture;
}

class Writer {
  readonly #doc: PDFKit.PDFDocument;
  readonly #lettering: Lettering;
  readonly #images: ReadonlyMap<string, Uint8Array>;
  readonly #fonts = new Map<Font, PdfFont>();
  readonly #pictures = new Map<string, Picture>();

  constructor(doc: PDFKit.PDFDocument, lettering: Lettering, images: ReadonlyMap<string, Uint8Array>) {
    this.#doc = doc;
    this.#lettering = lettering;
    this.#images = images;
  }

  async page({ widthMm, heightMm, items }: Page): Promise<void> {
    const doc = this.#doc;
    doc.addPage({ size: [widthMm * POINTS_PER_MM, heightMm * POINTS_PER_MM], margin: 0 });
    // mm, y down; SVG's limit for mitres.
    doc.scale(POINTS_PER_MM);
    doc.addContent("4 M");
    for (const item of items) {
      if (item.kind === "image") await this.#image(item);
      else if (item.kind === "text") doc.addContent(this.#text(item));
      else doc.addContent(item.kind === "line" ? lineContent(item) : pathContent(item));
    }
  }

  end(): void {
    for (const font of this.#fonts.values()) font.end();
  }

  async #image({ name, x, y, width, height }: PageImage): Promise<void> {
    let picture = this.#pictures.get(name);
    if (!picture) {
      const bytes = this.#images.get(name);
      if (!bytes) throw new Error(`a page shows the image “${name}”, which was not given`);
      picture = (this.#doc as unknown as Openers).openImage(await opaque(bytes));
      this.#pictures.set(name, picture);
    }
    this.#doc.image(picture as unknown as string, x, y, { width, height });
  }

  #text(item: PageText): string {
    const { words, x, y, size, weight = "regular", anchor = "start", rotate = 0, fill = INK } = item;
    if (fill === "none") return "";
    const line = this.#lettering.set(words, weight);
    const cos = Math.cos((rotate * Math.PI) / 180);
    const sin = Math.sin((rotate * Math.PI) / 180);
    const start = anchor === "start" ? 0 : anchor === "middle" ? -line.advance / 2 : -line.advance;
    const parts: string[] = [];
    // In the order in which it is read, wherever it stands: readers that copy text go by it.
    for (const run of line.read) {
      if (!run.font || !canEmbed(run.font) || run.clusters.length === 0) continue;
      const font = this.#font(run.font);
      const along = (start + run.clusters[0]!.x) * size;
      const matrix = numbers([cos, sin, sin, -cos, x + along * cos, y + along * sin]);
      parts.push(`/${font.name} ${numbers([size])} Tf ${matrix} Tm`, ...showContent(run, font, size));
    }
    const place = { x, y, size, weight, anchor, rotate, decimals: 4 };
    const d = this.#lettering.path(words, place, ({ font }) => !font || !canEmbed(font));
    const drawn = d === "" ? [] : [pathContent({ kind: "path", d, fill })];
    const set = parts.length === 0 ? [] : ["BT", `${paint(fill)} rg`, ...parts, "ET"];
    return [...set, ...drawn].join("\n");
  }

  #font(font: Font): PdfFont {
    let known = this.#fonts.get(font);
    if (!known) {
      known = new PdfFont(
        this.#doc as unknown as ConstructorParameters<typeof PdfFont>[0],
        font,
        this.#fonts.size,
      );
      this.#fonts.set(font, known);
    }
    this.#doc.page.fonts[known.name] = known.reference;
    return known;
  }
}

/** Glyphs by their codes; where one does not stand where the one before it ended, the gap in thousandths of the em. */
function showContent({ clusters }: Run, font: PdfFont, size: number): string[] {
  const parts: string[] = [];
  let pen = clusters[0]!.x;
  let rise = 0;
  let open = "";
  const flush = (): void => {
    if (open !== "") parts.push(`[${open}] TJ`);
    open = "";
  };
  for (const shown of clusters.flatMap((cluster) => font.codes(cluster))) {
    if (shown.y !== rise) {
      flush();
      rise = shown.y;
      parts.push(`${numbers([rise * size])} Ts`);
    }
    const gap = numbers([-1000 * (shown.x - pen)]);
    if (gap !== "0") open += gap;
    open += `<${hex(shown.code)}>`;
    pen = shown.x + shown.width;
  }
  flush();
  if (rise !== 0) parts.push("0 Ts");
  return parts;
}

/** pdfkit takes transparent and interlaced PNGs apart at times of its own, so that no two files are the same. */
async function opaque(bytes: Uint8Array): Promise<Buffer> {
  const picture = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const png = picture.subarray(1, 4).toString("latin1") === "PNG";
  // PNG, "IHDR": colour type and interlace method.
  if (!png || (![4, 6].includes(picture[25]!) && picture[28] === 0)) return picture;
  sharp.cache(false);
  return sharp(picture).flatten({ background: "#ffffff" }).png({ compressionLevel: 9 }).toBuffer();
}
