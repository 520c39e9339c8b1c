// Eyes and hands: keyboard alone, axe, phone, large text, no motion, no outside request (asserted in every test by shop.ts).
import AxeBuilder from "@axe-core/playwright";
import type { Page } from "@playwright/test";
import { expect, machine, numbers, settled, test } from "./shop";

async function grave(page: Page) {
  const r = await new AxeBuilder({ page }).analyze();
  return r.violations
    .filter((v) => v.impact === "serious" || v.impact === "critical")
    .map((v) => `${v.id}: ${v.nodes.map((n) => `${n.target.join(" ")} ${n.any[0]?.message ?? ""}`).slice(0, 4).join(" | ")}`);
}

for (const theme of ["light", "dark"] as const) {
  test(`axe finds nothing serious, ${theme}`, async ({ page }) => {
    await page.emulateMedia({ colorScheme: theme });
    await settled(page);
    if (theme === "light") expect(await grave(page)).toEqual([]);
    await page.getByTestId("run planer").click();
    await settled(page);
    await page.locator("details summary").evaluateAll((all) => all.forEach((s) => ((s.parentElement as HTMLDetailsElement).open = true)));
    expect(await grave(page)).toEqual([]);
  });
}

for (const theme of ["light", "dark"] as const) {
  test(`what is being worked out again can be read all the same, ${theme}`, async ({ page }) => {
    await page.emulateMedia({ colorScheme: theme });
    await page.getByTestId("run planer").click();
    await settled(page);
    let go = () => {};
    const held = new Promise<void>((done) => (go = done));
    await page.route("**/look", async (route) => {
      await held;
      await route.fallback();
    });
    await page.getByTestId("filter").fill("0");
    await expect(page.locator(".stale").first()).toBeVisible();
    expect(await grave(page)).toEqual([]);
    go();
    await settled(page);
    await expect(page.locator(".stale")).toHaveCount(0);
  });
}

test("the main path works by keyboard alone", async ({ page, served }) => {
  await settled(page);
  const before = served.text();
  const focused = () => page.evaluate(() => document.activeElement?.getAttribute("data-testid") ?? "");
  for (let i = 0; i < 40 && (await focused()) !== "machine planer"; i++) await page.keyboard.press("Tab");
  expect(await focused()).toBe("machine planer");
  await page.keyboard.press("Enter");
  await expect(machine(page, "planer")).toHaveAttribute("aria-pressed", "true");
  await expect(page.getByTestId("said")).toHaveText("planer runs");
  for (let i = 0; i < 6; i++) await page.keyboard.press("ArrowRight");
  await expect(page.getByTestId("said")).toHaveText("moved planer");
  expect(await focused()).toBe("machine planer"); // focus is not lost
  await expect.poll(() => served.text()).not.toBe(before);
  await page.keyboard.press("Control+z");
  await expect.poll(() => served.text()).toBe(before);
  for (let i = 0; i < 80 && (await focused()) !== "apply stretch-the-hose"; i++) await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  await expect.poll(() => served.text()).toContain("stretch: 100 %");
});

test("the floor is a list too", async ({ page }) => {
  await settled(page);
  const rows = page.getByTestId("list").locator("li");
  await expect(rows).toHaveCount(7);
  await expect(rows.filter({ hasText: "lathe" })).toContainText("no port");
  await expect(machine(page, "planer")).toHaveAttribute("aria-label", /planer, gets \d+ of 400 cfm, if it ran alone, short/);
});

test("a word is explained on tap", async ({ page }) => {
  await page.getByTestId("run planer").click();
  await page.getByRole("button", { name: "Where the pull goes", exact: true }).click();
  await expect(page.locator(":popover-open")).toContainText("takes of the fan");
  await page.keyboard.press("Escape");
  await expect(page.locator(":popover-open")).not.toBeAttached();
});

test("where the pull goes lights the piece on the floor", async ({ page }) => {
  await page.getByTestId("run planer").click();
  await page.getByTestId("panel").getByRole("button", { name: /^hose/ }).click();
  await expect(page.locator("path.edge.lit").first()).toBeAttached();
});

test.describe("phone", () => {
  test.use({ viewport: { width: 360, height: 640 }, hasTouch: true });
  test("everything fits 360 px, and a tap starts a machine", async ({ page }) => {
    await settled(page);
    await machine(page, "jointer").tap();
    await expect(machine(page, "jointer")).toHaveAttribute("aria-pressed", "true");
    await expect(page.getByTestId("panel")).toContainText("of 350 cfm");
    await settled(page);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(360);
    const small = await page.locator("button.pill:visible, nav a:visible").evaluateAll((all) =>
      all.map((b) => [b.textContent, b.getBoundingClientRect()] as const).filter(([, r]) => r.height < 43.5 || r.width < 43.5).map(([t, r]) => `${t} ${r.width}x${r.height}`));
    expect(small).toEqual([]);
    expect(await grave(page)).toEqual([]);
  });
});

test("air moves where it moves, and stands still for those who want it still", async ({ page }) => {
  await settled(page);
  await expect(page.locator(".flecks")).toHaveCount(0); // nothing runs, nothing moves
  await page.getByTestId("run planer").click();
  await expect(page.locator(".flecks").first()).toBeAttached();
  const moving = () => page.evaluate(() => document.getAnimations().filter((a) => a.playState === "running").length);
  expect(await moving()).toBeGreaterThan(0);
  await page.emulateMedia({ reducedMotion: "reduce" });
  expect(await moving()).toBe(0);
});

test.describe("a shop without a room", () => {
  test.use({ example: "garden-shed.yaml" });
  test("stands in a tray, not to scale, and answers all the same", async ({ page }) => {
    await settled(page);
    await expect(page.getByText("not to scale")).toBeVisible();
    await page.getByTestId("run sander").click();
    await expect(numbers(page, "sander")).toContainText("/");
    await expect(page.locator(".loose.runs")).toBeAttached();
  });
});
