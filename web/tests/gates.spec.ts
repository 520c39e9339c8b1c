// The place Gates: the chart of `winnow gates chart`, as a table and, on a phone, as cards.
import AxeBuilder from "@axe-core/playwright";
import { expect, test } from "./shop";

test.describe("a shop with gates that move by themselves", () => {
  test.use({ example: "millrace.yaml" });

  test("every bar stands as the command says", async ({ page, served }) => {
    const chart = served.ask("gates", "chart", served.path);
    await page.getByTestId("place gates").click();
    await expect(page.getByTestId("gates").locator("h1")).toHaveText(chart.sentence.map((p: { text: string }) => p.text).join(""));
    const heads = await page.getByTestId("gates").locator("thead th.gatename").allTextContents();
    const rows = page.getByTestId("gates").locator("tbody tr");
    const lines = chart.lines.filter((l: { open: string[] }) => l.open.length);
    await expect(rows).toHaveCount(lines.length);
    for (const [i, l] of lines.entries()) {
      await expect(rows.nth(i).locator("th")).toHaveText(l.machine);
      const cells = await rows.nth(i).locator("td.cell").allTextContents();
      const open = heads.filter((_, k) => cells[k]!.trim().startsWith("open"));
      expect(open.map((g) => g.trim()).sort(), l.machine).toEqual([...l.open].sort());
      await expect(rows.nth(i)).toContainText(`${l.wait_s} s`);
    }
    await expect(rows.filter({ hasText: "drum sander" })).toContainText("wait for the light");
    await expect(rows.filter({ hasText: "router table" })).not.toContainText("wait for the light");
  });

  test("a machine of the chart leads to the floor; nothing serious for axe in either theme", async ({ page }) => {
    for (const colorScheme of ["light", "dark"] as const) {
      await page.emulateMedia({ colorScheme });
      await page.getByTestId("place gates").click();
      await expect(page.getByTestId("gates").locator("tbody tr").first()).toBeVisible();
      const found = (await new AxeBuilder({ page }).analyze()).violations.filter((v) => v.impact === "serious" || v.impact === "critical");
      expect(found.map((v) => `${v.id}: ${v.nodes[0]?.target.join(" ")}`)).toEqual([]);
    }
    await page.getByTestId("gates").getByRole("button", { name: "planer", exact: true }).click();
    await expect(page.getByTestId("aside")).toHaveAttribute("aria-label", "planer");
  });

  test("the controller is looked at while the page says how far, and stopped it says what was found", async ({ page }) => {
    await page.getByTestId("place gates").click();
    await page.getByTestId("prove").click();
    const proof = page.getByTestId("proof");
    await expect(proof).toHaveAttribute("data-state", "running");
    await expect(proof.getByRole("status")).toContainText(/Look 1 of \d; [\d,]+ situations so far/);
    await proof.getByRole("button", { name: "Stop looking" }).click();
    await expect(page.getByTestId("proved")).toContainText(/No rule (can be|was) broken/);
    await expect(proof).toContainText("Stopped by hand");
    await expect(proof).toContainText(/Of \d+ sets of machines/);
  });

  test.describe("phone", () => {
    test.use({ viewport: { width: 360, height: 700 } });
    test("each machine is a card that says its acts in order, and nothing goes over the edge", async ({ page }) => {
      await page.getByTestId("place gates").click();
      const card = page.getByTestId("gates").locator(".cards > li").filter({ hasText: "drum sander" });
      await expect(card.locator("ol > li")).toHaveText([/Open\s+sander gate/, /start it; cyclone follows/, /Wait.*7 s, wait for the light/s]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
      expect(await page.getByTestId("gates").evaluate((e) => e.scrollWidth - e.clientWidth)).toBeLessThanOrEqual(0);
    });
  });
});

test.describe("a shop without gates", () => {
  test.use({ example: "garden-shed.yaml" });
  test("says the order of starting instead", async ({ page }) => {
    await page.getByTestId("place gates").click();
    await expect(page.getByTestId("gates").locator("h1")).toHaveText("No gates here: start the extraction first, then the machine.");
    await expect(page.getByTestId("gates").locator(".cards > li").first()).toHaveText(/start vacuum\s+Wait.*1 s.*Then start it/s);
  });
});
