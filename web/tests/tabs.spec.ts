// Many tabs of one browser, and another shop at the same address.
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Page } from "@playwright/test";
import { examples, expect, machine, serve, test } from "./shop";

async function turn(page: Page, name: string) {
  await machine(page, name).focus();
  await page.keyboard.press("r");
}

test("eight tabs: each can look and edit, and sees what the others edit", async ({ page, served, context }) => {
  test.slow();
  const tabs = [page];
  for (let i = 1; i < 8; i++) {
    const tab = await context.newPage();
    await tab.goto(served.address);
    tabs.push(tab);
  }
  const turnsOf = async (tab: Page) => (await machine(tab, "planer").locator(".body").getAttribute("transform")) ?? (await machine(tab, "planer").innerHTML());
  for (const tab of tabs) await expect(machine(tab, "planer")).toBeVisible();
  for (const at of [7, 0, 4]) {
    const before = await Promise.all(tabs.map(turnsOf));
    const file = served.text();
    await tabs[at]!.bringToFront();
    await turn(tabs[at]!, "planer");
    await expect.poll(() => served.text()).not.toBe(file);
    for (const [i, tab] of tabs.entries()) await expect.poll(() => turnsOf(tab), { message: `tab ${i} sees the edit of tab ${at}` }).not.toBe(before[i]);
  }
  // the tab that listens for all closes: another takes over, and what was written meanwhile is seen
  await tabs.splice(1, 1)[0]!.close();
  const heir = tabs.slice(1);
  await page.goto("about:blank");
  served.write(served.text().replace(/^name: .*$/m, "name: a name from an editor"));
  for (const tab of heir) await expect(tab).toHaveTitle(/a name from an editor/, { timeout: 30_000 }); // tabs behind others are slowed by the browser
});

test("another shop comes up at the same address: the page shows it, and writes nothing of the first into it", async ({ page }) => {
  const folder = mkdtempSync(join(tmpdir(), "winnow-two-"));
  for (const name of ["carport.yaml", "garden-shed.yaml"]) copyFileSync(join(examples, name), join(folder, name));
  const text = readFileSync(join(folder, "garden-shed.yaml"), "utf8");
  const first = await serve(folder, ["carport.yaml", "--addr", "127.0.0.1:0"]);
  const tab = await page.context().newPage();
  await tab.goto(first.address);
  await expect(machine(tab, "planer")).toBeVisible();
  await first.stop();
  const second = await serve(folder, ["garden-shed.yaml", "--addr", new URL(first.address).host]);
  const name = /^name: (.*?)\s*(#.*)?$/m.exec(text)![1]!.replace(/^"|"$/g, "");
  await expect(tab).toHaveTitle(new RegExp(name), { timeout: 20_000 });
  expect(readFileSync(join(folder, "garden-shed.yaml"), "utf8")).toBe(text);
  await tab.close();
  await second.stop();
  rmSync(folder, { recursive: true, force: true });
});
