/** The proof's first page, the sheet of views and the contact sheets: all of it said, on the page, and no stop hidden. */
import { describe, expect, test } from "vitest";
import { papers } from "../../../src/picture/page/page.ts";
import { type ContactEntry, contactPages } from "../../../src/picture/proof/contactpage.ts";
import { proofPages, viewsSheet } from "../../../src/picture/proof/proofpage.ts";
import { edges, edgeWords } from "../../../src/picture/proof/words.ts";
import { crestPlan, lettering, planOf } from "../helpers.ts";
import { collisions, outsiders, says, textsOf } from "./pageitems.ts";
import { frameSvg, jobs, longName, order, subjectOf, tumbler } from "./proofjobs.ts";

const letters = lettering();

test("the sheets of paper are A4 of ISO 216 and Letter of 8.5 × 11 inches", () => {
  expect([papers.a4.widthMm, papers.a4.heightMm]).toEqual([210, 297]);
  expect(papers.letter.widthMm / 25.4).toBeCloseTo(8.5, 9);
  expect(papers.letter.heightMm / 25.4).toBeCloseTo(11, 9);
});

describe.each(Object.entries(jobs))("%s", (_, planned) => {
  test.each([
    ["a4", null, 0.5],
    ["a4", [], 0.5],
    ["a4", null, 1.2],
    ["letter", [], 1.2],
    ["letter", null, 0.7],
    ["letter", [], 0.5],
  ] as const)("all lies on the page, on %s, ideal %s, pictures of %s", async (paper, ideal, aspect) => {
    const subject = subjectOf(await planned(), { paper, ideal }, aspect);
    const pages = proofPages(subject, letters);
    expect(pages.length).toBe(2);
    const [page] = pages as [(typeof pages)[0]];
    expect([page.widthMm, page.heightMm]).toEqual([papers[paper].widthMm, papers[paper].heightMm]);
    expect(outsiders(page, letters, 11).map((i) => JSON.stringify(i).slice(0, 300))).toEqual([]);
    expect(collisions(page, letters)).toEqual([]);
    const images = page.items.filter((item) => item.kind === "image");
    expect(images.map((i) => i.name).sort()).toEqual(
      [...subject.predicted, ...(subject.ideal ?? [])].map((v) => v.name).sort(),
    );
    for (const image of images) {
      expect(image.width / image.height).toBeCloseTo(subject.predicted[0]!.widthPx / 900, 6);
      expect(image.height).toBeGreaterThan(18);
    }
  });

  test.each([null, []] as const)("the sheet of views holds them pixel by pixel, ideal %s", async (ideal) => {
    const subject = subjectOf(await planned(), { ideal }, 0.6);
    const perMm = 12;
    const page = viewsSheet(subject, letters, perMm);
    expect(outsiders(page, letters, 0).map((i) => JSON.stringify(i).slice(0, 300))).toEqual([]);
    expect(collisions(page, letters)).toEqual([]);
    expect(Number.isInteger(Math.round(page.widthMm * perMm * 1e6) / 1e6)).toBe(true);
    expect(Number.isInteger(Math.round(page.heightMm * perMm * 1e6) / 1e6)).toBe(true);
    const images = page.items.filter((item) => item.kind === "image");
    expect(images.length).toBe(ideal ? 6 : 3);
    for (const { x, y, width, height } of images) {
      expect([width * perMm, height * perMm]).toEqual([expect.closeTo(540, 6), expect.closeTo(900, 6)]);
      for (const px of [x * perMm, y * perMm]) expect(px).toBeCloseTo(Math.round(px), 6);
    }
    // The house's smallest type on a picture 1200 px wide.
    for (const text of textsOf(page)) expect((text.size * 1200) / page.widthMm).toBeGreaterThan(23.9);
    expect(says(page, "predicted: from the lens and the focus")).toBe(true);
    expect(says(page, "ideal: as if it cleared evenly")).toBe(ideal !== null);
    expect(says(page, "2026-03-01")).toBe(true);
  });
});

test("many assumptions of the pictures leave the pictures room", async () => {
  const plan = await jobs["long names"]!();
  const notes = [longName, longName, longName, longName, longName, longName];
  for (const aspect of [0.5, 1.2]) {
    const [page] = proofPages(subjectOf(plan, { notes, ideal: [], paper: "letter" }, aspect), letters);
    expect(outsiders(page!, letters, 11)).toEqual([]);
    expect(collisions(page!, letters)).toEqual([]);
    for (const item of page!.items) if (item.kind === "image") expect(item.height).toBeGreaterThan(15);
  }
});

