/**
 * Run as a worker: reads drawings that nest deeply, from where the stack is empty and from where hardly any of it
 * is left, with the compiled library; posts how each reading ended.
 */
import { parentPort, workerData } from "node:worker_threads";

const { readDrawing, JobError } = await import(workerData);
const square = '<rect width="5" height="5"/>';
const page = (content) =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9">${content}</svg>`;
const chain = (n, one) => Array.from({ length: n }, (_, i) => one(i, i + 1 < n)).join("");
const nested = (tag) => (n) => page(`<${tag}>`.repeat(n) + square + `</${tag}>`.repeat(n));
const kinds = {
  g: nested("g"),
  svg: nested("svg"),
  switch: nested("switch"),
  tspan: (n) => page(`<text>${"<tspan>".repeat(n)}x${"</tspan>".repeat(n)}</text>${square}`),
  use: (n) =>
    page(
      `<defs>${chain(n, (i, more) => `<g id="m${i}">${more ? `<use href="#m${i + 1}"/>` : square}</g>`)}</defs><use href="#m0"/>`,
    ),
  mask: (n) =>
    page(
      chain(
        n,
        (i, more) =>
          `<mask id="m${i}"><rect width="9" height="9" fill="#fff"${more ? ` mask="url(#m${i + 1})"` : ""}/></mask>`,
      ) + `<g mask="url(#m0)">${square}</g>`,
    ),
  clip: (n) =>
    page(
      chain(
        n,
        (i, more) =>
          `<clipPath id="m${i}" clipPathUnits="objectBoundingBox"><rect width="1" height="1"${more ? ` clip-path="url(#m${i + 1})"` : ""}/></clipPath>`,
      ) + `<g clip-path="url(#m0)">${square}</g>`,
    ),
  marker: (n) =>
    page(
      chain(
        n,
        (i, more) =>
          `<marker id="m${i}"><path d="M0 0L5 5L9 3" stroke="#000"${more ? ` marker-mid="url(#m${i + 1})"` : ""}/></marker>`,
      ) + '<path d="M0 0L5 5L9 3" marker-mid="url(#m0)"/>',
    ),
};

function ending(text) {
  try {
    readDrawing(text);
    return "read";
  } catch (error) {
    return error instanceof JobError ? error.problem.code : `${error.name}: ${error.message}`;
  }
}

const shallow = {};
for (const [kind, make] of Object.entries(kinds)) {
  for (const n of [50, 300, 580, 950, 5000]) shallow[`${kind} ${n}`] = ending(make(n));
}

/** From the end of the stack back: how readings end where so many calls are left. */
const deep = {};
const text = kinds.use(300);
let left = 0;
function dive() {
  try {
    dive();
  } catch {
    // The end.
  }
  left++;
  if (left >= 500 && left <= 20_000 && left % 250 === 0) deep[left] = ending(text);
}
dive();
parentPort.postMessage({ shallow, deep });
