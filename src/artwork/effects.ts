/** Reports what this version does not draw or apply, by element. */
import type { Own } from "./cascade.ts";
import type { SvgNode } from "./node.ts";
import { textOf } from "./node.ts";
import type { Report } from "./report.ts";
import { animationIgnored } from "./stylesheet.ts";

const effects = [
  {
    property: "clip-path",
    code: "clip-not-applied",
    message: "the clip path was not applied: the shape is kept whole",
    hint: "apply the clip in the drawing program, so that only the visible part remains",
  },
  {
    property: "mask",
    code: "mask-not-applied",
    message: "the mask was not applied: the shape is kept whole",
    hint: "apply the mask in the drawing program, so that only the visible part remains",
  },
  {
    property: "filter",
    code: "filter-not-applied",
    message: "the filter was not applied: the shape is kept as drawn",
    hint: "remove the filter or expand it to plain shapes in the drawing program",
  },
] as const;

const unset = /^(none|normal|initial|unset|inherit|)$/;

/** Clip paths, masks, filters and blending set on a rendered element. */
export function reportEffects(node: SvgNode, own: Own, report: Report): void {
  for (const { property, code, message, hint } of effects) {
    if (!unset.test(own.get(property) ?? "")) report.add("stop", code, node, message, hint);
  }
  if (!unset.test(own.get("mix-blend-mode") ?? "")) {
    report.add(
      "stop",
      "blend-not-applied",
      node,
      "the blend mode was not applied: the paint is taken as opaque paint on top",
      "flatten the blending in the drawing program",
    );
  }
}

const animations: ReadonlySet<string> = new Set([
  "animate",
  "animateColor",
  "animateMotion",
  "animateTransform",
  "set",
  "discard",
]);

/** Elements that are never rendered where they stand; some are drawn through a reference. */
const unrendered: ReadonlySet<string> = new Set(
  (
    "defs symbol title desc metadata style linearGradient radialGradient pattern hatch mesh meshgradient " +
    "solidcolor stop clipPath mask marker filter view cursor font font-face color-profile link glyph " +
    "missing-glyph hkern vkern mpath handler listener"
  ).split(" "),
);

/**
 * True when the element draws nothing where it stands, whatever its style: then all is said about it. Scripts
 * and animations are reported.
 */
export function drawsNothing(node: SvgNode, report: Report): boolean {
  if (unrendered.has(node.name)) return true;
  if (animations.has(node.name)) {
    animationIgnored(node, report);
    return true;
  }
  if (node.name !== "script") return false;
  report.add(
    "caution",
    "script-ignored",
    node,
    "a script was not run: the picture is read as it stands without it",
    "save the finished picture from the drawing program",
  );
  return true;
}

/** The first words of a text, at most 40 characters. */
function firstWords(text: string): string {
  const words = text.replace(/\s+/g, " ").trim();
  if (words.length <= 40) return words;
  const cut = words.slice(0, 40);
  return `${cut.slice(0, cut.lastIndexOf(" ") > 0 ? cut.lastIndexOf(" ") : 40)} …`;
}

/** A rendered, visible element of a kind that this version cannot draw. */
export function reportUndrawn(node: SvgNode, report: Report): void {
  if (node.name === "text") {
    const words = firstWords(textOf(node));
    if (words === "") return;
    const hint = "convert the text to outlines in the drawing program";
    report.add("stop", "text-not-drawn", node, `text is not drawn: “${words}”`, hint);
  } else if (node.name === "image") {
    const hint = "trace the image to shapes in the drawing program, or remove it";
    report.add("stop", "image-not-drawn", node, "an image is not drawn", hint);
  } else if (node.name === "foreignObject") {
    const hint = "draw its content as shapes in the drawing program";
    report.add("stop", "foreign-object-not-drawn", node, "a foreign object is not drawn", hint);
  } else {
    const hint = "draw its content as shapes in the drawing program";
    report.add("stop", "element-not-drawn", node, `the element ${node.name} is not drawn`, hint);
  }
}
