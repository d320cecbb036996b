/** Collects what is wrong with an artwork: each code once per element, in the order it was met. */
import type { Problem, Severity } from "../problem.ts";
import type { SvgNode } from "./node.ts";
import { whereOf } from "./node.ts";

export class Report {
  readonly #problems: Problem[] = [];
  readonly #seen = new Map<SvgNode | null, Set<string>>();

  /** `node` null: the file as a whole. A second problem of one code on one element is left out. */
  add(severity: Severity, code: string, node: SvgNode | null, message: string, hint: string): void {
    const codes = this.#seen.get(node) ?? new Set<string>();
    if (codes.has(code)) return;
    this.#seen.set(node, codes.add(code));
    const problem = { code, severity, message, hint };
    this.#problems.push(node ? { ...problem, where: whereOf(node) } : problem);
  }

  get problems(): readonly Problem[] {
    return this.#problems;
  }
}
