import { expect, machine, settled, test } from "./shop";

// Whoever uses the keyboard alone always sees where they are, and is never thrown back to the top of the page.

test("the slider of the filter says what it is", async ({ page }) => {
  await expect(page.getByRole("slider", { name: "Filter" })).toHaveAttribute("aria-valuetext", /.+/);
});

test("a focused machine wears a ring on top of its body, running or not", async ({ page }) => {
  await page.getByTestId("run planer").click();
  await settled(page);
  await page.keyboard.press("Tab"); // from here on the browser shows focus
  for (const name of ["planer", "jointer"]) {
    await machine(page, name).focus();
    await expect(machine(page, name).locator(".ring")).toBeVisible();
    const onTop = await machine(page, name).evaluate((g) => !!(g.querySelector(".body")!.compareDocumentPosition(g.querySelector(".ring")!) & 4));
    expect(onTop).toBe(true);
  }
  await expect(machine(page, "planer").locator(".ring")).not.toBeVisible();
});

test("focus stays near after Close, after Apply and after taking a machine out", async ({ page }) => {
  await page.getByTestId("run planer").click();
  await settled(page);
  await machine(page, "planer").focus();
  await page.locator('[data-testid^="apply "]').first().focus();
  await page.keyboard.press("Enter");
  await expect(page.locator("#help")).toBeFocused();
  await page.getByRole("button", { name: "Close" }).click();
  await expect(machine(page, "planer")).toBeFocused();
  await machine(page, "lathe").focus();
  await page.keyboard.press("Delete");
  await expect(page.locator("#list-title")).toBeFocused();
});

test("on a phone the open place is in sight in the bar", async ({ page }) => {
  await page.setViewportSize({ width: 360, height: 740 });
  await page.evaluate(() => (location.hash = "#log"));
  await expect(page.getByTestId("place log")).toBeInViewport({ ratio: 0.9 });
});

test("help that was asked for once does not take the focus from the next machine", async ({ page }) => {
  await page.getByTestId("run planer").click();
  await settled(page);
  await page.getByTestId("help").click();
  await expect(page.locator("#help")).toBeFocused();
  await page.getByRole("button", { name: "Close" }).click();
  await machine(page, "jointer").focus();
  await page.keyboard.press("Enter");
  await settled(page);
  await expect(machine(page, "jointer")).toBeFocused();
});
