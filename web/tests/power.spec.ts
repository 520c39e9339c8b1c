// The place Power: the numbers are the program's own, a plug is moved by list and by hand, and everything can be undone.
import AxeBuilder from "@axe-core/playwright";
import type { Page } from "@playwright/test";
import { because, chanceWords } from "../src/core/power";
import { expect, settled, test } from "./shop";

async function open(page: Page) {
  await page.getByTestId("place power").click();
  await expect(page.getByTestId("power")).toHaveAttribute("data-settled", "true");
}
async function grave(page: Page) {
  const r = await new AxeBuilder({ page }).analyze();
  return r.violations.filter((v) => v.impact === "serious" || v.impact === "critical").map((v) => `${v.id}: ${v.nodes.map((n) => `${n.target.join(" ")} ${n.any[0]?.message ?? ""}`).slice(0, 4).join(" | ")}`);
}

test("says what `winnow power` says: sentence, amps, words, chances, times, plan", async ({ page, served }) => {
  await open(page);
  const p = served.ask("power", served.path);
  await expect(page.getByTestId("power sentence")).toHaveText(p.sentence.map((s: { text: string }) => s.text).join(""), { useInnerText: true });
  for (const c of p.circuits) {
    await expect(page.getByTestId(`word ${c.name}`)).toContainText(c.worst.verdict);
    if (c.worst.verdict !== "holds") await expect(page.getByTestId(`word ${c.name}`)).toContainText(chanceWords(c.worst.chance_share));
    await expect(page.getByTestId(`says ${c.name}`)).toContainText(because(c.worst, "us"));
  }
  // the very sentence of the command, with its times and its chance, stands under "what to do": our words are its words
  for (const f of p.findings.filter((x: { severity: string }) => x.severity !== "note")) await expect(page.getByTestId("power todo")).toContainText(f.sentence);
  const worst = p.findings.find((f: { code: string }) => f.code === "circuit-trips");
  const trips = p.circuits.find((c: { name: string }) => c.name === worst.words.circuit);
  expect(worst.sentence).toContain(because(trips.worst, "us"));
  expect(worst.sentence).toContain(chanceWords(trips.worst.chance_share));
  // the bars of a set are that set's currents, at each moment
  for (const [moment, key] of [["idle", "idle_a"], ["cut", "cut_a"], ["full", "full_a"]] as const) {
    await page.getByTestId(`moment ${moment}`).check({ force: true });
    await expect(page.getByTestId("says A")).toContainText(`${Number(trips.worst[key].toPrecision(3))} A of 20 A`);
  }
  await page.getByTestId("power set").selectOption({ label: "table saw, holds" });
  await expect(page.getByTestId("circuit C")).toContainText("13 A of 20 A at full plate");
  await expect(page.getByTestId("circuit A")).toContainText("collector");
  for (const m of p.assignment.moves) await expect(page.getByTestId("outlet chart")).toContainText(`${m.load}: ${m.from} → ${m.to}`);
  await expect(page.getByTestId("cautions")).toContainText("a licensed electrician");
  await expect(page.getByTestId("cautions")).toContainText("Never fit a bigger breaker");
});

test("beyond its rating a bar is broken and says so, not by colour alone", async ({ page }) => {
  await open(page);
  await expect(page.getByTestId("circuit A").locator(".slab")).not.toHaveCount(0);
  await expect(page.getByTestId("says A")).toContainText("overloaded");
  await expect(page.getByTestId("circuit C").locator(".slab")).toHaveCount(0);
});

test("a plug is moved from its card: before and after first, then one line of the file, then undone", async ({ page, served }) => {
  await open(page);
  const before = served.text();
  await page.getByTestId("load A mitre saw").click();
  await expect(page.getByTestId("load card")).toContainText("its plate");
  await expect(page.getByTestId("load card")).toContainText("given");
  const plug = page.getByTestId("plug mitre saw");
  await expect(plug.locator("option", { hasText: "floor box" })).toBeDisabled(); // another voltage
  await plug.selectOption("joist");
  await expect(page.getByTestId("shifts")).toContainText("A 27.2 → 23.5 A");
  await expect(page.getByTestId("shifts")).toContainText("trips → may trip");
  await expect(page.getByTestId("would")).toContainText("cord is too short");
  expect(served.text()).toBe(before); // nothing is written yet
  await page.getByTestId("plug it in").click();
  await expect.poll(() => served.text()).toBe(before.replace(/(mitre saw:[^]*?outlet: )north wall/, "$1joist"));
  await expect(page.getByTestId("word A")).toContainText("may trip");
  await page.getByTestId("power undo").click();
  await expect.poll(() => served.text()).toBe(before);
  await expect(page.getByTestId("word A")).toContainText("trips");
});

