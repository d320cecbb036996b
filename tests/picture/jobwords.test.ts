/** Reasons in pictures: those of a job of several turns are not those of the turn that is drawn. */
import { expect, test } from "vitest";
import { reasonWords } from "../../src/picture/jobwords.ts";
import { planOf as turnPlan } from "../../src/plan/plan.ts";
import { planOf } from "./helpers.ts";

const word = `<svg xmlns="http://www.w3.org/2000/svg" width="150mm" height="20mm" viewBox="0 0 150 20"><rect id="h" width="40" height="20"/><rect id="r" x="60" width="90" height="20"/></svg>`;
const blocked = [{ name: "handle", aroundDeg: [60, 90] as [number, number] }];

test("on the picture of one turn they are said to be the whole job's", async () => {
  const plan = await planOf(word, { vessel: { diameterMm: 76.4, blocked }, turns: 3 });
  expect(reasonWords(plan, 1)[0]).toMatch(/^stop: /);
  const first = turnPlan(plan, plan.turns[0]!);
  // Nothing of this turn is blocked.
  expect(first.zones.find(({ zone }) => zone === "blocked")?.share ?? 0).toBe(0);
  expect(reasonWords(first, 1)[0]).toBe(`whole job: ${reasonWords(plan, 1)[0]}`);
});

test("a job of one turn that is indexed once keeps them its own", async () => {
  const bar = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20"><rect width="20" height="20"/></svg>`;
  const plan = await planOf(bar, {
    vessel: { diameterMm: 76.4, blocked },
    placement: { atMm: [50, 0] },
    turns: "auto",
  });
  expect(plan.turns).toHaveLength(1);
  expect(reasonWords(turnPlan(plan, plan.turns[0]!), 1)[0]).toMatch(/^stop: /);
});
