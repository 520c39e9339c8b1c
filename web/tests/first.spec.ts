import AxeBuilder from "@axe-core/playwright";
import { expect, machine, test } from "./shop";

test.use({ example: "", viewport: { width: 390, height: 844 }, locale: "en-US" });

test("an owner of a bag collector has a verdict after five questions, and ends on the floor", async ({ page, served }) => {
  const on = () => page.getByTestId("on").click();
  await page.getByTestId("answer us").click();
  await page.getByTestId("answer bag").click();
  await page.getByTestId("answer motor").fill("strong");
  await on();
  await expect(page.getByTestId("first problem")).toContainText("such as 1 1/2 hp"); // said here, not at the end
  await page.getByTestId("answer motor").fill("1 hp");
  await on();
  await page.getByTestId("answer hose-width").fill("4 in");
  await page.getByTestId("answer hose-length").fill("20 ft");
  await page.getByTestId("answer loops").click();
  await on();
  await page.getByTestId("tick thickness planer").check();
  await page.getByTestId("star thickness planer").click();
  await page.getByTestId("tick band saw").check();
  await expect(page.getByTestId("so far")).toContainText("planer, annoys you");
  await expect(page.getByTestId("so far")).toContainText("band saw");
  expect((await new AxeBuilder({ page }).analyze()).violations.filter((v) => ["serious", "critical"].includes(v.impact!)).map((v) => v.id)).toEqual([]);
  await on();
  await page.getByTestId("answer never").click();
  await expect(page.getByTestId("first verdict")).toContainText("planer is much too short");
  await expect(page.getByTestId("remedies")).toContainText("Free"); // never ends on "fails" without a free act
  await expect(page.getByTestId("first")).toContainText("I guessed the fan");
  // the same answers to the command make the same file
  expect(served.text()).toContain("kind: thickness planer");
  expect(served.text()).toContain("hose: 20 ft");
  const shorten = page.getByTestId("remedies").locator("li", { hasText: "Shorten the hose" });
  await shorten.getByRole("button").click();
  await expect(shorten).not.toBeAttached(); // done, so not offered again
  await page.getByRole("button", { name: "Undo" }).click();
  await expect(shorten).toBeVisible();
  await page.getByTestId("try it").click();
  await expect(machine(page, "planer")).toBeVisible();
  await expect(page.getByTestId("panel")).toContainText("of 400 cfm");
  await page.getByTestId("undo").click();
  await expect(page.getByTestId("first")).toBeVisible(); // back at the beginning, nothing is lost: redo is in the file's history
});

test("not sure will do for everything", async ({ page }) => {
  await page.getByTestId("answer us").click();
  await page.getByRole("button", { name: "Not sure" }).click();
  for (let i = 3; i <= 6; i++) {
    await expect(page.getByTestId("first")).toContainText(`Question ${i} of 6`);
    await page.getByTestId("not sure").click();
  }
  await expect(page.getByTestId("first")).toContainText("I guessed what collects, the fan");
  await expect(page.getByTestId("try it")).toBeVisible();
});
