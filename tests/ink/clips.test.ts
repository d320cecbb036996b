/** What cuts the ink: clips, masks, viewports and the page's edge. Areas in closed form. */
import { describe, expect, test } from "vitest";
import { areaOrNone, boxOf, errorsOf, inkArea, inkOn } from "./helpers.ts";

const near = (found: number, wanted: number): void =>
  expect(Math.abs(found - wanted), `${found} for ${wanted}`).toBeLessThan(1e-5 * Math.max(1, wanted));
const disc = (r: number): number => Math.PI * r * r;
const lens = (r: number, d: number): number =>
  2 * r * r * Math.acos(d / (2 * r)) - (d / 2) * Math.sqrt(4 * r * r - d * d);
const field = (attributes: string): string => `<rect x="10" y="10" width="80" height="80" ${attributes}/>`;
const clip = (content: string, attributes = ""): string =>
  `<clipPath id="c" ${attributes}>${content}</clipPath>`;
const mask = (content: string, attributes = 'maskUnits="userSpaceOnUse"'): string =>
  `<mask id="m" ${attributes}>${content}</mask>`;
const clipped = field('clip-path="url(#c)"');
const masked = field('mask="url(#m)"');

describe("clips (CSS Masking 1, 5)", () => {
  test.each([
    ["a circle", clip('<circle cx="50" cy="50" r="20"/>') + clipped, disc(20)],
    ["named in quotes", clip('<circle cx="50" cy="50" r="20"/>') + field(`clip-path="url('#c')"`), disc(20)],
    [
      "by a style sheet",
      `<style>#f{clip-path:url(#c)}</style>${clip('<circle cx="50" cy="50" r="20"/>')}${field('id="f"')}`,
      disc(20),
    ],
    [
      "its outlines are united",
      clip('<circle cx="44" cy="50" r="10"/><circle cx="56" cy="50" r="10"/>') + clipped,
      2 * disc(10) - lens(10, 12),
    ],
    [
      "paint and strokes of the outlines do not count",
      clip('<circle cx="50" cy="50" r="20" fill="none" stroke="#000" stroke-width="9"/>') + clipped,
      disc(20),
    ],
    ["clip-rule nonzero", clip('<path d="M20 20H60V60H20zM30 30H50V50H30z"/>') + clipped, 1600],
    [
      "clip-rule evenodd",
      clip('<path clip-rule="evenodd" d="M20 20H60V60H20zM30 30H50V50H30z"/>') + clipped,
      1200,
    ],
    [
      "fill-rule says nothing",
      clip('<path fill-rule="evenodd" d="M20 20H60V60H20zM30 30H50V50H30z"/>') + clipped,
      1600,
    ],
    [
      "clip-rule is inherited",
      clip('<path d="M20 20H60V60H20zM30 30H50V50H30z"/>', 'clip-rule="evenodd"') + clipped,
      1200,
    ],
    [
      "hidden outlines do not show",
      clip(
        '<rect width="50" height="50"/><rect width="90" height="90" visibility="hidden"/><rect width="90" height="90" display="none"/>',
      ) + clipped,
      1600,
    ],
    [
      "groups do not count",
      clip('<rect width="50" height="50"/><g><rect width="90" height="90"/></g>') + clipped,
      1600,
    ],
    [
      "a copy with a transform",
      `<defs><rect id="k" width="10" height="5"/></defs>${clip('<use href="#k" x="5" transform="translate(20 20) scale(2)"/>')}${clipped}`,
      200,
    ],
    [
      "a transform of its own",
      clip('<rect width="10" height="10"/>', 'transform="translate(20 20) scale(3)"') + clipped,
      900,
    ],
    [
      "in the element's user space",
      clip('<rect width="10" height="10"/>') +
        `<g transform="translate(20 20) scale(2)">${'<rect x="-5" y="-5" width="10" height="10" transform="scale(2)" clip-path="url(#c)"/>'}</g>`,
      20 * 20,
    ],
    [
      "turned by 45°",
      clip('<rect x="-10" y="-10" width="20" height="20" transform="translate(50 50) rotate(45)"/>') +
        clipped,
      400,
    ],
    [
      "on a group",
      `${clip('<rect x="20" y="20" width="30" height="30"/>')}<g clip-path="url(#c)">${field("")}<circle cx="20" cy="20" r="5" fill="#fff"/></g>`,
      900 - disc(5) / 4,
    ],
    [
      "on group and element",
      `${clip('<circle cx="44" cy="50" r="10"/>')}<clipPath id="d"><circle cx="56" cy="50" r="10"/></clipPath><g clip-path="url(#d)">${clipped}</g>`,
      lens(10, 12),
    ],
    [
      "on the clip itself",
      `${clip('<circle cx="44" cy="50" r="10"/>', 'clip-path="url(#d)"')}<clipPath id="d"><circle cx="56" cy="50" r="10"/></clipPath>${clipped}`,
      lens(10, 12),
    ],
    [
      "on an outline of the clip",
      `${clip('<circle cx="44" cy="50" r="10" clip-path="url(#d)"/><rect x="80" y="80" width="5" height="5"/>')}<clipPath id="d"><circle cx="56" cy="50" r="10"/></clipPath>${clipped}`,
      lens(10, 12) + 25,
    ],
    [
      "on a copy",
      `<defs><rect id="k" width="40" height="40"/></defs>${clip('<rect width="30" height="30"/>')}<use href="#k" x="10" y="10" clip-path="url(#c)"/>`,
      20 * 20,
    ],
    [
      "it cuts knockouts, too",
      `${clip('<rect x="20" y="20" width="10" height="10"/>')}${field("")}<circle cx="50" cy="50" r="60" fill="#fff" clip-path="url(#c)"/>`,
      6300,
    ],
  ])("%s", async (_, content, area) => near(await inkArea(content), area));

  test("objectBoundingBox: an ellipse out of a circle, on a shape and on a group", async () => {
    const unit = clip('<circle cx=".5" cy=".5" r=".5"/>', 'clipPathUnits="objectBoundingBox"');
    near(
      await inkArea(`${unit}<rect x="7" y="9" width="20" height="40" clip-path="url(#c)"/>`),
      Math.PI * 10 * 20,
    );
    near(
      await inkArea(
        `${unit}<rect transform="rotate(30 50 50)" x="40" y="40" width="20" height="10" clip-path="url(#c)"/>`,
      ),
      Math.PI * 10 * 5,
    );
    const group = '<rect x="10" y="10" width="20" height="80"/><rect x="70" y="10" width="20" height="80"/>';
    // The circle of radius 40 about (50, 50), less the strip 30…70 between the two bars.
    const strip =
      2 * (disc(40) / 2 - 2 * (0.5 * (40 * 40 * Math.asin(20 / 40) + 20 * Math.sqrt(1600 - 400))));
    near(await inkArea(`${unit}<g clip-path="url(#c)">${group}</g>`), strip);
  });

  test("an empty clip, or one beside the shape, leaves nothing", async () => {
    expect(await areaOrNone(clip("") + clipped)).toBe(0);
    expect(await areaOrNone(clip('<rect width="5" height="5"/>') + clipped)).toBe(0);
    expect(await areaOrNone(clip('<circle cx="3" cy="3" r="4"/>') + clipped)).toBe(0);
  });

  test.each([
    ["missing", field('clip-path="url(#nowhere)"'), "clip-missing"],
    ["no clip", `<g id="nowhere"/>${field('clip-path="url(#nowhere)"')}`, "clip-missing"],
    ["a shape of CSS", field('clip-path="inset(5px)"'), "clip-not-applied"],
    [
      "a clip in itself",
      `${clip('<rect width="50" height="50" clip-path="url(#c)"/>')}${clipped}`,
      "clip-cycle",
    ],
    [
      "a mask in itself",
      `${mask('<rect width="50" height="50" fill="#fff" mask="url(#m)"/>')}${masked}`,
      "mask-cycle",
    ],
    ["a mask missing", field('mask="url(#nowhere)"'), "mask-missing"],
  ])("%s stands in the way", async (_, content, code) => {
    expect(await errorsOf(content)).toEqual([code]);
    expect(await areaOrNone(content, { allow: [code] })).toBeGreaterThan(0);
  });
});

