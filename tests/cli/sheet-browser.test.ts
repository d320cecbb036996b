/** The HTML sheet in a browser: on a phone, on a screen as wide as A4, and printed on one page. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { getDocument } from "pdfjs-dist/legacy/build/pdf.mjs";
import type { Page } from "playwright-core";
import { expect, it } from "vitest";
import { browserPath, openBrowser } from "../support/browser.ts";
import { demo, folder, running, theFile } from "./helpers.ts";

const dir = folder();
const browser = await openBrowser();
const shop = [
  ...["--source", "fibre-60", "--power", "45%", "--speed", "900", "--frequency", "50", "--pitch", "0.025"],
  ...["--coating", "powder-red", "--vessel-height", "180", "--below-rim", "62", "--handle-at", "90"],
];
const word = "Regattabecherbeschriftungsvorlage";
const jobs: [string, string[], number][] = [
  ["plain", ["--width", "50"], 0],
  ["with settings", ["--width", "50", "--at", "3,1", ...shop], 0],
  [
    "six sets beside the middle",
    ["--width", "50", "--at", "3,1", ...shop, "--angles", "90,0,45,135,30,60", "--axis", "x"],
    0,
  ],
  [
    "long names",
    ["--width", "50", "--job-name", word.repeat(4), "--customer", word, "--vessel-name", word],
    0,
  ],
  ["stop", ["--width", "90", "--axis", "x", ...shop], 3],
  ["three turns", ["--width", "150", "--height", "60", "--turns", "3", "--witness-marks", ...shop], 0],
  ["six turns", ["--width", "250", "--height", "60", "--turns", "6", "--witness-marks", ...shop], 0],
];

/** Elements whose right edge lies beyond the window, and how wide the document is. */
const beyond = `(() => {
  const wide = [...document.querySelectorAll("body *")]
    .filter((one) => one.getBoundingClientRect().right > innerWidth + 0.5)
    .map((one) => one.outerHTML.slice(0, 80));
  return { wide, scroll: document.documentElement.scrollWidth, inner: innerWidth };
})()`;

async function opened(
  name: string,
  paper: string,
  args: readonly string[],
  code: number,
): Promise<{ page: Page; asked: string[] }> {
  const out = join(dir, `${name}-${paper}`.replaceAll(" ", "-"));
  const ran = await running([
    "sheet",
    demo("crest"),
    "--out",
    out,
    "--diameter",
    "82",
    "--paper",
    paper,
    ...args,
  ]);
  expect(ran, ran.err).toMatchObject({ code, err: "" });
  const page = await browser.newPage();
  const asked: string[] = [];
  page.on("request", (request) => asked.push(request.url()));
  page.on("pageerror", (error) => asked.push(String(error)));
  await page.setContent(readFileSync(join(out, theFile(out, ".html")), "utf8"));
  return { page, asked };
}

it.each(jobs)(
  "%s: nothing runs beyond a phone or a sheet's width, and nothing is loaded",
  async (name, args, code) => {
    const { page, asked } = await opened(name, "a4", args, code);
    for (const width of [360, 794]) {
      await page.setViewportSize({ width, height: 800 });
      const found = (await page.evaluate(beyond)) as { wide: string[]; scroll: number; inner: number };
      expect(found.wide, String(width)).toEqual([]);
      expect(found.scroll).toBeLessThanOrEqual(found.inner);
    }
    expect(asked).toEqual([]);
    await page.close();
  },
);

it.each(
  jobs.flatMap(([name, args, code]) =>
    (["a4", "letter"] as const).map((paper) => [name, paper, args, code] as const),
  ),
)("%s prints on one page of %s", async (name, paper, args, code) => {
  const { page } = await opened(`${name}-print`, paper, args, code);
  const bytes = Uint8Array.from(await page.pdf({ preferCSSPageSize: true }));
  await page.close();
  const print = await getDocument({ data: bytes, verbosity: 0 }).promise;
  expect(print.numPages).toBe(1);
  const sheet = await print.getPage(1);
  const [left, bottom, right, top] = sheet.view as [number, number, number, number];
  // ISO 216 and ANSI/ASME Y14.1 in points; the browser rounds to whole px.
  expect(Math.abs(right - left - (paper === "a4" ? 595.28 : 612))).toBeLessThan(1);
  expect(Math.abs(top - bottom - (paper === "a4" ? 841.89 : 792))).toBeLessThan(1);
  const { items } = await sheet.getTextContent();
  const said = items.map((item) => ("str" in item ? item.str : "")).join("");
  expect(said).toContain("SHA-256");
});

it("has its main parts under roles and names that a reader aloud finds", async () => {
  const { page } = await opened("roles", "a4", ["--width", "90"], 3);
  expect(await page.title()).toBe("heron-reach-crest: station sheet");
  expect(await page.getByRole("heading", { level: 1 }).textContent()).toBe("heron-reach-crest");
  expect(await page.getByRole("heading", { level: 2 }).count()).toBe(10);
  expect(await page.getByRole("img", { name: /SHA-256/ }).count()).toBe(1);
  expect(await page.getByRole("columnheader", { name: "power W" }).count()).toBe(1);
  await page.close();
});

it("a browser that is named and cannot be run is told", () => {
  expect(() => browserPath({ FALLAWAY_CHROMIUM: "/nowhere" })).toThrow(/FALLAWAY_CHROMIUM is \/nowhere/);
});
