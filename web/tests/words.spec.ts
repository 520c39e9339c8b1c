import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { text } from "../src/text/en";
import { expect, test } from "./shop";
// @ts-expect-error a plain script without types
import { types } from "../tools/types.mjs";

test("commands the page speaks of exist", () => {
  for (const place of Object.values(text.soon)) {
    const help = execFileSync(process.env.WINNOW!, ["help", place.command], { encoding: "utf8" });
    expect(help).toMatch(new RegExp(`winnow ${place.command} \\[?FILE`)); // in brackets where the folder's own file will do
  }
});

test("no text shouts", () => {
  const all = readFileSync(new URL("../src/text/en.ts", import.meta.url), "utf8") + readFileSync(new URL("../src/text/glossary.ts", import.meta.url), "utf8");
  expect(all.match(/"[^"\n]*!"/g)).toBeNull();
});

test("api.d.ts is what the server says", async ({ served }) => {
  expect(await types(served.address.replace(/\/$/, ""))).toBe(readFileSync(new URL("../src/api.d.ts", import.meta.url), "utf8"));
});

test("places that are not built yet say so, and what answers today", async ({ page }) => {
  for (const place of ["log"]) {
    await page.getByTestId(`place ${place}`).click();
    await expect(page.getByTestId("soon")).toContainText("winnow");
  }
  await page.getByTestId("place gates").click();
  await expect(page.getByTestId("gates").locator("tbody tr")).toHaveCount(4);
  await page.getByTestId("place next").click();
  await expect(page.getByTestId("next")).toContainText("Free");
  await page.goBack();
  await expect(page.getByTestId("gates")).toBeVisible();
});