describe("masks (CSS Masking 1, 6)", () => {
  const white = (x: number, y: number, w: number, h: number, more = ""): string =>
    `<rect x="${x}" y="${y}" width="${w}" height="${h}" fill="#fff" ${more}/>`;
  test.each([
    ["white shows", mask('<circle cx="50" cy="50" r="20" fill="white"/>') + masked, disc(20)],
    [
      "black hides, what comes later wins",
      mask(`${white(0, 0, 100, 100)}<circle cx="50" cy="50" r="20"/>${white(45, 45, 10, 10)}`) + masked,
      6400 - disc(20) + 100,
    ],
    ["by a style", `<style>#f{mask:url(#m)}</style>${mask(white(0, 0, 30, 30))}${field('id="f"')}`, 400],
    [
      "alpha: every opaque paint shows",
      mask('<circle cx="50" cy="50" r="20"/>', 'mask-type="alpha" maskUnits="userSpaceOnUse"') + masked,
      disc(20),
    ],
    [
      "alpha by style",
      mask('<circle cx="50" cy="50" r="20"/>', 'style="mask-type:alpha" maskUnits="userSpaceOnUse"') + masked,
      disc(20),
    ],
    [
      "transparent paint does nothing",
      mask(`${white(20, 20, 10, 10)}${white(0, 0, 90, 90, 'opacity="0"')}`) + masked,
      100,
    ],
    [
      "evenodd in it",
      mask('<path fill="#fff" fill-rule="evenodd" d="M20 20H60V60H20zM30 30H50V50H30z"/>') + masked,
      1200,
    ],
    [
      "groups, copies and transforms in it",
      `<defs>${white(0, 0, 10, 10, 'id="k"')}</defs>${mask('<g transform="translate(20 20)"><use href="#k" x="5"/></g>')}${masked}`,
      100,
    ],
    [
      "clipped in it",
      `${clip('<circle cx="50" cy="50" r="10"/>')}${mask(white(0, 0, 100, 100, 'clip-path="url(#c)"'))}${masked}`,
      disc(10),
    ],
    [
      "masked itself",
      `${mask(white(0, 0, 50, 90), 'maskUnits="userSpaceOnUse" mask="url(#n)"')}<mask id="n" maskUnits="userSpaceOnUse">${white(30, 0, 90, 90)}</mask>${masked}`,
      20 * 80,
    ],
    [
      "with a clip on the same element",
      `${clip('<circle cx="44" cy="50" r="10"/>')}${mask('<circle cx="56" cy="50" r="10" fill="#fff"/>')}${field('clip-path="url(#c)" mask="url(#m)"')}`,
      lens(10, 12),
    ],
    ["on a group", `${mask(white(0, 0, 30, 30))}<g mask="url(#m)">${field("")}</g>`, 400],
    ["its window is the box and a tenth around it", mask(white(-99, -99, 400, 400), "") + masked, 6400],
    [
      "a window in shares of the box",
      mask(white(0, 0, 100, 100), 'x=".25" y="0" width=".5" height="100%"') + masked,
      40 * 80,
    ],
    [
      "a window in user units",
      mask(white(0, 0, 100, 100), 'maskUnits="userSpaceOnUse" x="0" y="0" width="30" height="20%"') + masked,
      20 * 10,
    ],
    [
      "content in shares of the box",
      mask('<circle cx=".5" cy=".5" r=".25" fill="#fff"/>', 'maskContentUnits="objectBoundingBox"') + masked,
      disc(20),
    ],
  ])("%s", async (_, content, area) => near(await inkArea(content), area));

  test("a mask of nothing, or of black alone, hides all", async () => {
    expect(await areaOrNone(mask("") + masked)).toBe(0);
    expect(await areaOrNone(mask('<rect width="100" height="100"/>') + masked)).toBe(0);
  });

  test.each([
    ["grey", '<rect width="50" height="50" fill="#888"/>', 0],
    ["light grey", '<rect width="50" height="50" fill="#ccc"/>', 1600],
    ["half transparent white", '<rect width="50" height="50" fill="#fff" opacity=".6"/>', 1600],
    [
      "a gradient",
      '<linearGradient id="g"><stop stop-color="#fff"/><stop offset="1"/></linearGradient><rect width="50" height="50" fill="url(#g)"/>',
      null,
    ],
  ])(
    "%s is not flat: it stands in the way, and is cut at the middle tone if allowed",
    async (_, content, area) => {
      const drawn = mask(content + '<rect x="80" y="80" width="5" height="5" fill="#fff"/>') + masked;
      expect(await errorsOf(drawn)).toEqual(["mask-not-flat"]);
      // #888 has a weighted value of 0.533: it shows. Only darker tones hide.
      if (area !== null && area > 0) near(await inkArea(drawn, { allow: ["mask-not-flat"] }), area + 25);
    },
  );
});

