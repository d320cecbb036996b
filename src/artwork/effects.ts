/** Reports what is not drawn or applied, by element. */
import type { Own } from "./cascade.ts";
import type { SvgNode } from "./node.ts";
import type { Report } from "./report.ts";
import { animationIgnored } from "./stylesheet.ts";

const unset = /^(none|normal|initial|unset|inherit|)$/;

/** Filters and blending set on a rendered element. */
export function reportEffects(node: SvgNode, own: Own, report: Report): void {
  if (!unset.test(own.get("filter") ?? "")) {
    report.add(
      "error",
      "filter-not-applied",
      node,
      "a filter is set on it, which cannot be applied: the shape is kept as drawn",
      "remove the filter or expand it to plain shapes in the drawing program",
    );
  }
  if (!unset.test(own.get("mix-blend-mode") ?? "")) {
    report.add(
      "error",
      "blend-not-applied",
      node,
      "a blend mode is set on it, which cannot be applied: it is taken as paint on top",
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

/** A rendered, visible element of a kind that cannot be drawn. */
export function reportUndrawn(node: SvgNode, report: Report): void {
  const hint = "draw its content as shapes in the drawing program";
  if (node.name === "foreignObject") {
    report.add("error", "foreign-object-not-drawn", node, "a foreign object is not drawn", hint);
  } else {
    report.add("error", "element-not-drawn", node, `the element ${node.name} is not drawn`, hint);
  }
}
