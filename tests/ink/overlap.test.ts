/** Ink covered more than once, against circle and rectangle overlaps in closed form. */
import { expect, it } from "vitest";
import { readInk } from "../../src/ink/ink.ts";
import { placeInk } from "../../src/plan/ink.ts";

/** Shapes left apart, as --keep-shapes leaves them; merged ink cannot overlap. */
const of = async (content: string, keepShapes = true) => {
  const text = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">${content}</svg>`;
  return (await readInk(text, { keepShapes })).problems;
};

it("two discs of radius 10 with centres 10 apart share 2r²(π/3 − √3/4) = 122.8 mm²", async () => {
  const lens = 2 * 100 * (Math.PI / 3 - Math.sqrt(3) / 4);
  const two = '<circle cx="20" cy="20" r="10"/><circle cx="30" cy="20" r="10"/>';
  const [problem] = await of(two);
  expect(problem).toMatchObject({ code: "ink-overlaps", severity: "caution" });
  expect(problem!.message).toContain(`${lens.toFixed(0)} mm²`);
  expect(await of(two, false)).toEqual([]);
});

it("boxes that overlap while shapes do not, a seam, and a shape in another's hole are no overlap", async () => {
  expect(await of('<path d="M0 0H20L0 20z"/><path d="M21 1V21H1z"/>')).toEqual([]);
  expect(await of('<rect width="10" height="20"/><rect x="10" width="10" height="20"/>')).toEqual([]);
  const ring = '<path fill-rule="evenodd" d="M0 0H30V30H0zM5 5H25V25H5z"/>';
  expect(await of(`${ring}<rect x="10" y="10" width="5" height="5"/>`)).toEqual([]);
  expect((await of(`${ring}<rect x="3" y="10" width="5" height="5"/>`))[0]!.message).toContain("10 mm²");
});

it("areas of convex, twice-round, self-crossing and notched outlines", async () => {
  const area = async (d: string): Promise<number> => {
    const text = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" viewBox="0 0 60 60"><path d="${d}"/></svg>`;
    return placeInk(await readInk(text), {
      rotateDeg: 0,
      atMm: [0, 0],
      fidelity: "girth",
      viewingDistanceMm: "far",
    }).areaMm2;
  };
  expect(await area("M0 0H20V10H0z")).toBeCloseTo(200, 9);
  // Twice around the same square is the square, by the nonzero rule.
  expect(await area("M0 0H20V10H0V0H20V10H0z")).toBeCloseTo(200, 3);
  expect(await area("M0 0L20 20H0L20 0z")).toBeCloseTo(200, 3);
  expect(await area("M0 0H20V20L10 10L0 20z")).toBeCloseTo(300, 9);
  expect(await area("M30 10A20 20 0 1 1 30 50A20 20 0 1 1 30 10z")).toBeCloseTo(400 * Math.PI, 3);
});
