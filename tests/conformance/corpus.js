/**
 * The input corpus: icon, flag and emoji sets from the registry, pinned in package.json, none of them committed.
 * Each set is here for what it stresses.
 */
import { readdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { seeded } from "../bench/drawings.js";

const need = createRequire(import.meta.url);
const home = (name) => dirname(need.resolve(`${name}/package.json`));

/** Folders of SVG files in a package. */
function folders(name, stress, packageName, ...parts) {
  const list = () =>
    parts.flatMap((part) =>
      readdirSync(join(home(packageName), part))
        .filter((file) => file.endsWith(".svg"))
        .sort()
        .map((file) => (part === "." ? file : `${part}/${file}`)),
    );
  return { name, stress, list, text: (file) => readFileSync(join(home(packageName), file), "utf8") };
}

/** Elements kept in one JSON file, `{ width, height, icons: { name: { body } } }`, each wrapped as a document. */
function bodies(name, stress, packageName) {
  let kept = null;
  const all = () => {
    kept ??= JSON.parse(readFileSync(join(home(packageName), "icons.json"), "utf8"));
    return kept;
  };
  const text = (file) => {
    const { icons, width, height } = all();
    const icon = icons[file];
    const w = icon.width ?? width;
    const h = icon.height ?? height;
    const box = `viewBox="${icon.left ?? 0} ${icon.top ?? 0} ${w} ${h}" width="${w}" height="${h}"`;
    return `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" ${box}>${icon.body}</svg>`;
  };
  return { name, stress, list: () => Object.keys(all().icons).sort(), text };
}

const weather = "@bybas/weather-icons";
const tabler = "@tabler/icons";

/** In the order of the table. */
export const sets = [
  folders("bootstrap-icons", "fill rules, circle, rect", "bootstrap-icons", "icons"),
  folders("tabler-outline", "strokes, round caps and joins, arcs", tabler, "icons/outline"),
  folders("tabler-filled", "packed path data", tabler, "icons/filled"),
  folders("mdi", "one path each", "@mdi/svg", "svg"),
  folders("twemoji", "flat colours laid over each other, opacity", "@twemoji/svg", "."),
  folders("flag-icons", "use, clips, nested transforms", "flag-icons", "flags/4x3", "flags/1x1"),
  folders("circle-flags", "masks", "circle-flags", "flags", "flags/language", "flags/other"),
  folders("country-flags", "use, strokes, dashes, markers, entities", "svg-country-flags", "svg"),
  folders("weather-line", "strokes, dashes, clips", weather, "design/line/export"),
  folders("weather-fill", "gradients, clips", weather, "design/fill/export"),
  bodies("noto-emoji", "gradients, opacity, clips, use", "@iconify-json/noto"),
];

/** The set of this name; throws where there is none. */
export function setNamed(name) {
  const found = sets.find((set) => set.name === name);
  if (!found) throw new Error(`no set ${name}; there are ${sets.map((set) => set.name).join(", ")}`);
  return found;
}

/** `count` of a list, chosen by a seed, in the list's order (Fisher–Yates); all of it where it is no longer. */
export function chosen(list, count, seed) {
  if (list.length <= count) return [...list];
  const random = seeded(seed);
  const places = list.map((_, i) => i);
  for (let i = 0; i < count; i++) {
    const j = i + Math.floor(random() * (places.length - i));
    [places[i], places[j]] = [places[j], places[i]];
  }
  return places
    .slice(0, count)
    .sort((a, b) => a - b)
    .map((place) => list[place]);
}

/**
 * About `count` files over all sets, `{ set, file }`, chosen by a seed: from each set the same number, and from
 * those that have more the rest, so that the small sets with the hard features count.
 */
export function sampleOverSets(count, seed) {
  const lists = sets
    .map((set) => ({ set, files: set.list() }))
    .sort((a, b) => a.files.length - b.files.length);
  let left = count;
  return lists.flatMap(({ set, files }, i) => {
    const share = Math.min(files.length, Math.round(left / (lists.length - i)));
    left -= share;
    return chosen(files, share, seed + i).map((file) => ({ set: set.name, file }));
  });
}
