// The handbook opens beside what it explains.
import AxeBuilder from "@axe-core/playwright";
import { reading } from "../src/text/reading";
import { expect, machine, settled, test } from "./shop";

test("every way into the handbook leads to a chapter and a heading that are there", async ({ page, served }) => {
  for (const [name, heading] of Object.values(reading)) {
    const r = await page.request.get(`${served.address}api/handbook/${name}`);
    expect(r.status(), name).toBe(200);
    if (heading) expect((await r.json()).headings.map((h: { id: string }) => h.id), `${name}: ${heading}`).toContain(`handbook-${heading}`);
  }
});

test("one reads beside the machine, follows a link, goes back, and is where one was", async ({ page }) => {
  await page.getByTestId("run planer").click();
  await settled(page);
  await page.getByTestId("read help").click();
  const book = page.getByTestId("handbook");
  await expect(book).toContainText("What would help");
  await expect(page.locator("#handbook-what-would-help")).toBeFocused();
  await expect(page.locator("#handbook-what-would-help")).toBeInViewport();
  await expect(page.getByTestId("panel")).toBeInViewport(); // beside it, not over it
  await expect(machine(page, "planer")).toBeInViewport();
  await book.getByTestId("handbook list").click();
  await expect(book.getByRole("heading", { name: "The handbook" })).toBeFocused();
  await book.getByRole("button", { name: "One word for one thing" }).click();
  await expect(book).toContainText("gets / needs");
  await book.getByTestId("handbook back").click();
  await book.getByTestId("handbook back").click();
  await expect(page.locator("#handbook-what-would-help")).toBeFocused();
  await page.keyboard.press("Escape");
  await expect(book).not.toBeAttached();
  await expect(page.getByTestId("read help")).toBeFocused();
});

test("a link in a chapter leads on in the pane, and an address opens a chapter", async ({ page, served }) => {
  await settled(page);
  await page.evaluate(() => (location.hash = "#handbook/getting-started"));
  const book = page.getByTestId("handbook");
  await expect(book.getByRole("heading", { level: 2 }).first()).toContainText("two minutes");
  await book.locator("a[data-chapter]").first().click();
  await expect(book.getByTestId("handbook back")).toBeVisible();
  expect(served.address.startsWith(new URL(page.url()).origin)).toBe(true);
});

for (const theme of ["light", "dark"] as const) {
  test(`axe finds nothing serious in the handbook, ${theme}`, async ({ page }) => {
    await page.emulateMedia({ colorScheme: theme });
    await page.evaluate(() => (location.hash = "#handbook/numbers"));
    await expect(page.getByTestId("handbook")).toContainText("What a machine gets");
    const r = await new AxeBuilder({ page }).include("[data-testid=handbook]").analyze();
    expect(r.violations.filter((v) => ["serious", "critical"].includes(v.impact!)).map((v) => `${v.id} ${v.nodes[0]?.target}`)).toEqual([]);
  });
}

test.describe("on a phone", () => {
  test.use({ viewport: { width: 360, height: 640 }, hasTouch: true });
  test("it covers the page, and nothing below it can be reached", async ({ page }) => {
    await settled(page);
    await page.getByTestId("read floor").tap();
    await expect(page.getByTestId("handbook")).toContainText("What the floor shows");
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(360);
    expect(await page.evaluate(() => [...document.querySelectorAll<HTMLElement>("[data-below]")].every((b) => b.inert))).toBe(true);
    await page.getByRole("button", { name: "Close the handbook" }).tap();
    expect(await page.evaluate(() => [...document.querySelectorAll<HTMLElement>("[data-below]")].some((b) => b.inert))).toBe(false);
  });
});
