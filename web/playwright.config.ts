import { defineConfig } from "@playwright/test";

// The journeys run against the real program: tests/shop.ts starts one `winnow serve` on a copy of an example for each test.
// WINNOW names the program (else it is built), CHROMIUM the browser.
export default defineConfig({
  testDir: "tests",
  timeout: 45_000,
  expect: { timeout: 10_000 }, // a shared machine may be ten times slower than a quiet one
  globalTimeout: 540_000,
  workers: 2,
  fullyParallel: true,
  reporter: [["list"]],
  globalSetup: "./tests/setup.ts",
  use: {
    viewport: { width: 1320, height: 820 },
    launchOptions: {
      executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
      args: [
        "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync",
        ...(process.getuid?.() === 0 ? ["--no-sandbox"] : []),
      ],
    },
  },
});
