import { readFileSync } from "node:fs";
import AxeBuilder from "@axe-core/playwright";
import { levels, less, shareRange, sorted, wait } from "../src/core/air";
import { print } from "../src/core/units";
import { text } from "../src/text/en";
import { expect, machine, settled, test, type Served } from "./shop";
import type { Page } from "@playwright/test";

// The place Air against the command of the same name, on the same file.

const t = text.air;
const place = (page: Page) => page.getByTestId("air");

/** Opens the place and waits until its answer is in. */
async function open(page: Page) {
  await page.getByTestId("place air").click();
  await answered(page);
}
const answered = (page: Page) => expect(place(page)).toHaveAttribute("data-settled", "true", { timeout: 25_000 }); // a second on a quiet machine

const asked = (served: Served) => served.ask("air", served.path);

test("figures are those of winnow air --json", async ({ page, served }) => {
  await open(page);
  const a = asked(served);
  await expect(page.getByTestId("air sentence")).toHaveText(a.sentence.map((p: { text: string }) => p.text).join(""));
  await expect(page.getByTestId("stay out")).toContainText(wait(a.clearing.stay_out.nine_in_ten_s));
  await expect(page.getByTestId("cleaner runs")).toContainText(wait(a.clearing.cleaner_runs_s));
  for (const k of a.tasks) {
    const caught = k.caught_share.median > 0.005 ? shareRange(k.caught_share) : t.tasks.nothing;
    const said = [wait(k.a_day_s), shareRange(k.of_day_share), caught, levels(k.task_mean.inhalable, "us"), levels(k.task_mean.respirable, "us")];
    const cells = await page.getByTestId(`task ${k.name}`).getByRole("cell").allInnerTexts();
    expect(cells.slice(0, 5).map((c) => c.trim())).toEqual(said);
    expect(cells[5]).toContain(t.masks[k.mask]!);
  }
  const { shown } = sorted(a.options);
  await page.getByRole("button", { name: /^Show \d+ more$/ }).first().click();
  for (const o of shown) {
    const row = page.getByTestId("air options").getByRole("listitem").filter({ hasText: o.sentence });
    await expect(row.locator(".reads")).toHaveText([less(o.inhalable_of_today), less(o.respirable_of_today)]);
  }
  await page.getByTestId("air details").locator("summary").click();
  for (const k of ["inhalable", "thoracic", "respirable"]) await expect(page.getByTestId("air averages")).toContainText(levels(a.twa_8h[k], "us"));
  for (const l of a.limits) {
    const row = page.getByTestId("air limits").locator("tr").filter({ hasText: l.by }).filter({ hasText: l.fraction });
    await expect(row).toContainText(t.details.words[l.word]!);
    await expect(row).toContainText(print("concentration", l.level_kgm3, "us"));
  }
  for (const f of a.filters) await expect(page.getByTestId("air filters")).toContainText(less(f.respirable_of_today));
});

test("free acts stand first, each with its range, and nothing is a bare number of an average", async ({ page }) => {
  await open(page);
  const words = await page.getByTestId("air options").getByRole("listitem").allInnerTexts();
  const free = words.map((w) => w.startsWith(t.helps.free));
  expect(free[0]).toBe(true);
  expect(free.indexOf(false)).toBeGreaterThan(free.lastIndexOf(true));
  for (const w of words) expect(w).toMatch(/\(.* to .*\)/);
  await page.getByTestId("air details").locator("summary").click();
  for (const cell of await page.getByTestId("air averages").locator("td").allInnerTexts()) expect(cell).toContain(" to ");
});

test("an act is applied, the numbers follow, and undo gives the identical file", async ({ page, served }) => {
  await open(page);
  const before = served.text();
  const stay = await page.getByTestId("stay out").innerText();
  await page.getByTestId("apply act-with-machines").click();
  await expect(page.getByTestId("stay out")).not.toHaveText(stay, { timeout: 25_000 });
  await answered(page);
  expect(served.text()).toContain("works: with machines");
  await expect(page.getByTestId("air changes")).toContainText(/stay out 6 h → \d/);
  await expect(page.getByTestId("stay out")).toContainText(wait(asked(served).clearing.stay_out.nine_in_ten_s));
  await expect(page.locator("#air-first")).toBeFocused();
  await page.getByTestId("air undo").click();
  await expect(page.getByTestId("stay out")).toHaveText(stay, { timeout: 25_000 });
  expect(served.text()).toBe(before);
});