test("everything that was given stands on the page", async () => {
  const plan = await jobs["with everything"]!();
  const [page] = proofPages(subjectOf(plan), letters);
  const given = [
    ...[order.name, order.customer, "48", "revision B", "2026-03-01", "heron-reach-crest.svg"],
    ...["Tumbler 600 ml", "82 mm diameter", "180 mm tall", "powder red", "#7a1f2b", "gloss 30 at 60°"],
    ...["sheet", "1 of 2", "document", "proof for approval", "screens and prints shift colours"],
    ...["drawn 150 mm tall", "grain around", "3 mm round"],
    ...["front", "turned 55° to the left", "turned 55° to the right"],
  ];
  for (const words of given) expect([words, says(page!, words)]).toEqual([words, true]);
  const swatch = page!.items.filter((item) => item.kind === "path" && item.fill === "#7a1f2b");
  expect(swatch.length).toBe(1);
});

test("size and place are the plan's, and follow from the measures", async () => {
  const plan = await jobs["with everything"]!();
  const [page] = proofPages(subjectOf(plan), letters);
  const { box } = plan.ink;
  const told = (words: string): void => expect([words, says(page!, words)]).toEqual([words, true]);
  told(`50 mm around × ${(box.maxY - box.minY).toFixed(1)} mm along`);
  told(`${(75 + box.minY).toFixed(1)} mm below the rim`);
  told(`${(180 - 75 - box.maxY).toFixed(1)} mm above the base`);
  // On a cup of 82 mm a quarter turn is π·82/4 = 64.4 mm, and 170° are 121.6 mm.
  told("the artwork's middle 90° to the left of the handle's, 64.4 mm around");
  told("the artwork's middle 170° to the right of the seam's, 121.6 mm around");
  told("257.6 mm around");
});

test.each([
  // Middle at 20 mm right on a cup of 82 mm: 27.95°. As seen from the front: asin(20/41) = 29.20°.
  ["girth", 20, 90, "62.1° to the left of the handle's, 44.4 mm"],
  ["sight", 20, 90, "60.8° to the left of the handle's, 43.5 mm"],
  ["girth", 0, -90, "90° to the right of the handle's, 64.4 mm"],
  ["girth", -20, 170, "162.1° to the right of the handle's, 116 mm"],
  ["girth", 0, 180, "opposite the handle's, 128.8 mm"],
  ["girth", 0, 0, "the artwork's middle on the handle's"],
] as const)("from the handle, %s, %s mm, %s°: %s", async (fidelity, a, handleDeg, words) => {
  const plan = await crestPlan({
    vessel: { diameterMm: 82, handleDeg },
    placement: { widthMm: 20, atMm: [a, 0], fidelity },
  });
  expect(says(proofPages(subjectOf(plan), letters)[0]!, words)).toBe(true);
});

test("ink that ends at the rim or at the base just so is not beyond it", async () => {
  const plan = await planOf(frameSvg(10, 10), {
    vessel: { diameterMm: 82, heightMm: 0.6, belowRimMm: 0.3 },
  });
  // 0.1 + 0.2 is a little more than 0.3 (IEEE 754): by 5.6e-17 the ink passes both ends.
  const box = { ...plan.ink.box, minY: -(0.1 + 0.2), maxY: 0.1 + 0.2 };
  expect(0.3 + box.minY).toBeLessThan(0);
  const { topMm, bottomMm } = edges({ ...plan, ink: { ...plan.ink, box } });
  expect(edgeWords(topMm, "rim")).toBe("0 mm below the rim");
  expect(edgeWords(bottomMm, "base")).toBe("0 mm above the base");
  const past = await planOf(frameSvg(10, 10), { vessel: { diameterMm: 82, belowRimMm: 4.99 } });
  expect(edgeWords(edges(past).topMm, "rim")).toBe("less than 0.1 mm beyond the rim");
});