test("a cure is applied with one tap; a question for an electrician has no button", async ({ page, served }) => {
  await open(page);
  const before = served.text();
  const asks = page.getByTestId("cure ask-own-circuit");
  await expect(asks.first()).toContainText("Ask an electrician");
  await expect(asks.first().getByRole("button")).toHaveCount(0);
  await page.getByTestId("apply not-together").click();
  await expect.poll(() => served.text()).not.toContain("- [mitre saw, sander]");
  await expect(page.getByTestId("word A")).toContainText("may trip");
  await page.keyboard.press("Control+z");
  await expect.poll(() => served.text()).toBe(before);
});

test("the whole plan of plugs is one tap, and one undo", async ({ page, served }) => {
  await open(page);
  const before = served.text();
  await page.getByTestId("apply plan").click();
  await expect.poll(() => served.text()).not.toBe(before);
  await expect(page.getByTestId("power sentence")).toContainText("Circuit A may trip");
  expect(served.ask("power", served.path).circuits.map((c: any) => c.worst.verdict)).toEqual(["may trip", "holds", "holds"]);
  await page.getByTestId("power undo").click();
  await expect.poll(() => served.text()).toBe(before);
});

test("what runs on the floor is judged, even what the routine does not allow", async ({ page }) => {
  await page.getByTestId("run planer").click();
  await page.getByTestId("run jointer").click();
  await page.getByTestId("place power").click();
  const set = page.getByTestId("power set");
  await expect(set.locator("option", { hasText: "on the floor now" })).toContainText("planer and jointer");
  await set.selectOption("now");
  await expect(page.getByTestId("load B planer")).toBeVisible();
  await expect(page.getByTestId("load B jointer")).toBeVisible();
  await expect(page.getByTestId("load A collector")).toBeVisible(); // it comes with them
});

test("a plug is dragged to another outlet on the floor", async ({ page, served }) => {
  await settled(page);
  const before = served.text();
  await expect(page.getByTestId("socket north wall")).toHaveAttribute("aria-label", /circuit A: trips with mitre saw and sander/);
  await page.getByTestId("run mitre saw").click();
  const plug = page.getByTestId("plug of mitre saw");
  await expect(plug).toBeVisible();
  await expect(page.getByTestId("plug of saw vacuum")).toBeVisible(); // the saw brings it along; it makes the saw's plug stand aside
  const from = (await plug.locator(".body").boundingBox())!;
  const to = (await page.getByTestId("socket joist").locator("rect").boundingBox())!;
  await page.mouse.move(from.x + from.width / 2, from.y + from.height / 2);
  await page.mouse.down();
  for (let i = 1; i <= 8; i++) await page.mouse.move(from.x + ((to.x - from.x) * i) / 8 + 5, from.y + ((to.y - from.y) * i) / 8 + 5);
  await expect(page.getByTestId("told")).toContainText("mitre saw → joist");
  await expect(page.getByTestId("told")).toContainText("A: 27.2 → 23.5 A, trips → may trip");
  expect(served.text()).toBe(before);
  await page.mouse.up();
  await expect.poll(() => served.text()).toBe(before.replace(/(mitre saw:[^]*?outlet: )north wall/, "$1joist"));
  await page.getByTestId("undo").click();
  await expect.poll(() => served.text()).toBe(before);
  await page.getByTestId("plug of mitre saw").locator(".body").click(); // a tap asks what it hangs on
  await expect(page.getByTestId("circuit A").locator("h3")).toBeFocused();
});