test("the answer stays on screen, greyed, while another is worked out", async ({ page, served }) => {
  await open(page);
  let let_go = () => {};
  const held = new Promise<void>((done) => (let_go = done));
  await page.route("**/look", async (r) => {
    if (r.request().postDataJSON().want?.includes("air")) await held;
    await r.continue();
  });
  const sentence = await page.getByTestId("air sentence").innerText();
  served.write(served.text().replace("works: by hand", "works: with machines"));
  await expect(page.getByTestId("air state")).toHaveText(t.again, { timeout: 15_000 });
  await expect(page.getByTestId("air sentence")).toHaveText(sentence);
  await expect(place(page)).toHaveAttribute("aria-busy", "true");
  let_go();
  await answered(page);
  await expect(page.getByTestId("air state")).toHaveText("");
});

test("nobody asks for the air but its own place", async ({ page }) => {
  const asks: string[] = [];
  page.on("request", (r) => r.url().endsWith("/look") && asks.push(...(r.postDataJSON().want ?? [])));
  await page.getByTestId("run planer").click();
  await settled(page);
  expect(asks).not.toContain("air");
  await open(page);
  const n = asks.filter((w) => w === "air").length;
  expect(n).toBe(1);
  await page.getByTestId("place floor").click();
  await open(page); // the same file: the answer is still there
  expect(asks.filter((w) => w === "air")).toHaveLength(n);
});

test("the moment of the day is told by keys, by hand and in a list", async ({ page, served }) => {
  await open(page);
  const a = asked(served);
  const line = page.getByTestId("air line");
  await line.focus();
  await page.keyboard.press("Home");
  await expect(page.getByTestId("air moment")).toContainText(`at the ${a.day[0].running}: ${levels(a.day[0].respirable, "us")}`);
  await page.keyboard.press("ArrowRight");
  await expect(line).toHaveAttribute("aria-valuetext", new RegExp(levels(a.day[1].respirable, "us").replace(/[.]/g, "\\.")));
  await page.keyboard.press("PageDown");
  const second = [...new Set(a.day.map((p: { running?: string }) => p.running).filter(Boolean))][1];
  await expect(page.getByTestId("air moment")).toContainText(`at the ${second}`);
  await page.keyboard.press("End");
  await expect(page.getByTestId("air moment")).toContainText(t.day.away);
  const box = (await line.boundingBox())!;
  await page.mouse.move(box.x + box.width - 20, box.y + 80);
  await expect(page.getByTestId("air moment")).toContainText(t.day.away);
  await page.mouse.move(box.x + 80, box.y + 80);
  await expect(page.getByTestId("air moment")).toContainText(`at the ${a.day[0].running}`);
  await page.getByText(t.day.list).click();
  const rows = page.getByTestId("air day list").locator("tbody tr");
  await expect(rows.filter({ hasText: t.day.away })).toHaveCount(1);
  for (const k of a.tasks) await expect(rows.filter({ has: page.getByRole("rowheader", { name: k.name, exact: true }) })).toHaveCount(1);
});

test("a machine's panel and the first sentence lead here and back", async ({ page }) => {
  await machine(page, "planer").click();
  await page.getByTestId("breathe").click();
  await answered(page);
  await expect(page.getByTestId("task planer")).toBeInViewport();
  await expect(page.getByTestId("air tasks").locator(".lit")).toContainText("planer");
  await page.getByTestId("air sentence").getByRole("link", { name: "sander" }).click();
  await expect(page.getByTestId("panel")).toContainText("sander");
});

