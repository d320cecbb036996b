/**
 * The station sheet as one HTML file that needs nothing else: no script, no load, its style inside. It reads on a
 * phone and prints on one page; what the page leaves out for want of room is here.
 */
import { type PageItem, papers } from "../page/page.ts";
import { shapeSvg } from "../page/pagesvg.ts";
import { escaped, tag } from "../svg.ts";
import { qrPath } from "./qr.ts";
import { schematicItems, schematicSize } from "./schematic.ts";
import { sheetStyle } from "./sheetstyle.ts";
import type { Block, Row, Section, Sheet } from "./types.ts";

/** The code's side, in the unit of its drawing. */
const CODE = 100;
/** So many reasons are printed, and what to do about them if all is no longer than this; all is on the screen. */
const PRINTED = 3;
const PRINTED_LETTERS = 450;

export function sheetHtml(sheet: Sheet): string {
  const { name, facts, head, sections, hash, hashOf, code } = sheet;
  const { widthMm, heightMm } = papers[facts.paper];
  const title = `${name}: station sheet`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(title)}</title>
<style>
@page { size: ${widthMm}mm ${heightMm}mm; margin: 8mm 10mm; }
${sheetStyle}</style>
</head>
<body${turnedClass(facts.turnFiles?.length ?? 0)}>
<header>
<div>
<p class="kind">Station sheet</p>
<h1>${escaped(name)}</h1>
${rowsHtml(head)}
</div>
${drawing(`<path d="${qrPath(code, 0, 0, CODE)}"/>`, CODE, CODE, "qr", `QR code: ${sheet.codeWords}`)}
</header>
${verdictHtml(sheet)}
<main>
${groupsHtml(sheet, sections)}
</main>
<footer><p>${escaped(facts.marks)}</p><p>${escaped(hashOf)} <code>${escaped(hash)}</code></p></footer>
</body>
</html>
`;
}

/** So many turns and the printed page has no room for the table of their files. */
const MANY = 5;

function turnedClass(turns: number): string {
  if (turns === 0) return "";
  return turns < MANY ? ' class="turned"' : ' class="turned many"';
}

function verdictHtml({ verdict: { words, stop, reasons } }: Sheet): string {
  const list = reasons
    .map(
      ({ words: said, hint }, i) =>
        `<li${i < PRINTED ? "" : ' class="more"'}>${escaped(said)}<span class="hint"> – ${escaped(hint)}</span></li>`,
    )
    .join("\n");
  const printed = reasons.slice(0, PRINTED);
  const long = printed.reduce((sum, r) => sum + r.words.length + r.hint.length, 0) > PRINTED_LETTERS;
  const more = reasons.length - printed.length;
  const rest = [...(more > 0 ? [`${more} more`] : []), ...(long ? ["what to do about it"] : [])].join(", ");
  return `<section class="verdict${stop ? " stop" : ""}${long ? " long" : ""}">
<h2>${escaped(words)}</h2>${list && `\n<ul>\n${list}\n</ul>`}${rest && `\n<p class="rest">${rest}: on the screen</p>`}
</section>`;
}

/** Runs of narrow sections flow in columns where there is room for two. */
function groupsHtml(sheet: Sheet, sections: readonly Section[]): string {
  const parts: string[] = [];
  let open = false;
  sections.forEach((section, i) => {
    if (open === section.wide) {
      parts.push(open ? "</div>" : '<div class="columns">');
      open = !open;
    }
    const blocks = section.blocks.map((block) => blockHtml(sheet, block)).join("\n");
    const run = section.blocks.every((block) => block.kind === "words") ? ' class="run"' : "";
    parts.push(`<section${run}>\n<h2>${i + 1} ${escaped(section.title)}</h2>\n${blocks}\n</section>`);
  });
  if (open) parts.push("</div>");
  return parts.join("\n");
}

function blockHtml(sheet: Sheet, block: Block): string {
  if (block.kind === "words") {
    const said = escaped(block.words);
    return `<p>${block.strong ? `<strong>${said}</strong>` : said}</p>`;
  }
  if (block.kind === "steps") {
    const steps = block.steps.map((step) => `<li>${escaped(step)}</li>`);
    return `<ul class="steps">\n${steps.join("\n")}\n</ul>`;
  }
  if (block.kind === "rows") return rowsHtml(block.rows);
  if (block.kind === "table")
    return block.instead === undefined
      ? tableHtml(block.head, block.rows)
      : `<div class="spare">\n${tableHtml(block.head, block.rows)}\n</div>\n<p class="instead">Each file's SHA-256: on the screen.</p>`;
  const { width, height } = schematicSize;
  const items = schematicItems(sheet.schematic, 0, 0).map(itemHtml).join("");
  const { stick, focus } = sheet.schematic;
  const said = `end-on, not to scale: stick of ${stick} from the crown line up to the lens reference; focal plane ${focus}`;
  return `${drawing(items, width, height, "schematic", said)}\n<p class="undrawn">Figure: on the screen.</p>`;
}

function rowsHtml(rows: readonly Row[]): string {
  const list = rows.map(({ name, value, after, strong }) => {
    const blank = '<span class="blank"></span>';
    const said = value === null ? `${blank}${after ? ` ${escaped(after)}` : ""}` : escaped(value);
    return `<dt>${escaped(name)}</dt><dd>${strong ? `<strong>${said}</strong>` : said}</dd>`;
  });
  return `<dl>\n${list.join("\n")}\n</dl>`;
}

/** On a narrow screen each row stands as a list, so each cell carries its column's name. */
function tableHtml(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const names = head.map((name) => `<th scope="col">${escaped(name)}</th>`).join("");
  const body = rows.map((row) => {
    const cells = row.map((cell, i) => {
      const tag = i === 0 ? "th" : "td";
      return `<${tag}${i === 0 ? ' scope="row"' : ""} data-name="${escaped(head[i]!)}">${escaped(cell)}</${tag}>`;
    });
    return `<tr>${cells.join("")}</tr>`;
  });
  const small = head.length <= 3 ? ' class="small"' : "";
  return `<table${small}>\n<thead><tr>${names}</tr></thead>\n<tbody>\n${body.join("\n")}\n</tbody>\n</table>`;
}

const drawing = (inside: string, w: number, h: number, of: string, said: string): string =>
  `<svg class="${of}" viewBox="0 0 ${w} ${h}" role="img" aria-label="${escaped(said)}">${inside}</svg>`;

/** Words stay words, in the page's own type. */
function itemHtml(item: PageItem): string {
  if (item.kind !== "text") return shapeSvg(item);
  const { words, x, y, size, anchor = "start" } = item;
  return tag("text", { x, y, "font-size": size, "text-anchor": anchor }, escaped(words), 4);
}