test("a plug is carried by keys, said aloud, and laid back by Escape", async ({ page, served }) => {
  await settled(page);
  const before = served.text();
  await page.getByTestId("run mitre saw").click();
  const plug = page.getByTestId("plug of mitre saw");
  await plug.focus();
  await page.keyboard.press("ArrowRight");
  await expect(page.getByTestId("said")).toContainText("circuit A: 27.2 A, trips, to 23.5 A, may trip");
  await expect(page.getByTestId("told")).toBeVisible();
  await page.keyboard.press("Escape");
  await expect(page.getByTestId("told")).not.toBeAttached();
  expect(served.text()).toBe(before);
  await page.keyboard.press("ArrowRight");
  await expect(page.getByTestId("told")).toBeVisible();
  await page.keyboard.press("Enter");
  await expect.poll(() => served.text()).not.toBe(before);
  await page.getByTestId("undo").click();
  await expect.poll(() => served.text()).toBe(before);
});

test("a machine's panel says whether its circuit holds, and leads to it", async ({ page }) => {
  await page.getByTestId("run band saw").click();
  const line = page.getByTestId("power line");
  await expect(line.locator("summary")).toContainText("may trip");
  await line.locator("summary").click();
  await line.getByTestId("see power").click();
  await expect(page.getByTestId("circuit A").locator("h3")).toBeFocused();
});

test.describe("a shop without circuits", () => {
  test.use({ example: "garden-shed.yaml" });
  test("asks two questions, writes a circuit, then where each thing is plugged in", async ({ page, served }) => {
    await open(page);
    const before = served.text();
    await expect(page.getByTestId("power sentence")).toContainText("No circuit is written yet");
    await expect(page.getByTestId("power why")).toHaveCount(0); // nothing that could be taken for "holds"
    await page.getByTestId("write circuit").click();
    await expect(page.getByTestId("circuit form").getByRole("alert")).toContainText("are needed");
    await page.getByTestId("circuit breaker").fill("15");
    await page.getByTestId("circuit outlets").fill("bench, door side");
    await page.getByTestId("circuit guarded").check();
    await page.getByTestId("write circuit").click();
    await expect.poll(() => served.text()).toContain("breaker: 15 A");
    await expect(page.getByTestId("unplaced")).toContainText("Not plugged in yet");
    await expect(page.getByTestId("power todo")).not.toContainText("every circuit holds");
    for (const load of ["planer", "vacuum"]) {
      await page.getByTestId(`plug ${load}`).selectOption("bench");
      await page.getByTestId("plug it in").click();
      await expect(page.getByTestId("unplaced").getByTestId(`plug ${load}`)).toHaveCount(0);
    }
    await expect(page.getByTestId("word A")).toContainText("trips"); // 15 A and 11 A on one 15 A circuit
    expect(served.ask("power", served.path).circuits[0].worst.verdict).toBe("trips");
    for (let i = 0; i < 3; i++) {
      const was = served.text();
      await page.getByTestId("power undo").click();
      await expect.poll(() => served.text()).not.toBe(was);
    }
    await expect.poll(() => served.text()).toBe(before);
  });
});

test("the nouns of the first sentence lead somewhere", async ({ page }) => {
  await open(page);
  await page.getByTestId("power sentence").getByRole("button", { name: "A", exact: true }).click();
  await expect(page.getByTestId("circuit A").locator("h3")).toBeFocused();
  await page.getByTestId("power sentence").getByRole("button", { name: "mitre saw" }).click();
  await expect(page.getByTestId("panel")).toContainText("Mitre saw", { ignoreCase: true });
});

test("what stands at the panel is put right in place, and what else draws current is added", async ({ page, served }) => {
  await open(page);
  const before = served.text();
  await page.getByTestId("written B").locator("summary").click();
  await page.getByTestId("written B").getByTestId("new outlet B").fill("door post");
  await page.keyboard.press("Enter");
  await expect.poll(() => served.text()).toContain("door post");
  await expect(page.getByTestId("outlet door post")).toBeVisible();
  await page.getByTestId("breaker B").fill("10");
  await page.keyboard.press("Enter");
  await expect.poll(() => served.text()).toContain("breaker: 10 A");
  await expect(page.getByTestId("word B")).toContainText(/trips|may trip/);
  await page.getByTestId("add load").click();
  await page.getByTestId("other name").fill("air compressor");
  await page.getByTestId("other amps").fill("12");
  await page.getByTestId("other outlet").selectOption("floor box");
  await page.getByTestId("write other").click();
  await expect.poll(() => served.text()).toContain("air compressor:");
  await expect(page.getByTestId("load C air compressor")).toContainText("starts by itself");
  for (let i = 0; i < 3; i++) {
    const was = served.text();
    await page.getByTestId("power undo").click();
    await expect.poll(() => served.text()).not.toBe(was);
  }
  expect(served.text()).toBe(before);
});

