/** The pictures of the vessel: they agree with the map, their ink with the artwork, and their fade with the plan. */
import { readFileSync } from "node:fs";
import fc from "fast-check";
import pixelmatch from "pixelmatch";
import { PNG } from "pngjs";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../../src/job/job.ts";
import { openCup, uprightWall } from "../../../src/picture/render/body.ts";
import { linearToSrgb, srgbToLinear } from "../../../src/picture/render/encode.ts";
import { Camera, hit, type Ring, slopeOf } from "../../../src/picture/render/lathe.ts";
import { ProofPictures } from "../../../src/picture/render/pictures.ts";
import { Renderer } from "../../../src/picture/render/render.ts";
import { nothingRemains, remainingOf, veil } from "../../../src/picture/render/reveal.ts";
import { sceneOf } from "../../../src/picture/render/scene.ts";
import { flatLight } from "../../../src/picture/render/studio.ts";
import { crestPlan, planOf } from "../helpers.ts";
import { maskOf } from "./inkmask.ts";

const trade: JobFile = {
  vessel: { diameterMm: 76.4, heightMm: 150, belowRimMm: 70 },
  placement: { widthMm: 60 },
  source: { id: "fibre-60" },
  settings: { powerPercent: 45, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.025 },
  coating: { id: "powder-black" },
};

