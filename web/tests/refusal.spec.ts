import { expect, test } from "./shop";

test.use({ example: "millrace.yaml", viewport: { width: 390, height: 844 } });

for (const colorScheme of ["light", "dark"] as const) {
  test(`an act with a long sentence is written, and a refusal is seen where the thumb is, ${colorScheme}`, async ({ page, served }) => {
    await page.emulateMedia({ colorScheme });
    await page.getByTestId("place power").click();
    const acts = page.getByRole("button", { name: /^Apply: .{200,}/ });
    await expect(acts.first()).toBeVisible(); // longer than the server takes as a cause
    const name = (await acts.first().getAttribute("aria-label"))!;

    // refused: it is said in sight, though the place is scrolled far down
    await page.route("**/edits", (r) => r.fulfill({ status: 422, contentType: "application/problem+json", body: JSON.stringify({ title: "no", status: 422, detail: "not now" }) }));
    await page.getByRole("button", { name, exact: true }).click();
    await expect(page.getByTestId("refused")).toContainText("not now");
    await expect(page.getByTestId("refused")).toBeInViewport({ ratio: 1 });
    expect(await page.locator("main").evaluate((m) => m.scrollTop)).toBeGreaterThan(200);
    await page.getByTestId("refused").getByRole("button").click();

    // and without that it is written, under a name that the history has room for
    await page.unroute("**/edits");
    const before = served.text();
    await page.getByRole("button", { name, exact: true }).click();
    await expect.poll(() => served.text()).not.toBe(before);
    await expect(page.getByTestId("power undo")).toHaveAttribute("title", name.slice("Apply: ".length).split(": ")[0]!);
    await expect(page.getByTestId("refused")).not.toBeAttached();
  });
}

test("a place says its name in the title, has the focus at its heading, and keeps it after undo", async ({ page }) => {
  await expect(page).toHaveTitle(/^Floor, /);
  await expect(page.locator("body")).toBeFocused(); // nobody is moved about at the start
  await page.getByTestId("place next").click();
  await expect(page).toHaveTitle(/^Do next, /);
  await expect(page.locator("#main h1")).toBeFocused();
  await expect(page.locator(".skip")).toHaveText("Skip to the content");
  await page.getByRole("button", { name: /^Apply/ }).first().click();
  await page.getByTestId("next undo").click();
  await expect(page.getByTestId("next undo")).not.toBeAttached();
  await expect(page.locator("#main h1")).toBeFocused();
});