describe("viewports (SVG 2, 8) and the page", () => {
  const disc20 = '<circle cx="20" cy="20" r="20"/>';
  test.each([
    [
      "an inner svg cuts at its edge",
      `<svg x="10" y="10" width="20" height="40">${disc20}</svg>`,
      disc(20) / 2,
    ],
    [
      "not with overflow visible",
      `<svg x="10" y="10" width="20" height="40" overflow="visible">${disc20}</svg>`,
      disc(20),
    ],
    [
      "sliced, it cuts what reaches over",
      `<svg x="10" y="10" width="20" height="40" viewBox="0 0 40 40" preserveAspectRatio="xMinYMin slice">${disc20}</svg>`,
      disc(20) / 2,
    ],
    [
      "fitted, all of it is there",
      `<svg x="10" y="10" width="20" height="40" viewBox="0 0 40 40">${disc20}</svg>`,
      disc(10),
    ],
    [
      "one in the other",
      `<svg width="20" height="90"><svg y="20" width="90" height="90">${disc20}</svg></svg>`,
      disc(20) / 2,
    ],
    [
      "a symbol of a size",
      `<symbol id="s">${disc20}</symbol><use href="#s" x="50" y="50" width="20" height="20"/>`,
      disc(20) / 4,
    ],
    [
      "turned",
      `<g transform="translate(50 50) rotate(30)"><svg width="20" height="40">${disc20}</svg></g>`,
      disc(20) / 2,
    ],
  ])("%s", async (_, content, area) => near(await inkArea(content), area));

  test("the page cuts at its edge and says how much, once", async () => {
    const ink = await inkOn(
      '<rect id="a" x="-10" y="10" width="30" height="10"/><circle id="b" cx="100" cy="50" r="10"/><rect id="c" x="40" y="40" width="5" height="5"/>',
    );
    boxOf(ink, "a").forEach((v, i) => void expect(v).toBeCloseTo([0, 10, 20, 20][i]!, 9));
    expect(boxOf(ink, "c")).toEqual([40, 40, 45, 45]);
    near(
      ink.shapes.reduce((sum, s) => sum + (s.id === "b" ? 1 : 0), 0),
      1,
    );
    const [problem, ...more] = ink.problems;
    expect(more).toEqual([]);
    expect(problem).toMatchObject({ code: "beyond-page", severity: "caution", where: { id: "a", line: 1 } });
    // 10 × 10 and half a disc: 100 + 157.08.
    expect(problem.message).toMatch(/^257 mm² .* from 2 shapes$/);
    near(await inkArea('<circle cx="100" cy="50" r="10"/>'), disc(10) / 2);
    near(await inkArea('<circle cx="100" cy="100" r="10"/>'), disc(10) / 4);
  });

  test("what lies wholly beyond the page is not marked, and that is said", async () => {
    const ink = await inkOn(
      '<rect id="on" width="9" height="9"/><rect id="off" x="120" y="10" width="20" height="20"/>',
    );
    expect(ink.shapes.map((s) => s.id)).toEqual(["on"]);
    expect(ink.problems).toMatchObject([{ code: "beyond-page", where: { id: "off" } }]);
    expect(ink.problems[0].message).toMatch(/^400 mm²/);
  });

  test("light paint beyond the page is no matter, nor is what touches the edge", async () => {
    const ink = await inkOn(
      '<rect x="-50" width="500" height="500" fill="#fff"/><rect width="100" height="100"/>',
    );
    expect(ink.problems).toEqual([]);
    near(await inkArea('<rect width="100" height="100"/>'), 10_000);
  });

  test("a file without a size has no edge", async () => {
    const { readInk } = await import("../../src/ink/ink.ts");
    const ink = await readInk(
      '<svg xmlns="http://www.w3.org/2000/svg"><rect x="-96" width="960" height="96"/></svg>',
    );
    expect([ink.widthMm, ink.heightMm]).toEqual([254, 25.4]);
    expect(ink.problems.map((p) => p.code)).toEqual(["size-assumed"]);
  });
});