test.describe("where nothing is said", () => {
  test.use({ example: "garden-shed.yaml" });

  test("the flame is asked for first, and the answer is written", async ({ page, served }) => {
    await open(page);
    const before = served.text();
    const fan = page.getByTestId("option act-window-fan");
    const more = page.getByRole("button", { name: /^Show \d+ more$/ }).first();
    if (!(await fan.isVisible())) await more.click();
    await expect(fan).toContainText("say first whether there is a flame");
    await fan.getByRole("button", { name: t.helps.toFlame }).click();
    await expect(page.locator("#air-flame")).toBeFocused();
    await page.getByTestId("flame natural").check();
    await page.getByTestId("flame name").fill("stove");
    await page.getByTestId("write flame").click();
    await expect(page.getByTestId("flame form")).toHaveCount(0, { timeout: 25_000 });
    await answered(page);
    expect(served.text()).toMatch(/flames:[\s\S]*stove:[\s\S]*draught: natural/);
    await expect(fan).toContainText("not beside a natural-draught flame");
    await page.getByTestId("air undo").click();
    await expect(page.getByTestId("flame form")).toBeVisible({ timeout: 25_000 });
    expect(served.text()).toBe(before);
    await page.getByTestId("flame none").check();
    await page.getByTestId("write flame").click();
    await expect(page.getByTestId("flame form")).toHaveCount(0, { timeout: 25_000 });
    expect(served.text()).toContain("flames: none");
    await expect(fan).not.toContainText(t.helps.but);
  });

  test("guessed hours are said to be so, and asked for", async ({ page, served }) => {
    served.write(served.text().replace(/\nroutine:[\s\S]*$/, "\n"));
    await open(page);
    await expect(page.getByTestId("air guessed")).toContainText(t.guessed);
    await page.getByTestId("hours sander").fill("3");
    await page.getByTestId("hours planer").fill("30 min");
    await page.getByTestId("write hours").click();
    await expect(page.getByTestId("air guessed")).toHaveCount(0, { timeout: 25_000 });
    await answered(page);
    expect(served.text()).toContain("sander: 3 h");
    expect(served.text()).toContain("planer: 30 min");
    await expect(page.getByTestId("air")).toContainText(t.noHours("mitre saw"));
    await expect(page.getByTestId("task sander")).toContainText("3 h");
  });
});

test("a shop without dust says what to do first", async ({ page, served }) => {
  served.write("winnow: 1\nname: Empty Row\nmachines:\n  sweep: {kind: floor sweep}\n");
  await open(page);
  await expect(page.getByTestId("air sentence")).toContainText("Nothing in this file makes dust");
  await expect(page.getByTestId("air empty")).toContainText(t.noDust);
});

test.describe("on a phone", () => {
  test.use({ viewport: { width: 360, height: 740 }, hasTouch: true });
  test("tasks are cards, and nothing is wider than the screen", async ({ page }) => {
    await open(page);
    await expect(page.getByTestId("air tasks").locator("table")).toHaveCount(0);
    await expect(page.getByTestId("task sander")).toContainText("of the day's dust");
    expect(await page.evaluate(() => [document.documentElement.scrollWidth, document.querySelector("main")!.scrollWidth])).toEqual([360, 360]);
    await page.getByTestId("air day").getByRole("button", { name: "sander" }).tap();
    await expect(page.getByTestId("air moment")).toContainText("at the sander");
    for (const b of await page.getByTestId("air").locator("button.pill:visible, .key button:visible").all()) expect((await b.boundingBox())!.height).toBeGreaterThanOrEqual(44);
  });
});

for (const theme of ["light", "dark"] as const) {
  test(`${theme}: no barriers`, async ({ page, served }) => {
    served.write(served.text().replace(/^ +flames:.*\n/m, "").replace(/^ +kitchen .*\n/m, ""));
    await page.emulateMedia({ colorScheme: theme });
    await open(page);
    await page.getByTestId("air details").locator("summary").click();
    await page.getByTestId("air cautions").locator("summary").click();
    await page.getByText(t.day.list).click();
    await page.getByText(t.clear.list).click();
    const found = await new AxeBuilder({ page }).analyze();
    expect(found.violations.map((v) => `${v.id}: ${v.nodes[0]?.html}`)).toEqual([]);
  });
}

test("metric shops read metric", async ({ page, served }) => {
  served.write(readFileSync(new URL("../../examples/millrace.yaml", import.meta.url), "utf8"));
  await open(page);
  const words = await place(page).innerText();
  expect(words).toContain("m³/h");
  expect(words).not.toMatch(/cfm|ft²|°F/);
  const a = asked(served);
  await expect(page.getByTestId("air sentence")).toContainText(a.sentence[0].text);
});

test.describe("at the end of the first run", () => {
  test.use({ example: "", locale: "en-US" });
  test("do I breathe it leads here, with what must be said first", async ({ page }) => {
    await page.getByTestId("answer us").click();
    await page.getByTestId("answer bag").click();
    for (let i = 3; i <= 4; i++) await page.getByTestId("not sure").click();
    await page.getByTestId("tick thickness planer").check();
    await page.getByTestId("on").click();
    await page.getByTestId("not sure").click();
    await page.getByRole("button", { name: text.first.breathe }).click();
    await answered(page);
    await expect(page.getByTestId("air sentence")).toContainText("gives you the most dust");
    await expect(page.getByTestId("task planer")).toContainText(t.tasks.guessed);
    await expect(page.getByTestId("air guessed")).toContainText(t.guessed);
    await expect(page.getByTestId("flame form")).toBeVisible();
  });
});