describe("the views agree with the map", () => {
  const radius = 40;
  const [lines, pitch, width] = [9, 10, 0.6];
  const bars = Array.from({ length: lines }, (_, i) => (i - (lines - 1) / 2) * pitch);
  const grid = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="-50 -50 100 100" width="100mm" height="100mm">${bars
    .flatMap((at) => [
      `<rect x="${at - width / 2}" y="-45" width="${width}" height="90"/>`,
      `<rect x="-45" y="${at - width / 2}" width="90" height="${width}"/>`,
    ])
    .join("")}</svg>`;
  const vessel = { diameterMm: 2 * radius, heightMm: 160, belowRimMm: 80, colour: "#000000", gloss: 5 };

  // Where a point of the vessel shows, by solid geometry alone: turned about the axis, then seen from 9° above.
  const down = (9 * Math.PI) / 180;
  const shown = (theta: number, b: number): [number, number] => [
    radius * Math.sin(theta),
    -b * Math.cos(down) - radius * Math.cos(theta) * Math.sin(down),
  ];

  it.each([
    ["girth", 0],
    ["girth", -55],
    ["girth", 55],
    ["sight", 0],
    ["sight", 40],
  ] as const)("%s, seen from %i° around: each line of a grid within a pixel", async (fidelity, degrees) => {
    const plan = await planOf(grid, { vessel, placement: { fidelity } });
    const turn = (degrees * Math.PI) / 180;
    const thetaOf = (a: number): number => (fidelity === "girth" ? a / radius : Math.asin(a / radius));
    const scene = sceneOf(plan).scene;
    const renderer = new Renderer(scene, 1600);
    const { frame } = renderer;
    const { rgb, width: across } = renderer.view(turn, await maskOf(plan, 4 * frame.perMm), nothingRemains);
    const ink = (i: number, j: number): number =>
      Math.max(0, srgbToLinear(rgb[3 * (j * across + i) + 1]! / 255) - 0.12);
    /** The middle of the light about a pixel along a line of pixels. */
    const middle = (at: number, value: (k: number) => number): number => {
      const from = Math.round(at) - 7;
      let [sum, moment] = [0, 0];
      for (let k = from; k <= from + 14; k++) {
        sum += value(k);
        moment += value(k) * (k + 0.5);
      }
      return moment / sum;
    };
    let looked = 0;
    for (const a of bars) {
      // Half way between two level lines, and only where the vessel is seen squarely enough to tell lines apart.
      const theta = (fidelity === "sight" && Math.abs(a) >= radius ? Number.NaN : thetaOf(a)) - turn;
      if (!(Math.cos(theta) > 0.5)) continue;
      for (const b of bars.slice(1).map((v) => v - pitch / 2)) {
        const [sx, sy] = shown(theta, b);
        const [x, y] = [(sx - frame.left) * frame.perMm, (frame.top - sy) * frame.perMm];
        expect(Math.abs(middle(x, (k) => ink(k, Math.floor(y))) - x)).toBeLessThan(1);
        looked++;
      }
    }
    for (const b of bars) {
      for (const a of bars.slice(1).map((v) => v - pitch / 2)) {
        const theta = thetaOf(a) - turn;
        if (!(Math.cos(theta) > 0.5)) continue;
        const [sx, sy] = shown(theta, b);
        const [x, y] = [(sx - frame.left) * frame.perMm, (frame.top - sy) * frame.perMm];
        expect(Math.abs(middle(y, (k) => ink(Math.floor(x), k)) - y)).toBeLessThan(1);
        looked++;
      }
    }
    expect(looked).toBeGreaterThan(60);
  });
});

describe("the body", () => {
  it("a ray meets what its own point shows", () => {
    const camera = new Camera(0.2);
    const cone: Ring[] = [{ part: "wall", run: 0, y0: -60, r0: 30, y1: 50, r1: 44 }];
    const out = hit();
    fc.assert(
      fc.property(
        fc.double({ min: -1.2, max: 1.2, noNaN: true }),
        fc.double({ min: -59, max: 49, noNaN: true }),
        (theta, y) => {
          const r = 30 + (14 * (y + 60)) / 110;
          const [sx, sy] = [r * Math.sin(theta), y * Math.cos(0.2) - r * Math.cos(theta) * Math.sin(0.2)];
          camera.cast(cone, camera.listed(cone, sy, sy), sx, sy, out);
          expect(out.ring).toBe(0);
          expect(
            Math.hypot(out.x - r * Math.sin(theta), out.y - y, out.z - r * Math.cos(theta)),
          ).toBeLessThan(1e-9);
        },
      ),
    );
  });

  it("a ray beside it meets nothing", () => {
    const { rings } = openCup(uprightWall(40), -80, 60);
    const out = hit();
    const camera = new Camera(0.15);
    camera.cast(rings, camera.listed(rings, 0, 0), 40.01, 0, out);
    expect(out.ring).toBe(-1);
  });

  it("is closed: rings meet end to end from the base over the rim to the inside", () => {
    const { rings } = openCup(uprightWall(40), -80, 60);
    const ends = rings.flatMap(({ y0, r0, y1, r1 }) => [
      `${y0.toFixed(9)} ${r0.toFixed(9)}`,
      `${y1.toFixed(9)} ${r1.toFixed(9)}`,
    ]);
    const single = ends.filter((end) => ends.filter((other) => other === end).length === 1);
    // The foot and the middle of the inside's floor.
    expect(single).toHaveLength(2);
  });

  it("a cone's normal leans as its wall does", () => {
    const { up, out } = slopeOf({ part: "wall", y0: 0, r0: 30, y1: 40, r1: 60 });
    expect([up, out]).toEqual([-0.6, 0.8]);
  });
});

describe("the scene", () => {
  it("puts the ink in the middle of a vessel whose rim is not told, wherever it stands", async () => {
    for (const at of [0, 60, -31]) {
      const plan = await crestPlan({
        vessel: { diameterMm: 82, heightMm: 150 },
        placement: { widthMm: 40, atMm: [0, at] },
      });
      const { scene, notes } = sceneOf(plan);
      expect(scene.top - scene.bottom).toBeCloseTo(150, 9);
      expect((scene.top + scene.bottom) / 2).toBeCloseTo(-at, 9);
      expect(notes.map(({ option }) => option)).toContain("--below-rim");
    }
  });
});

describe("the mask", () => {
  it("covers as much as the ink's outlines enclose", async () => {
    const plan = await crestPlan();
    const mask = await maskOf(plan, 30);
    const { width, height, perMm, minA, minB } = mask.place;
    let sum = 0;
    for (let j = 0; j < height; j++)
      for (let i = 0; i < width; i++) sum += mask.at(minA + (i + 0.5) / perMm, minB + (j + 0.5) / perMm);
    expect(sum / perMm ** 2 / plan.ink.areaMm2).toBeCloseTo(1, 3);
  });

  it("tells boxes that are all ink or none from those one must look at", async () => {
    const plan = await planOf(
      '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40" width="40mm" height="40mm"><circle cx="20" cy="20" r="15"/></svg>',
      { vessel: { diameterMm: 80 } },
    );
    const mask = await maskOf(plan, 20);
    expect(mask.within(-2, 2, -2, 2)).toBe(1);
    expect(mask.within(13, 14, 13, 14)).toBe(0);
    expect(mask.within(14, 16, -1, 1)).toBeNaN();
    expect(mask.within(90, 91, 0, 1)).toBe(0);
    expect(mask.at(900, 0)).toBe(0);
  });
});

describe("ink at the ends", () => {
  it("is drawn down to the base and up to the rim as far as it reaches", async () => {
    const plan = await planOf(
      '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 100" width="20mm" height="100mm"><rect width="20" height="100"/></svg>',
      { vessel: { diameterMm: 82, heightMm: 100, belowRimMm: 50, colour: "#000000", gloss: 1 } },
    );
    const renderer = new Renderer(sceneOf(plan).scene, 800, flatLight());
    const { perMm } = renderer.frame;
    const { rgb, width, height } = renderer.view(0, await maskOf(plan, 4 * perMm), nothingRemains);
    let bright = 0;
    for (let j = 0; j < height; j++) {
      const [r, , b] = rgb.subarray(3 * (j * width + (width >> 1)));
      // Steel is warmer than the white ground.
      if (r! > 100 && r! < 250 && r! - b! > 2) bright++;
    }
    // Between the rims' front edges the wall shows its height foreshortened, and behind the rim the inside shows.
    const wall = 100 * Math.cos((9 * Math.PI) / 180) * perMm;
    const inside = 82 * Math.sin((9 * Math.PI) / 180) * perMm;
    expect(Math.abs(bright - wall - inside)).toBeLessThan(4);
  });

  it("a centre line at the ink's edge keeps its whole width", async () => {
    const plan = await planOf(
      '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40" width="40mm" height="40mm"><path d="M5 20H35" fill="none" stroke="#000"/></svg>',
      { vessel: { diameterMm: 60 }, ink: { strokes: "centre-line" } },
    );
    const mask = await maskOf(plan, 60);
    const { width, height, perMm, minA, minB } = mask.place;
    let sum = 0;
    for (let j = 0; j < height; j++)
      for (let i = 0; i < width; i++) sum += mask.at(minA + (i + 0.5) / perMm, minB + (j + 0.5) / perMm);
    const wide = plan.spot.waistDiameterMm;
    expect(sum / perMm ** 2 / (30 * wide + (Math.PI * wide ** 2) / 4)).toBeCloseTo(1, 2);
  });
});

describe("what is revealed", () => {
  it("with settings and a coating: what the process leaves by its middle figures", async () => {
    const plan = await crestPlan({ ...trade, coating: { id: "powder-black", thicknessUm: 400 } });
    const remaining = remainingOf(plan);
    const { process } = plan.forecast!;
    for (const a of [-29, -20, 0, 11, 28]) {
      const met = plan.warp.meeting(a, 3);
      if (typeof met === "string") throw new Error("hidden");
      const { cleared } = process.at(met, process.worlds[0]!, {
        radiusMm: 0,
        fluence: 0,
        pulses: 0,
        depthMm: 0,
        cleared: 0,
        margin: 0,
      });
      expect(remaining(a, 3)).toBeCloseTo(Math.min(1, Math.max(0, 1 - cleared)), 3);
    }
    expect(remaining(29, 0)).toBeGreaterThan(remaining(0, 0));
  });

  it("without: clear where at least half of the strongest fluence falls, fading beyond", async () => {
    const plan = await crestPlan({
      lens: { id: "field-175" },
      placement: { widthMm: 75 },
      vessel: { diameterMm: 76.4 },
    });
    const remaining = remainingOf(plan);
    expect(remaining(0, 0)).toBe(0);
    expect(remaining(37, 0)).toBeGreaterThan(0.5);
    expect(remaining(37, 0)).toBeCloseTo(remaining(-37, 0), 9);
  });

  it("nothing where the beam does not reach", async () => {
    const plan = await crestPlan({ placement: { widthMm: 200 } });
    expect(remainingOf(plan)(99, 0)).toBe(1);
  });

  it("a thin rest is a thin veil", () => {
    expect(veil(0)).toBe(0);
    expect(veil(1)).toBe(1);
    expect(veil(0.1)).toBeGreaterThan(0.2);
    expect(veil(0.1)).toBeLessThan(0.3);
  });

  it("the faded sides show the coat, the ideal mark does not", async () => {
    const plan = await crestPlan({
      lens: { id: "field-175" },
      placement: { widthMm: 75 },
      vessel: { diameterMm: 76.4, colour: "#101010" },
    });
    const renderer = new Renderer(sceneOf(plan).scene, 400);
    const mask = await maskOf(plan, 4 * renderer.frame.perMm);
    const bright = (rgb: Uint8Array): number => rgb.reduce((n, v) => n + (v > 120 && v < 250 ? 1 : 0), 0);
    const predicted = renderer.view(0, mask, remainingOf(plan));
    const ideal = renderer.view(0, mask, nothingRemains);
    expect(bright(ideal.rgb)).toBeGreaterThan(1.1 * bright(predicted.rgb));
  });
});

describe("pixels", () => {
  it("in flat light the wall has the coating's own colour in the picture, less the light that its gloss takes", async () => {
    const plan = await crestPlan({ vessel: { diameterMm: 82, colour: "#2f6f9f", gloss: 20 } });
    const renderer = new Renderer(sceneOf(plan).scene, 300, flatLight());
    const { rgb, width, height } = renderer.view(Math.PI, await maskOf(plan, 20), nothingRemains);
    const at = 3 * ((height >> 1) * width + (width >> 1));
    // Seen at 9° the film sends back four percent before the colour sees it (Fresnel, n = 1.5).
    [0x2f, 0x6f, 0x9f].forEach((channel, i) => {
      expect(Math.abs(rgb[at + i]! - 255 * linearToSrgb(0.96 * srgbToLinear(channel / 255)))).toBeLessThan(1);
    });
  });

  it("edges are mixed of light, not of bytes: the bytes decoded add up to the edge's place", async () => {
    // sRGB encodes half of white's light as 187.5, not 127.5 (IEC 61966-2-1): bytes mixed instead would miss the place.
    const plan = await planOf(
      '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40" width="40mm" height="40mm"><rect width="40" height="40"/></svg>',
      { vessel: { diameterMm: 80, heightMm: 200, belowRimMm: 100 } },
    );
    const { scene } = sceneOf(plan);
    const white = {
      ...scene,
      coat: { colour: [0, 0, 0] as const, alpha: 0.5 },
      metal: { f0: [1, 1, 1] as const, rough: { along: 0.1, across: 0.1 }, grain: "along" as const },
    };
    // So small that the streaks are finer than the pixels.
    const renderer = new Renderer(white, 190, flatLight());
    const { left, top, perMm } = renderer.frame;
    const mask = await maskOf(plan, 4 * perMm);
    const { rgb, width } = renderer.view(0, mask, nothingRemains);
    const down = (9 * Math.PI) / 180;
    let mixed = 0;
    for (let i = (width >> 1) - 14; i < (width >> 1) + 14; i++) {
      const z = Math.sqrt(40 ** 2 - ((i + 0.5) / perMm + left) ** 2);
      // The ink's upper edge, b = −20.
      const edge = (top - (20 * Math.cos(down) - z * Math.sin(down))) * perMm;
      const from = Math.floor(edge) - 4;
      let light = 0;
      for (let j = from; j < from + 9; j++) {
        const byte = rgb[3 * (j * width + i)]!;
        light += srgbToLinear(byte / 255);
        if (byte > 20 && byte < 235) mixed++;
      }
      expect(Math.abs(light - (from + 9 - edge))).toBeLessThan(0.05);
    }
    expect(mixed).toBeGreaterThan(10);
  });

  it("the demo's crest from the front and the left, as it was looked at", async () => {
    const plan = await crestPlan(trade);
    const pictures = new ProofPictures(plan, 240);
    const coverage = await sharp(Buffer.from(pictures.maskSvg)).extractChannel(0).raw().toBuffer();
    const shots = pictures.shots(coverage, false, 2);
    const { width, height } = shots[0]!.pixels;
    const both = new Uint8Array(8 * width * height);
    shots.forEach(({ pixels }, n) => {
      for (let j = 0; j < height; j++)
        for (let i = 0; i < width; i++) {
          const to = 4 * (j * 2 * width + n * width + i);
          both.set(pixels.rgb.subarray(3 * (j * width + i), 3 * (j * width + i) + 3), to);
          both[to + 3] = 255;
        }
    });
    const kept = PNG.sync.read(
      readFileSync(new URL("../../../fixtures/expected/proof-views.png", import.meta.url)),
    );
    expect([kept.width, kept.height]).toEqual([2 * width, height]);
    expect(pixelmatch(both, kept.data, undefined, 2 * width, height, { threshold: 0.02 })).toBe(0);
  });

  it("the same twice", async () => {
    const plan = await crestPlan(trade);
    const views = [1, 2].map(() => new Renderer(sceneOf(plan).scene, 200));
    const mask = await maskOf(plan, 20);
    const [one, two] = views.map((renderer) => renderer.view(0.4, mask, remainingOf(plan)));
    expect(one!.rgb).toEqual(two!.rgb);
  });
});