test("of a taper: how it lands, what that changes, and distances along the wall", async () => {
  const plan = await jobs["a taper laid on as a sheet"]!();
  const [page, flat] = proofPages(subjectOf(plan), letters);
  expect(says(page!, "44 mm across the sheet")).toBe(true);
  expect(says(page!, "88 to 64 mm diameter over 110 mm")).toBe(true);
  expect(says(page!, "as if a flat sheet were laid on: level lines lie on arcs")).toBe(true);
  expect(says(page!, "than drawn")).toBe(false);
  const girth = await crestPlan({ vessel: { taperMm: [88, 64, 110] }, placement: { widthMm: 44 } });
  const { minY, maxY } = girth.ink.box;
  const slant = Math.hypot(12, 110);
  // At the ink's ends the girth is that of 38 ∓ b sin α; at mid-height of the wall lies the placement point.
  const longer = Math.round(100 * ((-minY * 12) / slant / 38));
  const shorter = Math.round(100 * ((maxY * 12) / slant / 38));
  const [other] = proofPages(subjectOf(girth), letters);
  expect(says(other!, `up to ${longer} % longer and up to ${shorter} % shorter than drawn`)).toBe(true);
  expect(says(other!, `${(slant / 2 + minY).toFixed(1)} mm below the rim, along the wall`)).toBe(true);
  // On the flat drawing the rim of a sheet is an arc: no dimension ends on it, so it is told in words.
  expect(says(flat!, "below the rim, along the wall")).toBe(true);
});

test("of a ball: neither rim nor base, and how it lands", async () => {
  const [page, flat] = proofPages(subjectOf(await jobs["a ball"]!()), letters);
  expect(says(page!, "70 mm sphere")).toBe(true);
  expect(says(page!, "every width and the area true")).toBe(true);
  for (const words of ["top edge", "bottom edge", "below the rim"])
    expect([words, says(page!, words)]).toEqual([words, false]);
  expect(says(flat!, "rim")).toBe(false);
});

test("of turns: how many, what a join may show, and whether first and last meet", async () => {
  const plan = await jobs["around in three turns"]!();
  expect(plan.turns.length).toBe(3);
  const [page, flat] = proofPages(subjectOf(plan), letters);
  expect(
    says(page!, "marked in 3 turns of the vessel; where 2 joins go through the mark a fine line may show"),
  ).toBe(true);
  expect(says(page!, "first and last meet")).toBe(true);
  expect(textsOf(flat!).filter(({ words }) => words === "join")).toHaveLength(2);
  const short = await planOf(frameSvg(50 * Math.PI - 1.5, 30), { vessel: { diameterMm: 50 }, turns: 3 });
  expect(says(proofPages(subjectOf(short), letters)[0]!, "first and last leave a gap of 1.5 mm")).toBe(true);
  const [single] = proofPages(subjectOf(await jobs.bare!()), letters);
  expect(says(single!, "turns of the vessel")).toBe(false);
});

test("as seen from the front: by tape it is as long as the arc between the angles of its sides", async () => {
  const plan = await crestPlan({ vessel: { sphereMm: 70 }, placement: { widthMm: 40, fidelity: "sight" } });
  // 2 R asin(20/R) on the widest circle.
  const tape = 70 * Math.asin(20 / 35);
  expect(says(proofPages(subjectOf(plan), letters)[0]!, `${tape.toFixed(1)} mm by tape`)).toBe(true);
});

test("what is not given is said to be so, never guessed", async () => {
  const [page] = proofPages(subjectOf(await jobs.bare!()), letters);
  for (const label of ["top edge", "bottom edge"])
    expect([label, says(page!, `${label} not given`)]).toEqual([label, true]);
  for (const label of ["customer", "quantity", "revision"])
    expect([label, says(page!, `${label} –`)]).toEqual([label, true]);
  // A vessel of which neither is told may have neither.
  for (const label of ["from the handle", "from the seam"])
    expect([label, says(page!, label)]).toEqual([label, false]);
});

test("a stop is plain on both pages and the sheet, and leaves nothing to approve", async () => {
  const plan = await crestPlan({ order, vessel: tumbler, placement: { widthMm: 110 } });
  expect(plan.verdict).toBe("stop");
  const subject = subjectOf(plan);
  const [first, second] = proofPages(subject, letters);
  for (const page of [first!, viewsSheet(subject, letters, 10)]) {
    expect(says(page, "Not for approval: ink lies beyond what can be marked as it is.")).toBe(true);
    expect(says(page, "lies outside the usable depth of focus")).toBe(true);
  }
  expect(says(second!, "proof, not for approval")).toBe(true);
  expect(says(first!, "approved with the changes noted")).toBe(false);
  expect(textsOf(first!).some((t) => t.words === "approved")).toBe(false);
});

test("a ready job has three boxes to tick, lines to sign on and no warning", async () => {
  const plan = await crestPlan();
  expect(plan.verdict).toBe("ready");
  const [page] = proofPages(subjectOf(plan), letters);
  const said = textsOf(page!).map((t) => t.words);
  for (const words of ["approved", "approved with the changes noted", "not approved"])
    expect(said).toContain(words);
  for (const words of ["changes", "name", "signature", "date"]) expect(said).toContain(words);
  expect(says(page!, "Not for approval")).toBe(false);
  expect(says(page!, "fainter")).toBe(false);
});

