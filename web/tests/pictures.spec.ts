// Pictures for docs/page.md, taken from the real thing. PICTURES=1 writes them; else they are only taken.
import type { Page } from "@playwright/test";
import { expect, settled, test } from "./shop";

async function picture(page: Page, name: string) {
  await settled(page);
  await expect(page.getByTestId("panel")).toContainText("likely");
  await page.waitForTimeout(600);
  const path = process.env.PICTURES ? new URL(`../../docs/pictures/${name}.png`, import.meta.url).pathname : undefined;
  expect((await page.screenshot({ path })).length).toBeGreaterThan(20_000);
}

test("floor, light", async ({ page }) => {
  await page.getByTestId("run planer").click();
  await picture(page, "floor");
});

test("floor, dark", async ({ page }) => {
  await page.emulateMedia({ colorScheme: "dark" });
  await page.getByTestId("run table saw").click();
  await page.getByTestId("run planer").click();
  await picture(page, "floor-dark");
});

test.describe("phone", () => {
  test.use({ viewport: { width: 390, height: 844 }, hasTouch: true });
  test("phone", async ({ page }) => {
    await page.getByTestId("run planer").click();
    await picture(page, "phone");
  });
});