describe("far beyond the page", () => {
  const detail = '<circle id="detail" cx="50" cy="50" r=".1"/>';
  const disc = Math.PI * 0.01;
  test.each([
    ["a disc 1,000 km off", '<circle cx="1e9" cy="0" r="5"/>', 0],
    ["a bar over the whole page", '<path d="M-1e7 5H1e7V8H-1e7z"/>', 300],
    [
      "a slanted one",
      '<path d="M-1e8 -1e8L1e8 1e8V100000001L-1e8 -99999999z"/>',
      100 * 100 - (100 * 100) / 2 - (99 * 99) / 2,
    ],
    ["a disc whose rim goes through the page", '<circle cx="-1e6" cy="50" r="1000020"/>', 2000],
    ["coordinates of 1e31", '<path d="M1e30 0L1e31 5L0 1e31z"/>', 0],
    ["a stroke", '<path d="M-1e7 20H1e7" stroke="#000" stroke-width="2"/>', 200],
    [
      "a clip",
      '<clipPath id="c"><path d="M-1e8 10H1e8V20H-1e8z"/></clipPath><rect width="100" height="100" clip-path="url(#c)"/>',
      1000,
    ],
  ])("%s leaves the page's detail as it is", async (_, content, area) => {
    // The disc of 1000 km has 12 arcs as cubics, 1e-8 of the radius off at most.
    expect(Math.abs((await inkArea(content + detail)) - area - disc)).toBeLessThan(area > 0 ? 0.3 : 1e-4);
  });
  test("only a part of what is cut off is measured, and that is said", async () => {
    const { problems } = await inkOn('<path d="M-1e7 5H1e7V8H-1e7z"/>');
    expect(problems.map((p) => p.message)).toEqual([expect.stringMatching(/^more than \d+ mm² of ink/)]);
  });
});
