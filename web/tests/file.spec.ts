import { writeFileSync } from "node:fs";
import { drag, expect, machine, settled, test } from "./shop";

test("a broken line is shown with its number, and the page recovers by itself", async ({ page, served }) => {
  await settled(page);
  const good = served.text();
  const bad = good.replace("at: [20 ft, 6 ft]", "at: [20 parsecs, 6 ft]");
  const line = bad.split("\n").findIndex((l) => l.includes("parsecs")) + 1;
  served.write(bad);
  await expect(page.getByTestId("faults")).toContainText(`line ${line}`);
  await expect(page.getByTestId("faults")).toContainText("parsecs");
  served.write(good);
  await expect(page.getByTestId("faults")).not.toBeAttached();
});

test("the file is mended on the page: faults while typing, nothing faulty is saved", async ({ page, served }) => {
  await settled(page);
  const good = served.text();
  const bad = good.replace("at: [20 ft, 6 ft]", "at: [20 parsecs, 6 ft]");
  served.write(bad);
  await page.getByTestId("mend").click();
  const area = page.getByTestId("file text");
  await expect(area).toHaveValue(bad);
  await area.fill(bad.replace("parsecs", "furlongs of rope"));
  await expect(page.getByTestId("file faults")).toContainText("furlongs");
  await expect(page.getByTestId("save file")).toBeDisabled();
  await area.fill(""); // an emptied file has a fault, too
  await expect(page.getByTestId("file faults").getByRole("button")).toHaveCount(1);
  await expect(page.getByTestId("save file")).toBeDisabled();
  await area.fill(good.replace("at: [20 ft, 6 ft]", "at: [19 ft, 6 ft]"));
  await expect(page.getByTestId("save file")).toBeEnabled();
  await page.getByTestId("save file").click();
  await expect(page.getByTestId("file")).not.toBeAttached();
  expect(served.text()).toBe(good.replace("at: [20 ft, 6 ft]", "at: [19 ft, 6 ft]"));
  await expect(page.getByTestId("faults")).not.toBeAttached();
});

test("what an editor writes is shown, and can be undone here", async ({ page, served }) => {
  await settled(page);
  const x = async () => (await machine(page, "jointer").locator(".body").boundingBox())!.x;
  const before = await x();
  const good = served.text();
  served.write(good.replace("at: [20 ft, 6 ft]", "at: [17 ft, 6 ft]"));
  await expect.poll(x).toBeLessThan(before - 40);
  await page.getByTestId("undo").click();
  await expect.poll(() => served.text()).toBe(good);
});

test("two quick strokes of undo are two steps", async ({ page, served }) => {
  await settled(page);
  const before = served.text();
  for (const name of ["jointer", "lathe"]) {
    const was = served.text();
    await machine(page, name).focus();
    await page.keyboard.press("r");
    await expect.poll(() => served.text()).not.toBe(was);
  }
  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z"); // one more than there is
  await expect.poll(() => served.text()).toBe(before);
  await expect(page.getByTestId("said")).toHaveText("Nothing to undo");
  await expect(page.getByTestId("refused")).not.toBeAttached();
  await expect(page.getByTestId("conflict")).not.toBeVisible();
});

test("two pages see the same shop", async ({ page, served, context }) => {
  await settled(page);
  const other = await context.newPage();
  await other.goto(served.address);
  await settled(other);
  const x = async () => (await machine(other, "jointer").locator(".body").boundingBox())!.x;
  const before = await x();
  await drag(page, "jointer", -100, 0);
  await page.mouse.up();
  await expect.poll(x).toBeLessThan(before - 60);
});

test("a machine that is gone elsewhere cannot be moved here: both versions are shown", async ({ page, served }) => {
  await settled(page);
  await page.route("**/events", (r) => r.abort());
  await drag(page, "lathe", -60, 0);
  const gone = served.text().replace(/\n {2}lathe:\n(?: {4}.*\n)+/, "\n").replace(", lathe: 1 h", "");
  expect(gone).not.toContain("lathe");
  writeFileSync(served.path, gone);
  await page.mouse.up();
  await expect(page.getByTestId("conflict")).toContainText("moved lathe");
  await page.getByRole("button", { name: "Keep theirs" }).click();
  await expect(machine(page, "lathe")).not.toBeAttached();
  expect(served.text()).toBe(gone);
});

test("both moved the same machine: mine is kept if I say so", async ({ page, served }) => {
  await settled(page);
  await page.route("**/events", (r) => r.abort());
  await drag(page, "jointer", -60, 0);
  const theirs = served.text().replace("at: [20 ft, 6 ft]", "at: [16 ft, 6 ft]");
  writeFileSync(served.path, theirs);
  await page.mouse.up();
  await expect(page.getByTestId("conflict")).toContainText("16 ft"); // both are shown
  await page.getByRole("button", { name: "Keep mine" }).click();
  await expect(page.getByTestId("conflict")).not.toBeVisible();
  await expect.poll(() => served.text()).not.toContain("[16 ft");
  await page.getByTestId("undo").click(); // and theirs is one step back
  await expect.poll(() => served.text()).toBe(theirs);
});