test("sides that fade are said, and ink near the lip", async () => {
  const plan = await crestPlan({
    vessel: { ...tumbler, belowRimMm: 45 },
    placement: { widthMm: 50 },
    focus: "crown",
    limits: { usableDepthMm: 30 },
  });
  expect(plan.reasons.map((r) => r.code)).toEqual(expect.arrayContaining(["sides-fade", "ink-near-lip"]));
  expect(plan.verdict).toBe("caution");
  const [page] = proofPages(subjectOf(plan), letters);
  expect(says(page!, "the mark comes out fainter in places")).toBe(true);
  expect(says(page!, "the upper 20 mm are the lip and rim area")).toBe(true);
});

test("the chance from the profiles is told as such where there is one, and that no test has borne it out", async () => {
  const plan = await jobs["with everything"]!();
  const chance = plan.forecast!.outcome!.chance.allClean;
  const words = `${Math.round(100 * chance)} % that all of it comes out clean, by stored figures that no test has borne out yet`;
  expect(says(proofPages(subjectOf(plan), letters)[0]!, words)).toBe(true);
  expect(says(proofPages(subjectOf(await jobs.bare!()), letters)[0]!, "comes out clean")).toBe(false);
});

test("names of job and customer are whole in the title block, however long", async () => {
  const [page] = proofPages(subjectOf(await jobs["long names"]!()), letters);
  const bottom = { ...page!, items: page!.items.filter((i) => i.kind === "text" && i.y > 250) };
  const whole = textsOf(bottom)
    .map((t) => t.words)
    .join("");
  expect(whole.replace(/\s/g, "").split(longName.replace(/\s/g, "")).length).toBe(3);
  expect(says(bottom, "82 mm diameter, 180 mm tall, Ruderverein")).toBe(true);
});

test("the front stands in the middle and is the largest", async () => {
  const [page] = proofPages(subjectOf(await crestPlan()), letters);
  const images = page!.items.filter((item) => item.kind === "image").sort((a, b) => a.x - b.x);
  expect(images.map((i) => i.name.replace("predicted ", ""))).toEqual([
    "turned 55° to the left",
    "front",
    "turned 55° to the right",
  ]);
  expect(images[1]!.height).toBeGreaterThan(images[0]!.height);
  const bases = images.map((i) => i.y + i.height);
  for (const base of bases) expect(base).toBeCloseTo(bases[0]!, 9);
});

const entry = (i: number): ContactEntry => ({
  title: `cup ${i}.svg`,
  image: i % 5 === 3 ? null : { name: `cup ${i}`, label: "", widthPx: i % 2 ? 500 : 1100, heightPx: 900 },
  words: [`${50 + i} mm around × 38.2 mm along`, `ready ${longName}`, longName],
  problem: i % 5 === 3 ? `line ${i}: the text has no font, ${longName}` : null,
});
const head = { name: longName, customer: longName, date: "2026-03-01" };

test.each(["a4", "letter"] as const)("contact sheets hold every drawing, on %s", (paper) => {
  const entries = Array.from({ length: 29 }, (_, i) => entry(i));
  const pages = contactPages(entries, head, letters, paper);
  expect(pages.length).toBe(3);
  pages.forEach((page, n) => {
    expect(outsiders(page, letters, 11).map((i) => JSON.stringify(i).slice(0, 300))).toEqual([]);
    expect(collisions(page, letters)).toEqual([]);
    expect(says(page, `29 drawings, 6 with a problem · page ${n + 1} of 3`)).toBe(true);
    expect(says(page, "2026-03-01")).toBe(true);
    for (const { title, image, problem } of entries.slice(12 * n, 12 * n + 12)) {
      expect(textsOf(page).filter((t) => t.words === title).length).toBe(1);
      const placed = page.items.filter((item) => item.kind === "image" && item.name === image?.name);
      expect(placed.length).toBe(image ? 1 : 0);
      if (problem) expect(says(page, problem.slice(0, 40))).toBe(true);
    }
  });
});

test("no drawings still make a page that says so", () => {
  const [page, ...more] = contactPages([], { ...head, customer: null }, letters, "a4");
  expect(more).toEqual([]);
  expect(says(page!, "no drawings · page 1 of 1")).toBe(true);
});