test("amps read off the plate are written where a load is assumed", async ({ page, served }) => {
  await open(page);
  await page.getByTestId("power notes").locator("summary").click();
  await page.getByTestId("show read-the-plate band saw").click();
  await expect(page.getByTestId("plug band saw")).toBeFocused();
  await expect(page.getByTestId("load card")).toContainText("assumed");
  await page.getByTestId("plate band saw").fill("11");
  await page.keyboard.press("Enter");
  await expect.poll(() => served.text()).toMatch(/band saw:[^]*?motor: \{.*current: 11 A/);
  await expect(page.getByTestId("load card")).toContainText("given");
});

for (const theme of ["light", "dark"] as const) {
  test(`axe finds nothing serious in Power, ${theme}`, async ({ page }) => {
    await page.emulateMedia({ colorScheme: theme });
    await open(page);
    await page.getByTestId("load A mitre saw").click();
    await page.getByTestId("plug mitre saw").selectOption("joist");
    await expect(page.getByTestId("shifts")).toBeVisible();
    await page.locator("details summary").evaluateAll((all) => all.forEach((s) => ((s.parentElement as HTMLDetailsElement).open = true)));
    expect(await grave(page)).toEqual([]);
  });
}

test.describe("phone", () => {
  test.use({ viewport: { width: 360, height: 740 }, hasTouch: true });
  test("everything fits 360 px, with room for thumbs", async ({ page }) => {
    await open(page);
    await page.getByTestId("load A mitre saw").tap();
    await page.locator("details summary").evaluateAll((all) => all.forEach((s) => ((s.parentElement as HTMLDetailsElement).open = true)));
    expect(await page.evaluate(() => [document.documentElement.scrollWidth, document.querySelector("main")!.scrollWidth])).toEqual([360, 360]);
    const small = await page.locator("main button:visible:not(.term):not(h1 button), main select:visible").evaluateAll((all) =>
      all.map((b) => [b.textContent, b.getBoundingClientRect()] as const).filter(([, r]) => r.height < 43.5 || r.width < 43.5).map(([t, r]) => `${t} ${r.width}x${r.height}`));
    expect(small).toEqual([]);
    expect(await grave(page)).toEqual([]);
  });
});

test("a breaker nobody read is said to be assumed, wherever it counts", async ({ page, served }) => {
  await open(page);
  served.write(served.text().replace("breaker: 15 A", "breaker: unknown"));
  await expect(page.getByTestId("circuit B").locator("h3")).toContainText("assumed");
  await expect(page.getByTestId("power sentence")).toContainText("is not known; 15 A is taken for it");
});

test.describe("from the first run", () => {
  test.use({ example: "", viewport: { width: 390, height: 844 }, locale: "en-US" });
  test("\"will it trip my breaker\" is answered after two questions and two plugs", async ({ page, served }) => {
    await page.getByTestId("answer us").click();
    await page.getByRole("button", { name: "Not sure" }).click();
    for (let i = 3; i <= 6; i++) {
      await expect(page.getByTestId("first")).toContainText(`Question ${i} of 6`);
      await page.getByTestId("not sure").click();
    }
    await page.getByRole("button", { name: "Will it trip my breaker?" }).click();
    await expect(page.getByTestId("circuit form")).toBeVisible();
    await page.getByTestId("circuit breaker").fill("15");
    await page.getByTestId("circuit outlets").fill("bench");
    await page.getByTestId("write circuit").click();
    await expect(page.getByTestId("plug table saw").locator("option", { hasText: "bench" })).toBeDisabled(); // taken to be made for 240 V
    for (const load of ["planer", "collector"]) {
      await page.getByTestId(`plug ${load}`).selectOption("bench");
      await page.getByTestId("plug it in").click();
      await expect(page.getByTestId("unplaced").getByTestId(`plug ${load}`)).toHaveCount(0);
    }
    await expect(page.getByTestId("word A")).toContainText("trips"); // a planer and a collector on one 15 A circuit
    expect(served.text()).toContain("breaker: 15 A");
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
  });
});
