// The place Do next: the steps of `winnow check`, applied and taken back.
import AxeBuilder from "@axe-core/playwright";
import { expect, test } from "./shop";

test("the cards are those of the command; an act is applied, gone, and taken back to the letter", async ({ page, served }) => {
  const before = served.text();
  const steps = served.ask("check", served.path).next as { sentence: string; code: string; free: boolean; edits: unknown[] }[];
  await page.getByTestId("place next").click();
  const cards = page.getByTestId("step");
  await expect(cards).toHaveCount(1);
  await expect(cards.first()).toContainText(steps[0]!.sentence);
  await page.getByRole("button", { name: `Show ${steps.length - 1} more` }).click();
  await expect(cards).toHaveCount(steps.length);
  for (const [i, s] of steps.entries()) {
    await expect(cards.nth(i)).toContainText(s.sentence);
    if (s.free) await expect(cards.nth(i).locator("b").first()).toHaveText("Free");
  }
  const act = steps.find((s) => s.code === "lighter-cuts")!;
  await cards.filter({ hasText: act.sentence }).getByRole("button", { name: /Apply/ }).click();
  await expect.poll(() => served.text()).not.toBe(before);
  await expect(page.getByTestId("next")).not.toContainText(act.sentence); // not offered again
  await expect(page.getByTestId("sentence")).toBeFocused();
  await page.getByTestId("next undo").click();
  await expect.poll(() => served.text()).toBe(before);
  await expect(page.getByTestId("sentence")).toBeFocused(); // nothing is left to undo: its button went, and the focus with it
  await expect(page.getByTestId("next")).toContainText(act.sentence);
});

test("who loses by an act is named on its card", async ({ page, served }) => {
  const steps = served.ask("check", served.path).next as { sentence: string; effects: { port: string; with: string[]; gets_before_m3s: number; gets_after_m3s: number; needs_after_m3s: number; needs_before_m3s: number }[] }[];
  await page.getByTestId("place next").click();
  await page.getByRole("button", { name: /Show \d more/ }).click();
  for (const s of steps)
    for (const e of s.effects)
      if (e.gets_after_m3s / e.needs_after_m3s < e.gets_before_m3s / e.needs_before_m3s - 0.02)
        await expect(page.getByTestId("step").filter({ hasText: s.sentence })).toContainText(`${e.port} loses${e.with.length ? `, with ${e.with.join(" and ")} running` : ""}:`);
});

test("nothing serious for axe in either theme, and all of it fits a phone", async ({ page }) => {
  await page.getByTestId("place next").click();
  await page.getByRole("button", { name: /Show \d more/ }).click();
  for (const colorScheme of ["light", "dark"] as const) {
    await page.emulateMedia({ colorScheme });
    const found = (await new AxeBuilder({ page }).analyze()).violations.filter((v) => v.impact === "serious" || v.impact === "critical");
    expect(found.map((v) => `${v.id}: ${v.nodes[0]?.target.join(" ")}`)).toEqual([]);
  }
  await page.setViewportSize({ width: 360, height: 700 });
  expect(await page.getByTestId("next").evaluate((e) => e.scrollWidth - e.clientWidth)).toBeLessThanOrEqual(0);
});
