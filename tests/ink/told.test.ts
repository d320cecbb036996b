/** What is said of the ink: why nothing is left, codes that nothing needed, a backdrop, gradients. */
import { describe, expect, test } from "vitest";
import { inkOn } from "./helpers.ts";

const noInk = async (content: string, options = {}): Promise<string> => {
  const error = await inkOn(content, options).then(
    () => null,
    (thrown) => thrown,
  );
  expect(error?.problem.code).toBe("no-ink");
  return `${error.problem.message}: ${error.problem.hint}`;
};

describe("why nothing is left", () => {
  test.each([
    ["nothing is painted", "<g/>", {}, /nothing is painted: check that its layers are visible/],
    [
      "light on light",
      '<rect width="9" height="9" fill="#eee"/><circle r="5" fill="#fff"/>',
      {},
      /2 shapes are painted, all lighter .*#eeeeee #ffffff.*--ink light/,
    ],
    [
      "dark, where light is asked for",
      '<rect width="9" height="9"/>',
      { from: "light" },
      /1 shape is painted, all darker .*#000000.*--ink dark/,
    ],
    [
      "no such colour",
      '<rect width="9" height="9" fill="#123"/>',
      { colours: [{ r: 1, g: 0, b: 0, a: 1 }] },
      /--ink-colour: the file has #112233/,
    ],
    [
      "covered",
      '<rect width="9" height="9"/><rect width="9" height="9" fill="#fff"/>',
      {},
      /covered by light paint, cut away by clips, or off the page/,
    ],
  ])("%s", async (_, content, options, words) => {
    expect(await noInk(content, options)).toMatch(words);
  });
});

test("a code of --allow that nothing needed is a note", async () => {
  const { problems } = await inkOn('<rect width="9" height="9" filter="blur(1px)"/>', {
    allow: ["filter-not-applied", "font-mising"],
  });
  expect(problems.map((p) => [p.code, p.severity])).toEqual([
    ["filter-not-applied", "caution"],
    ["allow-unused", "note"],
  ]);
  expect(problems[1].message).toContain("--allow font-mising");
});

test.each([
  [
    '<rect id="all" width="100" height="100" fill="#123"/><circle cx="50" cy="50" r="9" fill="#fff"/>',
    ["page-is-ink"],
  ],
  ['<circle id="all" cx="50" cy="50" r="80"/>', ["beyond-page"]],
  ['<rect x="2" width="98" height="100"/>', []],
  ['<rect width="100" height="100" fill="#fff"/><circle cx="50" cy="50" r="9"/>', []],
])("a dark backdrop is a note: %s", async (content, codes) => {
  expect((await inkOn(content)).problems.map((p) => p.code)).toEqual(codes);
});

test.each([
  ["#000", "is marked"],
  ["#fff", "is not marked, and hides ink below it"],
])("a gradient from %s says what became of it", async (from, words) => {
  const to = from === "#000" ? "#222" : "#ddd";
  const { problems } = await inkOn(
    `<linearGradient id="g"><stop stop-color="${from}"/><stop offset="1" stop-color="${to}"/></linearGradient>` +
      '<rect x="60" width="9" height="9"/><g id="h"><rect width="9" height="9" fill="url(#g)"/></g><use href="#h" y="20"/>',
  );
  expect(problems.filter((p) => p.code === "gradient-flattened").map((p) => p.message)).toEqual([
    expect.stringContaining(words),
  ]);
});
