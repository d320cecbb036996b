/** Light: the white furnace, flat light that shows a coat's own colour, and the encoding. */
import { differenceCiede2000, lrgb, parse } from "culori";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { encoder, linearToSrgb, srgbToLinear } from "../../../src/picture/render/encode.ts";
import { roughnessOfGloss } from "../../../src/picture/render/ggx.ts";
import { linearOf } from "../../../src/picture/render/scene.ts";
import {
  coatLight,
  flatLight,
  lightOf,
  metalLight,
  type Rgb,
  studioLight,
} from "../../../src/picture/render/studio.ts";
import { profiles } from "../../support/profiles.ts";

const furnace = lightOf(() => 1, true);
const seen = (deg: number): Rgb => [0, Math.sin((deg * Math.PI) / 180), Math.cos((deg * Math.PI) / 180)];
const facing: Rgb = [0, 0, 1];

// That the lobe itself is right, quadrature says (ggx.test.ts); this says that nothing is gained or lost over it.
describe("white furnace: a surface that absorbs nothing cannot be told from even light", () => {
  it.each([0, 20, 45, 70, 85])("metal of F₀ = 1, seen at %i°", (deg) => {
    for (const along of [0.05, 0.14, 0.5, 1])
      for (const across of [0.05, 0.42, 1])
        for (const grain of ["around", "along"] as const) {
          const light = metalLight(
            furnace,
            { f0: [1, 1, 1], rough: { along, across }, grain },
            facing,
            seen(deg),
          );
          for (const channel of light) expect(channel).toBeCloseTo(1, 9);
        }
  });

  it.each([0, 20, 45, 70, 85])("a white coat, seen at %i°", (deg) => {
    for (const alpha of [0.01, 0.05, 0.2, 0.6])
      for (const channel of coatLight(furnace, { colour: [1, 1, 1], alpha }, facing, seen(deg)))
        expect(channel).toBeCloseTo(1, 3);
  });

  it("metal sends back no more than its reflectance lets it, coats no more than arrives", () => {
    for (const deg of [0, 40, 80]) {
      const metal = metalLight(
        furnace,
        { f0: [0.6, 0.6, 0.6], rough: { along: 0.14, across: 0.42 }, grain: "around" },
        facing,
        seen(deg),
      );
      expect(metal[0]).toBeGreaterThan(0.55);
      expect(metal[0]).toBeLessThan(1);
      const coat = coatLight(furnace, { colour: [0.5, 0.2, 0], alpha: 0.05 }, facing, seen(deg));
      expect(Math.max(...coat)).toBeLessThan(1);
      expect(coat[2]).toBeGreaterThan(0.03);
    }
  });
});

describe("flat light (CIE 15, diffuse : 8°, gloss excluded)", () => {
  const difference = differenceCiede2000();
  const away = (hex: string, gloss: number): number => {
    const coat = { colour: linearOf(hex), alpha: roughnessOfGloss(gloss) };
    const [r, g, b] = coatLight(flatLight(), coat, facing, seen(8));
    return difference(parse(hex)!, { mode: "lrgb", r, g, b } as never);
  };

  it.each(profiles.coatings)("$id shows its own colour", ({ look }) => {
    expect(away(look.colour, look.gloss)).toBeLessThan(2);
  });

  it("so does any colour, dull or glossy", () => {
    const hex = fc.integer({ min: 0, max: 0xffffff }).map((n) => `#${n.toString(16).padStart(6, "0")}`);
    fc.assert(
      fc.property(hex, fc.integer({ min: 1, max: 88 }), (colour, gloss) => away(colour, gloss) < 2),
      { numRuns: 60 },
    );
  });
});

describe("the room", () => {
  it("brings a white diffuser that faces the camera out just below white", () => {
    expect(studioLight().diffuse([0, 0, 1])).toBeCloseTo(0.86, 6);
  });

  it("is lit from every side, so that no metal is black", () => {
    const light = studioLight();
    for (let i = 0; i < 500; i++) {
      const z = 1 - (2 * (i + 0.5)) / 500;
      const angle = i * 2.399963;
      const r = Math.sqrt(1 - z * z);
      expect(light.at(r * Math.cos(angle), z, r * Math.sin(angle))).toBeGreaterThan(0.1);
    }
  });

  // An independent sum over the hemisphere. For this room the nine harmonics are off by up to 5 % of its mean light
  // (Ramamoorthi and Hanrahan, 2001, tell of 9 % at most for any room, from memory).
  it("diffuse light by harmonics is that of a direct sum", () => {
    const light = studioLight();
    for (const n of [
      [0, 0, 1],
      [0.6, 0, 0.8],
      [-0.8, 0, 0.6],
      [0, 1, 0],
    ] as Rgb[]) {
      let [sum, all] = [0, 0];
      for (let i = 0; i < 20_000; i++) {
        const z = 1 - (2 * (i + 0.5)) / 20_000;
        const angle = i * 2.399963;
        const r = Math.sqrt(1 - z * z);
        const [x, y] = [r * Math.cos(angle), r * Math.sin(angle)];
        const cos = x * n[0] + y * n[1] + z * n[2];
        if (cos > 0) sum += (light.at(x, y, z) * cos * 4) / 20_000;
        all += light.at(x, y, z) / 20_000;
      }
      expect(Math.abs(light.diffuse(n) - sum) / all).toBeLessThan(0.06);
    }
  });
});

describe("encoding (IEC 61966-2-1)", () => {
  // 8-bit values and their linear light, computed from the standard's formula; encode(0.18), encode(0.5) likewise.
  it.each([
    [0, 0],
    [1, 0.0003035269835488375],
    [10, 0.003035269835488375],
    [11, 0.003346535763899161],
    [50, 0.03189603307301153],
    [118, 0.18116424424986022],
    [128, 0.21586050011389926],
    [254, 0.9911020971138298],
    [255, 1],
  ])("%i", (byte, light) => {
    expect(srgbToLinear(byte / 255)).toBeCloseTo(light, 12);
    expect(linearToSrgb(light) * 255).toBeCloseTo(byte, 9);
    expect(encoder()(light)).toBe(byte);
  });

  it("agrees with a colour library", () => {
    expect(linearToSrgb(0.18)).toBeCloseTo(0.46135612950044164, 12);
    expect(linearToSrgb(0.5)).toBeCloseTo(0.7353569830524495, 12);
    const { r, g, b } = lrgb("#9c2227")!;
    linearOf("#9c2227").forEach((v, i) => {
      expect(v).toBeCloseTo([r, g, b][i]!, 12);
    });
  });

  it("what is too bright is white, what is no light black", () => {
    expect([-1, 0, 1, 7, Number.POSITIVE_INFINITY].map(encoder())).toEqual([0, 0, 255, 255, 255]);
  });
});
