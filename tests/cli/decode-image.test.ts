/** Embedded pictures: unpacked from their data addresses, and decoded from memory, or refused with a reason. */
import { Buffer } from "node:buffer";
import fc from "fast-check";
import { PNG } from "pngjs";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { parseDataUri } from "../../src/artwork/datauri.ts";
import { decodeImage } from "../../src/cli/decode-image.ts";
import type { Pixels } from "../../src/ink/options.ts";

/** Left half red, right half blue, 6 × 4. */
const raw = Uint8Array.from(
  Array.from({ length: 24 }, (_, i) => (i % 6 < 3 ? [255, 0, 0, 255] : [0, 0, 255, 255])).flat(),
);
const picture = () => sharp(raw, { raw: { width: 6, height: 4, channels: 4 } });

const decoded = async (bytes: Uint8Array, type = "image/png"): Promise<Pixels> => {
  const image = await decodeImage(bytes, type);
  if ("reason" in image) throw new Error(image.reason);
  return image;
};
const reason = async (bytes: Uint8Array, type = "image/png"): Promise<string> => {
  const image = await decodeImage(bytes, type);
  return "reason" in image ? image.reason : "decoded";
};

describe("decoding", () => {
  it.each([
    ["png", () => picture().png()],
    ["gif", () => picture().gif()],
    ["webp", () => picture().webp({ lossless: true })],
    ["tiff", () => picture().tiff({ compression: "lzw" })],
  ] as const)("%s, to the very pixels", async (_, packed) => {
    const image = await decoded(await packed().toBuffer());
    expect([image.width, image.height]).toEqual([6, 4]);
    expect(image.rgba).toEqual(raw);
  });

  it("jpeg, whatever its type says", async () => {
    const bytes = await picture().removeAlpha().jpeg({ quality: 100, chromaSubsampling: "4:4:4" }).toBuffer();
    const { rgba } = await decoded(bytes, "image/png");
    expect(rgba.length).toBe(96);
    rgba.forEach((v, i) => {
      expect(Math.abs(v - raw[i]!)).toBeLessThan(24);
    });
  });

  it("as another decoder reads it: grey of 16 bits, a palette, transparency", async () => {
    const grey = new Uint8Array(64).map((_, i) => 4 * i);
    const packed = await sharp(grey, { raw: { width: 8, height: 8, channels: 1 } })
      .toColourspace("grey16")
      .png()
      .toBuffer();
    for (const bytes of [packed, await picture().png({ palette: true }).toBuffer()]) {
      const theirs = PNG.sync.read(bytes);
      const mine = await decoded(bytes);
      expect(mine.rgba.length).toBe(theirs.data.length);
      mine.rgba.forEach((v, i) => {
        expect(Math.abs(v - theirs.data[i]!)).toBeLessThanOrEqual(1);
      });
    }
    const thin = await sharp({
      create: { width: 1, height: 1, channels: 4, background: { r: 200, g: 100, b: 50, alpha: 0.5 } },
    })
      .png()
      .toBuffer();
    expect([...(await decoded(thin)).rgba]).toEqual([200, 100, 50, 128]);
  });

  it("turned upright as EXIF says: orientation 6 is a quarter clockwise (Exif 2.32, 4.6.4)", async () => {
    const bytes = await picture().png().withMetadata({ orientation: 6 }).toBuffer();
    const { width, height, rgba } = await decoded(bytes);
    expect([width, height]).toEqual([4, 6]);
    // What was the left half is now on top.
    expect([...rgba.subarray(0, 3)]).toEqual([255, 0, 0]);
    expect([...rgba.subarray(-4, -1)]).toEqual([0, 0, 255]);
  });

  it("the first frame of an animation", async () => {
    const frames = await sharp(Uint8Array.from([...raw, ...raw.map((v, i) => (i % 4 === 3 ? v : 255 - v))]), {
      raw: { width: 6, height: 8, channels: 4, pageHeight: 4 },
    })
      .gif()
      .toBuffer();
    const { height, rgba } = await decoded(frames);
    expect(height).toBe(4);
    expect(rgba).toEqual(raw);
  });

  it("refuses what is no bitmap, drawings above all, by content", async () => {
    const svg = Buffer.from(
      `<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect width="9" height="9"/></svg>`,
    );
    expect(await reason(svg, "image/svg+xml")).toMatch(/\(image\/svg\+xml\) is not a png/);
    expect(await reason(svg, "image/png")).toMatch(/is not a png/);
    expect(await reason(new Uint8Array(0))).toMatch(/is not a png/);
    expect(await reason(Buffer.from("%PDF-1.7"), "<script>")).toBe(
      "the picture is not a png, jpeg, gif, webp or tiff bitmap",
    );
  });

  it("refuses the damaged and the huge, and never throws", async () => {
    const png = await picture().png().toBuffer();
    expect(await reason(png.subarray(0, png.length - 30))).toBe(
      "the png picture is damaged and cannot be decoded",
    );
    expect(await reason(png.subarray(0, 8))).toMatch(/damaged/);
    const huge = await sharp({ create: { width: 7000, height: 6000, channels: 3, background: "#fff" } })
      .png()
      .toBuffer();
    expect(await reason(huge)).toBe("the png picture has more than 40 million pixels");
  });

  it("survives bytes flipped anywhere", async () => {
    const packed = await Promise.all([
      picture().png().toBuffer(),
      picture().removeAlpha().jpeg().toBuffer(),
      picture().gif().toBuffer(),
      picture().webp().toBuffer(),
      picture().tiff().toBuffer(),
    ]);
    await fc.assert(
      fc.asyncProperty(
        fc.nat(4),
        fc.array(fc.tuple(fc.nat(4000), fc.nat(255)), { minLength: 1, maxLength: 6 }),
        async (k, flips) => {
          const bytes = new Uint8Array(packed[k]!);
          for (const [at, v] of flips) bytes[at % bytes.length] = v;
          const image = await decodeImage(bytes, "image/png");
          if ("reason" in image) expect(image.reason).toMatch(/^the .{3,100}[^.]$/);
          else expect(image.rgba.length).toBe(4 * image.width * image.height);
        },
      ),
      { seed: 5, numRuns: 150 },
    );
  });
});

