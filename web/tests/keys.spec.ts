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

test("focus stays on undo when there is nothing more to undo, and that is said", async ({ page, served }) => {
  await settled(page);
  const before = served.text();
  await machine(page, "jointer").focus();
  await page.keyboard.press("r");
  await expect.poll(() => served.text()).not.toBe(before);
  await page.getByTestId("undo").focus();
  await page.keyboard.press("Enter");
  await expect.poll(() => served.text()).toBe(before);
  await expect(page.getByTestId("undo")).toBeFocused();
  await expect(page.getByTestId("said")).toContainText("turned jointer");
  await page.keyboard.press("Enter"); // refused by the page itself: no question goes out, and nothing is shown as refused
  await expect(page.getByTestId("said")).toHaveText("Nothing to undo");
  await expect(page.getByTestId("refused")).not.toBeAttached();
  await expect(page.getByTestId("undo")).toBeFocused();
});

test("focus goes to a machine that was added, and stays where a removal is refused", async ({ page, served }) => {
  await settled(page);
  await page.getByTestId("add").click();
  await page.getByTestId("kind lathe").click();
  await expect(page.locator("#machine-name")).toBeFocused();
  await expect(page.locator("#machine-name")).toHaveText("lathe 2");
  // with another panel open
  await machine(page, "mitre saw").focus();
  await page.keyboard.press("Delete");
  await expect(machine(page, "mitre saw")).not.toBeAttached();
  await expect(page.locator("#machine-name")).toBeFocused();
  // refused: the file is away for the moment
  await page.route("**/edits", (r) => r.fulfill({ status: 422, contentType: "application/problem+json", body: JSON.stringify({ detail: "not now" }) }));
  const before = served.text();
  await machine(page, "jointer").focus();
  await page.keyboard.press("Delete");
  await expect(page.getByTestId("refused")).toContainText("not now");
  await expect(machine(page, "jointer")).toBeFocused();
  expect(served.text()).toBe(before);
});

test("what is said is said anew, even if it is the same", async ({ page }) => {
  await settled(page);
  const heard = await page.evaluateHandle(() => {
    const all: string[] = [];
    new MutationObserver(() => all.push(document.querySelector("[data-testid=said]")!.textContent!)).observe(document.querySelector("[data-testid=said]")!, { childList: true, characterData: true, subtree: true });
    return all;
  });
  await page.getByTestId("gate hose gate").focus();
  for (const _ of [1, 2]) await page.keyboard.press("Enter");
  await page.getByTestId("filter").focus();
  await page.keyboard.press("ArrowLeft"); // a quiet act
  await expect(page.getByTestId("said")).toHaveText("");
  expect((await heard.jsonValue()).filter((s) => s).length).toBe(2);
});
