// Every place in both themes, for eyes of every kind; and every window, down to a small one at a large size of letters.
import AxeBuilder from "@axe-core/playwright";
import type { Page } from "@playwright/test";
import { places } from "../src/core/places";
import { expect, machine, settled, test } from "./shop";
// @ts-expect-error a plain script without types
import { bigShop } from "../bench/shop.mjs";

async function grave(page: Page) {
  const r = await new AxeBuilder({ page }).analyze();
  return r.violations
    .filter((v) => v.impact === "serious" || v.impact === "critical")
    .map((v) => `${v.id}: ${v.nodes.map((n) => `${n.target.join(" ")} ${n.any[0]?.message ?? ""}`).slice(0, 4).join(" | ")}`);
}

for (const theme of ["light", "dark"] as const) {
  test(`axe finds nothing serious at any place, ${theme}`, async ({ page }) => {
    test.setTimeout(90_000);
    await page.emulateMedia({ colorScheme: theme });
    await settled(page);
    for (const place of places.filter((p) => p !== "floor")) { // that one is looked at in hands.spec.ts, with a machine running
      await page.getByTestId(`place ${place}`).click();
      await page.waitForTimeout(700); // the place has asked for its numbers
      await page.locator("main details > summary").evaluateAll((all) => all.forEach((s) => ((s.parentElement as HTMLDetailsElement).open = true)));
      expect(await grave(page), place).toEqual([]);
    }
  });
}

test("a collector's panel, the tape and the dialogs are as accessible as the rest", async ({ page }) => {
  await settled(page);
  await page.getByTestId("measure").click();
  await page.getByTestId("system collector").focus();
  await page.keyboard.press("Enter");
  await expect(page.getByTestId("system panel")).toBeVisible();
  expect(await grave(page)).toEqual([]);
  await page.getByRole("button", { name: "Close", exact: true }).click();
  await page.getByTestId("add").click();
  expect(await grave(page)).toEqual([]);
  await page.getByTestId("add dialog").getByRole("button", { name: "Close", exact: true }).click();
  await page.locator("summary", { hasText: "Settings" }).click();
  await page.getByTestId("phone").click();
  await expect(page.getByTestId("phone dialog")).toContainText("passphrase");
  expect(await grave(page)).toEqual([]);
});

// 1320 x 820 at 200 %, a phone on its side, a phone upright, and 1280 x 1024 at 400 %, as WCAG 1.4.10 has it
for (const [width, height, least] of [[660, 410, 250], [740, 360, 250], [360, 640, 180], [320, 256, 150]] as const) {
  test.describe(`${width} by ${height}`, () => {
    test.use({ viewport: { width, height }, hasTouch: true });
    test("the floor can be used, and nothing is cut off sideways", async ({ page }) => {
      await settled(page);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
      const floor = page.getByTestId("floor");
      await floor.scrollIntoViewIfNeeded();
      const box = (await floor.boundingBox())!;
      expect(Math.min(box.width, box.height)).toBeGreaterThanOrEqual(least);
      await machine(page, "jointer").tap();
      await expect(machine(page, "jointer")).toHaveAttribute("aria-pressed", "true");
      const names = page.locator(".name");
      expect(await names.filter({ hasText: "jointer" }).count()).toBe(1); // what runs is named in any window
      // names lie neither on each other nor on the turning knob
      const boxes = await page.locator(".name, .knob").evaluateAll((all) => all.map((a) => a.getBoundingClientRect()).map((r) => [r.left, r.top + 3, r.right, r.bottom - 3]));
      const lying = boxes.flatMap((a, i) => boxes.slice(i + 1).filter((b) => Math.min(a[2]!, b[2]!) - Math.max(a[0]!, b[0]!) > 4 && Math.min(a[3]!, b[3]!) - Math.max(a[1]!, b[1]!) > 2));
      expect(lying).toEqual([]);
      await expect(page.getByTestId("panel")).toContainText("jointer");
    });
  });
}

test("words with a meaning are at least 24 px high to tap", async ({ page }) => {
  await page.getByTestId("run planer").click();
  await settled(page);
  await page.locator("main details > summary").evaluateAll((all) => all.forEach((s) => ((s.parentElement as HTMLDetailsElement).open = true)));
  const low = await page.locator(".term:visible").evaluateAll((all) => all.map((a) => [a.textContent, a.getBoundingClientRect().height] as const).filter(([, h]) => h < 24));
  expect(low).toEqual([]);
});

test("where the system picks the colours, every sign takes them", async ({ page }) => {
  await page.emulateMedia({ forcedColors: "active", colorScheme: "dark" });
  await page.getByTestId("run planer").click();
  await settled(page);
  const strokes = await page.evaluate(() => {
    const probe = document.body.appendChild(document.createElement("i"));
    const of = (color: string) => ((probe.style.color = color), getComputedStyle(probe).color);
    const system = [of("CanvasText"), of("Canvas"), of("Highlight"), of("HighlightText"), "none"];
    probe.remove();
    return [...document.querySelectorAll(".machine .body, .system, .wall, .edge, .bar")].map((e) => getComputedStyle(e).stroke).filter((s) => !system.includes(s));
  });
  expect(strokes).toEqual([]);
});

test.describe("in British words", () => {
  test.use({ locale: "en-GB" });
  test("the page says socket and mitre, and the owner's names stay", async ({ page }) => {
    await settled(page);
    await page.getByTestId("add").click();
    await expect(page.getByTestId("kind mitre saw").locator("b")).toHaveText("mitre saw");
    await page.getByTestId("add dialog").getByRole("button", { name: "Close", exact: true }).click();
    await expect(machine(page, "mitre saw")).toBeVisible();
    await page.locator("summary", { hasText: "Settings" }).click();
    await expect(page.getByRole("group", { name: "Colours" })).toBeVisible();
    await page.getByTestId("words us").click();
    await settled(page);
    await page.locator("summary", { hasText: "Settings" }).click();
    await expect(page.getByRole("group", { name: "Colors" })).toBeVisible();
    await page.getByTestId("add").click();
    await expect(page.getByTestId("kind mitre saw").locator("b")).toHaveText("miter saw");
    await expect(page.getByTestId("system collector")).toHaveAttribute("aria-label", /^collector/); // a name of the owner's
  });
});

test("a shop of sixty machines leaves the floor its room, and every machine can be started by name", async ({ page, served }) => {
  await settled(page);
  served.write(bigShop(60, 200));
  await expect(page.locator("[data-machine]")).toHaveCount(60);
  expect((await page.getByTestId("floor").boundingBox())!.height).toBeGreaterThan(400);
  await page.getByTestId("run machine 60").click(); // scrolled to by the browser, as by a finger
  await expect(machine(page, "machine 60")).toHaveAttribute("aria-pressed", "true");
  await expect(page.getByTestId("sentence")).toContainText("machine 60");
  await expect(page.locator(".name", { hasText: "machine 60" })).toBeVisible(); // what runs is named among the sixty
});