describe("data addresses", () => {
  const text = (href: string): string | null => {
    const data = parseDataUri(href);
    return data && Buffer.from(data.bytes).toString("latin1");
  };

  it("RFC 4648, 10: the test vectors of base64", () => {
    const vectors = {
      "": "",
      "Zg==": "f",
      "Zm8=": "fo",
      Zm9v: "foo",
      "Zm9vYg==": "foob",
      "Zm9vYmE=": "fooba",
      Zm9vYmFy: "foobar",
    };
    for (const [packed, plain] of Object.entries(vectors)) {
      expect(text(`data:image/png;base64,${packed}`)).toBe(plain);
      expect(text(`data:;base64,${packed.replaceAll("=", "")}`)).toBe(plain);
    }
  });

  it("RFC 2397, 4: the example of percent-encoding, and its default type", () => {
    const data = parseDataUri("data:,A%20brief%20note");
    expect(data?.type).toBe("text/plain");
    expect(text("data:,A%20brief%20note")).toBe("A brief note");
  });

  it("any bytes come back from Node's own encoder, with white space and escapes strewn in", () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), fc.nat(40), (bytes, step) => {
        const packed = Buffer.from(bytes).toString("base64");
        const strewn = packed
          .replace(new RegExp(`(.{${step + 1}})`, "g"), "$1\n\t ")
          .replaceAll("=", "%3D")
          .replaceAll("+", "%2B");
        const data = parseDataUri(` DATA: Image/PNG ;charset=x; BASE64,${strewn}`);
        expect(data?.type).toBe("image/png");
        expect(data?.bytes).toEqual(bytes);
        const escaped = [...bytes].map((b) => `%${b.toString(16).padStart(2, "0")}`).join("");
        expect(parseDataUri(`data:image/gif,${escaped}`)?.bytes).toEqual(bytes);
      }),
      { seed: 7, numRuns: 200 },
    );
  });

  it("null for what is none, or broken", () => {
    for (const href of [
      "",
      "picture.png",
      "https://example.org/data:image/png,x",
      "data:image/png",
      "data:image/png;base64,A",
      "data:image/png;base64,A*==",
      "data:image/png;base64,Zg=x",
      "data:image/png;base64,Zm9v====",
      "data:image/png,\u2026",
      `data:${"x".repeat(5000)},a`,
    ])
      expect(parseDataUri(href), href.slice(0, 40)).toBeNull();
  });

  it("no more than 64 MB, in little more memory than that", () => {
    const packed = "AAAA".repeat((64 * 1024 * 1024) / 3 + 1);
    expect(parseDataUri(`data:image/png;base64,${packed}`)).toBeNull();
    expect(parseDataUri(`data:image/png;base64,${packed.slice(0, -8)}`)?.bytes.length).toBeGreaterThan(67e6);
  });
});
